"""Level in a pumped well through time: what the casing holds, and what the aquifer gives.

The casing is a tank, A ds/dt = Q - q. What flows in, q, hangs on the drawdown in one of two ways:

- by specific capacity: s = q / k + C q2, without memory. The balance has a closed solution;
- by transmissivity: s = q convolved with the aquifer's response at the well's wall + C q2. The
  inflow is taken as straight between moments that lie close together after each change of pumping
  and ever farther apart later, and follows at each new moment from the balance. Long ago, its
  mean is enough.

Levels are depths below the wellhead. Pumps in one well share its drawdown: their flows add up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.constants import DAY
from wellsolar.physics.solve import bracketed_root, require_positive, require_range
from wellsolar.physics.theis import wall_response
from wellsolar.physics.types import FloatArray, Floats

FIRST_STEP: Final = 0.05
"""First step after a change of pumping, over the time in which the casing would follow [-]."""

GROWTH: Final = 0.15
"""Later steps over the time since that change [-]; finer steps move a level by 0.4 % of the
drawdown at most, just after a change."""

MEAN_ENOUGH: Final = 0.1
"""A stretch of inflow this part of its own age or shorter counts with its mean [-]."""

ENDS_ENOUGH: Final = 0.03
"""A straight stretch this part of its own age or shorter counts with the mean of its ends [-]."""

MOST_MOMENTS: Final = 300
"""Moments kept before the old ones are thinned out."""

HORIZON: Final = 3650.0 * DAY
"""Ten years [s]; a level not reached within them counts as never reached."""

MOST_STARTS: Final = 10_000
"""Starts after which the two levels of a pump's control are taken for a mistake."""


@dataclass(frozen=True)
class WellModel:
    """A well that is pumped: its casing, and its aquifer described in one of two ways.

    static_level: depth to water at rest [m]. storage_area: area of water in the casing less what
    hangs in it [m2]. Either specific_capacity: inflow for each metre of drawdown [m2/s], well loss
    left out if it is given below; or transmissivity [m2/s], storage [-] and radius of the well
    [m]. well_loss: C of Jacob [s2/m5].
    """

    static_level: float
    storage_area: float
    specific_capacity: float | None = None
    transmissivity: float | None = None
    storage: float | None = None
    radius: float | None = None
    well_loss: float = 0.0

    def __post_init__(self) -> None:
        require_positive(self.storage_area, "area of water in the casing", "m2")
        require_range(self.well_loss, 0.0, math.inf, "well loss", "s2/m5")
        aquifer = (self.transmissivity, self.storage, self.radius)
        if self.specific_capacity is not None:
            require_positive(self.specific_capacity, "specific capacity", "m2/s")
            if any(each is not None for each in aquifer):
                raise OutOfRange("a well takes specific capacity or transmissivity, not both")
        elif any(each is None for each in aquifer):
            raise OutOfRange(
                "a well takes specific capacity, or transmissivity with storage and radius"
            )


@dataclass(frozen=True)
class PumpedDay:
    """What an on/off pump takes out of a well in a day, or in another time.

    volume: water pumped [m3]. starts: starts of the pump. pumping_time: time it ran [s].
    inflow_volume: water out of the aquifer [m3]. end_level: depth to water at the end [m].
    """

    volume: float
    starts: int
    pumping_time: float
    inflow_volume: float
    end_level: float


def level_through(
    model: WellModel, times: Floats, flows: Floats, lowest_level: float = math.inf
) -> FloatArray:
    """Depth to water under a given course of pumping, from rest.

    Parameters:
        model: the well [its fields' units]
        times: moments, rising; the well is at rest at the first [s], array
        flows: flow from each moment to the next, one fewer than the moments; of several pumps, one
            row a pump [m3/s], array
        lowest_level: level at which the pump stops till the next moment [m], scalar
    Returns:
        depth to water at each moment [m], array
    Raises:
        OutOfRange: negative flow, times that do not rise, or lists that do not fit
    Source: balance of the casing; aquifer and casing as in Papadopulos and Cooper (1967), Water
        Resources Research 3:241, superposed; well loss of Jacob (1947).
    """
    at = np.atleast_1d(np.asarray(times, dtype=float))
    rates = np.atleast_1d(np.asarray(flows, dtype=float))
    total = rates.sum(axis=0) if rates.ndim == 2 else rates
    require_range(float(total.size), at.size - 1.0, at.size - 1.0, "number of flows", "")
    require_range(rates, 0.0, math.inf, "flow", "m3/s")
    spans = np.diff(at)
    require_positive(spans, "time between two moments", "s")
    well = _well(model)
    lowest = lowest_level - model.static_level
    drawn = [0.0]
    for flow, span in zip(total.tolist(), spans.tolist(), strict=True):
        ran = well.run(flow, span, lowest) if well.drawdown < lowest else 0.0
        if ran < span:
            well.run(0.0, span - ran)
        drawn.append(well.drawdown)
    return model.static_level + np.array(drawn)


def time_to_level(model: WellModel, flow: float, level: float) -> float:
    """How long a well at rest can be pumped until the water is down at a level.

    With the level of the intake, or of the cover it needs: time until it draws air.

    Parameters:
        model: the well [its fields' units]
        flow: steady flow, of all pumps together [m3/s], scalar
        level: depth that the water must not pass [m], scalar
    Returns:
        time [s]; 0 where the level at rest is not above it, infinite where it is not reached
        within ten years
    Raises:
        OutOfRange: negative flow
    Source: balance of the casing, as in level_through.
    """
    require_range(flow, 0.0, math.inf, "flow", "m3/s")
    target = level - model.static_level
    if target <= 0.0:
        return 0.0
    ran = _well(model).run(flow, HORIZON, target)
    return ran if ran < HORIZON else math.inf


def sustained_flow(model: WellModel, lowest_level: float, duration: float) -> float:
    """Greatest steady flow that a well at rest gives for a time.

    Parameters:
        model: the well [its fields' units]
        lowest_level: deepest level allowed [m], scalar
        duration: time, such as a day or a season of 90 days [s], scalar
    Returns:
        flow [m3/s]; zero where the level at rest is not above the lowest
    Raises:
        OutOfRange: duration not above zero
    Source: balance of the casing, as in level_through; solved by Brent's method.
    """
    require_positive(duration, "duration", "s")
    allowed = lowest_level - model.static_level
    if allowed <= 0.0:
        return 0.0

    def excess(flow: float) -> float:
        well = _well(model)
        well.run(flow, duration)
        return well.drawdown - allowed

    high = allowed * model.storage_area / duration
    while excess(high) < 0.0:
        high *= 4.0
    return bracketed_root(excess, 0.0, high, "sustained flow", "m3/s", 1e-9)


def daily_volume(
    model: WellModel,
    pump_flow: float,
    stop_level: float,
    restart_level: float,
    duration: float = DAY,
) -> PumpedDay:
    """What a pump really gives that is stopped at one level and starts again at another.

    The well is at rest before. The casing's first filling is in the sum: over several days the
    mean of a day is less.

    Parameters:
        model: the well [its fields' units]
        pump_flow: flow while the pump runs, of all pumps together [m3/s], scalar
        stop_level: depth at which the pump is stopped against running dry [m], scalar
        restart_level: depth, less than that, at which it starts again [m], scalar
        duration: time, a day unless given [s], scalar
    Returns:
        volume, starts, pumping time, inflow and last level [their fields' units]
    Raises:
        OutOfRange: flow or duration not above zero, restart not above stop, or levels so close
            that the pump would start more than 10 000 times
    Source: balance of the casing, as in level_through.
    """
    require_positive(pump_flow, "flow of the pump", "m3/s")
    require_positive(duration, "duration", "s")
    require_positive(stop_level - restart_level, "stop level below the restart level", "m")
    well = _well(model)
    stop, restart = stop_level - model.static_level, restart_level - model.static_level
    left, pumping_time, starts = duration, 0.0, 0
    while left > 0.0 and stop > 0.0:
        starts += 1
        require_range(float(starts), 0.0, float(MOST_STARTS), "number of starts", "")
        ran = well.run(pump_flow, left, stop)
        pumping_time += ran
        left -= ran
        left -= well.run(0.0, left, restart)
    volume = pump_flow * pumping_time
    inflow = volume - model.storage_area * well.drawdown
    return PumpedDay(volume, starts, pumping_time, inflow, model.static_level + well.drawdown)


class _SteadyWell:
    """Casing over an inflow that hangs on the drawdown of the moment alone."""

    def __init__(self, area: float, specific_capacity: float, well_loss: float) -> None:
        self.area, self.resistance, self.well_loss = area, 1.0 / specific_capacity, well_loss
        self.drawdown = 0.0

    def run(self, flow: float, duration: float, target: float = math.inf) -> float:
        """Pump for a time, or until the drawdown meets a target; return the time that took."""
        before = self._inflow(self.drawdown)
        slope = self.resistance + 2.0 * self.well_loss * flow
        if target != math.inf:
            at_target = self._inflow(target)
            if min(before, flow) < at_target < max(before, flow):
                logarithm = math.log((flow - before) / (flow - at_target))
                change = 2.0 * self.well_loss * (at_target - before)
                needed = self.area * (slope * logarithm - change)
                if needed <= duration:
                    self.drawdown = target
                    return needed
        inflow = self._inflow_after(flow, flow - before, slope, duration / self.area)
        self.drawdown = inflow * (self.resistance + self.well_loss * inflow)
        return duration

    def _inflow(self, drawdown: float) -> float:
        root = math.sqrt(self.resistance**2 + 4.0 * self.well_loss * max(drawdown, 0.0))
        return 2.0 * max(drawdown, 0.0) / (self.resistance + root)

    def _inflow_after(self, flow: float, lacking: float, slope: float, run: float) -> float:
        """Inflow after a time over the area, `run`, from one that lacks so much of the flow.

        The balance divides into slope y - 2 C lacking (1 - exp(-y)) = run, where exp(-y) of the
        lack is left. Newton's steps from this side of the root all go one way.
        """
        bend = 2.0 * self.well_loss * lacking
        y = (run + max(bend, 0.0)) / slope if lacking > 0.0 or bend == 0.0 else 0.0
        for _ in range(60):
            left = math.exp(-y)
            step = (slope * y - bend * (1.0 - left) - run) / (slope - bend * left)
            y -= step
            if abs(step) <= 1e-13 * (1.0 + y):
                break
        return flow - lacking * math.exp(-y)


class _TheisWell:
    """Casing over an aquifer that remembers what was taken from it."""

    def __init__(
        self, area: float, transmissivity: float, storage: float, radius: float, well_loss: float
    ) -> None:
        self.area, self.well_loss = area, well_loss
        self.aquifer = (transmissivity, storage, radius)
        self.resistance = 1.0 / (4.0 * math.pi * transmissivity)
        self.drawdown, self.flow, self.since = 0.0, math.nan, 0.0
        self.moments, self.inflows, self.means = [0.0], [0.0], list[float]()
        self.old = 0  # inflow before this moment counts with its means, after it as it runs

    def run(self, flow: float, duration: float, target: float = math.inf) -> float:
        """Pump for a time, or until the drawdown meets a target; return the time that took."""
        if flow != self.flow:
            self.flow, self.since = flow, 0.0
            self._thin_out()
        resistance = self.resistance + 2.0 * self.well_loss * max(flow, self.inflows[-1])
        first, spent = FIRST_STEP * self.area * resistance, 0.0
        while spent < duration:
            step = min(max(first, GROWTH * self.since), duration - spent)
            inflow, drawdown = self._after(step)
            met = (self.drawdown - target) * (drawdown - target) < 0.0
            if met:
                step = bracketed_root(
                    lambda each: (self._after(each)[1] if each else self.drawdown) - target,
                    *(0.0, step, "time to the level", "s", 1e-9),
                )
                inflow, drawdown = self._after(step)
            spent += step
            self._note(step, inflow, drawdown)
            if met:
                return spent
        return duration

    def _after(self, step: float) -> tuple[float, float]:
        """Inflow and drawdown one step on, from the balance of the casing over that step."""
        now = self.inflows[-1]
        half = 0.5 * step / self.area
        steady, response = self._aquifer(step)
        known = steady - now * response
        constant = known - self.drawdown + (now - 2.0 * self.flow) * half
        linear = response + half
        root = math.sqrt(linear**2 + 4.0 * self.well_loss * abs(constant))
        inflow = -2.0 * constant / (linear + root)
        return inflow, known + inflow * (response + self.well_loss * abs(inflow))

    def _aquifer(self, step: float) -> tuple[float, float]:
        """Drawdown a step on if the inflow stayed, and for each unit it rises along the step."""
        inflows = np.array(self.inflows[self.old :])
        elapsed = self.moments[-1] + step - np.array(self.moments)
        elapsed[-1] = step  # the sum above would round a short step late in a long time
        response, integral = wall_response(elapsed, *self.aquifer)
        rates = np.concatenate((self.means, inflows[:1]))
        jumps = response[: self.old + 1] @ np.diff(rates, prepend=0.0)
        begun, ended = elapsed[self.old : -1], elapsed[self.old + 1 :]
        span = begun - ended
        # Far back both ends stand for a straight line; the difference there would lose digits.
        straight = 0.5 * (response[self.old : -1] + response[self.old + 1 :])
        near = span > ENDS_ENOUGH * begun
        straight[near] = (-np.diff(integral[self.old :]) / np.where(near, span, 1.0))[near]
        return float(jumps + straight @ np.diff(inflows)), float(integral[-1] / step)

    def _note(self, step: float, inflow: float, drawdown: float) -> None:
        self.moments.append(self.moments[-1] + step)
        self.inflows.append(inflow)
        self.drawdown = drawdown
        self.since += step
        if len(self.moments) - self.old > MOST_MOMENTS:
            self._thin_out()

    def _thin_out(self) -> None:
        """Join stretches that lie far back into longer ones, each with its mean inflow."""
        now = self.moments[-1]
        kept, volumes = [0], [0.0]
        for index in range(len(self.moments) - 1):
            begun, ended = self.moments[index], self.moments[index + 1]
            if index < self.old:
                mean = self.means[index]
            elif ended - begun <= MEAN_ENOUGH * (now - ended):
                mean = 0.5 * (self.inflows[index] + self.inflows[index + 1])
            else:
                break
            if kept[-1] < index and ended - self.moments[kept[-1]] > MEAN_ENOUGH * (now - ended):
                kept.append(index)
                volumes.append(0.0)
            volumes[-1] += mean * (ended - begun)
        else:
            index = len(self.moments) - 1
        ends = [self.moments[each] for each in (*kept[1:], index)]
        begins = [self.moments[each] for each in kept]
        if index > 0:
            self.means = [
                volume / (end - begin)
                for volume, begin, end in zip(volumes, begins, ends, strict=True)
            ]
            self.moments = begins + self.moments[index:]
            self.inflows = [self.inflows[each] for each in kept] + self.inflows[index:]
            self.old = len(begins)


def _well(model: WellModel) -> _SteadyWell | _TheisWell:
    """The well at rest."""
    if model.specific_capacity is not None:
        return _SteadyWell(model.storage_area, model.specific_capacity, model.well_loss)
    assert model.transmissivity is not None
    assert model.storage is not None
    assert model.radius is not None
    return _TheisWell(
        model.storage_area, model.transmissivity, model.storage, model.radius, model.well_loss
    )
