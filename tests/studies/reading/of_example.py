"""Readings at the site of an example."""

from __future__ import annotations

from tests.site_texts import EXAMPLES
from wellsolar.results.readings import ReadingResult
from wellsolar.site.loading.read import load_site
from wellsolar.site.readings.file import readings_of_options
from wellsolar.studies.case import Case
from wellsolar.studies.reading.study import study_readings


def read(**written: str) -> list[ReadingResult]:
    site = load_site(EXAMPLES / "ridge_house.toml")
    found = study_readings(Case(site), [readings_of_options(written)]).readings
    return list(found.readings)


def implied(reading: ReadingResult, key: str) -> float:
    return float(next(each.value for each in reading.implied if each.key == key))
