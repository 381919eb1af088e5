"""Electronics that track an array's best, against pvlib's own chain."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from tests.studies.match.greensboro import HOUR, at_best, element, matched, verdict, written

pytestmark = pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")


def test_tracking_electronics_give_what_pvlib_gives_times_their_efficiency(
    tmp_path: Path,
) -> None:
    more = (
        'coupling = "tracking"\ntracker_efficiency = "94 %"\ntracker_minimum = "100 W"\n'
        'tracker_maximum = "900 W"\ntracker_converter = "both"'
    )
    results = matched(written(tmp_path, element(more)))
    assert results.matching is not None
    match = results.matching.match
    assert match is not None
    best = at_best()
    power = np.minimum(0.94 * np.where(best >= 100.0, best, 0.0), 900.0)
    assert match.own.energy == pytest.approx(float(power.sum()) * HOUR, rel=0.01)
    assert match.own.ratio == pytest.approx(float(power.sum() / best.sum()), rel=0.005)
    assert match.peak_power == pytest.approx(900.0)
    assert verdict(results, "matched to the array").status == "pass"
    assert verdict(results, "tracking electronics").status == "pass"
    assert match.ceiling is None
    fifth = next(each for each in match.wirings if (each.series, each.parallel) == (5, 1))
    best = at_best(5)
    more = np.minimum(0.94 * np.where(best >= 100.0, best, 0.0), 900.0)
    assert fifth.gain == pytest.approx(float(more.sum() / power.sum()) - 1.0, abs=0.005)


def test_electronics_of_no_sheet_are_assumed_and_said_to_be(tmp_path: Path) -> None:
    told = 'coupling = "tracking"\ntracker_converter = "both"'
    results = matched(written(tmp_path, element(told)))
    assumed = {each.path: each for each in results.assumptions}
    path = "water_heater.element[1].tracker_efficiency"
    assert assumed[path].value == pytest.approx(0.95)
    assert assumed[path].source == "common practice"
    assert results.matching is not None
    assert results.matching.match is not None
    best = at_best()
    energy = 0.95 * float(best[best >= 20.0].sum()) * HOUR
    assert results.matching.match.own.energy == pytest.approx(energy, rel=0.01)


def test_electronics_too_good_to_be_true_are_doubted(tmp_path: Path) -> None:
    told = 'coupling = "tracking"\ntracker_converter = "both"\ntracker_efficiency = "99.8 %"'
    path = written(tmp_path, element(told))
    bad = verdict(matched(path), "tracking electronics")
    assert bad.status == "caution"
    assert bad.remedy is not None
    told = re.search(r"([\d.]+)%", bad.remedy.text("US"))
    assert told is not None
    text = path.read_text(encoding="utf-8").replace('"99.8 %"', f'"{told[1]} %"')
    path.write_text(text, encoding="utf-8")
    assert verdict(matched(path), "tracking electronics").status == "pass"


@pytest.mark.parametrize(
    ("converter", "status"),
    [("both", "pass"), ("boost", "pass"), ("buck", "caution"), (None, "unknown")],
)
def test_what_electronics_can_do_is_told_or_judged_at_its_worst(
    tmp_path: Path, converter: str | None, status: str
) -> None:
    """Four modules in series work at 130 V at most, an element of 1500 W, 240 V wants more."""
    told = "" if converter is None else f'\ntracker_converter = "{converter}"'
    text = element('coupling = "tracking"' + told).replace("4500 W", "1500 W")
    found = verdict(matched(written(tmp_path, text)), "matched to the array")
    assert found.status == status
    if converter is None:
        assert found.needs == ("water_heater.element[1].tracker_converter",)
