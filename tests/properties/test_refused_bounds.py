"""Bounds that functions of the physics state: at each end they answer, beyond it they refuse."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import pytest

from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module, module_fit, resistive, string_layouts
from wellsolar.physics.hand import human_power
from wellsolar.physics.hydraulics import pipe, pump, suction
from wellsolar.physics.sun import days, position, rule_of_thumb, synthetic_year, tilted_plane, year
from wellsolar.physics.supply import ranking
from wellsolar.physics.tank import insulation, overheating, stratified

DAYS = {
    "latitude": 40.0, "altitude": 300.0, "day": np.array([80.0]),
    "air_temperatures": np.array([15.0]), "step": 3600.0, "linke_turbidity": 3.0,
    "daily_temperature_range": 10.0, "wind_speed": 1.0,
}  # fmt: skip
MADE = {
    "latitude": 40.0, "altitude": 300.0, "part": 0.7, "monthly_temperatures": np.full(12, 10.0),
}  # fmt: skip
PARAMETERS = module_fit.fit_five_parameters(
    module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.12, 0.005)
)
SHEET = {
    "open_circuit_voltage": 40.0, "short_circuit_current": 10.0, "maximum_power_voltage": 32.0,
    "maximum_power_current": 9.2, "cells_in_series": 60, "voltage_coefficient": -0.12,
    "current_coefficient": 0.005,
}  # fmt: skip
LEVEL = year.steps_of_days(40.0, np.array([80.0]), 3600.0)


def set_in(where: dict[str, Any], function: Callable[..., Any], key: str) -> Callable[..., Any]:
    """A function of one of its parts, the others as they are there."""

    def call(value: float) -> Any:
        like = where[key]
        given = np.full(like.shape, value) if isinstance(like, np.ndarray) else value
        return function(**{**where, key: given})

    return call


def none_short(rows: Sequence[int], _: Sequence[int]) -> list[int]:
    """No day is short, whatever the modules."""
    return [0 for _ in rows]


def of_days(key: str) -> Callable[..., Any]:
    return set_in(DAYS, days.cloudless_days, key)


def of_sheet(key: str) -> Callable[..., Any]:
    """Whether a sheet is one of a module at all, before anything is fitted to it."""
    return set_in(SHEET, lambda **rating: module_fit._check(module.ModuleRating(**rating)), key)


BOUNDS: dict[str, tuple[Callable[..., Any], float | None, float | None]] = {
    "latitude of a clear day": (of_days("latitude"), -72.0, 72.0),
    "altitude of a clear day": (of_days("altitude"), -500.0, 6000.0),
    "air of a clear day": (of_days("air_temperatures"), -60.0, 60.0),
    "swing of a day": (of_days("daily_temperature_range"), 0.0, 50.0),
    "turbidity of a clear day": (of_days("linke_turbidity"), 1.0, 10.0),
    "wind of a clear day": (of_days("wind_speed"), 0.0, 50.0),
    "latitude of hours": (lambda x: year.hours_of_year(x), -90.0, 90.0),
    "longitude": (lambda x: year.hours_of_year(40.0, x), -180.0, 180.0),
    "time zone": (lambda x: year.hours_of_year(40.0, 0.0, x), -12.0, 14.0),
    "days of a year": (lambda x: year.hours_of_year(40.0, 0.0, 0.0, int(x)), 365, 366),
    "day of steps": (lambda x: year.steps_of_days(40.0, np.array([x]), 3600.0), 1.0, 365.0),
    "month": (lambda x: position.average_day(int(x)), 1, 12),
    "height of the skyline": (
        lambda x: tilted_plane.height_towards(np.array([0.0, x]), np.array([10.0])), 0.0, 90.0,
    ),
    "peak sun hours": (
        lambda x: rule_of_thumb.array_power_by_rule_of_thumb(3.6e6, x, 0.7), 1e-6, 24.0,
    ),
    "derate": (lambda x: rule_of_thumb.array_power_by_rule_of_thumb(3.6e6, 4.0, x), 1e-6, 1.0),
    "persistence of days": (
        lambda x: synthetic_year.days_in_order(np.random.RandomState(1), x), 0.0, 0.9,
    ),
    "cells": (lambda x: module.at_conditions(PARAMETERS, 500.0, x), -90.0, 150.0),
    "irradiance": (lambda x: module.at_conditions(PARAMETERS, x, 25.0), 0.0, None),
    "modules in series": (
        lambda x: module.array_of(module.at_conditions(PARAMETERS, 500.0, 25.0), int(x), 1),
        1, None,
    ),
    "strings": (
        lambda x: module.array_of(module.at_conditions(PARAMETERS, 500.0, 25.0), 1, int(x)),
        1, None,
    ),
    "cable on a resistance": (
        lambda x: resistive.on_resistance(module.at_conditions(PARAMETERS, 500.0, 25.0), 5.0, x),
        0.0, None,
    ),
    # Of 40 V and 10 A: a quarter to 99 % and 99.9 % at the greatest power; -1 to -0.05 %/K of the
    # voltage, 0.1 %/K of the current.
    "voltage at the greatest power": (of_sheet("maximum_power_voltage"), 10.0, 39.6),
    "current at the greatest power": (of_sheet("maximum_power_current"), 2.5, 9.99),
    "slope of the voltage": (of_sheet("voltage_coefficient"), -0.4, -0.02),
    "slope of the current": (of_sheet("current_coefficient"), -0.1, 0.1),
    "age": (lambda x: human_power.sustained_power(3600.0, x), 20.0, 60.0),
    "time of an effort": (lambda x: human_power.sustained_power(x), 240.0, 28_800.0),
    "altitude": (lambda x: suction.atmospheric_pressure(x), -500.0, 11_000.0),
    "energy factor": (
        lambda x: insulation.heat_loss_from_uniform_energy_factor(x, 0.2), None, 1.0,
    ),
    "pressure of boiling": (lambda x: overheating.boiling_temperature(x), 611.213, 22.064e6),
    "height of an element": (lambda x: stratified.Tank(0.2, 10, 1.5, x), 0.0, 1.0),
    "loss coefficient": (lambda x: pipe.fitting_loss(1e-3, 0.02, x), 0.0, None),
    "most modules looked at": (
        lambda x: ranking.smallest_arrays(none_short, 1, int(x)), 1, 1_000_000,
    ),
    "counts looked at in a round": (
        lambda x: ranking.smallest_arrays(none_short, 1, 9, probes=int(x)),
        1, 1_000_000,
    ),
    "modules of a layout": (lambda x: string_layouts.layouts_up_to(int(x), 1, 1), 1, 10_000),
    "modules in a string": (lambda x: string_layouts.layouts_up_to(1, int(x), 1), 1, 10_000),
    "strings of a layout": (lambda x: string_layouts.layouts_up_to(1, 1, int(x)), 1, 10_000),
}  # fmt: skip


UNITS = (
    "",
    "deg",
    "m",
    "days",
    "degC",
    "K",
    "s",
    "m/s",
    "h",
    "W/m2",
    "V",
    "A",
    "V/K",
    "A/K",
    "ohm",
    "years",
    "Pa",
    "of the height",
)
"""That these bounds are in; no quantity is called like one."""


@pytest.mark.parametrize("name", BOUNDS)
def test_ends_are_answered_and_what_is_beyond_refused(name: str) -> None:
    call, low, high = BOUNDS[name]
    whole = isinstance(low, int)
    for end, outward in ((low, -1.0), (high, 1.0)):
        if end is None:
            continue
        call(end)
        beyond = end + outward * (1 if whole else max(1e-3 * abs(end), 1e-9))
        with pytest.raises(OutOfRange) as refused:
            call(beyond)
        quantity, _, told = str(refused.value).partition(" is ")
        assert quantity not in UNITS
        assert re.match(rf"\S+( ({'|'.join(filter(None, UNITS))}))?, allowed is ", told), told
    with pytest.raises((OutOfRange, ValueError)):
        call(float("nan"))


@pytest.mark.parametrize(
    ("flows", "values"), [((0.0, 1.0), (1.0,)), ((0.0,), (1.0,)), ((0.0,), (1.0, 2.0)), ((), ())]
)
def test_a_curve_of_less_than_two_points_or_of_lists_unlike_is_refused(
    flows: tuple[float, ...], values: tuple[float, ...]
) -> None:
    with pytest.raises(OutOfRange, match=f"given are {len(flows)} flows and {len(values)} values"):
        pump.interpolate_curve(flows, values, 0.0)
    assert pump.interpolate_curve((0.0, 1.0), (1.0, 3.0), 0.5) == pytest.approx(2.0)
