"""A pump on array, battery and inverter through the hours of a year.

Each step lumps its energy: the array serves the loads first and directly, what is left of it
charges the battery, what is missing comes out of it. Idle draw and other loads come before the
pump; the pump then runs whenever the storage has room, for the part of the step that energy,
inverter and well allow. Under this policy more sun or more battery leaves no step with less
water, so days short fall, never rise, with the number of modules.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from wellsolar.physics.compiled import compiled
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.supply.year import (
    SupplyYear,
    checked_series,
    limited_volume,
    start_of,
    steps_per_day,
    supply_year,
)
from wellsolar.physics.types import FloatArray, Floats


@dataclass(frozen=True, eq=False)
class BatterySystem:
    """Battery and inverter that stand between array and pump.

    usable_capacity: energy between the full and the emptiest allowed battery [J]
    charge_efficiency, discharge_efficiency: stored over taken, given over drawn [0..1]
    inverter_efficiency: output over the input beyond idling [0..1]; 1 for a direct-current pump
    inverter_idle_power: drawn at every hour, loaded or not [W]
    inverter_rating: greatest continuous output [W]; inf for none
    other_load: mean power of what else the inverter feeds, before the pump [W], scalar or steps
    """

    usable_capacity: float
    charge_efficiency: float
    discharge_efficiency: float
    inverter_efficiency: float
    inverter_idle_power: float = 0.0
    inverter_rating: float = math.inf
    other_load: Floats = 0.0

    def __post_init__(self) -> None:
        require_range(self.usable_capacity, 0.0, 1e15, "usable capacity", "J")
        for name in ("charge", "discharge", "inverter"):
            efficiency = getattr(self, f"{name}_efficiency")
            require_positive(efficiency, f"{name} efficiency", "")
            require_range(efficiency, 0.0, 1.0, f"{name} efficiency", "")
        require_range(self.inverter_idle_power, 0.0, 1e12, "inverter idle power", "W")
        require_range(self.inverter_rating, 0.0, math.inf, "inverter rating", "W")
        require_range(self.other_load, 0.0, min(self.inverter_rating, 1e12), "other load", "W")


def run_battery_year(
    array_power: FloatArray,
    water_demand: FloatArray,
    pump_flow: float,
    pump_power: float,
    system: BatterySystem,
    storage_volume: float = 0.0,
    step: float = 3600.0,
    well_volume_per_step: Floats = math.inf,
    start_charge: float | None = None,
    start_volume: float | None = None,
) -> SupplyYear:
    """Array, battery, inverter, pump, storage and demand through a year of steps.

    Without any start the year is run twice, first from full battery and full storage, then from
    where that ended; with one start given the other is full. The pump stands still in a step in
    which it and the other load together are above the inverter's rating. Greater storage lowers
    days short likewise as long as the pump keeps up with the demand of any one step; where it
    does not, water given at one peak may cost a later day.

    Parameters:
        array_power: at the array's terminals, derated, mean of each step [W], array of steps
        water_demand: wanted in each step [m3], array of steps, whole days
        pump_flow: of the running pump at the site's head [m3/s], scalar
        pump_power: electrical input of the running pump [W], scalar
        system: battery and inverter [-], scalar
        storage_volume: tank between full and empty, such as a cistern [m3], scalar
        step: length of a step, a whole part of a day [s], scalar
        well_volume_per_step: greatest volume the well gives in a step [m3], scalar or array
        start_charge: energy in the battery at the start [J], scalar; None is as said above
        start_volume: water in storage at the start [m3], scalar; None is as said above
    Returns:
        series, days short and balances [-], a SupplyYear
    Raises:
        OutOfRange: a negative or missing value, unequal lengths, steps that make no whole days
    Source: energy and water balances of each step; order of loads: common practice, no source.
    """
    plan = plan_steps(
        array_power, water_demand, pump_flow, pump_power, system, step, well_volume_per_step
    )
    require_range(storage_volume, 0.0, 1e9, "storage volume", "m3")
    start = (
        start_of(start_charge, system.usable_capacity, "charge at the start", "J"),
        start_of(start_volume, storage_volume, "volume at the start", "m3"),
    )
    settled = start_charge is None and start_volume is None
    if settled:
        first = _run(plan, system, storage_volume, start)
        start = (float(first[2][-1]), float(first[3][-1]))
    columns = _run(plan, system, storage_volume, start)
    return _battery_result(plan, columns, start, system, pump_power * step, settled)


class StepPlan(NamedTuple):
    """What each step offers and asks, before it is known what battery and storage hold.

    array_energy: offered by the array [J]; first_need: into the inverter before the pump [J]
    water_demand: [m3]; pump_volume: the most that pump, well and inverter give [m3]; arrays
    energy_per_volume: from battery or array for each cubic metre [J/m3]
    pump_flow: [m3/s]; other_load: [W], array; step: [s]
    """

    array_energy: FloatArray
    first_need: FloatArray
    water_demand: FloatArray
    pump_volume: FloatArray
    energy_per_volume: float
    pump_flow: float
    other_load: FloatArray
    step: float


def plan_steps(
    array_power: FloatArray,
    water_demand: FloatArray,
    pump_flow: float,
    pump_power: float,
    system: BatterySystem,
    step: float,
    well_volume_per_step: Floats,
) -> StepPlan:
    """Offers and wants of each step, checked.

    Parameters:
        array_power: at the array's terminals, derated, mean of each step [W], array of steps
        water_demand: wanted in each step [m3], array of steps, whole days
        pump_flow: of the running pump at the site's head [m3/s], scalar
        pump_power: electrical input of the running pump [W], scalar
        system: battery and inverter [-], scalar
        step: length of a step, a whole part of a day [s], scalar
        well_volume_per_step: greatest volume the well gives in a step [m3], scalar or array
    Returns:
        a StepPlan, energies [J] and volumes [m3]
    Raises:
        OutOfRange: a negative or missing value, unequal lengths, steps that make no whole days
    Source: energy is power times time; definition of the inverter's efficiency.
    """
    demand = checked_series(water_demand, None, "water demand", "m3")
    steps_per_day(demand.size, step)
    power = checked_series(array_power, demand.size, "array power", "W")
    other = checked_series(system.other_load, demand.size, "other load", "W")
    require_positive(pump_flow, "pump flow", "m3/s")
    require_positive(pump_power, "pump power", "W")
    require_range(pump_power, 0.0, 1e12, "pump power", "W")
    volume = limited_volume(pump_flow * step, well_volume_per_step, demand.size)
    first = step * (system.inverter_idle_power + other / system.inverter_efficiency)
    return StepPlan(
        array_energy=power * step,
        first_need=first,
        water_demand=demand,
        pump_volume=np.where(other + pump_power <= system.inverter_rating, volume, 0.0),
        energy_per_volume=pump_power / (system.inverter_efficiency * pump_flow),
        pump_flow=pump_flow,
        other_load=other,
        step=step,
    )


def _run(
    plan: StepPlan, system: BatterySystem, storage_volume: float, start: tuple[float, float]
) -> list[FloatArray]:
    """The kernel's output columns, as arrays, for one pass of the year: in machine code where that
    can be had, else over lists, which plain Python indexes several times faster than arrays."""
    given = [plan.array_energy, plan.first_need, plan.water_demand, plan.pump_volume]
    columns = [np.zeros(plan.water_demand.size) for _ in range(8)]
    numbers: Sequence[float] = (
        start[0],
        start[1],
        float(system.usable_capacity),
        float(system.charge_efficiency),
        float(system.discharge_efficiency),
        plan.energy_per_volume,
        float(storage_volume),
    )
    machine = compiled(step_battery)
    if machine is not None:
        machine(*(np.ascontiguousarray(each, float) for each in given), *columns, *numbers)
        return columns
    lists: list[Any] = [each.tolist() for each in (*given, *columns)]
    step_battery(*lists, *numbers)
    return [np.array(each) for each in lists[len(given) :]]


def step_battery(
    array_energy: Sequence[float],
    first_need: Sequence[float],
    water_demand: Sequence[float],
    pump_volume: Sequence[float],
    pumped: list[float],
    unmet: list[float],
    state_of_charge: list[float],
    stored_volume: list[float],
    spilled: list[float],
    first_served: list[float],
    charge_taken: list[float],
    charge_drawn: list[float],
    start_charge: float,
    start_volume: float,
    usable_capacity: float,
    charge_efficiency: float,
    discharge_efficiency: float,
    energy_per_volume: float,
    storage_volume: float,
) -> None:
    """The inner loop of `run_battery_year`: scalars over lists, so that it also compiles.

    Parameters:
        array_energy: offered by the array [J], list of steps
        first_need: into the inverter before the pump [J], list of steps
        water_demand: wanted [m3], list of steps
        pump_volume: the most that pump, well and inverter give [m3], list of steps
        pumped: output, volume pumped [m3], list of steps
        unmet: output, demand not met [m3], list of steps
        state_of_charge: output, usable energy in the battery at the end [J], list of steps
        stored_volume: output, water in storage at the end [m3], list of steps
        spilled: output, array energy that nothing took [J], list of steps
        first_served: output, given to the inverter before the pump [J], list of steps
        charge_taken: output, array energy into the battery, before its loss [J], list of steps
        charge_drawn: output, energy out of the battery, before its loss [J], list of steps
        start_charge: energy in the battery at the start [J], scalar
        start_volume: water in storage at the start [m3], scalar
        usable_capacity: of the battery [J], scalar
        charge_efficiency: stored over taken [0..1], scalar
        discharge_efficiency: given over drawn [0..1], scalar
        energy_per_volume: from battery or array for each cubic metre [J/m3], scalar
        storage_volume: tank between full and empty [m3], scalar
    Returns:
        nothing [-]; the outputs are filled in place
    Source: as `run_battery_year`.
    """
    charge, stored = start_charge, start_volume
    for index in range(len(water_demand)):
        sun, demand = array_energy[index], water_demand[index]
        offered = charge * discharge_efficiency + sun
        first = first_need[index]
        first = first if first < offered else offered
        volume = storage_volume - stored + demand
        most = pump_volume[index]
        volume = volume if volume < most else most
        affordable = (offered - first) / energy_per_volume
        volume = volume if volume < affordable else affordable
        used = first + volume * energy_per_volume
        direct = used if used < sun else sun
        drawn = (used - direct) / discharge_efficiency
        surplus = sun - direct
        room = (usable_capacity - charge) / charge_efficiency
        taken = surplus if surplus < room else room
        charge = charge - drawn + taken * charge_efficiency
        # Round-off alone can pass either end.
        charge = charge if charge > 0.0 else 0.0
        charge = charge if charge < usable_capacity else usable_capacity
        stored = stored + volume
        delivered = demand if demand < stored else stored
        stored = stored - delivered
        pumped[index] = volume
        unmet[index] = demand - delivered
        state_of_charge[index] = charge
        stored_volume[index] = stored
        spilled[index] = surplus - taken
        first_served[index] = first
        charge_taken[index] = taken
        charge_drawn[index] = drawn


def _battery_result(
    plan: StepPlan,
    columns: list[FloatArray],
    start: tuple[float, float],
    system: BatterySystem,
    pump_energy_per_step: float,
    settled: bool,
) -> SupplyYear:
    """Sums and closures; each loss is computed from its own flow, not as what is left over."""
    pumped, unmet, charge, stored, spilled, first, taken, drawn = columns
    wanted_first = np.where(plan.first_need > 0.0, plan.first_need, 1.0)
    other = plan.other_load * plan.step
    given_other = other * (first / wanted_first)
    pump = pumped * (pump_energy_per_step / (plan.pump_flow * plan.step))
    inverter_loss = first - given_other + pumped * plan.energy_per_volume - pump
    battery_loss = taken * (1.0 - system.charge_efficiency)
    battery_loss = battery_loss + drawn * (1.0 - system.discharge_efficiency)
    return supply_year(
        pumped=pumped,
        unmet=unmet,
        state_of_charge=charge,
        stored_volume=stored,
        spilled=spilled,
        water_demand=plan.water_demand,
        array_energy=plan.array_energy,
        energy_pump=float(pump.sum()),
        energy_other=float(given_other.sum()),
        energy_other_unmet=float((other - given_other).sum()),
        energy_lost=float(inverter_loss.sum()) + float(battery_loss.sum()),
        start_charge=start[0],
        start_volume=start[1],
        step=plan.step,
        settled=settled,
    )
