"""Balance of the casing of a pumped well: what it holds, what flows in, what is pumped.

The casing is a tank, A ds/dt = Q - q. What flows in, q, hangs on the drawdown in one of two ways:

- by specific capacity: s = q / k + C q2, without memory. The balance has a closed solution;
- by transmissivity: s = q convolved with the aquifer's response at the well's wall + C q2. The
  inflow is taken as straight between moments that lie close together after each change of pumping
  and ever farther apart later, and follows at each new moment from the balance. Long ago, its
  mean is enough.

The pump's flow may fall in a straight line as the water goes down.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import ClassVar, Final

import numpy as np

from wellsolar.physics.compiled import compiled
from wellsolar.physics.solve import bracketed_root
from wellsolar.physics.types import FloatArray
from wellsolar.physics.well.theis import Boundary, Rows, aquifer_numbers, response_at, tables

FIRST_STEP: Final = 0.05
"""First step after a change of pumping, over the time in which the casing would follow [-]."""

GROWTH: Final = 0.15
"""Later steps over the time since that change [-]; finer steps move a level by 0.4 % of the
drawdown at most, just after a change."""

MEAN_ENOUGH: Final = 0.1
"""A stretch of inflow this part of its own age or shorter counts with its mean [-]."""

ENDS_ENOUGH: Final = 0.03
"""A straight stretch this part of its own age or shorter counts with the mean of its ends [-]."""

SAME_FLOW: Final = 1e-9
"""Part of a flow [-] within which it counts as unchanged from one run to the next."""

MOST_MOMENTS: Final = 300
"""Moments kept before the old ones are thinned out."""


class SteadyWell:
    """Casing over an inflow that hangs on the drawdown of the moment alone."""

    slices: ClassVar[int] = 60
    """Lines that a pump's curve is best cut into on the way down: they cost nothing here."""

    def __init__(self, area: float, specific_capacity: float, well_loss: float) -> None:
        self.area, self.resistance, self.well_loss = area, 1.0 / specific_capacity, well_loss
        self.drawdown, self.inflow_volume = 0.0, 0.0

    def run(
        self, flow: float, duration: float, target: float = math.inf, flow_slope: float = 0.0
    ) -> float:
        """Pump for a time, or until the drawdown meets a target.

        Parameters:
            flow: flow of the pump at the beginning [m3/s], scalar
            duration: time at most [s], scalar
            target: drawdown at which to stop [m], scalar
            flow_slope: what the flow falls by for each metre of drawdown; where it is not zero
                the target is near enough for a straight line of the inflow [m2/s], scalar
        Returns:
            time that it took [s]
        Source: the balance divided, see the module.
        """
        begun = self.drawdown
        if flow_slope != 0.0:
            spent, pumped = self._run_line(flow, duration, target, flow_slope)
        else:
            spent = self._run_steady(flow, duration, target)
            pumped = flow * spent
        self.inflow_volume += pumped - self.area * (self.drawdown - begun)
        return spent

    def _run_line(
        self, flow: float, duration: float, target: float, flow_slope: float
    ) -> tuple[float, float]:
        """Run with pump and inflow as straight lines over the drawdown up to a near target."""
        before = self._inflow(self.drawdown)
        way = target - self.drawdown
        slope = flow_slope + (self._inflow(target) - before) / way
        rate, gain = slope / self.area, flow - before
        at_target = gain - slope * way
        spent, arrives = duration, gain * at_target > 0.0 and gain * way > 0.0
        if arrives:
            needed = math.log(gain / at_target) / rate
            arrives = needed <= duration
            spent = min(needed, duration)
        fallen = -math.expm1(-rate * spent)
        pumped = flow * spent - flow_slope * gain / slope * (spent - fallen / rate)
        self.drawdown = target if arrives else self.drawdown + gain / slope * fallen
        return spent, pumped

    def _run_steady(self, flow: float, duration: float, target: float) -> float:
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


class AquiferWell:
    """Casing over an aquifer that remembers what was taken from it."""

    slices: ClassVar[int] = 6
    """Lines that a pump's curve is best cut into on the way down: each takes some steps here."""

    def __init__(
        self,
        area: float,
        transmissivity: float,
        storage: float,
        radius: float,
        well_loss: float,
        boundary: Boundary | None = None,
    ) -> None:
        self.area, self.well_loss = area, well_loss
        self.aquifer = aquifer_numbers(transmissivity, storage, radius, boundary)
        self.resistance = 1.0 / (4.0 * math.pi * transmissivity)
        self.drawdown, self.flow, self.flow_slope, self.since = 0.0, 0.0, 0.0, 0.0
        self.inflow_volume = 0.0
        self.moments, self.inflows, self.means = [0.0], [0.0], list[float]()
        self._taken: tuple[Sequence[float] | FloatArray, ...] | None = None
        self.old = 0  # inflow before this moment counts with its means, after it as it runs

    def run(
        self, flow: float, duration: float, target: float = math.inf, flow_slope: float = 0.0
    ) -> float:
        """Pump for a time, or until the drawdown meets a target.

        Parameters:
            flow: flow of the pump at the beginning [m3/s], scalar
            duration: time at most [s], scalar
            target: drawdown at which to stop [m], scalar
            flow_slope: what the flow falls by for each metre of drawdown [m2/s], scalar
        Returns:
            time that it took [s]
        Source: the balance step by step, see the module.
        """
        self.flow_slope = flow_slope
        if abs(flow - self.flow) > SAME_FLOW * max(flow, self.flow):
            self.since = 0.0
            self._thin_out()
        self.flow = flow
        resistance = self.resistance + 2.0 * self.well_loss * max(flow, self.inflows[-1])
        following = self.area / (1.0 / resistance + flow_slope)
        first, spent = FIRST_STEP * following, 0.0
        while spent < duration:
            step = min(max(first, GROWTH * self.since), duration - spent)
            inflow, drawdown = self._after(step)
            met = (self.drawdown - target) * (drawdown - target) < 0.0
            if met:
                root = bracketed_root(
                    lambda time: (self._after(time)[1] if time else self.drawdown) - target,
                    *(0.0, step, "time to the level", "s", 1e-9),
                )
                step = max(root, 1e-9 * step)
                inflow, drawdown = self._after(step)
            spent += step
            self._note(step, inflow, drawdown)
            if met:
                return spent
        return duration

    def _after(self, step: float) -> tuple[float, float]:
        """Inflow and drawdown one step on, from the balance of the casing over that step."""
        now = self.inflows[-1]
        half = 0.5 * step / (self.area + 0.5 * self.flow_slope * step)
        steady, response = self._aquifer(step)
        known = steady - now * response
        constant = known - self.drawdown + (now - 2.0 * self.flow) * half
        linear = response + half
        root = math.sqrt(linear**2 + 4.0 * self.well_loss * abs(constant))
        inflow = -2.0 * constant / (linear + root)
        return inflow, known + inflow * (response + self.well_loss * abs(inflow))

    def _aquifer(self, step: float) -> tuple[float, float]:
        """Drawdown a step on if the inflow stayed, and for each unit it rises along the step."""
        machine = compiled(fall_after)
        kernel: Callable[..., None] = machine or fall_after
        taken, found, read = self._taken or self._take(), np.zeros(2), tables(machine is not None)
        kernel(*taken, float(self.old), step, self.aquifer, *read, found)
        return float(found[0]), float(found[1])

    def _take(self) -> tuple[Sequence[float] | FloatArray, ...]:
        """What was taken so far: the moments, the jumps between the means, and from the last of
        them on how the inflow rises between moments; till something is noted."""
        inflows = np.array(self.inflows[self.old :])
        jumps = np.array([*self.means, inflows[0]])
        jumps[1:] -= jumps[:-1].copy()
        taken = np.array(self.moments), jumps, inflows[1:] - inflows[:-1]
        plain = compiled(fall_after) is None  # which reads a list faster
        self._taken = tuple(each.tolist() for each in taken) if plain else taken
        return self._taken

    def _note(self, step: float, inflow: float, drawdown: float) -> None:
        self._taken = None
        self.inflow_volume += 0.5 * step * (self.inflows[-1] + inflow)
        self.moments.append(self.moments[-1] + step)
        self.inflows.append(inflow)
        self.flow -= self.flow_slope * (drawdown - self.drawdown)
        self.drawdown = drawdown
        self.since += step
        if len(self.moments) - self.old > MOST_MOMENTS:
            self._thin_out()

    def _thin_out(self) -> None:
        """Join stretches that lie far back into longer ones, each with its mean inflow."""
        self._taken = None
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
            if ended - self.moments[kept[-1]] > MEAN_ENOUGH * (now - ended):
                kept.append(index)
                volumes.append(0.0)
            volumes[-1] += mean * (ended - begun)
        else:
            index = len(self.moments) - 1
        ends = [self.moments[place] for place in (*kept[1:], index)]
        begins = [self.moments[place] for place in kept]
        if index > 0:
            self.means = [
                volume / (end - begin)
                for volume, begin, end in zip(volumes, begins, ends, strict=True)
            ]
            self.moments = begins + self.moments[index:]
            self.inflows = [self.inflows[place] for place in kept] + self.inflows[index:]
            self.old = len(begins)


def fall_after(
    moments: Sequence[float],
    jumps: Sequence[float],
    rises: Sequence[float],
    old: float,
    step: float,
    aquifer: Sequence[float],
    wall: Rows,
    line: Rows,
    found: list[float],
) -> None:
    """Drawdown a step on that an aquifer's past inflow leaves: a kernel, in machine code where
    that can be had, as it runs some ten thousand times a year.

    Parameters:
        moments: times between which the inflow is known, the last one now [s], array
        jumps: what the mean inflow rises by at the first moments, the last jump at the one from
            which on the inflow itself is known [m3/s], array
        rises: what it rises by in straight lines from there to each later moment [m3/s], array
        old: place of that moment [-], whole number
        step: time from now on [s], scalar
        aquifer: its numbers [aquifer_numbers' units], 4 floats
        wall: table of its response at the well's wall [-], of `theis.tables`
        line: table of its image's [-], of the same
        found: filled with the drawdown if the inflow stayed [m], and with that for each unit that
            it rises along the step [s/m2], 2 floats
    Returns:
        nothing [-]
    Source: superposition (Theis 1935), see the module.
    """
    last, drawdown = len(moments) - 1, 0.0
    begun, response_begun, integral_begun = 0.0, 0.0, 0.0
    for place in range(len(moments)):
        # The difference would round a short step late in a long time.
        elapsed = step if place == last else moments[last] + step - moments[place]
        response, integral = response_at(elapsed, aquifer, wall, line)
        if place <= old:
            drawdown += response * jumps[place]
        else:
            span = begun - elapsed
            # Far back both ends stand for a straight line; the difference there would lose digits.
            mean = 0.5 * (response_begun + response)
            if span > ENDS_ENOUGH * begun:
                mean = (integral_begun - integral) / span
            drawdown += mean * rises[place - int(old) - 1]
        begun, response_begun, integral_begun = elapsed, response, integral
    found[0], found[1] = drawdown, integral_begun / step
