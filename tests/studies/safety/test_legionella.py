"""Stored water and germs, against published times and the cooling of a warm body."""

from __future__ import annotations

import math
import re

import pytest

from tests.site_texts import edited
from tests.studies.safety.sites import RIGHT, mended, safety, studied, verdict, wrong


def test_storage_by_published_practice() -> None:
    # WHO 2007: 60 degC at the heater's outlet; Approved Code of Practice L8, technical guidance,
    # as quoted: the whole tank at 60 degC for an hour.
    text = edited(RIGHT, ('"150 degF"', '"60 degC"'))
    found = safety(text)
    assert found.heat_through == pytest.approx(60.0)
    assert found.heat_through_time == 3600.0
    assert verdict(text, "storage temperature").status == "pass"
    told = verdict(RIGHT, "storage temperature").reason.text("US")
    assert "hold all of it at 140 °F or more for an hour" in told
    assert "run every tap" in told
    assert " s " not in told
    cooler = edited(RIGHT, ('"150 degF"', '"58 degC"'))
    assert wrong(studied(cooler)) == {
        "storage temperature": "caution", "mixing-valve supply": "caution",
    }  # fmt: skip
    mended(cooler, verdict(cooler, "storage temperature"))


def test_a_week_without_sun_by_the_exponential() -> None:
    # 80 gal of 8.2 lb and 1 Btu/(lb degF), 1.5 W/K, a room of 65 degF, from 150 degF.
    capacity = 80 * 8.17 * 0.45359 * 4186.8
    cool = 65 + 85 * math.exp(-1.5 * 7 * 86_400 / capacity)
    text = verdict(RIGHT, "storage temperature").reason.text("US")
    match = re.search(r"stands at (\d+) °F", text)
    assert float(match.group(1)) == pytest.approx(cool, abs=1.0)
