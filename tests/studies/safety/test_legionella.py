"""Stored water and germs, against published times and the cooling of a warm body."""

from __future__ import annotations

import math
import re

import pytest

from tests.site_texts import edited
from tests.studies.safety.sites import RIGHT, safety, studied, verdict, wrong


def test_legionella_by_its_published_times() -> None:
    # Nine in ten dead in 2 min, all in 32 min at 60 degC; in 80 to 124 min at 50 degC.
    text = edited(RIGHT, ('"150 degF"', '"60 degC"'))
    found = safety(text)
    assert found.kill_time == pytest.approx(120.0, rel=1e-6)
    assert found.heat_through_time == pytest.approx(32 * 60.0, rel=1e-6)
    assert verdict(text, "storage temperature").status == "pass"
    cooler = edited(RIGHT, ('"150 degF"', '"50 degC"'))
    kill = safety(cooler).kill_time
    assert kill is not None
    assert 80 <= kill / 60 <= 125
    assert wrong(studied(cooler)) == {"storage temperature": "caution"}
    lukewarm = edited(RIGHT, ('"150 degF"', '"45 degC"'))
    assert safety(lukewarm).kill_time is None
    assert "outlives" in verdict(lukewarm, "storage temperature").reason.text("US")


def test_a_week_without_sun_by_the_exponential() -> None:
    # 80 gal of 8.2 lb and 1 Btu/(lb degF), 1.5 W/K, a room of 65 degF, from 150 degF.
    capacity = 80 * 8.17 * 0.45359 * 4186.8
    cool = 65 + 85 * math.exp(-1.5 * 7 * 86_400 / capacity)
    text = verdict(RIGHT, "storage temperature").reason.text("US")
    match = re.search(r"stands at (\d+) °F", text)
    assert match is not None
    assert float(match.group(1)) == pytest.approx(cool, abs=1.0)
