"""What people want who ask for a design: sites with only some of their tables, all invented."""

from __future__ import annotations

import random
import re
from functools import cache

from tests.site_texts import MODULE
from wellsolar.results.sizing import SizingResult
from wellsolar.site.loading.read import parse_part
from wellsolar.studies.case import size_site

BEFORE_THE_VISIT = """\
# What an installer knows before the visit; no pump is chosen yet.
[site]
people = 4
latitude = "38 deg"
[demand]
daily_use = "300 gal/day"   # by the meter
peak_flow = "6 gpm"
[well]
depth = "340 ft"
static_level = "140 ft"
tested_yield = "5 gpm"
tested_pumping_level = "210 ft"
[pressure_switch]
cut_in = "30 psi"
cut_out = "50 psi"
[pressure_tank]
volume = "44 gal"
"""

POOR_WELL = """\
[site]
people = 5
latitude = "-34 deg"
altitude = "1400 m"
print_units = "SI"
[well]
depth = "62 m"
static_level = "18 m"
tested_yield = "6 L/min"
tested_pumping_level = "41 m"
[pressure_switch]
cut_in = "2.0 bar"
cut_out = "3.5 bar"
"""
"""Gives less than the peak: a tank and a second pump stand between."""

DUG_WELL = """\
[site]
people = 2
[well]
depth = "28 ft"
static_level = "9 ft"
tested_yield = "12 gpm"
tested_pumping_level = "14 ft"
"""

DEEP_WELL = """\
[site]
people = 3
[well]
depth = "560 ft"
static_level = "380 ft"
tested_yield = "9 gpm"
tested_pumping_level = "430 ft"
[pressure_switch]
cut_in = "40 psi"
cut_out = "60 psi"
"""
"""Deeper than the trade hangs pumps on polyethylene."""

_SUN = """\
[sun]
monthly = "{sun} kWh/m2/day"
temperature = "{air} degC"
record_low = "-12 degC"
"""
_HALVES = ("2.4, 3.2, 4.3, 5.4, 5.9, 6.3", "6.1, 5.5, 4.7, 3.8, 2.7, 2.2")
_AIR = ("3, 5, 10, 14, 19, 23", "25, 24, 21, 15, 10, 5")
NORTH_SUN = _SUN.format(sun=", ".join(_HALVES), air=", ".join(_AIR))
SOUTH_SUN = _SUN.format(sun=", ".join(_HALVES[::-1]), air=", ".join(_AIR[::-1]))
"""The sun of a year some 36 degrees from the equator."""

ON_THE_SUN = (
    DEEP_WELL.replace("people = 3", 'people = 3\nlatitude = "-36 deg"')
    + """\
[power]
grid = false
"""
    + MODULE
    + """\
[sun]
monthly = "6.4, 5.6, 4.6, 3.4, 2.4, 2.0, 2.2, 2.9, 3.9, 5.0, 5.9, 6.4 kWh/m2/day"
temperature = "22, 21, 19, 15, 11, 8, 8, 9, 12, 15, 18, 20 degC"
record_low = "-4 degC"
"""
)
"""Off the grid, south of the equator, with modules to buy."""

POOR_ON_THE_SUN = ON_THE_SUN.replace('"9 gpm"', '"0.8 gpm"').replace("people = 3", "people = 5")
"""The same on a well that gives less than the peak: two pumps and a tank without the grid."""

TANK_ON_A_HILL = ON_THE_SUN.replace(
    '[pressure_switch]\ncut_in = "40 psi"\ncut_out = "60 psi"\n',
    '[storage_tank]\nvolume = "800 gal"\nelevation = "60 ft"\n'
    'gravity_line = { material = "polyethylene SIDR", size = "1 1/2 in", length = "200 ft" }\n',
)
"""The same with a tank above the house, from which water runs down."""

SITES = {
    "before the visit": BEFORE_THE_VISIT, "poor well": POOR_WELL, "dug well": DUG_WELL,
    "deep well": DEEP_WELL, "on the sun": ON_THE_SUN, "tank on a hill": TANK_ON_A_HILL,
}  # fmt: skip


@cache
def designed(text: str) -> SizingResult:
    """The design of a site, made once for all tests."""
    return size_site(parse_part(text, "site.toml"))


def in_any_season(text: str, seed: int) -> str:
    """Needs whose water at rest stands at times up to two fifths higher than they say."""
    share = random.Random(seed).uniform(0.6, 0.95)
    return re.sub(
        r'static_level = "([\d.]+) (\w+)"',
        lambda told: (
            f'static_level = "{share * float(told[1]):.3g} {told[2]} .. {told[1]} {told[2]}"'
        ),
        text,
    )


def random_needs(seed: int) -> str:
    """A site of any depth, yield and household, in either system of units and hemisphere."""
    dice = random.Random(seed)
    metric = dice.random() < 0.5
    depth = 10.0 * 25.0 ** dice.random()
    static = depth * dice.uniform(0.05, 0.85)
    people = dice.randint(1, 12)

    def length(metres: float) -> str:
        return f"{metres:.1f} m" if metric else f"{metres / 0.3048:.0f} ft"

    def flow(gpm: float) -> str:
        return f"{gpm * 3.785:.2f} L/min" if metric else f"{gpm:.2f} gpm"

    lines = [
        "[site]", f"people = {people}",
        f'latitude = "{dice.choice([-1, 1]) * dice.uniform(5, 54):.1f} deg"',
        f'altitude = "{dice.uniform(0, 3000):.0f} m"',
        f'print_units = "{"SI" if metric else "US"}"',
        "[well]", f'depth = "{length(depth)}"', f'static_level = "{length(static)}"',
    ]  # fmt: skip
    if dice.random() < 0.8:
        lines.append(f'tested_yield = "{flow(0.2 * 100.0 ** dice.random())}"')
        if dice.random() < 0.9:
            level = length(dice.uniform(static + 0.03 * depth, 0.95 * depth))
            lines.append(f'tested_pumping_level = "{level}"')
    asked = []
    if dice.random() < 0.5:
        asked.append(f'daily_use = "{people * dice.uniform(110, 380):.0f} L/day"')
    if dice.random() < 0.5:
        asked.append(f'peak_flow = "{flow(dice.uniform(2, 15))}"')
    lines += ["[demand]", *asked] if asked else []
    if dice.random() < 0.5:
        cut_in, cut_out = ("2.8 bar", "4.1 bar") if metric else ("40 psi", "60 psi")
        lines += ["[pressure_switch]", f'cut_in = "{cut_in}"', f'cut_out = "{cut_out}"']
    if dice.random() < 0.3:
        lines += ["[piping]", f'tank_elevation = "{length(dice.uniform(-5, 20))}"']
        lines += ["[piping.lateral]", f'length = "{length(dice.uniform(5, 300))}"']
    return "\n".join(lines) + "\n"
