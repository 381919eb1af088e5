"""A pump in a deep well, and its flow against a pressure by fluids and arithmetic.

Resistances are NEC Chapter 9 Table 8, stranded copper at 75 degC (second hand).
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import numpy as np
from CoolProp.CoolProp import PropsSI
from fluids.friction import friction_factor
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from wellsolar.results import Results
from wellsolar.results.pumps import PumpResult
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Case, study_site
from wellsolar.verdicts import Verdict, changes_of

G = 9.80665

GALLON = 3.785411784e-3

GPM = GALLON / 60

FOOT = 0.3048

INCH = 0.0254

PSI = 6894.757293168

BASE = """
[site]
note = "invented"
altitude = "2000 ft"
people = 3
[demand]
daily_use = "180 gal/day"
[well]
depth = "200 ft"
static_level = "60 ft"
specific_capacity = "0.8 gpm/ft"
tested_yield = "12 gpm"
casing_bore = "6 in"
water_temperature = "50 degF"
[piping]
pitless_depth = "0 ft"
tank_elevation = "10 ft"
[piping.drop_pipe]
material = "polyethylene SIDR"
size = "1 in"
[piping.lateral]
material = "polyethylene SIDR"
size = "1 in"
length = "100 ft"
[[piping.fittings]]
kind = "90 elbow"
count = 2
"""

SWITCH = """
[pressure_switch]
cut_in = "30 psi"
cut_out = "50 psi"
[pressure_tank]
volume = "{volume} gal"
precharge = "{precharge} psi"
"""

PUMP = """
[[pump]]
name = "pump"
role = "existing"
intake_depth = "150 ft"
flow = "0, 3, 6, 9, 12 gpm"
head = "300, 285, 250, 190, 100 ft"
power = "520, 640, 730, 790, 810 W"
voltage = "230 V"
"""

FLOWS = np.array([0, 3, 6, 9, 12]) * GPM

CURVE = PchipInterpolator(FLOWS, np.array([300, 285, 250, 190, 100]) * FOOT)

POWER = PchipInterpolator(FLOWS, np.array([520, 640, 730, 790, 810]))

KELVIN = 283.15

DENSITY = PropsSI("D", "T", KELVIN, "P", 101_325, "Water")

VISCOSITY = PropsSI("V", "T", KELVIN, "P", 101_325, "Water") / DENSITY


@cache
def two_wells() -> Case:
    """A jet pump on a cistern that a pump in each of two wells fills, studied once."""
    sites = Path(__file__).parents[2] / "sites"
    return Case(parse_site((sites / "two_wells.toml").read_text(encoding="utf-8")))


def studied(text: str, *parts: str, settings: Sequence[str] = ()) -> Results:
    return study_site(parse_site(text, settings=settings), parts or ("pump", "tank"))


def pump_of(text: str) -> PumpResult:
    return studied(text).pumps[0]


def verdict_of(
    text: str, rule: str, subject: str | None = None, settings: Sequence[str] = ()
) -> Verdict:
    found = [
        each
        for each in studied(text, settings=settings).verdicts
        if each.rule.key == rule and subject in (None, each.subject)
    ]
    assert len(found) == 1, rule
    return found[0]


def mended(text: str, verdict: Verdict) -> Verdict:
    """The same verdict with the changes that its remedy carries; nothing else gets to fail."""
    changes = [str(each) for each in changes_of(verdict.remedy)]
    assert changes, verdict.reason.text("US")
    failing = {
        (each.rule.key, each.subject) for each in studied(text).verdicts if each.status == "fail"
    }
    after = studied(text, settings=changes).verdicts
    now = {(each.rule.key, each.subject) for each in after if each.status == "fail"}
    assert now < failing or (now == failing and verdict.status != "fail"), now - failing
    return verdict_of(text, verdict.rule.key, verdict.subject, changes)


def printed(verdict: Verdict, pattern: str) -> str:
    match = re.search(pattern, verdict.remedy.text("US"))
    assert match is not None, verdict.remedy.text("US")
    return match[1]


def system_head(flow: float, pressure: float) -> float:
    """Head of the site above, by fluids and arithmetic [m]."""
    bore = 1.049 * INCH
    speed = flow / (math.pi / 4 * bore**2)
    velocity_head = speed**2 / (2 * G)
    friction = 0.0
    if flow > 0:
        factor = friction_factor(Re=speed * bore / VISCOSITY, eD=1.5e-6 / bore)
        friction = (factor * 250 * FOOT / bore + 2 * 0.9) * velocity_head
    drawdown = flow / (0.8 * GPM / FOOT)
    return 70 * FOOT + drawdown + friction + pressure / (DENSITY * G) + velocity_head


def flow_at(pressure: float) -> float:
    return float(
        brentq(lambda q: float(CURVE(q)) - system_head(q, pressure), 1e-9, FLOWS[-1], xtol=1e-12)
    )
