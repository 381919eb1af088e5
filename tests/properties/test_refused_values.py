"""Arguments that a function of water, heat, supply or motors states to be above 0, or 0 or more:
what is beyond is refused by its name and in its unit, as the function's docstring has them.

The numbers beside them are made up.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from wellsolar.errors import OutOfRange
from wellsolar.physics import guards
from wellsolar.physics.electric import motor
from wellsolar.physics.hand import human_power
from wellsolar.physics.hydraulics import (
    cooling,
    demand,
    disinfection,
    fill,
    pipe,
    pressure_tank,
    pump,
    water,
)
from wellsolar.physics.supply import battery, chain, stepper, storage
from wellsolar.physics.tank import stratified
from wellsolar.physics.well import (
    casing_fit,
    level_in_time,
    levels,
    pumped,
    pumping_tests,
    step_drawdown,
    tests_with_casing,
    theis,
)

CURVE = pump.HeadCurve((0.0, 1e-3), (30.0, 20.0))
SUN_PUMP = storage.PowerCurve((100.0, 200.0), (1e-4, 2e-4))
SYSTEM = battery.BatterySystem(1e7, 0.9, 0.9, 0.9)
CISTERN = stepper.TankNumbers(1.0, 0.5, 0.9)
WELL = level_in_time.WellModel(20.0, 0.02, specific_capacity=1e-5)
TIMES = [100.0, 1000.0, 10_000.0]
LEVELS = ([20.0, 30.0], [1e-3, 5e-4])
DAY = np.zeros(24)

ABOVE, FROM = "above 0", "0 or more"
"""What is allowed; 0 is refused of the first, -1 of the second and of what goes from 0 to more."""

SWITCH = (0.1, 2e5, 3e5, 4e5, 1e5)
"""Tank of 100 L with 2 bar of air, between 3 and 4 bar, and the atmosphere [m3, Pa]."""

STATED: list[tuple[Callable[..., Any], dict[str, Any], dict[str, tuple[str, str, str]]]] = [
    (pipe.velocity, {"flow": 1e-3, "bore": 0.02}, {"bore": (ABOVE, "bore", "m")}),
    (
        pipe.reynolds_number,
        {"velocity": 1.0, "bore": 0.02, "kinematic_viscosity": 1e-6},
        {"kinematic_viscosity": (ABOVE, "kinematic viscosity", "m2/s")},
    ),
    (
        pipe.friction_factor,
        {"reynolds_number": 1e5, "relative_roughness": 1e-4},
        {"reynolds_number": (ABOVE, "Reynolds number", "")},
    ),
    (
        pipe.FrictionLoss,
        {"bore": 0.02, "length": 1.0, "roughness": 0.0, "kinematic_viscosity": 1e-6},
        {"bore": (ABOVE, "bore", "m"), "length": (FROM, "pipe length", "m")},
    ),
    (
        pipe.FrictionLoss(0.02, 1.0, 0.0, 1e-6),
        {"flow": 1e-3},
        {"flow": (FROM, "flow", "m3/s")},
    ),
    (
        pipe.head_loss_hazen_williams,
        {"flow": 1e-3, "bore": 0.02, "length": 1.0, "hazen_williams_coefficient": 140.0},
        {
            "flow": (FROM, "flow", "m3/s"),
            "bore": (ABOVE, "bore", "m"),
            "length": (FROM, "pipe length", "m"),
            "hazen_williams_coefficient": (ABOVE, "Hazen-Williams coefficient", ""),
        },
    ),
    (
        pipe.check_valve_loss,
        {"flow": 1e-3, "bore": 0.02, "loss_coefficient": 2.0, "opening_head": 0.3},
        {
            "bore": (ABOVE, "bore", "m"),
            "loss_coefficient": (FROM, "loss coefficient", ""),
            "opening_head": (FROM, "opening head", "m"),
        },
    ),
    (
        pipe.full_opening_velocity,
        {"loss_coefficient": 2.0, "opening_head": 0.3},
        {
            "loss_coefficient": (ABOVE, "loss coefficient", ""),
            "opening_head": (FROM, "opening head", "m"),
        },
    ),
    (
        pump.water_power,
        {"flow": 1e-3, "head": 30.0, "density": 1000.0},
        {"density": (ABOVE, "density", "kg/m3")},
    ),
    (CURVE.at_speed, {"speed_ratio": 0.9}, {"speed_ratio": (ABOVE, "speed ratio", "")}),
    (
        water.pressure_head,
        {"pressure": 1e5, "density": 1000.0},
        {"density": (ABOVE, "density", "kg/m3")},
    ),
    (
        water.column_pressure,
        {"head": 10.0, "density": 1000.0},
        {"density": (ABOVE, "density", "kg/m3")},
    ),
    (
        disinfection.standing_volume,
        {"casing_bore": 0.1, "water_column": 30.0},
        {
            "casing_bore": (ABOVE, "casing bore", "m"),
            "water_column": (FROM, "water column", "m"),
        },
    ),
    (
        disinfection.disinfectant_volume,
        {"standing": 1.0, "dose": 0.1, "strength": 50.0},
        {"dose": (ABOVE, "dose", "kg/m3")},
    ),
    (demand.metered_indoor_use, {"people": 2.0}, {"people": (FROM, "people", "")}),
    (demand.hot_water_use, {"people": 2.0}, {"people": (FROM, "people", "")}),
    (
        demand.survival_use,
        {"people": 2.0, "per_person": 1e-7},
        {"people": (FROM, "people", "")},
    ),
    (
        demand.hourly_volumes,
        {"daily_volume": 0.5},
        {"daily_volume": (FROM, "daily volume", "m3")},
    ),
    (
        fill.tank_fill,
        {
            "pressure": [3e5, 4e5],
            "flow": [1e-3, 9e-4],
            "tank_volume": 0.1,
            "precharge": 2e5,
            "atmospheric_pressure": 1e5,
        },
        {
            "tank_volume": (ABOVE, "tank volume", "m3"),
            "flow": (ABOVE, "flow left to fill the tank", "m3/s"),
        },
    ),
    (
        fill.speed_for_head,
        {"curve": CURVE, "flow": 5e-4, "head": 20.0},
        {"flow": (FROM, "flow", "m3/s"), "head": (ABOVE, "head", "m")},
    ),
    (
        fill.efficiency_at_speed,
        {"pump_efficiency": 0.5, "speed_ratio": 0.9},
        {"speed_ratio": (ABOVE, "speed ratio", "")},
    ),
    (
        fill.power_at_speed,
        {"full_power": 1e3, "full_water_power": 500.0, "best_efficiency": 0.6, "speed_ratio": 0.9},
        {"full_power": (ABOVE, "full power", "W"), "speed_ratio": (ABOVE, "speed ratio", "")},
    ),
    (
        cooling.least_velocity,
        {"motor_diameter": 0.095, "rated_power": 750.0, "water_temperature": 12.0},
        {
            "motor_diameter": (ABOVE, "motor diameter", "m"),
            "rated_power": (ABOVE, "rated power", "W"),
        },
    ),
    (
        cooling.least_flow_past_motor,
        {"velocity": 0.1, "casing_bore": 0.1, "motor_diameter": 0.09},
        {
            "velocity": (ABOVE, "velocity", "m/s"),
            "motor_diameter": (ABOVE, "motor diameter", "m"),
        },
    ),
    (
        cooling.shroud_bore_for,
        {"flow": 1e-3, "motor_diameter": 0.09, "velocity": 0.1},
        {
            "flow": (ABOVE, "flow", "m3/s"),
            "motor_diameter": (ABOVE, "motor diameter", "m"),
            "velocity": (ABOVE, "velocity", "m/s"),
        },
    ),
    (
        cooling.velocity_past_motor,
        {"flow": 1e-3, "casing_bore": 0.1, "motor_diameter": 0.09},
        {"motor_diameter": (ABOVE, "motor diameter", "m")},
    ),
    (
        lambda fill_time: pressure_tank.flow_from_fill_time(*SWITCH, fill_time),
        {"fill_time": 60.0},
        {"fill_time": (ABOVE, "fill time", "s")},
    ),
    (
        lambda tank_volume: pressure_tank.precharge_from_drawdown(tank_volume, 0.03, *SWITCH[2:]),
        {"tank_volume": 0.1},
        {"tank_volume": (ABOVE, "tank volume", "m3")},
    ),
    (
        lambda tank_volume: pressure_tank.precharge_above_cut_in(tank_volume, 0.03, *SWITCH[3:]),
        {"tank_volume": 0.1},
        {"tank_volume": (ABOVE, "tank volume", "m3")},
    ),
    (
        pressure_tank.leak_rate,
        {
            "tank_volume": 0.1,
            "precharge": 2e5,
            "first_pressure": 4e5,
            "last_pressure": 3e5,
            "atmospheric_pressure": 1e5,
            "waiting_time": 3600.0,
        },
        {
            "waiting_time": (ABOVE, "waiting time", "s"),
            "first_pressure": (FROM, "first pressure", "Pa"),
            "last_pressure": (FROM, "last pressure", "Pa"),
        },
    ),
    (
        pressure_tank.greatest_cycle_rate,
        {"drawdown_volume": 0.03, "pump_flow": 1e-3},
        {"drawdown_volume": (ABOVE, "drawdown", "m3")},
    ),
    (
        pressure_tank.valve_cycle_rate,
        {"drawdown_volume": 0.03, "throttled_volume": 0.01, "least_flow": 1e-4},
        {"drawdown_volume": (ABOVE, "drawdown", "m3")},
    ),
    (
        motor.full_load_current,
        {"rated_power": 750.0, "voltage": 230.0},
        {"rated_power": (ABOVE, "rated power", "W"), "voltage": (ABOVE, "voltage", "V")},
    ),
    (
        motor.greatest_start_rate,
        {"rated_power": 750.0},
        {"rated_power": (ABOVE, "rated power", "W")},
    ),
    (
        motor.greatest_hourly_starts,
        {"rated_power": 750.0},
        {"rated_power": (ABOVE, "rated power", "W")},
    ),
    (motor.least_run, {"rated_power": 750.0}, {"rated_power": (ABOVE, "rated power", "W")}),
    (
        motor.usual_service_factor,
        {"rated_power": 750.0},
        {"rated_power": (ABOVE, "rated power", "W")},
    ),
    (
        motor.source_reactance,
        {"rated_apparent_power": 5000.0, "voltage": 240.0, "reactance_per_unit": 0.15},
        {"rated_apparent_power": (ABOVE, "rated apparent power", "VA")},
    ),
    (
        human_power.effort_for_volume,
        {
            "volume": 0.02,
            "power_points": np.array([0.0, 75.0]),
            "lifted_flows": np.array([0.0, 2e-4]),
        },
        {"volume": (ABOVE, "volume", "m3")},
    ),
    (
        levels.pumping_level,
        {"static_level": 20.0, "flow": 1e-3, "specific_capacity": 1e-4},
        {
            "flow": (FROM, "flow", "m3/s"),
            "specific_capacity": (ABOVE, "specific capacity", "m2/s"),
        },
    ),
    (
        levels.specific_capacity,
        {"flow": 1e-3, "drawdown": 10.0},
        {"flow": (FROM, "flow", "m3/s"), "drawdown": (ABOVE, "drawdown", "m")},
    ),
    (theis.well_function, {"u": 0.01}, {"u": (ABOVE, "u of the well function", "")}),
    (
        theis.aquifer_numbers,
        {"transmissivity": 1e-4, "storage": 1e-3, "radius": 0.1},
        {
            "transmissivity": (ABOVE, "transmissivity", "m2/s"),
            "storage": (ABOVE, "storage coefficient", ""),
            "radius": (ABOVE, "radius of the well", "m"),
        },
    ),
    (
        level_in_time.WellModel,
        {"static_level": 20.0, "storage_area": 0.02, "specific_capacity": 1e-5, "well_loss": 1e6},
        {
            "storage_area": (ABOVE, "area of water in the casing", "m2"),
            "specific_capacity": (ABOVE, "specific capacity", "m2/s"),
            "well_loss": (FROM, "well loss", "s2/m5"),
        },
    ),
    (
        level_in_time.level_through,
        {"model": WELL, "times": [0.0, 60.0], "flows": [1e-3]},
        {"flows": (FROM, "flow", "m3/s")},
    ),
    (
        level_in_time.sustained_flow,
        {"model": WELL, "lowest_level": 30.0, "duration": 3600.0},
        {"duration": (ABOVE, "duration", "s")},
    ),
    (
        lambda time: pumped.levels_while_pumped(WELL, *LEVELS, time, 30.0),
        {"time": [60.0]},
        {"time": (ABOVE, "time between two moments", "s")},
    ),
    (
        lambda duration: pumped.pumped_on_and_off(WELL, *LEVELS, 30.0, 25.0, duration),
        {"duration": 3600.0},
        {"duration": (ABOVE, "duration", "s")},
    ),
    (
        lambda rest: pumped.level_after_rest(WELL, *LEVELS, 30.0, rest),
        {"rest": 3600.0},
        {"rest": (ABOVE, "rest", "s")},
    ),
    (
        pumping_tests.fit_pumping_test,
        {"time": TIMES, "drawdown": [1.0, 2.0, 3.0], "flow": 1e-3, "radius": 0.1},
        {
            "flow": (ABOVE, "flow of the test", "m3/s"),
            "radius": (ABOVE, "distance from the well", "m"),
            "time": (ABOVE, "time of the first reading", "s"),
        },
    ),
    (
        pumping_tests.fit_cooper_jacob,
        {"time": TIMES, "drawdown": [1.0, 2.0, 3.0], "flow": 1e-3, "radius": 0.1},
        {
            "flow": (ABOVE, "flow of the test", "m3/s"),
            "radius": (ABOVE, "distance from the well", "m"),
            "time": (ABOVE, "time of a reading", "s"),
        },
    ),
    (
        pumping_tests.fit_recovery,
        {
            "time_since_stop": TIMES,
            "residual_drawdown": [3.0, 2.0, 1.0],
            "flow": 1e-3,
            "pumping_time": 20_000.0,
            "radius": 0.1,
        },
        {
            "flow": (ABOVE, "flow of the test", "m3/s"),
            "pumping_time": (ABOVE, "pumping time", "s"),
        },
    ),
    (
        pumping_tests.transmissivity_from_slope,
        {"flow": 1e-3, "drawdown_per_cycle": 1.0},
        {
            "flow": (ABOVE, "flow of the test", "m3/s"),
            "drawdown_per_cycle": (ABOVE, "drawdown over a tenfold time", "m"),
        },
    ),
    (
        pumping_tests.storage_from_intercept,
        {"transmissivity": 1e-4, "zero_drawdown_time": 60.0, "radius": 0.1},
        {
            "transmissivity": (ABOVE, "transmissivity", "m2/s"),
            "zero_drawdown_time": (ABOVE, "time of zero drawdown", "s"),
            "radius": (ABOVE, "distance from the well", "m"),
        },
    ),
    (
        pumping_tests.casing_storage_time,
        {"storage_area": 0.02, "transmissivity": 1e-4},
        {
            "storage_area": (ABOVE, "area of water in the casing", "m2"),
            "transmissivity": (ABOVE, "transmissivity", "m2/s"),
        },
    ),
    (
        step_drawdown.StepTest(1e4, 1e6, (), 0.0).efficiency,
        {"flow": 1e-3},
        {"flow": (FROM, "flow", "m3/s")},
    ),
    (
        step_drawdown.jacob_drawdown,
        {"flow": 1e-3, "aquifer_loss": 1e4, "well_loss": 1e6},
        {
            "flow": (FROM, "flow", "m3/s"),
            "aquifer_loss": (FROM, "aquifer loss", "s/m2"),
            "well_loss": (FROM, "well loss", "s2/m5"),
        },
    ),
    (
        step_drawdown.flow_for_drawdown,
        {"drawdown": 10.0, "aquifer_loss": 1e4, "well_loss": 1e6},
        {
            "drawdown": (FROM, "drawdown", "m"),
            "aquifer_loss": (ABOVE, "aquifer loss", "s/m2"),
            "well_loss": (FROM, "well loss", "s2/m5"),
        },
    ),
    (
        step_drawdown.fit_steps,
        {"flows": [1e-3, 2e-3], "drawdowns": [1.0, 3.0]},
        {"flows": (ABOVE, "flow of a step", "m3/s")},
    ),
    (
        step_drawdown.fit_unsettled_steps,
        {
            "time": [10.0, 30.0, 110.0, 150.0],
            "drawdown": [1.0, 1.1, 2.3, 2.5],
            "change_times": [0.0, 100.0],
            "flows": [1e-3, 2e-3],
            "duration": 100.0,
        },
        {
            "duration": (ABOVE, "duration", "s"),
            "time": (ABOVE, "time of the first reading", "s"),
        },
    ),
    (step_drawdown.walton_class, {"well_loss": 1e6}, {"well_loss": (FROM, "well loss", "s2/m5")}),
    (
        tests_with_casing.effective_storage,
        {"unit_drawdown": 1e4, "time": 3600.0, "transmissivity": 1e-4, "radius": 0.1},
        {
            "time": (ABOVE, "time since pumping began", "s"),
            "transmissivity": (ABOVE, "transmissivity", "m2/s"),
            "radius": (ABOVE, "radius of the well", "m"),
        },
    ),
    (
        casing_fit.Body,
        {"name": "pump", "diameter": 0.1, "top": 0.0, "bottom": 30.0},
        {"diameter": (ABOVE, "diameter of pump", "m"), "bottom": (ABOVE, "length of pump", "m")},
    ),
    (
        lambda radius: casing_fit.enclosing_circle([casing_fit.Circle(0.0, 0.0, radius)]),
        {"radius": 0.1},
        {"radius": (FROM, "radius", "m")},
    ),
    (
        casing_fit.smallest_bore,
        {"diameters": [0.1, 0.05]},
        {"diameters": (ABOVE, "diameter", "m")},
    ),
    (
        casing_fit.sections,
        {
            "bodies": [casing_fit.Body("pump", 0.1, 0.0, 30.0)],
            "casing_bore": 0.15,
            "least_clearance": 0.01,
        },
        {
            "casing_bore": (ABOVE, "casing bore", "m"),
            "least_clearance": (FROM, "clearance", "m"),
        },
    ),
    (
        lambda power: storage.PowerCurve((power, 300.0), (1e-4, 2e-4)),
        {"power": 100.0},
        {"power": (ABOVE, "first power of the power curve", "W")},
    ),
    (
        lambda flow: storage.PowerCurve((100.0, 300.0), (flow, 2e-4)),
        {"flow": 1e-4},
        {"flow": (FROM, "first flow of the power curve", "m3/s")},
    ),
    (
        lambda flow: storage.PowerCurve((100.0, 300.0), (0.0, flow)),
        {"flow": 1e-4},
        {"flow": (ABOVE, "last flow of the power curve", "m3/s")},
    ),
    (
        SUN_PUMP.flow_at,
        {"power": [100.0, 50.0]},
        {"power": (FROM, "power on offer to the pump", "W")},
    ),
    (
        storage.flow_in_sun,
        {
            "array_power": DAY,
            "pump": SUN_PUMP,
            "controller_efficiency": 0.9,
            "pump_input_threshold": 50.0,
        },
        {
            "controller_efficiency": (ABOVE, "controller efficiency", ""),
            "pump_input_threshold": (FROM, "pump input threshold", "W"),
        },
    ),
    (
        battery.plan_steps,
        {
            "array_power": DAY,
            "water_demand": DAY,
            "pump_flow": 1e-3,
            "pump_power": 500.0,
            "system": SYSTEM,
            "step": 3600.0,
            "well_volume_per_step": 1.0,
        },
        {
            "array_power": ("0 to 1e+15", "array power", "W"),
            "water_demand": ("0 to 1e+15", "water demand", "m3"),
            "pump_flow": (ABOVE, "pump flow", "m3/s"),
            "pump_power": (ABOVE, "pump power", "W"),
            "step": (ABOVE, "step", "s"),
            "well_volume_per_step": (FROM, "well's volume a step", "m3"),
        },
    ),
    (
        battery.BatterySystem,
        {
            "usable_capacity": 1e7,
            "charge_efficiency": 0.9,
            "discharge_efficiency": 0.9,
            "inverter_efficiency": 0.9,
            "inverter_idle_power": 10.0,
            "inverter_rating": 2e3,
            "other_load": 0.0,
        },
        {
            "usable_capacity": ("0 to 1e+15", "usable capacity", "J"),
            "charge_efficiency": (ABOVE, "charge efficiency", ""),
            "discharge_efficiency": (ABOVE, "discharge efficiency", ""),
            "inverter_efficiency": (ABOVE, "inverter efficiency", ""),
            "inverter_idle_power": ("0 to 1e+12", "inverter idle power", "W"),
            "inverter_rating": (FROM, "inverter rating", "W"),
            "other_load": ("0 to 2000", "other load", "W"),
        },
    ),
    (
        lambda volume: chain.Chain(1e-4, stepper.TankNumbers(volume, volume, volume)),
        {"volume": 1.0},
        {"volume": (ABOVE, "volume of the tank", "m3")},
    ),
    (
        lambda booster_flow: chain.Chain(
            1e-4, CISTERN, draw=stepper.DrawNumbers(1e-4, booster_flow)
        ),
        {"booster_flow": 1e-4},
        {"booster_flow": (ABOVE, "flow of the booster", "m3/s")},
    ),
    (
        lambda **well: chain.Chain(1e-4, CISTERN, well=stepper.WellNumbers(0.02, **well)),
        {"specific_capacity": 1e-5, "dry_drawdown": 5.0, "restart_drawdown": 0.0},
        {
            "specific_capacity": (ABOVE, "specific capacity", "m2/s"),
            "dry_drawdown": (ABOVE, "drawdown at which the pump stops", "m"),
        },
    ),
    (
        lambda restart_time: chain.Chain(
            1e-4, CISTERN, well=stepper.WellNumbers(0.02, 1e-5, 5.0, 4.0, restart_time)
        ),
        {"restart_time": 600.0},
        {"restart_time": (FROM, "time to the restart", "s")},
    ),
    (
        stratified.Tank,
        {"volume": 0.2, "nodes": 10.0, "heat_loss_coefficient": 1.5, "height": 1.2,
         "effective_conductivity": 1.5, "volumetric_heat_capacity": 4.1e6},
        {
            "volume": (ABOVE, "volume", "m3"), "nodes": (ABOVE, "nodes", ""),
            "heat_loss_coefficient": (FROM, "heat loss coefficient", "W/K"),
            "effective_conductivity": (FROM, "effective conductivity", "W/(m K)"),
            "height": (ABOVE, "height", "m"),
            "volumetric_heat_capacity": (ABOVE, "heat capacity", "J/(m3 K)"),
        },
    ),
]  # fmt: skip


def put_in(like: Any, value: float) -> Any:
    """A value in the place of a number, or of the first of several."""
    if isinstance(like, float):
        return value
    several = np.array(like, dtype=float)
    several[0] = value
    return several


CASES = [
    (function, given, part, *said)
    for function, given, parts in STATED
    for part, said in parts.items()
]


@pytest.mark.parametrize(
    ("function", "given", "part", "allowed", "quantity", "unit"),
    CASES,
    ids=[f"{number}: {each[4]}" for number, each in enumerate(CASES)],
)
def test_what_is_below_is_refused_by_name_and_unit(
    function: Callable[..., Any],
    given: dict[str, Any],
    part: str,
    allowed: str,
    quantity: str,
    unit: str,
) -> None:
    beyond = 0.0 if allowed == ABOVE else -1.0
    with pytest.raises(OutOfRange) as refused:
        function(**given | {part: put_in(given[part], beyond)})
    found, _, told = str(refused.value).partition(", allowed is ")
    assert found == f"{quantity} is {beyond:g} {unit}".rstrip()
    ends = f"0 {unit}".rstrip() + " or more" if allowed == FROM else f"{allowed} {unit}".rstrip()
    assert told == ends
    function(**given | ({} if allowed == ABOVE else {part: put_in(given[part], 0.0)}))


MAKERS_TABLE = (
    (10.0, 20.0), ((100.0, 200.0), (100.0, 200.0)), ((1e-4, 2e-4), (5e-5, 1e-4)),
)  # fmt: skip
TANK, THREE = stepper.TankNumbers, [1.0, 2.0, 3.0]

REFUSED: list[tuple[Callable[[], Any], str]] = [
    (
        lambda: pump.HeadCurve((-1.0, 1.0), (30.0, 20.0)),
        "first flow of the head curve is -1 m3/s, allowed is 0 m3/s or more",
    ),
    (
        lambda: pump.HeadCurve((0.0, 1.0), (30.0, -1.0)),
        "last head of the head curve is -1 m, allowed is 0 m or more",
    ),
    (
        lambda: disinfection.disinfectant_volume(1.0, 0.5, 0.25),
        "strength is 0.25 kg/m3, allowed is 0.5 kg/m3 or more",
    ),
    (
        lambda: demand.peak_of_fixtures({"kitchen_sinks": -1}),
        "kitchen sinks is -1, allowed is 0 or more",
    ),
    (
        lambda: fill.tank_fill(
            np.array([3e5, 4e5]), np.array([1e-3, 9e-4]), 0.1, 4e5, 1e5
        ),
        "last pressure less precharge is 0 Pa, allowed is above 0 Pa",
    ),
    (
        lambda: fill.speed_range(
            pump.HeadCurve((1e-4, 1e-3), (30.0, 20.0)), lambda *_: 10.0, 3e5
        ),
        "first flow of the head curve is 0.0001 m3/s, allowed is 0 to 0 m3/s",
    ),
    # Half is lost at full speed; at 0.001 of it 0.5 / 0.001^0.1 = 0.998 is, at 0.0009 all.
    (
        lambda: fill.power_at_speed(1e3, 500.0, 0.5, 9e-4),
        "efficiency of the slowed pump is 0, allowed is above 0",
    ),
    (
        lambda: cooling.least_flow_past_motor(0.1, 0.09, 0.09),
        "casing bore less motor diameter is 0 m, allowed is above 0 m",
    ),
    (
        lambda: pressure_tank.pressure_at(0.1, 2e5, 0.1, 1e5),
        "volume left for air is 0 m3, allowed is above 0 m3",
    ),
    (
        lambda: theis.flow_steps([0.0, 60.0], [1e-3]),
        "number of flows is 1, allowed is 2 to 2",
    ),
    (
        lambda: theis.flow_steps([60.0, 60.0], [1e-3, 2e-3]),
        "time between two changes of flow is 0 s, allowed is above 0 s",
    ),
    (
        lambda: level_in_time.level_through(WELL, [0.0, 60.0, 120.0], [1e-3]),
        "number of flows is 1, allowed is 2 to 2",
    ),
    (
        lambda: level_in_time.level_through(WELL, [60.0, 60.0], [1e-3]),
        "time between two moments is 0 s, allowed is above 0 s",
    ),
    (
        lambda: pumped.first_run(WELL, [20.0, 30.0], [1e-3], 30.0),
        "number of flows is 1, allowed is 2 to 2",
    ),
    (
        lambda: pumped.first_run(WELL, [30.0, 30.0], [1e-3, 1e-3], 30.0),
        "step from level to level is 0 m, allowed is above 0 m",
    ),
    (
        lambda: pumped.first_run(WELL, [20.0, 30.0], [1.0, 2.0], 30.0),
        "fall of the flow from level to level is -1 m3/s, allowed is 0 m3/s or more",
    ),
    (
        lambda: pumped.first_run(WELL, [20.0, 30.0], [1.0, -1.0], 30.0),
        "flow is -1 m3/s, allowed is 0 m3/s or more",
    ),
    (
        lambda: pumped.pumped_on_and_off(WELL, *LEVELS, 30.0, 30.0, 60.0),
        "stop level below the restart level is 0 m, allowed is above 0 m",
    ),
    (
        lambda: pumping_tests.fit_pumping_test(TIMES, THREE[:2], 1e-3, 0.1),
        "number of drawdowns is 2, allowed is 3 to 3",
    ),
    (
        lambda: pumping_tests.fit_cooper_jacob([60.0, 60.0, 60.0], THREE, 1e-3, 0.1),
        "spread of the times on the line is 0, allowed is above 0",
    ),
    (
        lambda: pumping_tests.fit_recovery([-1.0, 60.0, 600.0], THREE, 1e-3, 600.0, 0.1),
        "time since pumping stopped is -1 s, allowed is 0 s or more",
    ),
    (
        lambda: step_drawdown.fit_steps([1e-3, 2e-3], [1.0]),
        "number of drawdowns is 1, allowed is 2 to 2",
    ),
    (
        lambda: step_drawdown.fit_steps([1e-3, 1e-3], [1.0, 1.0]),
        "difference between the flows is 0 m3/s, allowed is above 0 m3/s",
    ),
    (
        lambda: tests_with_casing.fit_with_casing(TIMES, THREE, 0.0, 0.1, 0.02),
        "flow of the test is 0 m3/s, allowed is above 0 m3/s",
    ),
    (
        lambda: tests_with_casing.fit_with_casing(TIMES, THREE[:2], 1e-3, 0.1, 0.02),
        "number of drawdowns is 2, allowed is 3 to 3",
    ),
    (
        lambda: tests_with_casing.fit_with_casing([60.0, 60.0, 600.0], THREE, 1e-3, 0.1, 0.02),
        "time between two readings is 0 s, allowed is above 0 s",
    ),
    (
        lambda: tests_with_casing.fit_recovery_with_casing(TIMES, THREE, 0.0, 600.0, 0.1, 0.02),
        "flow of the test is 0 m3/s, allowed is above 0 m3/s",
    ),
    (
        lambda: tests_with_casing.fit_recovery_with_casing(TIMES, THREE, 1e-3, 0.0, 0.1, 0.02),
        "pumping time is 0 s, allowed is above 0 s",
    ),
    (
        lambda: storage.table_curve(*MAKERS_TABLE, lambda _: 30.0),
        "head asked of the maker's table is 30 m, allowed is 10 to 20 m",
    ),
    # At 200 W and 20 m the table has 1e-4 m3/s, for which 15 + 10 = 25 m are asked.
    (
        lambda: storage.table_curve(*MAKERS_TABLE, lambda flow: 15.0 + 1e5 * flow),
        "head asked of the maker's table is 25 m, allowed is 10 to 20 m",
    ),
    (
        lambda: storage.table_curve(
            *MAKERS_TABLE[:2], ((0.0, 0.0), (0.0, 0.0)), lambda _: 15.0
        ),
        "flow by the maker's table is 0 m3/s, allowed is above 0 m3/s",
    ),
    (
        lambda: chain.Chain(1e-4, TANK(1.0, 0.5, 0.9, 2.0)),
        "volume at which the booster stops is 2 m3, allowed is 0 to 1 m3",
    ),
    (
        lambda: chain.Chain(1e-4, TANK(1.0, 0.25, 0.9, 0.5)),
        "volume at which the pump starts is 0.25 m3, allowed is 0.5 m3 or more",
    ),
    (
        lambda: chain.Chain(1e-4, TANK(1.0, 0.5, 0.25)),
        "volume at which the pump stops is 0.25 m3, allowed is 0.5 m3 or more",
    ),
    (
        lambda: chain.Chain(1e-4, CISTERN, well=stepper.WellNumbers(0.02, 1e-5, 5.0, 6.0)),
        "drawdown at the restart is 6 m, allowed is 0 to 5 m",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("call", "words"), REFUSED, ids=[words for _, words in REFUSED])
def test_what_does_not_fit_is_refused_in_words(call: Callable[[], Any], words: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()
    assert str(refused.value) == words


@pytest.mark.parametrize(
    ("value", "greatest", "words", "worst"),
    [
        (-2.0, 1.0, "depth is -2 m, allowed is 0 to 1 m", -2.0),
        (2, 1.0, "depth is 2 m, allowed is 0 to 1 m", 2.0),
        (-2.0, math.inf, "depth is -2 m, allowed is 0 m or more", -2.0),
        # Of several the first that lies outside is told.
        (np.array([0.5, 3.0, -2.0]), 1.0, "depth is 3 m, allowed is 0 to 1 m", 3.0),
        (np.array([[0.5, 0.6], [-1.0, 9.0]]), 1.0, "depth is -1 m, allowed is 0 to 1 m", -1.0),
        (np.array([0.5, math.nan]), 1.0, "depth is nan m, allowed is 0 to 1 m", math.nan),
        (math.nan, 1.0, "depth is nan m, allowed is 0 to 1 m", math.nan),
    ],
)
def test_a_range_tells_what_lies_outside(
    value: Any, greatest: float, words: str, worst: float
) -> None:
    with pytest.raises(OutOfRange) as refused:
        guards.require_range(value, 0.0, greatest, "depth", "m")
    assert str(refused.value) == words
    assert refused.value.found is not None
    quantity, found, *bounds, unit = refused.value.found
    assert (quantity, bounds, unit) == ("depth", [0.0, greatest], "m")
    assert found == pytest.approx(worst, nan_ok=True)
    for inside in (0.0, 1, np.array([0.0, 0.3, 1.0]), np.array([])):
        guards.require_range(inside, 0.0, greatest, "depth", "m")


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (0, "depth is 0, allowed is above 0"),
        (np.array([1.0, 0.0, -1.0]), "depth is 0, allowed is above 0"),
        (np.array([1.0, -3.0, 0.0]), "depth is -3, allowed is above 0"),
        (math.nan, "depth is nan, allowed is above 0"),
        (np.array([math.nan]), "depth is nan, allowed is above 0"),
    ],
)
def test_what_is_not_above_zero_is_told(value: Any, words: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        guards.require_positive(value, "depth", "")
    assert str(refused.value) == words
    for above in (1, 1e-300, np.array([1e-300, 1.0]), np.array([])):
        guards.require_positive(above, "depth", "")
