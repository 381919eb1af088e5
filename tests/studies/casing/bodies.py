"""Bodies side by side in a casing, and geometry of the tests' own."""

from __future__ import annotations

from wellsolar.results import Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.verdicts import Verdict

FOOT = 0.3048

SITE = """
[site]
note = "invented"
[well]
depth = "{well} ft"
static_level = "60 ft"
casing_bore = "{bore} in"
specific_capacity = "2 gpm/ft"
[piping]
pitless_depth = "4 ft"
[piping.drop_pipe]
material = "copper M"
size = "1/2 in"
[pressure_switch]
cut_in = "30 psi"
cut_out = "50 psi"
[limits]
casing_clearance = "{clearance} in"
[[pump]]
name = "first"
role = "existing"
intake_depth = "{first} ft"
flow = "0, 3, 6 gpm"
head = "420, 390, 300 ft"
diameter = "{d1} in"
length = "4 ft"
cable = {{ gauge = "12 AWG", diameter = "0.5 in" }}
[[pump]]
name = "second"
role = "backup"
intake_depth = "{second} ft"
flow = "0, 1, 2 gpm"
head = "420, 390, 300 ft"
diameter = "{d2} in"
length = "4 ft"
cable = {{ gauge = "12 AWG", diameter = "0.5 in" }}
"""

HAND = """
[hand_pump]
bore = "1 in"
stroke = "6 in"
cylinder_depth = "{cylinder} ft"
cylinder_diameter = "{d3} in"
cylinder_length = "4 ft"
rising_main = {{ material = "copper M", size = "1/2 in" }}
"""

USUAL = {
    "bore": 6.0, "clearance": 0.25, "first": 150, "second": 150, "d1": 3.0, "d2": 2.5,
    "cylinder": 150, "d3": 2.0, "well": 300,
}  # fmt: skip


def text_of(hand: bool = False, **changes: object) -> str:
    return (SITE + (HAND if hand else "")).format(**(USUAL | changes))


def studied(text: str) -> Results:
    return study_site(parse_site(text), ("pump",))


def fit(text: str) -> Verdict:
    found = [each for each in studied(text).verdicts if each.rule.key == "fits the casing"]
    assert len(found) == 1
    return found[0]
