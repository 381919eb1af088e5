"""The tank of a water heater's table as physics wants it: insulation, thermostats, what heats it.

`TankAtWork` runs it through steps of sun and draws; `tap_water` is what it gives when it is hot.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wellsolar import kinds
from wellsolar.constants import HOUR
from wellsolar.data import hot_water_tables
from wellsolar.physics.array.module import FiveParameters
from wellsolar.physics.compiled import LOADED
from wellsolar.physics.tank import hot_water, insulation, scald, stratified
from wellsolar.physics.tank.kernel import step_tanks
from wellsolar.physics.tank.stratified import Start, Tank, TankRun
from wellsolar.physics.types import FloatArray, Floats
from wellsolar.results.heat_safety import BurnTime, TapWater
from wellsolar.site.schema import ElementTable, Site, WaterHeaterTable
from wellsolar.studies.array.heater_circuit import HeaterCircuit, OnArray, circuit_of, plate_of
from wellsolar.studies.sun.days import STEP
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

KEY = "water_heater.heat_loss"

NODES = 10
"""Layers of the tank; about 5 to 10 match the trade's rule that 70 % of a tank is usable."""

DIFFERENTIAL = 5.0
"""How far below its setpoint a thermostat closes [K]: common practice, no source."""

FITTINGS = 1.25
"""Loss of a tank with its fittings over that of its jacket alone: the middle of the 15 to 40 %
between a published worked figure and its jacket."""

LOWER, UPPER = 0.1, 0.7
"""Height of the elements over that of the tank: common practice, no source."""

HIGH_LIMIT_HEIGHT = 0.8
"""Height of the high limit over that of the tank: just above the upper element; common practice,
no source."""

LONG = 500
"""Steps from which on a run goes in machine code, where that can be: whoever runs a year runs it
several times, and that repays what loading it takes. Once it is loaded shorter ones go too."""

USABLE, FIRST_HOUR_RISE = 0.7, 50.0
"""Part of a tank that comes hot and rise of an hour's recovery [K], 90 degF, of the trade's rule
for a first-hour rating (read in two trade pages)."""

RUN_HOT, RUN_WARM = (150.0 - 32.0) / 1.8, (120.0 - 32.0) / 1.8
"""Thermostat of a PV-heated tank with and without a mixing valve, 150 and 120 degF [degC]:
common practice, no source."""


@dataclass(frozen=True)
class GridElement:
    """An element on the grid: power [W], height over that of the tank, thermostat [degC]."""

    power: float
    height: float
    thermostat: float


@dataclass(frozen=True)
class SecondTank:
    """A tank downstream with its element on the grid; power [W], thermostat [degC]."""

    tank: Tank
    power: float
    thermostat: float


@dataclass(frozen=True)
class AuxiliaryHeat:
    """What heats beside the modules: an element on the grid, a second tank, or nothing."""

    grid: GridElement | None
    second: SecondTank | None


@dataclass(frozen=True)
class TankAtWork:
    """A tank with what surrounds it; temperatures in degC, the thermostat's differential in K.

    largest_shift: part of a node that is drawn at once, as of `stratified.simulate`
    """

    tank: Tank
    inlet: float
    room: float
    tap: float
    setpoint: float
    differential: float
    largest_shift: float = 0.1

    @property
    def half_heated(self) -> float:
        """Half way from cold to the setpoint [degC]."""
        return hot_water.half_heated(self.inlet, self.setpoint)

    def run(
        self,
        power: FloatArray,
        start: Start,
        draw: FloatArray | None = None,
        step: Floats = STEP,
        grid: GridElement | None = None,
        high_limit: float = math.inf,
    ) -> TankRun:
        """The tank through steps of power from a start.

        Parameters:
            power: offered at the element of the modules in each step [W]
            start: temperature of the tank, or of its nodes [degC]
            draw: mixed water wanted in each step [m3]; None for nobody home
            step: length of the steps [s]
            grid: element that heats beside the modules, or None
            high_limit: cut-out at the height of the grid's element [degC]
        """
        return stratified.simulate(
            self.tank,
            start,
            power,
            np.zeros_like(power) if draw is None else draw,
            self.inlet,
            self.room,
            self.tap,
            self.setpoint,
            self.differential,
            step,
            grid_power=0.0 if grid is None else grid.power,
            grid_height=HIGH_LIMIT_HEIGHT if grid is None else grid.height,
            grid_setpoint=math.nan if grid is None else grid.thermostat,
            high_limit=high_limit,
            largest_shift=self.largest_shift,
            machine=_pays(power.size),
        )

    def run_before(
        self,
        second: SecondTank,
        power: FloatArray,
        starts: Sequence[Start],
        draw: FloatArray,
        step: FloatArray,
    ) -> TankRun:
        """The tank before a second one, which the taps draw from.

        Parameters:
            second: the tank downstream
            power: offered at the element of the modules in each step [W]
            starts: temperatures of both tanks, or of their nodes [degC]
            draw: mixed water wanted in each step [m3]
            step: length of the steps [s]
        """
        return stratified.simulate(
            (self.tank, second.tank),
            starts,
            power,
            draw,
            self.inlet,
            self.room,
            self.tap,
            self.setpoint,
            self.differential,
            step,
            grid_power=second.power,
            grid_height=second.tank.element_height,
            grid_setpoint=second.thermostat,
            largest_shift=self.largest_shift,
            machine=_pays(power.size),
        )

    def satisfied(self, power: FloatArray, run: TankRun) -> FloatArray:
        """True at each step in which the thermostat turned sun away: the setpoint was reached."""
        return np.asarray((power > 0) & (run.accepted_power < power * (1 - 1e-9)))

    def tap_volume(self, nodes: FloatArray) -> float:
        """Mixed water as warm as wanted in nodes of these temperatures [degC], drawn as a plug
        without more heat [m3]."""
        if self.tap <= self.inlet:
            return math.inf
        volumes = hot_water.delivered_volume(self.tank.node_volume, nodes, self.inlet, self.tap)
        return float(np.sum(volumes))


def _pays(steps: int) -> bool:
    return steps >= LONG or step_tanks in LOADED


def work_of(site: Site, heater: WaterHeaterTable, element: ElementTable) -> TankAtWork:
    """The tank of a heater with what surrounds it."""
    return TankAtWork(
        tank=tank_of(heater, element),
        inlet=float(site.well.water_temperature),
        room=float(heater.room_temperature),
        tap=float(heater.draw.temperature),
        setpoint=setpoint_of(heater, element)[0],
        differential=differential_of(heater),
    )


def setpoint_of(
    heater: WaterHeaterTable, element: ElementTable, path: str = ""
) -> tuple[float, tuple[Assumption, ...]]:
    """Setting of an element's thermostat, by default that of a tank that the sun heats.

    Parameters:
        path: its key path, for who wants the assumption
    Returns:
        temperature [degC], and what was assumed where the file does not give it
    """
    if element.thermostat is not None:
        return float(element.thermostat), ()
    usual = RUN_HOT if heater.mixing_valve else RUN_WARM
    value = Quantity(usual, kinds.TEMPERATURE)
    why = "a tank with a mixing valve is run to 150 degF, one without to 120 degF"
    return usual, (Assumption(f"{path}.thermostat", value, why, "common practice"),)


def circuit_in_tank(site: Site, on: OnArray, parameters: FiveParameters) -> HeaterCircuit:
    """The array on its element, in water half way from cold to the thermostat's setting.

    Parameters:
        site: the site, with a water heater
    """
    assert site.water_heater is not None
    setpoint, _ = setpoint_of(site.water_heater, on.element)
    water = hot_water.half_heated(site.well.water_temperature, setpoint)
    return circuit_of(parameters, on.group, on.element, float(water), float(site.losses.wiring))


def heat_loss_of(heater: WaterHeaterTable) -> tuple[float, tuple[Assumption, ...]]:
    """Heat loss coefficient of the tank, from the file, its insulation or its label: heat loss
    [W/K], and what was assumed where the file does not give it."""
    if heater.heat_loss is not None:
        return float(heater.heat_loss), ()
    if heater.insulation is not None:
        bore = insulation.tank_bore(heater.volume, heater.tank_height)
        area = insulation.cylinder_area(heater.volume, bore)
        loss = FITTINGS * insulation.heat_loss_from_r_value(heater.insulation, area)
        why = "the jacket's loss and a quarter more for fittings, element covers and pipes"
        return loss, (Assumption(KEY, Quantity(loss, kinds.HEAT_LOSS), why, "jacket loss"),)
    assert heater.uniform_energy_factor is not None
    pattern, assumed = _tested_pattern(heater)
    volume = sum(draw.volume for draw in hot_water_tables.draw_pattern(pattern))
    factor = heater.uniform_energy_factor
    loss = insulation.heat_loss_from_uniform_energy_factor(factor, volume)
    why = f"what the label's factor leaves for the wall in the test's day, {pattern} draw pattern"
    assumption = Assumption(KEY, Quantity(loss, kinds.HEAT_LOSS), why, "rated factor")
    return loss, (assumption, *assumed)


def _tested_pattern(heater: WaterHeaterTable) -> tuple[str, tuple[Assumption, ...]]:
    """The draw pattern of the heater's own test, by its first-hour rating, and that rating where
    it was assumed; what the household draws has no part in it."""
    rating = heater.first_hour_rating
    if rating is None:
        recovery = max(element.rated_power for element in heater.element) * HOUR
        recovered = recovery / (hot_water.TRADE_HEAT_CAPACITY * FIRST_HOUR_RISE)
        rating = Quantity(USABLE * heater.volume + recovered, kinds.VOLUME)
        why = "70 % of the tank and what its largest element heats by 90 degF in an hour"
        key = "water_heater.first_hour_rating"
        return hot_water_tables.bin_of(rating), (Assumption(key, rating, why, "rated factor"),)
    return hot_water_tables.bin_of(rating), ()


def element_height(element: ElementTable) -> float:
    """Height of an element and its thermostat over that of the tank."""
    if element.height is not None:
        return float(element.height)
    return LOWER if element.position == "lower" else UPPER


def tank_of(heater: WaterHeaterTable, element: ElementTable) -> Tank:
    """The tank with the element that the modules feed.

    Returns:
        tank of equal nodes
    """
    return Tank(
        volume=float(heater.volume),
        nodes=NODES,
        heat_loss_coefficient=heat_loss_of(heater)[0],
        element_height=element_height(element),
        height=None if heater.tank_height is None else float(heater.tank_height),
    )


def differential_of(heater: WaterHeaterTable) -> float:
    """How far below its setting a thermostat of the heater closes again [K]."""
    return DIFFERENTIAL if heater.differential is None else float(heater.differential)


def second_tank_of(heater: WaterHeaterTable) -> SecondTank | None:
    """The tank downstream, as upright as the first, its element where a lower one stands: the tank
    with what heats it; None where the file has none."""
    table = heater.second_tank
    if table is None:
        return None
    tank = Tank(float(table.volume), NODES, float(table.heat_loss), LOWER)
    return SecondTank(tank, float(table.rated_power), float(table.thermostat))


def grid_element_of(heater: WaterHeaterTable) -> GridElement | None:
    """The element on the grid that heats what the modules leave, with its thermostat: the
    uppermost of those on the grid that have a thermostat; None without one."""
    on_grid = [
        GridElement(plate_of(element)[0], element_height(element), float(element.thermostat))
        for element in heater.element
        if element.fed_by == "grid" and element.thermostat is not None
    ]
    return max(on_grid, key=lambda element: element.height, default=None)


def auxiliary_heat_of(heater: WaterHeaterTable) -> AuxiliaryHeat:
    """What heats beside the modules, by the heater's table."""
    return AuxiliaryHeat(grid_element_of(heater), second_tank_of(heater))


def tap_water(heater: WaterHeaterTable, work: TankAtWork) -> TapWater:
    """Mixed water of a full tank at its setpoint, and the time it takes to burn."""
    valve = heater.mixing_valve
    mixed = work.setpoint if valve is None else min(valve.outlet, work.setpoint)
    at = (work.setpoint, work.inlet, work.tap)
    return TapWater(
        temperature=work.tap,
        mixing_ratio=hot_water.mixing_ratio(*at),
        volume=hot_water.delivered_volume(work.tank.volume, *at),
        unmixed=_burn(work.setpoint),
        mixed=_burn(mixed),
    )


def _burn(temperature: float) -> BurnTime:
    """Time to a burn in water of a temperature [degC]."""
    adult, child = (scald.burn_time(temperature, who) for who in ("adult", "child"))
    return BurnTime(_seconds(adult.seconds), _seconds(child.seconds), adult.bound)


def _seconds(value: float) -> float | None:
    """A time that is finite, else None."""
    return value if math.isfinite(value) else None
