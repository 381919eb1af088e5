"""A heater done right, and what is said of its guards when a word of its file is changed."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from wellsolar.results import HeatSafety, Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.verdicts import Verdict

RIGHT = """
# Invented for this test: no real house, well, pump or module.
[site]
name = "A heater done right (invented)"
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

[[array]]
name = "hot water"
feeds = "heater"
series = 4
parallel = 1
tilt = "45 deg"
azimuth = "180 deg"
cable = { gauge = "10 AWG", length = "60 ft" }
place = "roof"
isolator_voltage = "1000 V"
isolator_current = "32 A"
ground_fault_protection = true
arc_fault_protection = true
rapid_shutdown = true

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

[[water_heater.element]]
position = "lower"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "hot water"
thermostat = "150 degF"
thermostat_switches = "relay"
switch_voltage = "1000 V"

[water_heater.draw]
temperature = "110 degF"

[sun]
temperature = "28, 31, 40, 50, 60, 68, 72, 71, 64, 52, 41, 31 degF"
record_low = "-18 degC"
"""

NO_VALVE = ('[water_heater.mixing_valve]\noutlet = "120 degF"\nstandard = "ASSE 1017"\n', "")


@cache
def studied(text: str) -> Results:
    return study_site(parse_site(text), ("heat",))


def edited(*changes: tuple[str, str], text: str = RIGHT) -> str:
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        text = text.replace(old, new)
    return text


def wrong(results: Results) -> dict[str, str]:
    """Whatever does not pass on safety, by its rule."""
    return {
        each.rule.key: each.status
        for each in results.verdicts
        if each.rule.safety and each.status != "pass"
    }


def verdict(text: str, rule: str) -> Verdict:
    found = [each for each in studied(text).verdicts if each.rule.key == rule]
    assert len(found) == 1, f"{len(found)} verdicts on {rule}"
    return found[0]


def safety(text: str) -> HeatSafety:
    tank = studied(text).heated_tank
    assert tank is not None
    return tank.safety


def printed(found: Verdict, pattern: str, system: Any = "US") -> str:
    assert found.remedy is not None
    match = re.search(pattern, found.remedy.text(system))
    assert match is not None, found.remedy.text(system)
    return match.group(1)


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
        "high limit", "fail", ('thermostat = "150 degF"', 'thermostat = "190 degF"'),
    ),
    "1017-type valve alone": (
        "scald protection at fixtures", "caution",
        ("fixture_valves = true", "fixture_valves = false"),
    ),
    "array that boils an empty house's tank": (
        "overheating", "fail", ('high_limit = "180 degF"\n', ""),
    ),
}  # fmt: skip
"""Hazard -> its rule, its status, and the one change that makes it."""


def hazard(name: str) -> tuple[str, Verdict]:
    rule, _, change = SEVEN[name]
    text = edited(change)
    return text, verdict(text, rule)
