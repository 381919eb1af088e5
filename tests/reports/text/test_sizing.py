"""Every number and word on the page of a design, on that of three, and in their JSON is the field
that it is meant to be.

`sizing.txt` says which field stands where, and in which kind of unit. The designs are made up,
another prime in each field. Where a page is to show something else, edit the table by hand, or
write it anew by `python -m tests.reports.text.test_sizing` and read each line that has changed.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from tests.reports.tables.made import FULL, Made
from tests.reports.text.test_beside_results import judged
from wellsolar import kinds
from wellsolar.reports.text import designs, sizing
from wellsolar.results import Results
from wellsolar.results.sizing import DESIGNS, DesignFigures, DesignSet, HeatWay, SizingResult
from wellsolar.units import Quantity
from wellsolar.verdicts import Change, say

TABLE = Path(__file__).with_name("sizing.txt")


@dataclass(frozen=True)
class Three:
    """Designs beside each other, and what each comes to."""

    least: SizingResult
    ordinary: SizingResult
    reserve: SizingResult
    of_least: DesignFigures
    of_ordinary: DesignFigures
    of_reserve: DesignFigures


@cache
def made() -> Made:
    return Made(FULL, Three)


BEFORE_CHANGES = (made,)
"""What `tests.mutation` may make once: nothing that it changes has a part in it."""

PIECES = ("pumping_level", "elevation", "suction", "drop_pipe", "lateral", "fittings",
          "treatment", "velocity", "pressure", "none of them")  # fmt: skip
"""Each in turn: of two pressures with one piece each."""


def whole(design: SizingResult, place: int = 0) -> SizingResult:
    """A design with what is not made up: verdicts, changes, and the pieces of a head."""
    pumps = []
    for pump in design.pumps:
        duties = [
            replace(duty, pieces=tuple(
                replace(piece, key=PIECES[(place + 2 * number + nth) % len(PIECES)])
                for nth, piece in enumerate(duty.pieces)
            ))
            for number, duty in enumerate(pump.duties)
        ]  # fmt: skip
        pumps.append(replace(pump, duties=tuple(duties)))
    checked = Results(
        file="", site_name="", site_note="", system="SI", verdicts=judged(), cautions=("scald",)
    )
    first, second = design.parts
    return replace(
        design, pumps=tuple(pumps), results=checked, changes=(Change("a.key", '"a value"'),),
        parts=(replace(first, tried=7, shut_out={"a rule": 3, "another": 5}), second),
    )  # fmt: skip


def three() -> DesignSet:
    results = made().results
    return DesignSet(
        {which: whole(getattr(results, which), place) for place, which in enumerate(DESIGNS)},
        {which: getattr(results, f"of_{which}") for which in DESIGNS},
    )


def _told(value: float, kind: kinds.Kind, system: str) -> str:
    source = made().source(Quantity(value, kind)).replace(" ", "_")
    return f"<{source}:{kind.name.replace(' ', '_')}>"


def pages() -> Iterator[str]:
    found = three()
    of = made()
    wide = {"WIDTH": 100_000, "show": _told}
    with mock.patch.multiple(sizing, **wide), mock.patch.multiple(designs, COLUMN=400, **wide):
        for place in range(0, len(PIECES), 4):
            design = whole(of.results.ordinary, place)
            yield f"a design {place}"
            shown = sizing.page(design, "SI", "site.toml", True)
            lines = shown.splitlines()
            yield from lines if place == 0 else [each for each in lines if "pieces" in each]
        yield "a pump whose motor is hardly loaded, and one that lacks what can lack"
        first, second = of.results.ordinary.pumps
        loaded = replace(second, most_power=3.0, daily_run_time=5.0, daily_energy=35.0)
        bare = replace(second, duties=second.duties[:1], least_shut_off=None, daily_energy=None)
        design = replace(whole(of.results.ordinary), pumps=(first, loaded, bare))
        shown = sizing.page(design, "SI", "site.toml", True)
        yield from (each for each in shown.splitlines() if each.startswith("AND"))
        yield "three designs"
        yield designs.designs_page(found, "SI", "site.toml", "ordinary", True)
    yield "one without a reason"
    lacking = replace(found.made["least"], failed=say("why not"), lacking=("a.key", "b.key"))
    yield sizing.page(lacking, "SI", "site.toml")


def _leaves(found: Any, path: str = "") -> Iterator[str]:
    """Every value of a JSON with its path."""
    if isinstance(found, dict):
        for key, each in found.items():
            yield from _leaves(each, f"{path}.{made().source(key)}".lstrip("."))
    elif isinstance(found, list):
        for place, each in enumerate(found):
            yield from _leaves(each, f"{path}[{place}]")
    elif isinstance(found, (int, float)) and not isinstance(found, bool):
        yield f"{path} = {made().source(Quantity(found, kinds.COUNT))}"
    else:
        yield f"{path} = {made().source(str(found))}"


def shown() -> str:
    text = made().source("\n".join(pages()))
    lines = [" ".join(each.split()) for each in text.splitlines()]
    return "\n".join([*lines, "as JSON", *of_json(), ""])


def of_json() -> list[str]:
    """All of a design, and of the three beside it one for all."""
    found = three()
    data = json.loads(sizing.as_text(found.made["ordinary"], "SI", found))
    leaves = [*_leaves(data)]
    by_design = [[each.replace(which, "DESIGN") for each in leaves
                  if each.startswith(f"designs.{which}.")] for which in DESIGNS]  # fmt: skip
    assert by_design[0] == by_design[1] == by_design[2]
    kept = [each for each in leaves if not each.startswith("designs.")]
    return [*kept, *by_design[0]]


def test_every_number_of_a_design_is_the_field_that_the_table_names() -> None:
    assert shown().splitlines() == TABLE.read_text("utf-8").splitlines()


@pytest.mark.parametrize(
    ("survival", "told"),
    [(1.04, "all of it"), (1.0, "all of it"), (0.997, "99 %"), (0.5, "50 %"), (0.0, "0 %")],
)
def test_what_is_short_of_survival_water_is_never_all_of_it(survival: float, told: str) -> None:
    found = three()
    figures = {which: DesignFigures(survival=survival) for which in DESIGNS}
    shown = designs.designs_page(replace(found, figures=figures), "SI", "site.toml", "ordinary")
    row = next(line for line in shown.splitlines() if line.startswith("survival water"))
    assert row.split(maxsplit=2)[2].split("  ")[0] == told


@pytest.mark.parametrize(("share", "heat", "told"), [
    (0.5, 3.6e9, "50.0% of the heat, 1000 kWh a year, 7 hot evenings"),
    (None, 3.6e9, "7 hot evenings"), (0.5, None, "7 hot evenings"),
])  # fmt: skip
def test_of_a_way_to_heat_share_and_heat_are_told_together(
    share: float | None, heat: float | None, told: str
) -> None:
    way = HeatWay("4 modules", 4, share, 7, heat, None, say("a cable"), True)
    shown = sizing.page(replace(whole(made().results.ordinary), ways=(way,)), "SI", "site.toml")
    line = " ".join(shown.partition("4 modules: ")[2].partition("; needs")[0].split())
    assert line == told


@pytest.mark.parametrize("letters", [5, 26, 27, 28, 60])
def test_a_long_name_of_a_pump_stays_apart_from_its_columns(letters: int) -> None:
    design = whole(made().results.ordinary)
    pump = replace(design.pumps[0], name="n" * letters)
    shown = sizing.page(replace(design, pumps=(pump,)), "US", "site.toml", True)
    line = next(each for each in shown.splitlines() if each.startswith("PUMP"))
    assert line[7:35] == ("n" * min(letters, 27)).ljust(28)


@pytest.mark.parametrize(
    ("lengths", "most", "room", "shown"),
    [
        # Two of each, and what is left to the first that wants it.
        ([6, 6], 2, 6, [4, 2]),
        ([3, 1, 6], 2, 9, [3, 1, 5]),
        ([6, 6], 3, 20, [6, 6]),
        ([1, 2], 2, 3, [1, 2]),
        # Without room so many of each, and no more.
        ([6, 6], 2, 1, [2, 2]),
    ],
)
def test_remarks_share_the_lines_that_are_left(
    lengths: list[int], most: int, room: int, shown: list[int]
) -> None:
    remarks = [[f"{'NOT':<7}{mark} {row}" for row in range(length)]
               for mark, length in zip("ab", lengths, strict=False)]  # fmt: skip
    remarks += [[f"{'NOT':<7}c {row}" for row in range(length)] for length in lengths[2:]]
    lines = [*sizing._fitted(remarks, most, room)]
    assert [sum(line[7] == mark for line in lines) for mark in "abc"[: len(shown)]] == shown
    for remark, count in zip(remarks, shown, strict=True):
        cut = f"{remark[count - 1]} ..." if count < len(remark) else remark[count - 1]
        assert cut in lines


@pytest.mark.parametrize(
    ("screen", "lines"), [(5, 4), (17, 4), (21, 4), (22, 5), (24, 7), (35, 18), (60, 18)]
)
def test_of_three_designs_at_least_four_lines_tell_what_differs(screen: int, lines: int) -> None:
    """18 lines differ; 4 stand before them and 13 behind, whatever the screen has."""
    with mock.patch.object(designs, "LINES", screen):
        shown = designs.designs_page(three(), "SI", "site.toml", "ordinary").splitlines()
    assert shown[3].split() == ["LEAST", "ORDINARY", "RESERVE"]
    assert shown[4 + lines].startswith("pumps, a day")
    assert len(shown) == 4 + lines + 13
    assert shown[3 + lines].startswith("and ") == (lines < 18)


@pytest.mark.parametrize(
    ("row", "cut"),
    [
        ("one, two; three four", "one, two"), ("one; two, three four", "one; two"),
        ("one, two three", "one"), ("one; two three", "one"), ("one two", "one two"),
        ("one, two,", "one, two"), ("one; two;", "one; two"),
    ],
)  # fmt: skip
def test_a_line_is_cut_behind_the_last_thing_that_is_told_whole(row: str, cut: str) -> None:
    rows = [f"{'NOT':<7}first", f"{'':<7}{row}", f"{'':<7}more"]
    assert sizing._cut(rows, 2) == [rows[0], f"{'':<7}{cut} ..."]
    assert sizing._cut(rows, 3) == rows


def test_of_the_parts_one_line_stands_where_there_is_room_for_none() -> None:
    design = whole(made().results.ordinary)
    parts = tuple(replace(design.parts[0], part=f"thing {number}") for number in range(30))
    long = replace(design, pumps=(design.pumps[0],) * 40, parts=parts)
    lines = sizing.page(long, "SI", "site.toml").splitlines()
    assert lines[1].startswith("BUY")
    assert lines[1].endswith(" ...")
    assert lines[2].startswith("NEED")


@pytest.mark.parametrize("number", [5, 9, 14])
def test_remarks_are_cut_before_the_parts_are(number: int) -> None:
    design = whole(made().results.ordinary)
    parts = tuple(replace(design.parts[0], part=f"thing {place}") for place in range(number))
    shown = sizing.page(replace(design, pumps=design.pumps[:1], parts=parts), "SI", "site.toml")
    bought = " ".join(shown.partition("NEED")[0].split())
    assert [place for place in range(number) if f"thing {place} " in bought] == [*range(number)]
    assert "..." not in bought
    assert shown.count("\n") == sizing.LINES


def test_of_a_long_path_the_headline_has_the_file() -> None:
    design = whole(made().results.ordinary)
    for folder in ("", "a/", f"{'long/' * 20}"):
        first = sizing.page(design, "SI", f"{folder}site.toml").splitlines()[0]
        head = "site.toml: 1 of 4 checks fails (can hurt), 1 unknown, 1 caution"
        assert first == (f"{folder}{head}" if len(folder) < 3 else head)


if __name__ == "__main__":
    TABLE.write_text(shown(), "utf-8")
