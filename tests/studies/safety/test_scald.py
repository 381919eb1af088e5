"""Mixing valve, its standard and burns, against published times."""

from __future__ import annotations

import pytest

from tests.site_texts import edited, printed
from tests.studies.safety.sites import NO_VALVE, RIGHT, hazard, mended, studied, verdict, wrong
from wellsolar.verdicts import changes_of


def test_a_mixing_valve_and_what_water_of_150_degf_does() -> None:
    text, found = hazard("no mixing valve at 150 degF")
    # Third-degree burns at 150 degF: 2 s (federal consumer-safety figures), 1.5 s (hospital
    # chart), in whole seconds on the safe side; a child in a quarter of it.
    assert "an adult in 1 s, a child in less than 1 s" in found.reason.text("US")
    mended(text, found)
    hot = printed(found, r"set to (\d+) °F")
    standard = printed(found, r"(ASSE \d+)")
    valve = f'[water_heater.mixing_valve]\noutlet = "{hot} degF"\nstandard = "{standard}"\n'
    assert wrong(studied(f"{text}\n{valve}")) == {}


def test_valves_at_the_fixtures() -> None:
    text, found = hazard("1017-type valve alone")
    assert "ASSE 1017 alone" in found.reason.text("US")
    right = edited(text, ("fixture_valves = false", "fixture_valves = true"))
    assert wrong(studied(right)) == {}
    mended(text, found)


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
    # Of other standards no hottest supply is known.
    open_supply = {} if "1017" in standard else {"mixing-valve supply": "unknown"}
    expected = {} if status == "pass" else {rule: status}
    assert wrong(studied(text)) == expected | open_supply
    if status != "pass":
        mended(text, verdict(text, rule))
    if outlet != "120":
        least = printed(verdict(text, rule), r"set it to (\d+) °F")
        assert least == "105"


def test_times_before_and_after_the_valve() -> None:
    text = edited(RIGHT, ('"150 degF"', '"140 degF"'))
    told = verdict(text, "time to a burn").reason.text("US")
    # 140 degF: an adult 5 s, a child 1 s or so; 120 degF: 5 min, a quarter of it.
    assert "140 °F burns an adult in 5 s, a child in 1 s" in told
    assert "120 °F burns an adult in 5 min, a child in 1 min" in told


def test_a_valve_set_too_hot() -> None:
    text = edited(RIGHT, ('outlet = "120 degF"', 'outlet = "130 degF"'))
    assert wrong(studied(text)) == {"mixing valve": "fail"}
    mended(text, verdict(text, "mixing valve"))


@pytest.mark.parametrize(("fixtures", "status"), [("true", "caution"), ("false", "fail")])
def test_a_thermostat_of_120_degf_is_no_control(fixtures: str, status: str) -> None:
    # UPC 408.3 (2015): the thermostat of a water heater is no control for the 120 degF.
    text = edited(
        RIGHT,
        NO_VALVE,
        ('"150 degF"', '"120 degF"'),
        ("fixture_valves = true", f"fixture_valves = {fixtures}"),
    )
    found = verdict(text, "mixing valve")
    assert found.status == status
    assert found.quantity == pytest.approx((180 - 32) / 1.8)
    assert "comes to 180 °F" in found.reason.text("US")
    assert mended(text, found).verdict("mixing-valve supply").status == "pass"


@pytest.mark.parametrize(
    ("limit", "setting", "more", "status"),
    [
        # ASSE 1017-2023, scope: supply 125 to 180 degF, 20 degF above the setting.
        ("180 degF", "140 degF", "", "pass"),
        ("182 degF", "140 degF", "", "caution"),
        ("180 degF", "139 degF", "", "caution"),
        ("180 degF", "140 degF", 'greatest_supply = "185 degF"', "pass"),
        ("180 degF", "140 degF", 'greatest_supply = "170 degF"', "fail"),
    ],
)
def test_what_the_mixing_valve_may_be_given(
    limit: str, setting: str, more: str, status: str
) -> None:
    text = edited(
        RIGHT,
        ('high_limit = "180 degF"', f'high_limit = "{limit}"'),
        ('"150 degF"', f'"{setting}"'),
        ('standard = "ASSE 1017"', f'standard = "ASSE 1017"\n{more}'),
    )
    found = verdict(text, "mixing-valve supply")
    assert found.status == status
    if status != "pass":
        mended(text, found)


@pytest.mark.parametrize(("lower", "upper", "hottest"), [(135, 120, 1), (125, 130, 2)])
def test_the_hottest_of_the_thermostats_is_set_hotter(
    lower: int, upper: int, hottest: int
) -> None:
    on_grid = (
        '[[water_heater.element]]\nposition = "upper"\nrated_power = "4500 W"\n'
        f'rated_voltage = "240 V"\nfed_by = "grid"\nthermostat = "{upper} degF"\n\n'
    )
    text = edited(
        RIGHT,
        ('"150 degF"', f'"{lower} degF"'),
        ("[water_heater.draw]\n", f"{on_grid}[water_heater.draw]\n"),
    )
    (change,) = changes_of(verdict(text, "mixing-valve supply").remedy)
    assert str(change) == f'water_heater.element[{hottest}].thermostat="140 degF"'


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
        right = edited(self.SUNNY, ('thermostat = "120 degF"', f'thermostat = "{hot} degF"'))
        assert verdict(right, "storage temperature").status == "pass"
        mended(self.SUNNY, found)
