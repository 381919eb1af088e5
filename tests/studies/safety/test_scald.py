"""Mixing valve, its standard and burns, against published times."""

from __future__ import annotations

import re

import pytest

from tests.site_texts import edited, printed
from tests.studies.safety.sites import RIGHT, hazard, studied, verdict, wrong


def test_a_mixing_valve_and_what_water_of_150_degf_does() -> None:
    text, found = hazard("no mixing valve at 150 degF")
    # Third-degree burns at 150 degF: 2 s (federal consumer-safety figures), 1.5 s (hospital
    # chart); a child in a quarter of it.
    assert re.search(r"an adult in (1\.5|2\.0) s, a child in 0\.[45] s", found.reason.text("US"))
    hot = printed(found, r"set to (\d+) °F")
    standard = printed(found, r"(ASSE \d+)")
    valve = f'[water_heater.mixing_valve]\noutlet = "{hot} degF"\nstandard = "{standard}"\n'
    assert wrong(studied(f"{text}\n{valve}")) == {}


def test_valves_at_the_fixtures() -> None:
    text, found = hazard("1017-type valve alone")
    assert "ASSE 1017 alone" in found.reason.text("US")
    mended = edited(text, ("fixture_valves = false", "fixture_valves = true"))
    assert wrong(studied(mended)) == {}


@pytest.mark.parametrize(
    ("standard", "outlet", "status"),
    [
        ("ASSE 1017", "120", "pass"),
        ("ASSE 1017", "95", "caution"),
        ("ASSE 1070", "120", "caution"),
        ("ASSE 1016", "120", "caution"),
    ],
)
def test_what_the_mixing_valves_standard_covers(standard: str, outlet: str, status: str) -> None:
    text = edited(
        RIGHT,
        ('standard = "ASSE 1017"', f'standard = "{standard}"'),
        ('outlet = "120 degF"', f'outlet = "{outlet} degF"'),
        ('temperature = "110 degF"', 'temperature = "95 degF"'),
    )
    rule = "mixing-valve standard"
    assert wrong(studied(text)) == ({} if status == "pass" else {rule: status})
    if outlet != "120":
        least = printed(verdict(text, rule), r"set it to (\d+) °F")
        assert least == "105"


def test_times_before_and_after_the_valve() -> None:
    text = edited(RIGHT, ('"150 degF"', '"140 degF"'))
    told = verdict(text, "time to a burn").reason.text("US")
    # 140 degF: an adult 5 s, a child 1 s or so; 120 degF: 5 min, a quarter of it.
    assert re.search(r"140 °F burns an adult in 5\.0 s, a child in 1\.[0-3] s", told)
    assert re.search(r"120 °F burns an adult in 5\.0 min, a child in 7\d\.\d s", told)


def test_a_valve_set_too_hot() -> None:
    text = edited(RIGHT, ('outlet = "120 degF"', 'outlet = "130 degF"'))
    assert wrong(studied(text)) == {"mixing valve": "fail"}


class TestLukewarm:
    """Four modules leave a household's tank lukewarm, whatever its thermostat is set to."""

    SUNNY = edited(
        RIGHT,
        (
            "[water_heater.draw]\n",
            '[[water_heater.element]]\nposition = "upper"\nrated_power = "4500 W"\n'
            'rated_voltage = "240 V"\nfed_by = "grid"\nthermostat = "120 degF"\n'
            'thermostat_switches = "AC"\n\n[water_heater.draw]\nvolume = "60 gal"\n',
        ),
        (
            "[sun]\n",
            '[sun]\nmonthly = "2.4, 3.2, 4.3, 5.4, 5.9, 6.3, 6.1, 5.5, 4.7, 3.8, 2.7, 2.2 '
            'kWh/m2/day"\n',
        ),
    )

    def test_it_is_told_and_the_grid_clears_it(self) -> None:
        found = verdict(self.SUNNY, "storage temperature")
        assert found.status == "caution"
        assert "on 0 of 365 evenings" in found.reason.text("US")
        hot = printed(found, r"from the grid to ([0-9.]+) °F")
        assert hot == "140"
        mended = edited(self.SUNNY, ('thermostat = "120 degF"', f'thermostat = "{hot} degF"'))
        assert verdict(mended, "storage temperature").status == "pass"
