"""A pump on array, battery and inverter through the hours of a year.

Each step lumps its energy: the array serves the loads first and directly, what is left of it
charges the battery, what is missing comes out of it. Idle draw and other loads come before the
pump; the pump then runs whenever the storage has room, for the part of the step that energy,
inverter and well allow. Under this policy more sun or more battery leaves no step with less
water, so days short fall, never rise, with the number of modules.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.supply.stepper import (
    BatteryNumbers,
    Columns,
    Series,
    State,
    TankNumbers,
    run_steps,
)
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
    start = State(
        start_of(start_charge, system.usable_capacity, "charge at the start", "J"),
        start_of(start_volume, storage_volume, "volume at the start", "m3"),
    )
    settled = start_charge is None and start_volume is None
    numbers = BatteryNumbers(
        system.usable_capacity,
        system.charge_efficiency,
        system.discharge_efficiency,
        plan.energy_per_volume,
    )
    series = Series(plan.array_energy, plan.first_need, plan.water_demand, plan.pump_volume / step)
    tank = TankNumbers(storage_volume, storage_volume, storage_volume)
    if settled:
        _, start = run_steps(series, start, step, numbers, tank)
    columns, _ = run_steps(series, start, step, numbers, tank)
    return year_of(columns, series, system, start, step, settled)


class StepPlan(NamedTuple):
    """What each step offers and asks, before it is known what battery and storage hold.

    array_energy: offered by the array [J]; first_need: into the inverter before the pump [J]
    water_demand: [m3]; pump_volume: the most that pump, well and inverter give [m3]; arrays
    energy_per_volume: from battery or array for each cubic metre [J/m3]
    """

    array_energy: FloatArray
    first_need: FloatArray
    water_demand: FloatArray
    pump_volume: FloatArray
    energy_per_volume: float


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
    )


def year_of(
    outcome: Columns,
    series: Series,
    system: BatterySystem,
    start: State,
    step: float,
    settled: bool,
) -> SupplyYear:
    """Sums and closures of a run; each loss is computed from its own flow, not as what is left.

    Parameters:
        outcome: what came out of each step [-], arrays of steps
        series: what each step offered and asked [-], arrays of steps
        system: battery and inverter [-], scalar
        start: where the run began [-], scalars
        step: length of a step [s], scalar
        settled: the year began as it ended [-], true or false
    Returns:
        a SupplyYear, volumes [m3] and energies [J]
    Source: conservation of volume and energy; definition of the inverter's efficiency.
    """
    wanted, served = series.first_need, outcome.first_served
    other = np.broadcast_to(np.asarray(system.other_load), wanted.shape) * step
    given_other = other * np.divide(served, wanted, out=np.zeros_like(served), where=wanted > 0.0)
    taken = outcome.pumps_took
    pump = taken * system.inverter_efficiency
    lost = served - given_other + taken - pump
    lost = lost + outcome.charge_taken * (1.0 - system.charge_efficiency)
    lost = lost + outcome.charge_drawn * (1.0 - system.discharge_efficiency)
    return supply_year(
        pumped=outcome.pumped,
        unmet=np.maximum(series.water_demand - outcome.given, 0.0),
        state_of_charge=outcome.charge,
        stored_volume=outcome.stored,
        spilled=outcome.spilled,
        water_demand=series.water_demand,
        array_energy=series.array_energy,
        energy_pump=float(pump.sum()),
        energy_other=float(given_other.sum()),
        energy_other_unmet=float((other - given_other).sum()),
        energy_lost=float(lost.sum()),
        start_charge=start.charge,
        start_volume=start.stored,
        step=step,
        settled=settled,
        volume_overflow=float(outcome.overflow.sum()),
    )
