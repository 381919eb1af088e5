"""Fill and level at a pump by scipy's integration.

The sites are invented. The head of the system is level, height of the tank and pressure over the
water's weight.
"""

from __future__ import annotations

from collections.abc import Callable

from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from wellsolar import kinds
from wellsolar.results.readings import ReadingResult
from wellsolar.site.loading.read import SiteFile
from wellsolar.studies.pump.study import pump_on_well

Make = Callable[..., SiteFile]

Read = Callable[..., list[ReadingResult]]

PSI, GALLON, FOOT, GPM = 6894.757, 3.785411784e-3, 0.3048, 3.785411784e-3 / 60

WEIGHT = 999.5 * 9.80665
"""Of a cubic metre of water at 13 degC [N], density from memory."""

FRUGAL = """[[pump]]
name = "frugal pump"
intake_depth = "170 ft"
flow = "0, 1, 2, 3, 4, 5 gpm"
head = "480, 440, 385, 310, 210, 90 ft"
power = "330, 385, 430, 460, 475, 480 W"
voltage = "230 V"
power_factor = "95 %"
"""

ROTOR = """[[pump]]
name = "rotor"
kind = "helical rotor"
intake_depth = "180 ft"
flow = "0, 3.0, 3.4, 3.8, 4.2 gpm"
head = "520, 420, 280, 140, 20 ft"
power = "900, 760, 580, 400, 240 W"
voltage = "400 V"
phases = 3
power_factor = "85 %"
"""


def flow_of(site: SiteFile, name: str, level_of: Callable[[float], float]) -> Callable[..., float]:
    """Flow at a pressure [Pa] with the water at a level that depends on the flow, by Brent."""
    index = [each.name for each in site.site.pump].index(name)
    table = site.site.pump[index]
    on_well = pump_on_well(site.site, table, f"pump[{index + 1}]")
    curve = PchipInterpolator([float(q) for q in table.flow], [float(h) for h in table.head])
    height = 8 * FOOT

    def lacks(flow: float, pressure: float) -> float:
        friction = on_well.line.friction_darcy(flow)
        return float(curve(flow) - level_of(flow) - height - pressure / WEIGHT - friction)

    return lambda pressure: brentq(lacks, 1e-9, float(table.flow[-1]), args=(pressure,))


def level_by(site: SiteFile) -> Callable[[float], float]:
    well = site.site.well
    rest, capacity = float(well.static_level), float(well.specific_capacity)
    return lambda flow: rest + flow / capacity


def only(found: list[ReadingResult], key: str) -> ReadingResult:
    (reading,) = [each for each in found if each.key == key]
    return reading


KINDS = {
    "drawdown": kinds.LENGTH, "flow": kinds.FLOW, "capacity": kinds.SPECIFIC_CAPACITY,
    "water": kinds.VOLUME, "head": kinds.HEAD, "pumping_level": kinds.LENGTH,
    "leak": kinds.DAILY_FLOW, "precharge": kinds.PRESSURE, "precharge_above": kinds.PRESSURE,
    "irradiance": kinds.IRRADIANCE, "cells": kinds.TEMPERATURE, "missing": kinds.RATIO,
    "power": kinds.POWER, "input_power": kinds.COMPUTED_POWER, "heat": kinds.ENERGY,
    "missing_heat": kinds.ENERGY, "tap_water": kinds.VOLUME,
    "off_setting": kinds.TEMPERATURE_DIFFERENCE, "burn_adult": kinds.DURATION,
    "burn_child": kinds.DURATION, "stroke": kinds.VOLUME,
}  # fmt: skip
"""What each implied value is."""


def implied(reading: ReadingResult, key: str) -> float:
    found = next(each.value for each in reading.implied if each.key == key)
    assert found.kind is KINDS[key.removeprefix("implied_")]
    return float(found)
