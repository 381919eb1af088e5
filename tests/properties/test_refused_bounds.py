"""Bounds that functions of the physics state: at each end they answer, beyond it they refuse."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Callable, Sequence
from typing import Any
from unittest import mock

import numpy as np
import pytest
from scipy.special import exp1

from wellsolar.data.hot_water_tables import Draw, ElementRating
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import (
    best_resistance,
    connection,
    diversion,
    heating_element,
    module,
    module_fit,
    resistive,
    stock_elements,
    string_layouts,
)
from wellsolar.physics.hand import human_power
from wellsolar.physics.hydraulics import fill, pipe, pump, suction, water
from wellsolar.physics.sun import (
    clearness,
    days,
    position,
    rule_of_thumb,
    synthetic_year,
    tilted_plane,
    weather_files,
    year,
)
from wellsolar.physics.supply import battery, chain, ranking, stepper, storage
from wellsolar.physics.supply import year as supply_year
from wellsolar.physics.tank import events, insulation, overheating, screen, stratified
from wellsolar.physics.tank import ranking as tank_ranking
from wellsolar.physics.types import FloatArray
from wellsolar.physics.well import (
    casing_fit,
    level_in_time,
    pumped,
    pumping_tests,
    step_drawdown,
    tests_with_casing,
)

Bound = tuple[Callable[..., Any], float | None, float | None]


def none_short(rows: Sequence[int], _: Sequence[int]) -> list[int]:
    """No day is short, whatever the modules."""
    return [0 for _ in rows]


def up_to(next_refusal: str, call: Callable[..., Any]) -> Callable[..., Any]:
    """A call with something else amiss that is asked next: the work behind it is not done."""

    def asked(value: float) -> None:
        with pytest.raises(OutOfRange) as refused:
            call(value)
        if not str(refused.value).startswith(next_refusal):
            raise refused.value

    return asked


DAYS = {
    "latitude": 40.0, "altitude": 300.0, "day": np.array([80.0]),
    "air_temperatures": np.array([15.0]), "step": 3600.0, "linke_turbidity": 3.0,
    "daily_temperature_range": 10.0, "wind_speed": 1.0,
}  # fmt: skip
DAY = 86_400.0
MILD = np.full(12, 10.0)
DAY_OF_YEAR = np.array([80.0])
HOURS = year.steps_of_days(40.0, DAY_OF_YEAR, 3600.0)
SUNNY = year.HourlyYear(
    "one day",
    40.0,
    300.0,
    HOURS,
    *(np.full(24, part) for part in (400.0, 300.0, 100.0, 10.0, 1.0)),
)
ON_PLANE = {"tilt": 30.0, "azimuth": 180.0, "albedo": 0.2, "light_kept": 1.0}
LIGHT = tilted_plane.PlaneLight(*(np.array([part]) for part in (300.0, 100.0, 10.0, 20.0)))


def set_in(where: dict[str, Any], function: Callable[..., Any], key: str) -> Callable[..., Any]:
    """A function of one of its parts, the others as they are there."""

    def call(value: float) -> Any:
        like = where[key]
        given = np.full(like.shape, value) if isinstance(like, np.ndarray) else value
        return function(**{**where, key: given})

    return call


def of_days(key: str) -> Callable[..., Any]:
    return set_in(DAYS, days.cloudless_days, key)


def of_plane(key: str) -> Callable[..., Any]:
    return set_in(ON_PLANE, lambda **plane: year.on_plane(SUNNY, **plane), key)


def of_place(key: str) -> Callable[..., Any]:
    """Of where a year is made, before it is made: eleven parts are no year's."""
    place = {"latitude": 40.0, "altitude": 300.0, "wind_speed": 1.0}

    def made(**at: float) -> Any:
        return synthetic_year.year_from_clear_sky(
            clear_part=np.ones(11), monthly_temperatures=MILD, **at
        )

    return up_to("part of the clear sky has 11 values", set_in(place, made, key))


def of_a_typical_year(latitude: float) -> Any:
    """A file that says its place and has no numbers; to read 8760 true rows takes long."""
    import pandas as pd
    import pvlib

    names = ["Date (MM/DD/YYYY)", "Time (HH:MM)", *weather_files.TMY3_COLUMNS.values()]
    text = io.StringIO("\n".join(["", ",".join(names), *8760 * ["-"]]))
    place = {"latitude": latitude, "longitude": 0.0, "altitude": 0.0}
    read = pd.DataFrame({name: ["-"] for name in names}), place
    with mock.patch.object(pvlib.iotools, "read_tmy3", return_value=read):
        return weather_files.year_from_tmy3(text)


SUN: dict[str, Bound] = {
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
    "latitude of steps": (lambda x: year.steps_of_days(x, DAY_OF_YEAR, 3600.0), -90.0, 90.0),
    "day of steps": (lambda x: year.steps_of_days(40.0, np.array([x]), 3600.0), 1.0, 365.0),
    # Of an hour to a second; other lengths that are no part of a day are refused as such.
    "steps of a day": (lambda x: year.steps_of_days(40.0, np.array([]), DAY / x), 24, 86_400),
    "tilt": (of_plane("tilt"), 0.0, 90.0),
    "azimuth": (of_plane("azimuth"), 0.0, 360.0),
    "albedo": (of_plane("albedo"), 0.0, 1.0),
    "light kept": (of_plane("light_kept"), 0.0, 1.0),
    "shading": (
        lambda x: year.on_plane(SUNNY, 30.0, 180.0, shading=np.full(12, x)), 0.0, 1.0,
    ),
    "month": (lambda x: position.average_day(int(x)), 1, 12),
    "loss at an angle": (lambda x: tilted_plane.light_to_cells(LIGHT, 30.0, x), 0.0, 0.5),
    "heights of the skyline": (
        lambda x: tilted_plane.height_towards(np.zeros(int(x)), np.array([10.0])), 1, 3600,
    ),
    "height of the skyline": (
        lambda x: tilted_plane.height_towards(np.array([0.0, x]), np.array([10.0])), 0.0, 90.0,
    ),
    "peak sun hours": (
        lambda x: rule_of_thumb.array_power_by_rule_of_thumb(3.6e6, x, 0.7), 1e-6, 24.0,
    ),
    "derate": (lambda x: rule_of_thumb.array_power_by_rule_of_thumb(3.6e6, 4.0, x), 1e-6, 1.0),
    # Where k - 0.05 is 0.995 of 0.6313 + 0.267 k - 11.9 (k - 0.75)^8 - 0.05.
    "mean clearness": (
        lambda x: clearness.daily_clearness_quantile(x, 0.5), 0.1, 0.855731,
    ),
    "part of the days": (lambda x: clearness.daily_clearness_quantile(0.5, x), 0.0, 1.0),
    "latitude of a made year": (of_place("latitude"), -72.0, 72.0),
    "altitude of a made year": (of_place("altitude"), -500.0, 6000.0),
    "wind of a made year": (of_place("wind_speed"), 0.0, 50.0),
    "seed": (
        up_to(
            "monthly total has 11 values",
            lambda x: synthetic_year.year_from_monthly(40.0, 0.0, np.ones(11), MILD, int(x)),
        ),
        0, 4_294_967_295,
    ),
    "part of a clear sky": (
        up_to(
            "Linke turbidity is 0",
            lambda x: synthetic_year.year_from_clear_sky(40.0, 0.0, x, MILD, 0.0),
        ),
        0.0, 1.0,
    ),
    "turbidity of a made year": (
        lambda x: synthetic_year.year_from_clear_sky(40.0, 0.0, 1.0, MILD, x), 1.0, 10.0,
    ),
    "part of a clear month": (
        up_to(
            "latitude is 90 deg",
            lambda x: synthetic_year.year_from_clear_part(90.0, 0.0, x, MILD),
        ),
        0.0, 1.0,
    ),
    "persistence of days": (
        lambda x: synthetic_year.days_in_order(np.random.RandomState(1), x), 0.0, 0.9,
    ),
    "persistence of days drawn": (
        lambda x: synthetic_year.days_drawn(np.random.RandomState(1), x), 0.0, 0.9,
    ),
    "air of a month": (
        lambda x: synthetic_year.hourly_temperatures(np.full(12, x)), -60.0, 60.0,
    ),
    "swing of a month's days": (
        lambda x: synthetic_year.hourly_temperatures(MILD, x), 0.0, 50.0,
    ),
    "latitude of a typical year": (
        up_to('column "GHI (W/m^2)", row 3: "-" is not a number', of_a_typical_year), -90.0, 90.0,
    ),
    "altitude of a file": (
        up_to(
            'the file has no column "temperature"',
            lambda x: weather_files.year_from_csv(io.StringIO("ghi"), 40.0, x),
        ),
        -500.0, 9000.0,
    ),
}  # fmt: skip


PARAMETERS = module_fit.fit_five_parameters(
    module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.12, 0.005)
)
DIODE = module.at_conditions(PARAMETERS, 500.0, 25.0)
SHEET = {
    "open_circuit_voltage": 40.0, "short_circuit_current": 10.0, "maximum_power_voltage": 32.0,
    "maximum_power_current": 9.2, "cells_in_series": 60, "voltage_coefficient": -0.12,
    "current_coefficient": 0.005,
}  # fmt: skip
ELEMENT = ElementRating(120.0, 1500.0, "invented")


def checked(**sheet: Any) -> None:
    """Whether a sheet is one of a module at all, before anything is fitted to it."""
    module_fit._check(module.ModuleRating(**sheet))


def of_sheet(key: str) -> Callable[..., Any]:
    return set_in(SHEET, checked, key)


def of_sheets_in_proportion(first: str, *others: str) -> Callable[..., Any]:
    """Of sheets of which some numbers all grow with the first of them."""

    def call(value: float) -> None:
        times = value / SHEET[first]
        checked(**SHEET | {other: SHEET[other] * times for other in others} | {first: value})

    return call


def even(resistances: FloatArray) -> FloatArray:
    """The same power at any resistance, in one hour."""
    return np.ones((resistances.size, 1))


ARRAY: dict[str, Bound] = {
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
    "open-circuit voltage": (
        of_sheets_in_proportion(
            "open_circuit_voltage", "maximum_power_voltage", "voltage_coefficient"
        ),
        0.1, 1000.0,
    ),
    "short-circuit current": (
        of_sheets_in_proportion(
            "short_circuit_current", "maximum_power_current", "current_coefficient"
        ),
        0.001, 1000.0,
    ),
    "greatest of the resistances": (
        lambda x: best_resistance.best_sets(even, 2.0, x), 2.0, 1e12,
    ),
    "resistances of a set": (
        lambda x: best_resistance.best_sets(even, 1.0, 1.0, int(x)), 1, 4,
    ),
    "tolerance of a resistance": (
        lambda x: best_resistance.best_sets(even, 1.0, 1.0, 1, x), 1e-9, 0.1,
    ),
    "resistances switched": (
        lambda x: connection.switched(DIODE, np.full(int(x), 5.0), 3600.0), 1, None,
    ),
    "efficiency of electronics": (lambda x: connection.TrackingElectronics(x), None, 1.0),
    "efficiency before an element": (
        lambda x: diversion.diverted(np.ones(1), np.ones(1), 1500.0, x, 3600.0), None, 1.0,
    ),
    "round trip before an element": (
        lambda x: diversion.diverted(
            np.ones(1), np.ones(1), 1500.0, 0.9, 3600.0, round_trip_efficiency=x
        ),
        None, 1.0,
    ),
    "elements in series": (
        lambda x: heating_element.resistance_in_series(np.ones(int(x))), 1, None,
    ),
    "elements joined": (
        lambda x: heating_element.joined_resistances(np.arange(1.0, x + 1.0)), 1, 5,
    ),
    "difference of elements joined": (
        lambda x: heating_element.joined_resistances([5.0, 7.0], x), 0.0, 1.0,
    ),
    "elements in stock": (
        up_to(
            "step is 0 s",
            lambda x: stock_elements.rank_elements(DIODE, int(x) * [ELEMENT], DIODE, 0.0),
        ),
        1, 1000,
    ),
    "modules in series as it is": (
        up_to(
            "element resistance is 0 ohm",
            lambda x: string_layouts.compare_layouts(DIODE, int(x), 1, 0.0, 3600.0),
        ),
        1, 10_000,
    ),
    "strings as it is": (
        up_to(
            "element resistance is 0 ohm",
            lambda x: string_layouts.compare_layouts(DIODE, 1, int(x), 0.0, 3600.0),
        ),
        1, 10_000,
    ),
    "modules of a layout": (lambda x: string_layouts.layouts_up_to(int(x), 1, 1), 1, 10_000),
    "modules in a string": (lambda x: string_layouts.layouts_up_to(1, int(x), 1), 1, 10_000),
    "strings of a layout": (lambda x: string_layouts.layouts_up_to(1, 1, int(x)), 1, 10_000),
}  # fmt: skip


CURVE = pump.HeadCurve((0.0, 1e-3), (30.0, 20.0))

WATER: dict[str, Bound] = {
    "age": (lambda x: human_power.sustained_power(3600.0, x), 20.0, 60.0),
    "time of an effort": (lambda x: human_power.sustained_power(x), 240.0, 28_800.0),
    "time at the handle": (
        lambda x: human_power.volume_in_time(
            x, np.array([0.0, 75.0]), np.array([0.0, 2e-4]), human_power=50.0
        ),
        0.0, 28_800.0,
    ),
    "altitude": (lambda x: suction.atmospheric_pressure(x), -500.0, 11_000.0),
    "temperature of water": (lambda x: water.density(x), 0.0, 100.0),
    "loss coefficient": (lambda x: pipe.fitting_loss(1e-3, 0.02, x), 0.0, None),
    "roughness of a friction factor": (lambda x: pipe.friction_factor(1e5, x), 0.0, 0.05),
    "roughness of a pipe": (lambda x: pipe.FrictionLoss(1.0, 1.0, x, 1e-6), 0.0, 0.05),
    # At no flow the head goes with the square of the speed.
    "speed that holds the pressure": (
        lambda x: fill.speed_range(CURVE, lambda *_: 30.0 * x**2, 0.0), None, 1.0,
    ),
    "efficiency of a slowed pump": (lambda x: fill.efficiency_at_speed(x, 0.8), 0.0, 1.0),
}  # fmt: skip


SYSTEM = {
    "usable_capacity": 1e7, "charge_efficiency": 0.9, "discharge_efficiency": 0.9,
    "inverter_efficiency": 0.9, "inverter_idle_power": 0.0, "other_load": 0.0,
}  # fmt: skip
INVERTER = battery.BatterySystem(**SYSTEM)
PUMP = ranking.PumpChoice("any", 1e-4, 100.0)
CISTERN = stepper.TankNumbers(1.0, 0.5, 0.9)
NOTHING = np.zeros(1)


def of_system(key: str) -> Callable[..., Any]:
    return set_in(SYSTEM, battery.BatterySystem, key)


def charged_too_little(pump_power: float, storage_volume: float) -> Any:
    """A year of one day that would begin with a battery below empty."""
    return battery.run_battery_year(
        NOTHING, NOTHING, 1e-4, pump_power, INVERTER, storage_volume, DAY, start_charge=-1.0
    )


def one_of_many(usable_capacity: float, storage_volume: float) -> FloatArray:
    """A design as those are run that stand side by side."""
    design = ranking.Design(PUMP, 1, usable_capacity, storage_volume)
    return ranking._side_by_side([design], NOTHING, NOTHING, INVERTER, DAY)


SUPPLY: dict[str, Bound] = {
    "capacity of a battery": (of_system("usable_capacity"), 0.0, 1e15),
    "efficiency of charging": (of_system("charge_efficiency"), None, 1.0),
    "idling of an inverter": (of_system("inverter_idle_power"), 0.0, 1e12),
    "other load of an inverter": (of_system("other_load"), 0.0, 1e12),
    "storage behind a battery": (
        up_to("charge at the start is -1 J", lambda x: charged_too_little(100.0, x)), 0.0, 1e9,
    ),
    "power of a pump": (
        up_to("charge at the start is -1 J", lambda x: charged_too_little(x, 1.0)), None, 1e12,
    ),
    "flow of a draw": (
        lambda x: chain.Chain(1e-4, CISTERN, draw=stepper.DrawNumbers(x)), 0.0, 1e6,
    ),
    "area of a casing": (
        lambda x: chain.Chain(1e-4, CISTERN, well=stepper.WellNumbers(x, 1e-5, 5.0, 4.0)),
        0.0, 1e6,
    ),
    "modules of a design": (
        up_to(
            "water demand is -1 m3",
            lambda x: ranking.run_designs(
                [ranking.Design(PUMP, int(x), 1e7)], NOTHING, -np.ones(1), INVERTER, DAY
            ),
        ),
        0, 1_000_000_000,
    ),
    "capacity of one of many": (lambda x: one_of_many(x, 1.0), 0.0, 1e15),
    "storage of one of many": (lambda x: one_of_many(1e7, x), 0.0, 1e9),
    "most modules looked at": (
        lambda x: ranking.smallest_arrays(none_short, 1, int(x)), 1, 1_000_000,
    ),
    "counts looked at in a round": (
        lambda x: ranking.smallest_arrays(none_short, 0, 9, probes=int(x)),
        1, 1_000_000,
    ),
    "points of a power curve": (
        up_to(
            "the pump makes 30 m at most",
            lambda x: storage.power_curve(
                CURVE, (0.0, 1e-3), (300.0, 500.0), lambda flow: 40.0, 1000.0, int(x)
            ),
        ),
        2, 1000,
    ),
    "efficiency of a controller": (
        lambda x: storage.flow_in_sun(
            NOTHING, storage.PowerCurve((10.0, 20.0), (0.0, 1e-4)), x
        ),
        None, 1.0,
    ),
    "storage without battery": (
        up_to(
            "controller efficiency is 0",
            lambda x: storage.run_direct_year(
                NOTHING, NOTHING, storage.PowerCurve((10.0,), (1e-4,)), x, 0.0, step=DAY
            ),
        ),
        0.0, 1e9,
    ),
    "length of a step": (lambda x: supply_year.steps_per_day(1, x), None, DAY),
    "a series": (
        lambda x: supply_year.checked_series(np.array([x]), 1, "array power", "W"), 0.0, 1e15,
    ),
}  # fmt: skip


TANK = stratified.Tank(0.2, 2, 1.5)
SIDE = screen.TapSide(15.0, 20.0, 40.0, 60.0, 5.0)


def an_hour(step: float = 3600.0, **how: float) -> Any:
    return stratified.simulate(TANK, 50.0, [0.0], [0.0], 15.0, 20.0, 40.0, 60.0, 5.0, step, **how)


HEAT: dict[str, Bound] = {
    "energy factor": (
        lambda x: insulation.heat_loss_from_uniform_energy_factor(x, 0.2), None, 1.0,
    ),
    "pressure of boiling": (lambda x: overheating.boiling_temperature(x), 611.213, 22.064e6),
    "height of an element": (lambda x: stratified.Tank(0.2, 10, 1.5, x), 0.0, 1.0),
    "height of the grid's element": (lambda x: an_hour(grid_height=x), 0.0, 1.0),
    "part of a node drawn at once": (lambda x: an_hour(largest_shift=x), None, 1.0),
    "step of a tank": (an_hour, None, 3600.0),
    "duration of a draw": (
        lambda x: events.every_day([Draw(0.0, x, 1.0)], 1, 0.0), None, DAY,
    ),
    # To a millionth of a second, the least that a draw lasts; what is a little before 0 is at 0.
    "start of a draw": (
        up_to(
            "duration of a draw is 0 s",
            lambda x: events.schedule(
                NOTHING, events.Draws(np.array([x]), NOTHING, np.ones(1)), 3600.0
            ),
        ),
        None, 3600.0 - 1e-6,
    ),
    "best heaters": (
        up_to(
            "start of a draw is -1 s",
            lambda x: tank_ranking.rank_heaters(
                [], NOTHING, events.Draws(-np.ones(1), np.ones(1), np.ones(1)), SIDE, int(x)
            ),
        ),
        1, 1_000_000,
    ),
    "source of a tank": (
        lambda x: screen._require([TANK], [x], np.ones((2, 1)), np.ones(1)), 0.0, 1.0,
    ),
}  # fmt: skip


WELL_AT_REST = level_in_time.WellModel(20.0, 0.02, specific_capacity=1e-5)


def started(times: float) -> None:
    """The last of so many starts."""
    pump = pumped._Pump(WELL_AT_REST, [20.0, 30.0], [1e-3, 1e-3])
    cycles = pumped._Cycles(
        WELL_AT_REST, pump, level_in_time.well_at_rest(WELL_AT_REST), 30.0, 25.0
    )
    cycles.all_starts = int(times) - 1
    cycles._start()


def straight(u: float) -> Any:
    """Readings on the line of Cooper and Jacob, s = log10(t / t0), whose earliest has that u.

    By T = 2.30 Q / (4 pi) and S = 4 exp(-0.5772) T t0 / r2 it is exp(-0.5772) t0 / t.
    """
    at = np.array([1.0, 10.0, 100.0])
    return pumping_tests.fit_cooper_jacob(
        at, np.log10(at / (u * math.exp(np.euler_gamma))), 1e-3, 0.1
    )


def after_rest(count: int) -> FloatArray:
    """So many moments after time zero [s]."""
    return np.geomspace(100.0, 1e4, count)


WELL: dict[str, Bound] = {
    "bodies side by side": (lambda x: casing_fit._require_bodies(int(x) * [0.1]), 1, 8),
    "levels of a pump": (
        up_to(
            "stop level below the restart level is -1 m",
            lambda x: pumped.pumped_on_and_off(
                WELL_AT_REST, np.arange(float(x)), np.zeros(int(x)), 24.0, 25.0, DAY
            ),
        ),
        2, None,
    ),
    "starts of a pump": (started, None, 10_000),
    "readings of a test": (
        lambda x: pumping_tests.fit_cooper_jacob(
            after_rest(int(x)), np.log(after_rest(int(x))), 1e-3, 0.1
        ),
        3, None,
    ),
    "drawdown of a test": (
        up_to(
            "distance from the well is 0 m",
            lambda x: pumping_tests.fit_pumping_test(after_rest(3), np.full(3, x), 1e-3, 0.0),
        ),
        -10_000.0, 10_000.0,
    ),
    "u of a straight line": (straight, None, 0.1 * (1.0 - 1e-9)),
    "readings with a casing": (
        up_to(
            "distance from the well is 0 m",
            lambda x: tests_with_casing.fit_with_casing(
                after_rest(int(x)), np.log(after_rest(int(x))), 1e-3, 0.0, 0.02
            ),
        ),
        3, None,
    ),
    # At 4 pi T = 1 it is the well function of u, from u = 10 to u = 1e-100.
    "drawdown by a storage": (
        lambda x: tests_with_casing.effective_storage(x, 1.0, 0.25 / math.pi, 1.0),
        float(exp1(10.0)) * (1.0 + 1e-9), float(exp1(1e-100)) * (1.0 - 1e-9),
    ),
    "steps that have settled": (
        lambda x: step_drawdown.fit_steps(np.arange(1.0, x + 1.0), np.ones(int(x))), 2, None,
    ),
    "steps that have not": (
        lambda x: step_drawdown.fit_unsettled_steps(
            [10.0, 30.0, 110.0, 150.0], [1.0, 1.1, 2.3, 2.5],
            100.0 * np.arange(x), np.arange(1.0, x + 1.0), 100.0,
        ),
        2, None,
    ),
    "readings of such steps": (
        lambda x: step_drawdown.fit_unsettled_steps(
            [10.0, 30.0, 110.0, 150.0][-int(x):], [1.0, 1.1, 2.3, 2.5][-int(x):],
            [0.0, 100.0], [1.0, 2.0], 100.0,
        ),
        4, None,
    ),
}  # fmt: skip


BOUNDS = SUN | ARRAY | WATER | SUPPLY | HEAT | WELL


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
    "J",
    "W",
    "m2",
    "m3",
    "m3/s",
    "of a node",
    "of the height",
)
"""That these bounds are in; no quantity is called like one."""


@pytest.mark.parametrize("name", BOUNDS)
def test_ends_are_answered_and_what_is_beyond_refused(name: str) -> None:
    call, low, high = BOUNDS[name]
    whole = isinstance(high if low is None else low, int)
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


def test_a_greatest_power_on_the_straight_line_is_refused() -> None:
    """Half of 40 V goes with half of 10 A there; a thousandth more is asked for.

    With the greatest power at half the voltage the current is 1 / (1 + exp(-20 V / a)) of 10 A.
    """
    sheet = SHEET | {"maximum_power_voltage": 20.0}
    on_line, above = (
        module.ModuleRating(**sheet | {"maximum_power_current": times * 5.0})
        for times in (1.00099, 1.00101)
    )
    with pytest.raises(OutOfRange, match="on or below the straight line between 40 V and 10 A"):
        module_fit._points_alone_curve(on_line)
    ideality = 20.0 / math.log(0.500505 / 0.499495)
    assert module_fit._points_alone_curve(above).ideality_voltage == pytest.approx(ideality)
