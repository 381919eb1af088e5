"""Readings of a booster rest on its storage tank, those of a filling pump on the open tank."""

from __future__ import annotations

from pathlib import Path

import pytest

from wellsolar.results.readings import ReadingResult
from wellsolar.site.loading.read import load_site
from wellsolar.site.readings.file import readings_of_options
from wellsolar.studies.case import Case
from wellsolar.studies.reading.study import study_readings

EXAMPLE = Path(__file__).parents[3] / "examples" / "poor_well.toml"
GPM, FOOT = 3.785411784e-3 / 60, 0.3048
PSI_HEAD = 2.307 * FOOT


def only(pump: str, **written: str) -> ReadingResult:
    given = readings_of_options({"pump": pump, **written})
    found = study_readings(Case(load_site(EXAMPLE)), [given]).readings
    (one,) = found.readings
    return one


def test_a_boosters_bucket_by_its_tank() -> None:
    one = only("booster", bucket_volume="5 gal", bucket_time="18.5 s", gauge_pressure="45 psi")
    assert not {each.key for each in one.implied} & {"implied_pumping_level"}
    # From a full tank, 5 ft over an outlet at -5 ft, or its float's tenth, to a gauge at -3 ft.
    heads = [(-3.0 - water) * FOOT + 45 * PSI_HEAD for water in (0.0, -4.5)]
    # The sheet between 12 gpm at 146 ft and 16 gpm at 110 ft, and at most 20 gpm at 60 ft; about
    # a foot is lost in its pipes.
    assert one.expected is not None
    between = [146 * FOOT, 60 * FOOT]
    assert all(between[1] < head + FOOT < between[0] for head in heads)
    assert 12 * GPM < one.expected.value.low < one.expected.value.high < 20 * GPM
    assert not any("drop pipe" in each.text for each in one.causes)


def test_a_filling_pump_has_no_gauge() -> None:
    one = only("well pump", bucket_volume="5 gal", bucket_time="400 s")
    # What the well gives at the intake: 300 ft of drawdown times 0.7 gpm over 285 ft.
    assert one.expected is not None
    assert one.expected.value == pytest.approx(0.7 * 300 / 285 * GPM, rel=1e-3)
    filled = only("well pump", fill_time="80 s")
    assert filled.expected is None
    assert "fills the storage tank" in str(filled)
