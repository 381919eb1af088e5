"""Many supplies over one year: pump, array, battery and storage of each, its days short, and the
fewest modules that keep them few.

One design alone runs the scalar kernel of `battery`, in machine code 1 ms a design. Where nothing
is compiled it takes 37 ms, and many run side by side: the hours stay a loop, each hour is some
twenty array operations over all designs, 0.4 s for 12 of them, 0.7 s for 200. Both do the same
arithmetic in the same order and agree to round-off. Measured over hourly years, two passes each.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import count
from typing import Final, NamedTuple

import numpy as np

from wellsolar.physics.guards import require_range
from wellsolar.physics.supply.battery import BatterySystem, StepPlan, plan_steps, run_battery_year
from wellsolar.physics.supply.stepper import is_compiled
from wellsolar.physics.supply.year import by_day, days_are_short
from wellsolar.physics.types import FloatArray, Floats, Progress

SIDE_BY_SIDE: Final = 12
"""Designs from which running them side by side is faster than one after the other, where nothing
is compiled [-]; measured, see above."""

BATCH: Final = 256
"""Designs that run side by side at most [-], so that their hourly columns stay some 20 MB."""


@dataclass(frozen=True, eq=False)
class PumpChoice:
    """A pump at the site's head, as far as the supply through the year goes.

    name: what it is called [text]
    flow: of the running pump [m3/s]; power: its electrical input [W]
    well_volume_per_step: greatest volume the well gives it in a step [m3], scalar or steps
    """

    name: str
    flow: float
    power: float
    well_volume_per_step: Floats = math.inf


class Design(NamedTuple):
    """One supply: pump, number of modules, usable capacity of the battery [J], storage [m3]."""

    pump: PumpChoice
    modules: int
    usable_capacity: float
    storage_volume: float = 0.0


def run_designs(
    designs: Sequence[Design],
    module_power: FloatArray,
    water_demand: FloatArray,
    system: BatterySystem,
    step: float = 3600.0,
) -> FloatArray:
    """The water that each design lacks through the year, each from its own settled start.

    Parameters:
        designs: pump, modules, battery and storage of each [-], array
        module_power: of one module at the array's terminals, derated [W], array of steps
        water_demand: wanted in each step [m3], array of steps, whole days
        system: inverter and efficiencies; its capacity gives way to the design's [-], scalar
        step: length of a step, a whole part of a day [s], scalar
    Returns:
        demand not met on each day [m3], a row for each design in the order given
    Raises:
        OutOfRange: as `run_battery_year`, or a negative number of modules
    Source: as `run_battery_year`.
    """
    for design in designs:
        require_range(design.modules, 0, 1e9, "modules", "")
    unmet: list[FloatArray] = []
    many = len(designs) >= SIDE_BY_SIDE and not is_compiled()
    batch = BATCH if many else 1
    for first in range(0, len(designs), batch):
        some = designs[first : first + batch]
        if len(some) < SIDE_BY_SIDE:
            unmet += [_alone(design, module_power, water_demand, system, step) for design in some]
        else:
            unmet += [*_side_by_side(some, module_power, water_demand, system, step)]
    return np.array(unmet)


def _alone(
    design: Design,
    module_power: FloatArray,
    water_demand: FloatArray,
    system: BatterySystem,
    step: float,
) -> FloatArray:
    """What one design lacks on each day, by the scalar kernel."""
    return run_battery_year(
        module_power * design.modules,
        water_demand,
        design.pump.flow,
        design.pump.power,
        replace(system, usable_capacity=design.usable_capacity),
        design.storage_volume,
        step,
        design.pump.well_volume_per_step,
    ).unmet


def _side_by_side(
    designs: Sequence[Design],
    module_power: FloatArray,
    water_demand: FloatArray,
    system: BatterySystem,
    step: float,
) -> FloatArray:
    """What many designs lack, a row each, an array operation over all of them at a time."""
    pumps = list(dict.fromkeys(design.pump for design in designs))
    plans = {
        pump: plan_steps(
            module_power,
            water_demand,
            pump.flow,
            pump.power,
            system,
            step,
            pump.well_volume_per_step,
        )
        for pump in pumps
    }
    columns = _Columns(
        array_energy=np.outer(module_power, [design.modules for design in designs]) * step,
        pump_volume=np.column_stack([plans[design.pump].pump_volume for design in designs]),
        energy_per_volume=np.array([plans[design.pump].energy_per_volume for design in designs]),
        usable_capacity=np.array([design.usable_capacity for design in designs], dtype=float),
        storage_volume=np.array([design.storage_volume for design in designs], dtype=float),
    )
    require_range(columns.usable_capacity, 0.0, 1e15, "usable capacity", "J")
    require_range(columns.storage_volume, 0.0, 1e9, "storage volume", "m3")
    plan = plans[pumps[0]]
    start = columns.usable_capacity, columns.storage_volume
    *start_again, _ = _step_columns(columns, plan, system, *start)
    _, _, unmet = _step_columns(columns, plan, system, *start_again)
    return by_day(unmet, step).T


class _Columns(NamedTuple):
    """What differs between designs, one column a design; the first two have a row a step."""

    array_energy: FloatArray
    pump_volume: FloatArray
    energy_per_volume: FloatArray
    usable_capacity: FloatArray
    storage_volume: FloatArray


def _step_columns(
    columns: _Columns,
    plan: StepPlan,
    system: BatterySystem,
    charge: FloatArray,
    stored: FloatArray,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """`stepper.step_chain` over arrays: end charge, end volume, unmet by step.

    The order of the arithmetic is the scalar kernel's, so that the two agree to the last bit.
    """
    unmet = np.empty_like(columns.array_energy)
    least, minimum, maximum = np.zeros_like(charge), np.minimum, np.maximum
    charging, discharging = system.charge_efficiency, system.discharge_efficiency
    capacity, volume_price = columns.usable_capacity, columns.energy_per_volume
    wants = zip(plan.first_need.tolist(), plan.water_demand.tolist(), strict=True)
    for index, (first_need, demand) in enumerate(wants):
        sun = columns.array_energy[index]
        offered = charge * discharging + sun
        first = minimum(first_need, offered)
        volume = minimum(columns.storage_volume - stored + demand, columns.pump_volume[index])
        volume = minimum(volume, (offered - first) / volume_price)
        used = first + volume * volume_price
        direct = minimum(used, sun)
        taken = minimum(sun - direct, (capacity - charge) / charging)
        charge = charge - (used - direct) / discharging + taken * charging
        charge = minimum(maximum(charge, least), capacity)
        stored = stored + volume
        delivered = minimum(demand, stored)
        stored = stored - delivered
        unmet[index] = demand - delivered
    return charge, stored, unmet


ALLOWED_SHORT_DAYS: Final = (0, 3, 10)
"""Days short a year for which the smallest array is told [-]; a choice of this program."""


def smallest_array(
    days_short: Callable[[int], int],
    greatest_count: int,
    allowed: Sequence[int] = ALLOWED_SHORT_DAYS,
) -> tuple[int | None, ...]:
    """Fewest modules for each allowed number of short days, by bisection.

    Parameters:
        days_short: of a year with a number of modules, never rising with it [callable]
        greatest_count: most modules to be looked at, 1 or more [-], whole number
        allowed: short days that are put up with [-], array
    Returns:
        modules for each of `allowed`, 1 or more [-]; None where the most are too few
    Raises:
        OutOfRange: a greatest count below 1
    Source: bisection of a monotone function.
    """
    return smallest_arrays(
        lambda rows, counts: [days_short(count) for count in counts], 1, greatest_count, allowed
    )[0]


def smallest_arrays(
    days_short: Callable[[Sequence[int], Sequence[int]], Sequence[int]],
    rows: int,
    greatest_count: int,
    allowed: Sequence[int] = ALLOWED_SHORT_DAYS,
    probes: int = 1,
) -> tuple[tuple[int | None, ...], ...]:
    """Fewest modules of several supplies at a time, each by bisection, all in step.

    Parameters:
        days_short: of the supplies of given rows with given numbers of modules, never rising
            with these [callable]
        rows: number of supplies, such as pairs of pump and battery [-], whole number
        greatest_count: most modules to be looked at, 1 or more [-], whole number
        allowed: short days that are put up with [-], array
        probes: counts looked at between two bounds in a round, 1 for bisection [-], whole number
    Returns:
        for each row the modules for each of `allowed` [-]; None where the most are too few
    Raises:
        OutOfRange: a greatest count or number of probes below 1
    Source: bisection of a monotone function.
    """
    require_range(greatest_count, 1, 1_000_000, "greatest count of modules", "")
    require_range(probes, 1, 1_000_000, "probes", "")
    known: dict[tuple[int, int], int] = {}

    def look(pairs: Sequence[tuple[int, int]]) -> None:
        new = [pair for pair in dict.fromkeys(pairs) if pair not in known]
        if new:
            short_days = days_short([row for row, _ in new], [count for _, count in new])
            known.update(zip(new, short_days, strict=True))

    look([(row, greatest_count) for row in range(rows)])
    # Between them: one count that is too few, or 0 that nobody asks for, and one that is enough.
    bounds = {
        (row, level): (0, greatest_count)
        for row in range(rows)
        for level in allowed
        if known[row, greatest_count] <= level
    }
    while True:
        between = {key: _between(*ends, probes) for key, ends in bounds.items()}
        look([(row, modules) for (row, _), counts in between.items() for modules in counts])
        if not any(between.values()):
            break
        for (row, level), counts in between.items():
            few, many = bounds[row, level]
            enough = [count for count in counts if known[row, count] <= level]
            bounds[row, level] = (
                max((count for count in counts if count not in enough), default=few),
                min(enough, default=many),
            )
    return tuple(
        tuple(bounds[row, level][1] if (row, level) in bounds else None for level in allowed)
        for row in range(rows)
    )


def _between(few: int, many: int, probes: int) -> list[int]:
    """Evenly spread counts between two, both excluded; none where nothing lies between."""
    spread = {few + (many - few) * part // (probes + 1) for part in range(1, probes + 1)}
    return sorted(spread - {few})


def smallest_arrays_of(
    pumps: Sequence[PumpChoice],
    usable_capacities: Sequence[float],
    greatest_count: int,
    module_power: FloatArray,
    water_demand: FloatArray,
    system: BatterySystem,
    storage_volume: float = 0.0,
    step: float = 3600.0,
    allowed: Sequence[int] = ALLOWED_SHORT_DAYS,
    progress: Progress | None = None,
) -> tuple[tuple[int | None, ...], ...]:
    """Fewest modules of every pump with every battery, for each allowed number of short days.

    Parameters:
        pumps: pumps at the site's head [-], array
        usable_capacities: of the batteries [J], array
        greatest_count: most modules to be looked at, 1 or more [-], whole number
        module_power: of one module at the array's terminals, derated [W], array of steps
        water_demand: wanted in each step [m3], array of steps, whole days
        system: inverter and efficiencies; its capacity gives way to the design's [-], scalar
        storage_volume: tank between full and empty [m3], scalar
        step: length of a step, a whole part of a day [s], scalar
        allowed: short days that are put up with [-], array
        progress: is told how many rounds are done, and of how many at most [callable]
    Returns:
        modules for each of `allowed` [-], a row for each pump with each battery, the batteries
        of the first pump first; None where the most are too few
    Raises:
        OutOfRange: as `run_battery_year`, or a greatest count below 1
    Source: as `run_battery_year`; bisection of a monotone function.
    """
    pairs = [(pump, capacity) for pump in pumps for capacity in usable_capacities]
    # Side by side more designs cost hardly more, so few rounds with many probes are faster.
    asked = len(pairs) * len(allowed)
    probes = 1 if asked < SIDE_BY_SIDE or is_compiled() else max(1, BATCH // asked)
    rounds = 1 + _most_rounds(greatest_count, probes)
    done, wanted = count(1), by_day(np.asarray(water_demand), step)

    def days_short(rows: Sequence[int], counts: Sequence[int]) -> list[int]:
        designs = [
            Design(pairs[row][0], modules, pairs[row][1], storage_volume)
            for row, modules in zip(rows, counts, strict=True)
        ]
        unmet = run_designs(designs, module_power, water_demand, system, step)
        if progress is not None:
            progress(next(done), rounds)
        short: list[int] = days_are_short(unmet, wanted).sum(axis=1).tolist()
        return short

    return smallest_arrays(days_short, len(pairs), greatest_count, allowed, probes)


def _most_rounds(width: int, probes: int) -> int:
    """Rounds until no count is left between two bounds, at most."""
    rounds = 0
    while width > 1:
        width = -(-width // (probes + 1))
        rounds += 1
    return rounds
