"""Heaters on a battery's surplus, with a second tank, on two arrays."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from wellsolar.results import Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.verdicts import Verdict

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
