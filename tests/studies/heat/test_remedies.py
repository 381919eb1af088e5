"""Remedies for lukewarm evenings, put back into the file."""

from __future__ import annotations

import re

import pytest

from tests.studies.heat.ridge_tank import ALONE, RIDGE, TWO, UPPER, edited, tank_of, verdict_of
from wellsolar.results.heat import HouseholdYear
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.verdicts import changes_of


class TestEveningRemedies:
    RULE = "hot water in the evening"

    def printed(self, text: str, pattern: str, system: str = "US") -> str:
        remedy = verdict_of(text, self.RULE).remedy
        found = re.search(pattern, remedy.text(system))
        assert found, remedy.text(system)
        return found[1]

    @pytest.mark.parametrize("system", ["US", "SI"])
    def test_an_upper_element_or_less_water(self, system: str) -> None:
        assert verdict_of(ALONE, self.RULE).status == "caution"
        warm = self.printed(ALONE, r"thermostat at ([\d.]+) °", system)
        power = self.printed(ALONE, r"element of ([\d.]+ W)", system)
        unit = "degF" if system == "US" else "degC"
        upper = UPPER.replace("120 degF", f"{warm} {unit}").replace("4500 W", power)
        mended = edited(ALONE, ("[water_heater.draw]\n", upper + "[water_heater.draw]\n"))
        assert verdict_of(mended, self.RULE).status == "pass"
        water = self.printed(ALONE, r"no more than ([\d.]+ (?:gal|L)) a day", system)
        less = edited(
            ALONE, ('volume = "55 gal"\ntemperature', f'volume = "{water}"\ntemperature')
        )
        assert verdict_of(less, self.RULE).status == "pass"

    def test_a_cool_thermostat_on_the_grid(self) -> None:
        text = edited(RIDGE, ('thermostat = "120 degF"', 'thermostat = "100 degF"'))
        assert verdict_of(text, self.RULE).status == "caution"
        warm = self.printed(text, r"of the upper element to ([\d.]+) °F")
        mended = text.replace('"100 degF"', f'"{warm} degF"')
        assert verdict_of(mended, self.RULE).status == "pass"

    def test_a_cool_second_tank(self) -> None:
        text = edited(TWO, ('thermostat = "130 degF"', 'thermostat = "95 degF"'))
        assert verdict_of(text, self.RULE).status == "caution"
        warm = self.printed(text, r"of the second tank to ([\d.]+) °F")
        mended = text.replace('"95 degF"', f'"{warm} degF"')
        assert verdict_of(mended, self.RULE).status == "pass"

    def test_it_counts_the_house_as_it_stands(self) -> None:
        verdict = verdict_of(RIDGE, self.RULE)
        year: HouseholdYear = tank_of(RIDGE).households[-1]
        assert verdict.status == "pass"
        assert verdict.quantity == year.fewest_evenings
        assert verdict.limit == 292  # four days in five of 365


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        ("share from PV", RIDGE),
        (
            "hot water in the evening",
            edited(RIDGE, ('thermostat = "120 degF"', 'thermostat = "100 degF"')),
        ),
        ("hot water in the evening", edited(TWO, ('"130 degF"', '"95 degF"'))),
    ],
    ids=["less drawn", "upper element", "second tank"],
)
def test_the_changes_of_a_remedy_make_it_pass(rule: str, text: str) -> None:
    found = verdict_of(text, rule)
    assert found.status == "caution"
    changes = [str(each) for each in changes_of(found.remedy)]
    mended = study_site(parse_site(text, settings=changes), ("heat",))
    assert mended.verdict(rule, found.subject).status == "pass", changes
