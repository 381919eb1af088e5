"""A table lists fields that a result declares: what it has not declared is refused at import."""

from __future__ import annotations

from dataclasses import dataclass, is_dataclass, replace
from importlib import import_module
from pkgutil import iter_modules
from typing import Annotated

import pytest

from tests.reports.tables.made import FULL, Made
from wellsolar import kinds, results
from wellsolar.reports.rows import Grid, Listed, cell_text
from wellsolar.reports.tables.hand import hand_pump_section
from wellsolar.reports.tables.outage import _met
from wellsolar.results.entries import MONTH, Entry, entries_of


@dataclass(frozen=True)
class Filling:
    """How a cistern fills."""

    month: Annotated[int, MONTH]
    depth: Annotated[float | None, Entry("stands at", kinds.LENGTH, lacking="nobody looked")]
    spill: Annotated[float | None, Entry("runs over", kinds.FLOW, optional=True)]
    inner: float = 0.0

    @property
    def half(self) -> Annotated[float | None, Entry("half of it", kinds.LENGTH, key="middle")]:
        """Half the depth."""
        return None if self.depth is None else self.depth / 2.0


FILLING = Listed(Filling, "month", ("depth", "depth now"), "half", "spill")


def test_rows_have_the_declared_kinds_labels_and_reasons() -> None:
    rows = FILLING.rows(Filling(3, 3.048, None), "cistern_")
    assert [(row.key, row.label) for row in rows] == [
        ("cistern_month", "month"),
        ("cistern_depth", "depth now"),
        ("cistern_middle", "half of it"),
    ]
    assert [cell_text(row.quantity, "US") for row in rows] == ["Mar", "10.0 ft", "5.0 ft"]
    assert [row.why for row in FILLING.rows(Filling(3, None, None))] == ["", "nobody looked", ""]


def test_a_grid_leaves_out_the_columns_that_it_is_told_to() -> None:
    grid = FILLING.grid("fill", "Filling", [Filling(1, 1.0, 0.1)], without=("half",))
    assert [column.key for column in grid.columns] == ["month", "depth", "spill"]
    assert [len(row) for row in grid.rows] == [3]


def test_a_row_may_have_a_reason_that_hangs_on_its_result() -> None:
    listed = Listed(Filling, "month", ("depth", lambda filling: f"in month {filling.month}"),
                    ("half", Entry("a half", kinds.HEAD)), ("spill", "over"))  # fmt: skip
    rows = listed.rows(Filling(3, 3.0, 0.1))
    assert [(row.label, row.why) for row in rows] == [
        ("month", ""), ("stands at", "in month 3"), ("a half", ""), ("over", "")]  # fmt: skip
    assert [Grid("fill", "Filling", (), ()).foot, listed.grid("fill", "Filling", []).foot] == [
        0,
        0,
    ]


@pytest.mark.parametrize(("low", "told"), [(30.0, False), (29.0, False), (30.5, True)])
def test_a_hand_pump_has_a_low_level_where_the_season_lowers_the_water(
    low: float, told: bool
) -> None:
    hand = replace(Made(FULL).results.hand_pump, static_level=30.0, low_static_level=low)
    assert ("low_level" in [row.key for row in hand_pump_section(hand).rows]) == told


@pytest.mark.parametrize("name", ["dept", "inner"])
def test_a_field_that_declares_nothing_is_an_error(name: str) -> None:
    with pytest.raises(TypeError, match=f"Filling.{name} declares no entry of a report"):
        Listed(Filling, "month", name)


def test_water_and_energy_summed_over_a_year_are_declared_to_bear_few_figures() -> None:
    modules = [
        import_module(f"wellsolar.results.{part.name}") for part in iter_modules(results.__path__)
    ]
    summed = {
        f"{kind.__name__}.{name}": entry.kind.figures
        for module in modules
        for kind in vars(module).values()
        if is_dataclass(kind) and isinstance(kind, type)
        for name, entry in entries_of(kind).items()
        if entry.kind is not None
        and entry.kind.name in ("volume", "energy", "water of a day")
        and ("year" in entry.why or "Month" in kind.__name__)
    }
    assert len(summed) > 20
    assert set(summed.values()) == {3}


@pytest.mark.parametrize(
    ("volume", "wanted", "share"),
    [
        (50.0, 100.0, 0.5), (99.0, 100.0, 0.99), (100.0, 100.0, 1.0), (103.0, 100.0, 1.0),
        (150.0, 100.0, 1.0), (0.0, 100.0, 0.0), (5.0, None, None), (5.0, 0.0, None),
    ],
)  # fmt: skip
def test_a_demand_is_met_by_no_more_than_all_of_it(
    volume: float, wanted: float | None, share: float | None
) -> None:
    assert _met(volume, wanted) == share
