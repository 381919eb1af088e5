"""Well pumps that fill a tank, and the booster or the fall that empties it, through a year."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.supply.battery import BatterySystem, year_of
from wellsolar.physics.supply.stepper import (
    NO_BOUND,
    SMEARED,
    BatteryNumbers,
    Casing,
    DrawNumbers,
    OtherPump,
    Series,
    State,
    TankNumbers,
    WellNumbers,
    run_steps,
)
from wellsolar.physics.supply.year import (
    SupplyYear,
    checked_series,
    gap,
    steps_per_day,
)
from wellsolar.physics.types import FloatArray, Floats


class OtherFiller(NamedTuple):
    """A filling pump beside the first.

    flow: at its head [m3/s], scalar or steps; power: its input from the inverter, 0 on another
    supply [W]
    dry_drawdown, restart_drawdown, restart_time: as of `WellNumbers` [m, m, s]
    casing: 0 where it draws from the first's well, else the number of one of the other casings,
    from 1 [-]
    """

    flow: Floats
    power: float = 0.0
    dry_drawdown: float = 0.0
    restart_drawdown: float = 0.0
    restart_time: float = math.inf
    casing: int = 0


@dataclass(frozen=True, eq=False)
class Chain:
    """The links of a supply, from the well to the house.

    pump_flow: of the running filling pump, at its head [m3/s], scalar or steps; where the sun
        drives it, that of each step
    tank, draw, well: numbers of storage, house and well
    battery: battery and inverter, None where no pump hangs on them
    array_power: into the battery [W], scalar or steps
    fill_power, boost_power: input of each pump from the inverter, 0 for one on another supply [W]
    boost_flow: of the booster at its head, with its input [m3/s]
    others: filling pumps beside the first; casings: of the wells that are not the first's
    in_turn: True where an alternator runs one of them at a time, False where they run at once; one
        that the well, the dark or an empty battery keeps is passed over
    """

    pump_flow: Floats
    tank: TankNumbers
    draw: DrawNumbers = SMEARED
    well: WellNumbers = NO_BOUND
    battery: BatterySystem | None = None
    array_power: Floats = 0.0
    fill_power: float = 0.0
    boost_power: float = 0.0
    boost_flow: float = math.inf
    others: tuple[OtherFiller, ...] = ()
    casings: tuple[Casing, ...] = ()
    in_turn: bool = False

    def __post_init__(self) -> None:
        tank, well = self.tank, self.well
        require_positive(tank.volume, "volume of the tank", "m3")
        require_range(tank.least, 0.0, tank.volume, "volume at which the booster stops", "m3")
        require_range(
            tank.fills_below, tank.least, math.inf, "volume at which the pump starts", "m3"
        )
        require_range(
            tank.fills_to, tank.fills_below, math.inf, "volume at which the pump stops", "m3"
        )
        require_range(self.draw.flow, 0.0, 1e6, "flow of a draw", "m3/s")
        require_positive(self.draw.booster_flow, "flow of the booster", "m3/s")
        pumps = (OtherFiller(self.pump_flow, 0.0, *well[2:]), *self.others)
        for number, casing in enumerate((Casing(*well[:2]), *self.casings)):
            require_range(casing.area, 0.0, 1e6, "area of the casing", "m2")
            if casing.area <= 0.0:
                continue
            require_positive(casing.specific_capacity, "specific capacity", "m2/s")
            stops = [pump[2:5] for pump in pumps if pump.casing == number]
            for stop in stops:
                _check_stops(*stop)
            # A pump that follows the inflow has the casing to itself.
            apart = all(back < dry and wait > 0.0 for dry, back, wait in stops)
            if len(stops) > 1 and not apart:
                raise OutOfRange("several filling pumps are each stopped by the well for a while")

    @property
    def areas(self) -> tuple[float, ...]:
        """Areas of the casings, the first well's first [m2]."""
        return (self.well.area, *(casing.area for casing in self.casings))


def _check_stops(dry: float, back: float, wait: float) -> None:
    require_positive(dry, "drawdown at which the pump stops", "m")
    require_range(back, 0.0, dry, "drawdown at the restart", "m")
    require_range(wait, 0.0, math.inf, "time to the restart", "s")


@dataclass(frozen=True, eq=False)
class ChainYear:
    """What a chain did in a year.

    supply: days short, volumes, energies and closures; its storage is the tank
    drawdown: of the first well at the end of each step [m], array of steps
    starts: of all filling pumps [-]
    least_stored, mean_stored: in the tank [m3]
    turnover: mean water in the tank over what the house takes of it [s]
    well_balance_error: |inflow - pumped + change in the casings| over the largest [-]
    """

    supply: SupplyYear
    drawdown: FloatArray
    starts: float
    least_stored: float
    mean_stored: float
    turnover: float
    well_balance_error: float


def run_chain_year(
    chain: Chain, water_demand: FloatArray, step: float = 3600.0, start: State | None = None
) -> ChainYear:
    """The year of a chain, twice, so that it ends as it began.

    Parameters:
        chain: its links [-], scalar
        water_demand: wanted by the house in each step [m3], array of steps, whole days
        step: length of a step, a whole part of a day [s], scalar
        start: where the year begins, run once; None for full tank and battery over a well at rest,
            run twice [-], scalar
    Returns:
        series, days short and balances [-]
    Raises:
        OutOfRange: a negative or missing value, unequal lengths, steps that make no whole days
    Source: balances of water and energy; the stepper.
    """
    demand = checked_series(water_demand, None, "water demand", "m3")
    steps_per_day(demand.size, step)
    flows = [
        checked_series(flow, demand.size, "flow of the filling pump", "m3/s")
        for flow in (chain.pump_flow, *(other.flow for other in chain.others))
    ]
    array_energy = step * checked_series(chain.array_power, demand.size, "array power", "W")
    system = chain.battery or BatterySystem(0.0, 1.0, 1.0, 1.0)
    other = checked_series(system.other_load, demand.size, "other load", "W")
    first = step * (system.inverter_idle_power + other / system.inverter_efficiency)
    through = system.inverter_efficiency

    def price(power: float, flow: FloatArray) -> float:
        greatest = float(flow.max())
        return power / (through * greatest) if greatest > 0.0 else 0.0

    numbers = BatteryNumbers(
        system.usable_capacity,
        system.charge_efficiency,
        system.discharge_efficiency,
        price(chain.fill_power, flows[0]),
        chain.boost_power / (through * chain.boost_flow),
    )
    others = tuple(
        OtherPump(price(other.power, flow), *other[2:])
        for other, flow in zip(chain.others, flows[1:], strict=True)
    )
    series = Series(array_energy, first, demand, np.stack(flows, axis=1).ravel())
    links = (
        step, numbers, chain.tank, chain.draw, chain.well, others, chain.in_turn, chain.casings,
    )  # fmt: skip
    settled = start is None
    if start is None:
        full = min(chain.tank.fills_to, chain.tank.volume)
        start = State(system.usable_capacity, full, 0.0, 0.0)
        _, start = run_steps(series, start, *links)
    columns, end = run_steps(series, start, *links)
    supply = year_of(columns, series, system, start, step, settled)
    inflow = float(columns.inflow.sum())
    stored = columns.stored
    mean, days = float(stored.mean()), demand.size * step / DAY
    given = supply.volume_delivered / days
    change = chain.well.area * (end.drawdown - start.drawdown)
    began = start.others_drawdown or (0.0,) * len(chain.casings)
    for casing, before, after in zip(chain.casings, began, end.others_drawdown, strict=True):
        change += casing.area * (after - before)
    return ChainYear(
        supply=supply,
        drawdown=columns.drawdown,
        starts=float(columns.starts.sum()),
        least_stored=float(stored.min()),
        mean_stored=mean,
        turnover=mean / given * DAY if given > 0.0 else math.inf,
        well_balance_error=(
            gap(0.0, supply.volume_pumped, (inflow, change)) if max(chain.areas) > 0.0 else 0.0
        ),
    )
