"""A village's hand pump, against arithmetic written out here.

The wells are invented. Water at 11 degC has 999.6 kg/m3; steel rods 7850 kg/m3 and 200 GPa.
"""

from __future__ import annotations

from wellsolar.results import Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.verdicts import Verdict

G = 9.80665

WATER = 999.6

L_MIN = 1e-3 / 60

VILLAGE = """
[site]
people = 20
print_units = "SI"
[demand]
daily_use = "1000 L/day"
survival_use = "15 L/day"
[well]
depth = "70 m"
static_level = "40 m (38 m .. 46 m)"
specific_capacity = "15 L/min/m"
water_temperature = "11 degC"
[hand_pump]
bore = "63.5 mm"
stroke = "125 mm"
lever_ratio = "8"
rod_diameter = "12 mm"
cylinder_depth = "55 m"
spout_height = "0.5 m"
stroke_rate = "40 strokes/min"
volumetric_efficiency = "90 %"
mechanical_efficiency = "80 %"
person_age = 35
arm_factor = "80 %"
"""


def studied(text: str) -> Results:
    return study_site(parse_site(text), ("hand", "tank"))


def studied_with(text: str, settings: list[str]) -> Results:
    return study_site(parse_site(text, "village", settings), ("hand", "tank"))


def changed(text: str, *pairs: tuple[str, str]) -> str:
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def verdict(results: Results, rule: str) -> Verdict:
    found = [each for each in results.verdicts if each.rule.key == rule]
    assert len(found) == 1, [each.rule.key for each in results.verdicts]
    return found[0]
