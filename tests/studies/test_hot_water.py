"""Hot water that no array or more than one heats: a battery's surplus, a second tank, two arrays.

What is expected stands on arithmetic of the test's own: Ohm's law, densities of a handbook, the
cooling of a warm body, the coefficient of a module's sheet.
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import Any

import pytest

from wellsolar.reports.links import places_of
from wellsolar.reports.tables.sections import sections
from wellsolar.results import Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.verdicts import Verdict

GALLON = 3.785411784e-3

SITE = """
# Invented for this test: no real house, well, pump or module.
[site]
name = "Hot water (invented)"
note = "Invented site."
latitude = "38 deg"
altitude = "2000 ft"

[well]
depth = "200 ft"
static_level = "80 ft"
water_temperature = "50 degF"

[pressure_switch]
cut_in = "40 psi"
cut_out = "60 psi"

[pressure_tank]
volume = "44 gal"
precharge = "38 psi"

[power]
inverter_voltage = "230 V"
inverter_rating = "6 kW"

[module]
voc = "49.3 V"
isc = "10.3 A"
vmp = "41.2 V"
imp = "9.71 A"
cells = 72
voc_coefficient = "-0.28 %/K"
isc_coefficient = "0.05 %/K"
"""
HEATER = """
[water_heater]
volume = "80 gal"
heat_loss = "1.5 W/K"
high_limit = "180 degF"
relief_temperature = "210 degF"
relief_pressure = "150 psi"
relief_capacity = "100000 Btu/h"
check_valve = true
expansion_tank = true
expansion_tank_volume = "6 gal"
expansion_tank_precharge = "60 psi"
above_fixtures = false
fixture_valves = true

[water_heater.mixing_valve]
outlet = "120 degF"
standard = "ASSE 1017"

[water_heater.draw]
temperature = "110 degF"

[sun]
record_low = "-18 degC"
"""
ELEMENT = """
[[water_heater.element]]
position = "{position}"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "{fed_by}"
thermostat = "{thermostat}"
"""
SECOND = """
[water_heater.second_tank]
volume = "40 gal"
heat_loss = "1.2 W/K"
rated_power = "4500 W"
thermostat = "140 degF"
high_limit = "170 degF"
relief_temperature = "210 degF"
relief_pressure = "150 psi"
relief_capacity = "30000 W"
"""
ARRAY = """
[[array]]
name = "{name}"
feeds = "heater"
series = {series}
parallel = {parallel}
tilt = "45 deg"
azimuth = "180 deg"
cable = {{ gauge = "10 AWG", length = "60 ft" }}
place = "roof"
isolator_voltage = "1000 V"
isolator_current = "32 A"
ground_fault_protection = true
arc_fault_protection = true
rapid_shutdown = true
"""


def edited(text: str, *changes: tuple[str, str]) -> str:
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        text = text.replace(old, new)
    return text


NO_VALVE = ('[water_heater.mixing_valve]\noutlet = "120 degF"\nstandard = "ASSE 1017"\n', "")


@cache
def studied(text: str) -> Results:
    return study_site(parse_site(text), ("heat",))


def verdict(text: str, rule: str, subject: str = "water heater") -> Verdict:
    found = [
        each for each in studied(text).verdicts if (each.rule.key, each.subject) == (rule, subject)
    ]
    assert len(found) == 1, f"{len(found)} verdicts on {rule} of {subject}"
    return found[0]


def wrong(text: str) -> dict[tuple[str, str], str]:
    """Whatever does not pass on safety, by its rule and subject."""
    return {
        (each.rule.key, each.subject): each.status
        for each in studied(text).verdicts
        if each.rule.safety and each.status != "pass"
    }


def printed(found: Verdict, pattern: str, system: Any = "US") -> str:
    assert found.remedy is not None
    match = re.search(pattern, found.remedy.text(system))
    assert match is not None, found.remedy.text(system)
    return match.group(1)


SURPLUS = (
    SITE + HEATER + ELEMENT.format(position="lower", fed_by="inverter", thermostat="150 degF")
)
TWO = (
    SITE
    + edited(HEATER, ('expansion_tank_volume = "6 gal"', 'expansion_tank_volume = "8 gal"'))
    + SECOND
    + ELEMENT.format(position="lower", fed_by="inverter", thermostat="120 degF")
)


class TestOnABatterysSurplus:
    def test_what_is_right_is_told_so_without_a_word_on_direct_current(self) -> None:
        assert wrong(SURPLUS) == {}
        asked = {each.rule.key for each in studied(SURPLUS).verdicts if each.rule.safety}
        assert asked == {
            "mixing valve", "mixing-valve standard", "scald protection at fixtures",
            "time to a burn", "storage temperature", "high limit", "relief valve",
            "relief capacity", "pressure at the relief valve", "boiling", "vacuum relief",
            "thermal expansion",
        }  # fmt: skip

    @pytest.mark.parametrize(
        ("rule", "change", "status"),
        [
            ("mixing valve", NO_VALVE, "fail"),
            ("high limit", ('high_limit = "180 degF"', 'high_limit = "145 degF"'), "fail"),
            ("high limit", ('high_limit = "180 degF"\n', ""), "unknown"),
            ("thermal expansion", ("expansion_tank = true", "expansion_tank = false"), "fail"),
            ("relief valve", ('"150 psi"', '"200 psi"'), "fail"),
            ("vacuum relief", ("above_fixtures = false", "above_fixtures = true\n"
             "vacuum_relief = false"), "fail"),
            ("storage temperature", ('"150 degF"', '"120 degF"'), "caution"),
        ],
    )  # fmt: skip
    def test_one_change_yields_its_hazard(
        self, rule: str, change: tuple[str, str], status: str
    ) -> None:
        text = edited(SURPLUS, change)
        assert wrong(text) == {(rule, "water heater"): status}
        found = verdict(text, rule)
        assert found.needs if status == "unknown" else found.remedy

    def test_the_relief_valve_carries_the_elements_at_the_inverters_voltage(self) -> None:
        tank = studied(SURPLUS).diverted_tank
        assert tank is not None
        # 240 V squared over 4500 W is 12.8 ohm; 230 V on it.
        assert tank.safety.heat_input == pytest.approx(230**2 / 12.8)
        assert tank.safety.array_input == 0.0
        small = edited(SURPLUS, ('"100000 Btu/h"', '"4100 W"'))
        assert wrong(small) == {("relief capacity", "water heater"): "fail"}
        assert "array" not in verdict(small, "relief capacity").reason.text("US")
        watts = printed(verdict(small, "relief capacity"), r"at least (\d+ W)", "SI")
        assert wrong(edited(small, ('"4100 W"', f'"{watts}"'))) == {}

    def test_a_week_without_by_the_exponential(self) -> None:
        tank = studied(SURPLUS).diverted_tank
        assert tank is not None
        # 80 gal of 8.2 lb and 1 Btu/(lb degF), 1.5 W/K, a room of 65 degF, from 150 degF.
        capacity = 80 * 8.17 * 0.45359 * 4186.8
        cool = 65 + 85 * math.exp(-1.5 * 7 * 86_400 / capacity)
        assert tank.dark_days[-1].idle_temperature * 1.8 + 32 == pytest.approx(cool, abs=1.0)

    def test_its_guards_stand_in_the_tables(self) -> None:
        keys = {each.key for each in sections(studied(SURPLUS))}
        assert {"tank_alone", "tank_guards"} <= keys
        assert "circuit_guards" not in keys


class TestSecondTank:
    """The taps draw from it: its thermostat can scald, and it wants guards of its own."""

    def test_what_is_right_is_told_so(self) -> None:
        # Of the first tank only that 120 degF is no storage: the second makes up for it.
        assert wrong(TWO) == {("storage temperature", "water heater"): "caution"}

    def test_its_thermostat_counts_for_the_taps(self) -> None:
        text = edited(TWO, NO_VALVE)
        found = verdict(text, "mixing valve")
        assert found.status == "fail"
        assert found.quantity == pytest.approx((140 - 32) / 1.8)
        assert verdict(TWO, "mixing valve").status == "pass"

    @pytest.mark.parametrize(
        ("rule", "key", "right", "bad"),
        [
            ("high limit", "high_limit", "170 degF", "138 degF"),
            ("relief valve", "relief_temperature", "210 degF", None),
            ("relief valve", "relief_pressure", "150 psi", None),
            ("relief capacity", "relief_capacity", "30000 W", "4400 W"),
        ],
    )
    def test_guards_of_its_own(self, rule: str, key: str, right: str, bad: str | None) -> None:
        mine = (rule, "second tank")
        line = f'{key} = "{right}"\n'
        without = TWO.replace(SECOND, SECOND.replace(line, ""))
        assert wrong(without)[mine] == "unknown"
        assert verdict(without, *mine).needs == (f"water_heater.second_tank.{key}",)
        assert mine not in wrong(TWO)
        if bad is not None:
            text = TWO.replace(SECOND, SECOND.replace(line, f'{key} = "{bad}"\n'))
            assert wrong(text)[mine] == "fail"
            assert verdict(text, *mine).remedy is not None

    def test_a_cool_one_is_no_storage_and_the_remedy_mends_it(self) -> None:
        cool = TWO.replace(SECOND, SECOND.replace('"140 degF"', '"120 degF"'))
        found = verdict(cool, "storage temperature", "second tank")
        assert found.status == "caution"
        hot = printed(found, r"thermostat to (\d+) °F")
        mended = TWO.replace(SECOND, SECOND.replace('"140 degF"', f'"{hot} degF"'))
        assert verdict(mended, "storage temperature", "second tank").status == "pass"

    def test_the_water_of_both_expands(self) -> None:
        # Pounds per gallon at 60 psi: 8.3446 at 50 degF, 8.0999 at 180 and 8.1317 at 170 degF
        # (IAPWS-95).
        grown = 80 * (8.3446 / 8.0999 - 1) + 40 * (8.3446 / 8.1317 - 1)
        tank = studied(TWO).diverted_tank
        assert tank is not None
        assert tank.safety.pressure.expansion / GALLON == pytest.approx(grown, rel=0.005)
        assert "the water of both tanks" in verdict(TWO, "thermal expansion").reason.text("US")

    def test_the_weaker_relief_valve_limits_the_expansion(self) -> None:
        weak = TWO.replace(SECOND, SECOND.replace('"150 psi"', '"75 psi"'))
        assert wrong(weak)[("thermal expansion", "water heater")] == "fail"
        found = verdict(weak, "thermal expansion")
        assert found.limit == pytest.approx(0.9 * 75 * 6894.757, rel=1e-6)
        volume = printed(found, r"at least ([\d.]+ gal)")
        mended = edited(weak, ('expansion_tank_volume = "8 gal"',
                               f'expansion_tank_volume = "{volume}"'))  # fmt: skip
        assert ("thermal expansion", "water heater") not in wrong(mended)

    def test_its_guards_stand_in_the_tables(self) -> None:
        assert "second_tank_guards" in {each.key for each in sections(studied(TWO))}


def on_arrays(
    series: int, fed_by: str = "east", switches: str = "relay", parallel: int = 1
) -> str:
    """A heater with two elements on modules, and guards for the first."""
    made = SITE + HEATER + ARRAY.format(name="south", series=4, parallel=1)
    made += ARRAY.format(name="east", series=series, parallel=parallel)
    for position, array, how in (("lower", "south", "relay"), ("upper", fed_by, switches)):
        made += ELEMENT.format(position=position, fed_by=array, thermostat="150 degF")
        made += f'thermostat_switches = "{how}"\nswitch_voltage = "300 V"\n'
    return made


class TestTwoArrays:
    """Each array carries direct current of its own, and each is judged."""

    def test_what_is_right_is_told_so(self) -> None:
        assert wrong(on_arrays(4)) == {}
        subjects = {
            (each.rule.key, each.subject)
            for each in studied(on_arrays(4)).verdicts
            if each.status == "pass"
        }
        for rule in ("isolator", "pv overcurrent", "ground fault", "arc fault", "rapid shutdown",
                     "cold open-circuit voltage", "pv conductor", "voltage drop"):  # fmt: skip
            assert {(rule, "south"), (rule, "east")} <= subjects
        assert ("thermostat on direct current", "thermostat of element 2") in subjects
        assert ("element load", "element 2") in subjects

    def test_the_second_arrays_voltage_in_the_cold(self) -> None:
        text = on_arrays(6)
        found = verdict(text, "cold open-circuit voltage", "east")
        assert found.status == "fail"
        # By the sheet 43 K below 25 degC; NEC Table 690.7(A) (second hand) has 1.18 for -18 degC,
        # which is more and counts.
        cold = 6 * 49.3 * (1 + 0.0028 * 43)
        assert found.quantity is not None
        assert found.quantity == pytest.approx(max(cold, 6 * 49.3 * 1.18), rel=1e-6)
        assert verdict(text, "cold open-circuit voltage", "south").status == "pass"
        most = int(printed(found, r"no more than (\d+) modules"))
        assert most == 5
        mended = on_arrays(most)
        assert verdict(mended, "cold open-circuit voltage", "east").status == "pass"

    def test_the_second_thermostat(self) -> None:
        found = verdict(
            on_arrays(4, switches="AC"), "thermostat on direct current", "thermostat of element 2"
        )
        assert found.status == "fail"
        assert found.remedy is not None

    def test_the_second_element_bears_its_array(self) -> None:
        # Two rows drive up to 2 x 12.9 A into 12.8 ohm: 330 V, where the plate says 240 V.
        named = ("element load", "element 2")
        found = verdict(on_arrays(9, parallel=2), *named)
        assert found.status == "fail"
        assert found.quantity is not None
        assert found.quantity == pytest.approx(2 * 10.3 * 1.25 * 12.8, rel=0.05)
        most = int(printed(found, r"no more than (\d+) modules in series"))
        assert verdict(on_arrays(most, parallel=2), *named).status == "pass"
        assert verdict(on_arrays(most + 1, parallel=2), *named).status == "fail"

    def test_an_array_that_feeds_two_elements_is_judged_once(self) -> None:
        results = studied(on_arrays(4, fed_by="south"))
        isolators = [each.subject for each in results.verdicts if each.rule.key == "isolator"]
        assert isolators == ["south"]
        named = [(each.rule.key, each.subject) for each in results.verdicts]
        assert len(named) == len(set(named))

    def test_one_that_could_not_boil_the_tank_alone_is_no_comfort_beside_another(self) -> None:
        # One module is too little to boil 80 gal, and says nothing of a second array's heat.
        small = "series = 4\nparallel = 1"
        alone = SITE + HEATER + ARRAY.format(name="south", series=1, parallel=1)
        alone += ELEMENT.format(position="lower", fed_by="south", thermostat="150 degF")
        alone = edited(alone, ('high_limit = "180 degF"\n', ""))
        assert verdict(alone, "overheating").status == "pass"
        both = edited(on_arrays(4), ('high_limit = "180 degF"\n', ""))
        both = both.replace(small, "series = 1\nparallel = 1", 1)
        found = verdict(both, "overheating")
        assert found.status == "fail"
        assert "the arrays together" in found.reason.text("US")
        left_out = {each.path: each.value for each in studied(both).assumptions}
        assert left_out["water_heater.element[2].fed_by"] == "east"

    def test_both_stand_in_the_tables(self) -> None:
        keys = [each.key for each in sections(studied(on_arrays(4)))]
        assert {"circuit_guards", "circuit_guards_2"} <= set(keys)
        assert len(keys) == len(set(keys))


def test_a_relief_valve_of_zero_degrees_is_one_that_was_told() -> None:
    text = edited(
        on_arrays(4), ('relief_temperature = "210 degF"', 'relief_temperature = "0 degC"')
    )
    tank = studied(text).heated_tank
    assert tank is not None
    assert tank.nobody_home is not None
    assert tank.nobody_home.relief == 0.0
    assert wrong(text)[("high limit", "water heater")] == "fail"


@pytest.mark.parametrize(
    ("rule", "subject", "section"),
    [
        ("isolator", "south", "circuit_guards"),
        ("isolator", "east", "circuit_guards_2"),
        ("element load", "element", "heater_array"),
        ("element load", "element 2", "circuit_guards_2"),
        ("thermostat on direct current", "thermostat of element 2", "circuit_guards_2"),
        ("voltage drop", "east", "circuit_guards_2"),
        ("high limit", "water heater", "tank_guards"),
        ("high limit", "second tank", "second_tank_guards"),
        ("storage temperature", "second tank", "second_tank_guards"),
    ],
)
def test_a_report_leads_to_the_numbers_of_what_is_judged(
    rule: str, subject: str, section: str
) -> None:
    text = on_arrays(4) + SECOND
    results = studied(text)
    keys = [each.key for each in sections(results)]
    assert places_of(verdict(text, rule, subject), results, (), keys).section == section


def test_each_verdict_on_a_tank_of_surplus_has_its_numbers() -> None:
    results = studied(SURPLUS)
    assert results.diverted_tank is not None
    keys = [each.key for each in sections(results)]
    hot = [each for each in results.verdicts if each.subject == "water heater"]
    assert len(hot) > 8
    lost = [each.rule.key for each in hot if not places_of(each, results, (), keys).section]
    assert lost == []
