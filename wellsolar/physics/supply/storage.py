"""A pump straight on its array through the hours of a year, with a storage tank and no battery.

The controller turns the array's power of the hour into the pump's speed, so the flow follows the
sun. The mean power of a step stands for the step: under broken clouds a real pump stops and
starts within the hour, which an hourly year does not show.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.hydraulics import fill
from wellsolar.physics.hydraulics.pump import (
    HeadCurve,
    interpolate_curve,
    operating_point,
    water_power,
)
from wellsolar.physics.solve import bracketed_root
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


@dataclass(frozen=True)
class PowerCurve:
    """Flow of a pump at the site's head against the power it gets.

    power: electrical input of the points, rising, above 0 [W]
    flow: flow of the points, never falling, 0 or more [m3/s]
    Straight between points, nothing below the first; above the last the controller gives the
    pump no more than the last point's power.
    """

    power: tuple[float, ...]
    flow: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.power) != len(self.flow) or not self.power:
            raise OutOfRange(
                f"a power curve needs one or more points with power and flow, "
                f"given are {len(self.power)} powers and {len(self.flow)} flows"
            )
        require_positive(self.power[0], "first power of the power curve", "W")
        require_range(self.flow[0], 0.0, math.inf, "first flow of the power curve", "m3/s")
        require_positive(self.flow[-1], "last flow of the power curve", "m3/s")
        if not all(a < b < math.inf for a, b in pairwise(self.power)):
            raise OutOfRange("the powers of a power curve must rise from point to point")
        if not all(a <= b < math.inf for a, b in pairwise(self.flow)):
            raise OutOfRange("the flows of a power curve must not fall from point to point")

    def flow_at(self, power: Floats) -> FloatArray:
        """Flow of the pump at a power.

        Parameters:
            power: electrical power on offer to the pump, 0 or more [W], scalar or array
        Returns:
            flow [m3/s]
        Raises:
            OutOfRange: negative power
        Source: linear interpolation.
        """
        require_range(power, 0.0, math.inf, "power on offer to the pump", "W")
        return np.asarray(np.interp(power, self.power, self.flow, left=0.0), dtype=np.float64)


def power_curve(
    curve: HeadCurve,
    power_flows: tuple[float, ...],
    input_power: tuple[float, ...],
    system_head: Callable[[float], float],
    density: float,
    points: int = 12,
) -> PowerCurve:
    """Flow against power of a variable-speed centrifugal pump in its system.

    Speed goes down from the datasheet's until the pump no longer lifts; the input falls with the
    cube of speed and gains what a slowed pump loses besides, as where a drive holds a pressure.

    Parameters:
        curve: head curve at the datasheet's speed [m3/s, m], scalar
        power_flows: flows at which the input is known, within the curve [m3/s], array
        input_power: electrical input there, at the datasheet's speed [W], array
        system_head: head [m] the system asks for at a flow [m3/s], rising [callable], scalar
        density: of the water [kg/m3], scalar
        points: points of the result, 2 or more [-], whole number
    Returns:
        power [W] and flow [m3/s] from the least to the datasheet's speed, a PowerCurve
    Raises:
        OutOfRange: the pump does not reach the head at full speed, its inputs do not cover the
            flows met, or its input does not rise with speed
    Source: affinity laws; Karassik et al., Pump Handbook (from memory); `fill.power_at_speed`.
    """
    require_range(points, 2, 1000, "points", "")
    if operating_point(curve, system_head).state == "below shut-off":
        raise OutOfRange(
            f"the pump makes {curve.shut_off_head:g} m at most, "
            f"the system asks for {system_head(curve.first_flow):g} m"
        )
    least = 0.0
    if system_head(0.0) > 0.0:
        least = bracketed_root(
            lambda speed: speed**2 * curve.shut_off_head - system_head(speed * curve.first_flow),
            0.0,
            1.0,
            quantity="least speed",
        )

    def at_full_speed(flow: float) -> tuple[float, float]:
        power = interpolate_curve(power_flows, input_power, flow)
        return power, water_power(flow, curve.head_at(flow), density)

    known = [at_full_speed(flow) for flow in curve.flow if flow >= power_flows[0]]
    best = min(max(water / power for power, water in known), 1.0)
    powers, flows = [], []
    # The least speed itself is left out by a hair: round-off would put it below shut-off.
    for speed in np.linspace(least + 1e-6 * (1.0 - least), 1.0, points).tolist():
        flow = operating_point(curve.at_speed(speed), system_head).flow
        corresponds = min(max(flow / speed, curve.first_flow), curve.greatest_flow)
        powers.append(fill.power_at_speed(*at_full_speed(corresponds), best, speed))
        flows.append(flow)
    return PowerCurve(tuple(powers), tuple(flows))


def table_curve(
    heads: tuple[float, ...],
    powers: tuple[tuple[float, ...], ...],
    flows: tuple[tuple[float, ...], ...],
    system_head: Callable[[float], float],
) -> PowerCurve:
    """Flow against power from the maker's table of a pump that modules drive, in its system.

    Straight between powers and between heads, nothing below the least power of the heads, and
    above the greatest no more than there. Below its least head no more flow than there; a head
    above its greatest is not made up.

    Parameters:
        heads: of the table's blocks, rising [m], array
        powers: input of each block's points, rising [W], array of arrays
        flows: flow of each block's points, rising [m3/s], array of arrays
        system_head: head [m] the system asks for at a flow [m3/s], rising [callable], scalar
    Returns:
        power [W] and flow [m3/s] at the table's powers, a PowerCurve
    Raises:
        OutOfRange: no blocks, or of unequal number; a head above the table's; no flow
            at any of its powers
    Source: linear interpolation, numpy; operating point by Brent (1973).
    """
    if not heads or not len(heads) == len(powers) == len(flows):
        raise OutOfRange(
            f"a table needs powers and flows for each head, given are {len(heads)} heads, "
            f"{len(powers)} lists of powers and {len(flows)} of flows"
        )
    asked = "head asked of the maker's table"
    # At less head a pump gives no less: the least head's flow is taken then.
    require_range(max(system_head(0.0), heads[0]), heads[0], heads[-1], asked, "m")

    def from_table(power: float, head: float) -> float:
        at_heads = [np.interp(power, *pair, left=0.0) for pair in zip(powers, flows, strict=True)]
        return float(np.interp(head, heads, at_heads, right=0.0))

    by_head: dict[float, float] = {}
    starts = float(np.interp(system_head(0.0), heads, [power[0] for power in powers]))
    known = sorted({starts, *(power for block in powers for power in block if power > starts)})
    # Where the system asks more for the last head's flow, the two meet beyond the table.
    most_asked = system_head(from_table(known[-1], heads[-1]))
    require_range(max(most_asked, heads[0]), heads[0], heads[-1], asked, "m")
    for power in known:
        most = from_table(power, system_head(0.0))

        def spare(flow: float, power: float = power) -> float:
            return from_table(power, system_head(flow)) - flow

        by_head[power] = bracketed_root(spare, 0.0, most, "flow", "m3/s") if most > 0.0 else 0.0
    require_positive(max(by_head.values()), "flow by the maker's table", "m3/s")
    # What falls with the power is a root's last digit.
    rising = np.maximum.accumulate(list(by_head.values())).tolist()
    return PowerCurve(tuple(by_head), tuple(rising))


def flow_in_sun(
    array_power: FloatArray,
    pump: PowerCurve,
    controller_efficiency: float,
    pump_input_threshold: float = 0.0,
) -> tuple[FloatArray, FloatArray]:
    """What the sun drives a pump to in each step, before tank and well are asked.

    Parameters:
        array_power: at the array's terminals, derated, mean of each step [W], array of steps
        pump: its flow against power at the site's head [W, m3/s], scalar
        controller_efficiency: power to the pump over power from the array [0..1], scalar
        pump_input_threshold: power on offer to the pump below which it stands still [W], scalar
    Returns:
        power to the pump [W] and its flow [m3/s], arrays of steps
    Raises:
        OutOfRange: an efficiency or a threshold out of bounds
    Source: definition of the efficiency; `PowerCurve`.
    """
    require_positive(controller_efficiency, "controller efficiency", "")
    require_range(controller_efficiency, 0.0, 1.0, "controller efficiency", "")
    require_range(pump_input_threshold, 0.0, math.inf, "pump input threshold", "W")
    offered = array_power * controller_efficiency
    given = np.minimum(offered, pump.power[-1])
    return given, np.where(offered >= pump_input_threshold, pump.flow_at(given), 0.0)


def run_direct_year(
    array_power: FloatArray,
    water_demand: FloatArray,
    pump: PowerCurve,
    storage_volume: float,
    controller_efficiency: float,
    pump_input_threshold: float = 0.0,
    step: float = 3600.0,
    well_volume_per_step: Floats = math.inf,
    start_volume: float | None = None,
) -> SupplyYear:
    """Array, controller, pump, storage and demand through a year of steps, without battery.

    Without a start the year is run twice, first from full storage, then from where that ended.
    More sun or more storage leaves no step with less water.

    Parameters:
        array_power: at the array's terminals, derated, mean of each step [W], array of steps
        water_demand: wanted in each step [m3], array of steps, whole days
        pump: flow against power at the site's head [W, m3/s], scalar
        storage_volume: tank between full and empty [m3], scalar
        controller_efficiency: power to the pump over power of the array [0..1], scalar
        pump_input_threshold: power to the pump below which it stands still [W], scalar
        step: length of a step, a whole part of a day [s], scalar
        well_volume_per_step: greatest volume the well gives in a step [m3], scalar or array
        start_volume: water in storage at the start [m3], scalar; None is as said above
    Returns:
        series, days short and balances [-], a SupplyYear without state of charge
    Raises:
        OutOfRange: a negative or missing value, unequal lengths, steps that make no whole days
    Source: water balance of each step; common practice, no source.
    """
    demand = checked_series(water_demand, None, "water demand", "m3")
    steps_per_day(demand.size, step)
    offered = checked_series(array_power, demand.size, "array power", "W")
    require_range(storage_volume, 0.0, 1e9, "storage volume", "m3")
    given, flow = flow_in_sun(offered, pump, controller_efficiency, pump_input_threshold)
    most = limited_volume(flow * step, well_volume_per_step, demand.size)
    start = State(0.0, start_of(start_volume, storage_volume, "volume at the start", "m3"))
    if start_volume is None:
        start = State(0.0, float(_run(demand, most, start, storage_volume, step).stored[-1]))
    columns = _run(demand, most, start, storage_volume, step)
    pumped = columns.pumped
    # The pump runs for the part of the step that its storage, its demand and its well leave it.
    share = np.divide(pumped, flow * step, out=np.zeros_like(flow), where=flow > 0.0)
    taken = np.minimum(given / controller_efficiency, offered) * share * step
    energy_pump = given * share * step
    return supply_year(
        pumped=pumped,
        unmet=np.maximum(demand - columns.given, 0.0),
        state_of_charge=columns.charge,
        stored_volume=columns.stored,
        spilled=offered * step - taken,
        water_demand=demand,
        array_energy=offered * step,
        energy_pump=math.fsum(energy_pump),
        energy_other=0.0,
        energy_other_unmet=0.0,
        energy_lost=math.fsum(energy_pump) * (1.0 / controller_efficiency - 1.0),
        start_charge=0.0,
        start_volume=start.stored,
        step=step,
        settled=start_volume is None,
    )


def _run(
    demand: FloatArray, most: FloatArray, start: State, volume: float, step: float
) -> Columns:
    """One pass of the year without a battery."""
    nothing = np.zeros_like(demand)
    series = Series(nothing, nothing, demand, most / step)
    tank = TankNumbers(volume, volume, volume)
    return run_steps(series, start, step, BatteryNumbers(), tank)[0]
