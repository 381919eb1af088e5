"""Heaters done right in many ways, and what is said of them with a word of their file changed.

All are invented: no real house, well, pump or module.
"""

from __future__ import annotations

from tests.site_texts import edited, studied_text
from wellsolar.results import Results
from wellsolar.results.heat_safety import HeatSafety
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.verdicts import Verdict, changes_of

HOUSE = """
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

[module]
voc = "49.3 V"
isc = "10.3 A"
vmp = "41.2 V"
imp = "9.71 A"
cells = 72
voc_coefficient = "-0.28 %/K"
isc_coefficient = "0.05 %/K"
"""
POWER = """
[power]
inverter_voltage = "230 V"
inverter_rating = "6 kW"
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
isolator_poles = 2
ground_fault_protection = true
arc_fault_protection = true
rapid_shutdown = true
"""
HEATER = """
[water_heater]
volume = "80 gal"
heat_loss = "1.5 W/K"
high_limit = "180 degF"
relief_temperature = "210 degF"
relief_pressure = "150 psi"
relief_capacity = "100000 Btu/h"
working_pressure = "150 psi"
check_valve = true
expansion_tank = true
expansion_tank_volume = "14 gal"
expansion_tank_precharge = "60 psi"
above_fixtures = false
vacuum_relief = true
fixture_valves = true

[water_heater.mixing_valve]
outlet = "120 degF"
standard = "ASSE 1017"
"""
ELEMENT = """
[[water_heater.element]]
position = "{position}"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "{fed_by}"
thermostat = "{thermostat}"
"""
BREAKS = """\
thermostat_switches = "{how}"
switch_voltage = "{volts} V"
switch_current = "32 A"
high_limit_switches = "DC"
high_limit_voltage = "{volts} V"
high_limit_current = "32 A"
high_limit_poles = 2
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
working_pressure = "150 psi"
"""
DRAW_AND_SUN = """
[water_heater.draw]
temperature = "110 degF"

[sun]
record_low = "-18 degC"
"""
RIGHT = (
    HOUSE
    + ARRAY.format(name="hot water", series=4, parallel=1)
    + HEATER
    + ELEMENT.format(position="lower", fed_by="hot water", thermostat="150 degF")
    + BREAKS.format(how="relay", volts=1000)
    + DRAW_AND_SUN
    + 'temperature = "28, 31, 40, 50, 60, 68, 72, 71, 64, 52, 41, 31 degF"\n'
)
"""One array on one element, with all its guards."""

SITE = HOUSE + POWER

NO_VALVE = ('[water_heater.mixing_valve]\noutlet = "120 degF"\nstandard = "ASSE 1017"\n', "")


def studied(text: str) -> Results:
    return studied_text(text, "heat")


def mended(text: str, found: Verdict) -> Results:
    """The site with the changes of a verdict's remedy made; none of the others may fail anew."""
    changes = [str(change) for change in changes_of(found.remedy)]
    assert changes, found
    results = study_site(parse_site(text, settings=changes), ("heat",))
    key = (found.rule.key, found.subject)
    after = {(each.rule.key, each.subject): each.status for each in results.verdicts}
    assert after[key] == "pass", (changes, results.verdict(*key))
    failed = {key for key, status in wrong_of(text).items() if status == "fail"}
    assert {key for key, status in after.items() if status == "fail"} <= failed, changes
    return results


def verdict(text: str, rule: str, subject: str = "") -> Verdict:
    """The only verdict by a rule, or that on a subject; of several, that on the water heater."""
    found = [each for each in studied(text).verdicts if each.rule.key == rule]
    if subject or len(found) > 1:
        found = [each for each in found if each.subject == (subject or "water heater")]
    assert len(found) == 1, f"{len(found)} verdicts on {rule} of {subject}"
    return found[0]


def wrong(results: Results) -> dict[str, str]:
    """Whatever does not pass on safety, by its rule."""
    return {
        each.rule.key: each.status
        for each in results.verdicts
        if each.rule.safety and each.status != "pass"
    }


def wrong_of(text: str) -> dict[tuple[str, str], str]:
    """Whatever does not pass on safety, by its rule and subject."""
    return {
        (each.rule.key, each.subject): each.status
        for each in studied(text).verdicts
        if each.rule.safety and each.status != "pass"
    }


def safety(text: str) -> HeatSafety:
    return studied(text).heated_tank.safety


SEVEN = {
    "AC thermostat on direct current": (
        "thermostat on direct current", "fail",
        ('thermostat_switches = "relay"', 'thermostat_switches = "AC"'),
    ),
    "no mixing valve at 150 degF": ("mixing valve", "fail", NO_VALVE),
    "check valve without expansion tank": (
        "thermal expansion", "fail",
        ("expansion_tank = true", "expansion_tank = false"),
    ),
    "twelve modules in series in a cold place": (
        "cold open-circuit voltage", "fail", ("series = 4", "series = 12"),
    ),
    "thermostat above high limit": (
        "high limit", "fail", ('thermostat = "150 degF"', 'thermostat = "180 degF"'),
    ),
    "1017-type valve alone": (
        "scald protection at fixtures", "caution",
        ("fixture_valves = true", "fixture_valves = false"),
    ),
    "array that boils an empty house's tank": (
        "overheating", "fail",
        ('thermostat = "150 degF"\nthermostat_switches', "thermostat_switches"),
    ),
}  # fmt: skip
"""Hazard -> its rule, its status, and the one change that makes it."""


def hazard(name: str) -> tuple[str, Verdict]:
    rule, _, change = SEVEN[name]
    text = edited(RIGHT, change)
    return text, verdict(text, rule)


def on_arrays(
    series: int, fed_by: str = "east", switches: str = "relay", parallel: int = 1
) -> str:
    """A heater with two elements on modules, and guards for the first."""
    made = SITE + HEATER + DRAW_AND_SUN + ARRAY.format(name="south", series=4, parallel=1)
    made += ARRAY.format(name="east", series=series, parallel=parallel)
    for position, array, how in (("lower", "south", "relay"), ("upper", fed_by, switches)):
        made += ELEMENT.format(position=position, fed_by=array, thermostat="150 degF")
        made += BREAKS.format(how=how, volts=300)
    return made
