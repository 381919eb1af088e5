"""Sites in outages, and what a hand lifts in one, by arithmetic written out here.

The sites are invented. The rule of human power is Krendel's, as in the tests of the hand pump.
"""

from __future__ import annotations

import math

from scipy.optimize import brentq

from tests.site_texts import EXAMPLES
from wellsolar.results import Results
from wellsolar.results.outages import Fix, Outage, OutageResult
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.verdicts import Verdict

G = 9.80665

GALLON = 3.785411784e-3

LINKS = "water when one thing fails"

OWN = "water in an outage of the file"

HUT = """
[site]
people = 6
print_units = "SI"
[demand]
survival_use = "15 L/day"
daily_use = "600 L/day"
[well]
depth = "60 m"
casing_bore = "150 mm"
static_level = "20 m (18 m .. 26 m)"
specific_capacity = "20 L/min/m"
water_temperature = "11 degC"
[pressure_switch]
cut_in = "200 kPa"
cut_out = "300 kPa"
[[pump]]
name = "house pump"
role = "existing"
intake_depth = "45 m"
flow = "0, 10, 20, 30 L/min"
head = "110, 100, 80, 50 m"
power = "500, 600, 700, 750 W"
voltage = "230 V"
rated_power = "0.55 kW"
locked_rotor_current = "20 A"
"""

HAND = """
[hand_pump]
bore = "63.5 mm"
stroke = "125 mm"
lever_ratio = "8"
cylinder_depth = "24 m"
"""


def example(name: str) -> str:
    return (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")


def studied(text: str) -> Results:
    return study_site(parse_site(text), ("outage",))


def outages(text: str) -> OutageResult:
    found = studied(text).outages
    assert found is not None
    return found


def changed(text: str, *pairs: tuple[str, str]) -> str:
    for old, new in pairs:
        assert text.count(old) == 1, (old, text.count(old))
        text = text.replace(old, new)
    return text


def event(found: OutageResult, key: str) -> Outage:
    return next(each for each in found.outages if each.key == key)


def named(found: OutageResult, name: str) -> Outage:
    return next(each for each in found.outages if each.name == name)


def verdict(results: Results, rule: str) -> Verdict:
    found = [each for each in results.verdicts if each.rule.key == rule]
    assert len(found) == 1, [each.rule.key for each in results.verdicts]
    return found[0]


def with_fix(text: str, fix: Fix) -> str:
    """The file as its reader would write the change into it."""
    for change in fix.changes:
        head, _, key = change.path.rpartition(".")
        name, _, number = head.partition("[")
        mark = f"[[{name}]]" if number else f"[{name}]"
        place = int(number.removesuffix("]")) - 1 if number else 0
        parts = text.split(mark + "\n")
        if len(parts) == 1:
            text += f"\n{mark}\n{key} = {change.value}\n"
            continue
        own, bracket, rest = parts[place + 1].partition("\n[")
        lines = [each for each in own.split("\n") if not each.startswith(f"{key} = ")]
        parts[place + 1] = f"{key} = {change.value}\n" + "\n".join(lines) + bracket + rest
        text = (mark + "\n").join(parts)
    return text


def rule_of_power(minutes: float) -> float:
    """Krendel's rule at the age of 35, 80 % of it by arms, from 4 to 480 minutes [W]."""
    within = min(max(minutes, 4.0), 480.0)
    return 0.80 * 745.7 * (0.35 - 0.092 * math.log10(within))


def litres_a_minute(watts: float, head: float, per_metre: float, most: float) -> float:
    """What a power at the handle lifts, 80 % of it into the rod and 90 % of that staying up.

    rho g Q (head + Q / per_metre) = 0.72 P, no more than the strokes move; rho = 999 kg/m3.
    """
    lifted = 0.72 * watts / (999.0 * G) * 60_000
    flow = per_metre / 2 * (math.sqrt(head**2 + 4 * lifted / per_metre) - head)
    return min(flow, most)


def minutes(litres: float, head: float, per_metre: float, most: float) -> float:
    """The time for which one person keeps up just the power that it asks for."""

    def short(time: float) -> float:
        return litres / litres_a_minute(rule_of_power(time), head, per_metre, most) - time

    if short(4.0) <= 0.0:
        return litres / litres_a_minute(rule_of_power(4.0), head, per_metre, most)
    return float(brentq(short, 4.0, 480.0))
