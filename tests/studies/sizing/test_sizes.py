"""Tanks alike side by side, against all that could be bought."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any
from unittest import mock

import pytest

from wellsolar import kinds
from wellsolar.studies.pump.verdicts import BOTTOM, SUBMERGENCE
from wellsolar.studies.sizing import pump
from wellsolar.studies.sizing.pressure_tank import tank_sizes
from wellsolar.studies.sizing.search import Choice, Sized, Trial
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.well.verdicts import RUNS_DRY
from wellsolar.units import System, read


@pytest.mark.parametrize("system", ["US", "SI"])
def test_several_tanks_are_looked_at_where_one_fewer_are_too_small(system: System) -> None:
    """One of each size; two or three alike only where one fewer of the largest hold less."""
    sold = [float(size) for size in sizes("pressure tank", kinds.VOLUME, system)]
    wanted = [(count * one, count) for one in sold for count in (1, 2, 3)
              if count * one > (count - 1) * max(sold) or count == 1]  # fmt: skip
    listed = list(tank_sizes(system))
    found = [(read(volume, kinds.VOLUME) * count, count) for _, (volume, count) in listed]
    assert [count for _, count in found] == [count for _, count in sorted(wanted)]
    volumes = [volume for volume, _ in sorted(wanted)]
    assert [volume for volume, _ in found] == pytest.approx(volumes, rel=1e-6)
    for label, (volume, count) in listed:
        *many, one = label.split(" x ")
        assert many == ([] if count == 1 else [f"{count}"])
        assert read(one, kinds.VOLUME) == pytest.approx(read(volume, kinds.VOLUME), rel=0.02)


@pytest.mark.parametrize(
    ("statuses", "named"),
    [
        (["pass", "caution", "fail", "unknown"], "fail"),
        (["fail", "caution"], "fail"),
        (["unknown", "caution"], "caution"),
        (["pass", "unknown"], None),
    ],
)
def test_what_holds_a_size_back_is_the_worst_that_is_known(
    statuses: list[str], named: str | None
) -> None:
    nothing: Any = None
    said: Any = tuple(SimpleNamespace(status=status) for status in statuses)
    short = Trial(nothing, nothing, said).short
    assert (None if short is None else short.status) == named


@pytest.mark.parametrize("passes", [True, False])
def test_where_no_intake_passes_the_deepest_is_taken(passes: bool) -> None:
    site: Any = SimpleNamespace(pump=[SimpleNamespace(name="other"), SimpleNamespace(name="p")])
    case: Any = SimpleNamespace(site=site)
    first: Any = "the first"

    def smallest(_: Any, choice: Choice) -> Sized:
        assert (choice.part, choice.subjects) == ("intake", ["p"])
        assert (choice.studies, choice.held_by, choice.stopped_by) == (
            ("pumps", "well"), (SUBMERGENCE, RUNS_DRY), (BOTTOM,)
        )  # fmt: skip
        return Sized("intake", first, first, passes, 4)

    with (
        mock.patch.multiple(
            pump, smallest=smallest, trial=lambda _, __, candidate: candidate.label,
            depths=lambda *_: iter(["40 m", "42 m", "44 m", "46 m"]), with_duty=mock.Mock(),
        ),
    ):  # fmt: skip
        found = pump.intake(case, 2, 1e-3)
    assert found.chosen == (first if passes else "46 m")
    assert found.smaller == (first if passes else None)
