"""A well under a pump whose flow falls as the water goes down.

The deeper the water, the more head the pump works against and the less it gives: its flow is read
from a table of levels, and between two of its slices is a straight line. `well_level` has the same
questions for a flow that does not change.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from wellsolar.constants import DAY
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import FloatArray, Floats
from wellsolar.physics.well.casing_balance import AquiferWell, SteadyWell
from wellsolar.physics.well.level_in_time import MOST_STARTS, PumpedDay, WellModel, well_at_rest

SETTLED: Final = 1e-9
"""Part of the way to a level [-] within which the water counts as there."""


CYCLES: Final = 25
"""Starts that are followed one by one in a well that remembers; later ones by their mean."""

LEAST_FLOW: Final = 1e-15
"""Flow [m3/s] below which nothing flows."""

NARROW: Final = 2e-3
"""Part of a drawdown [-] within which the mean of many starts is held."""


@dataclass(frozen=True)
class FirstRun:
    """A pump's first run, from water at rest.

    duration: till the water was at the level, infinite where it was not reached [s]. volume:
    pumped meanwhile [m3]. end_level: depth to water at the end [m].
    """

    duration: float
    volume: float
    end_level: float


class _Pump:
    """A pump's flow over the drawdown, zero where its table has no flow."""

    def __init__(self, model: WellModel, level_points: Floats, flow_points: Floats) -> None:
        levels = np.atleast_1d(np.asarray(level_points, dtype=float))
        flows = np.atleast_1d(np.asarray(flow_points, dtype=float))
        require_range(float(levels.size), 2.0, math.inf, "number of levels", "")
        require_range(float(flows.size), levels.size, levels.size, "number of flows", "")
        require_positive(np.diff(levels), "step from level to level", "m")
        require_range(
            -np.diff(flows), 0.0, math.inf, "fall of the flow from level to level", "m3/s"
        )
        require_range(flows, 0.0, math.inf, "flow", "m3/s")
        self.drawdowns, self.flows = levels - model.static_level, flows

    def at(self, drawdown: float) -> float:
        return float(np.interp(drawdown, self.drawdowns, self.flows))

    def run(self, well: SteadyWell | AquiferWell, duration: float, stop: float) -> float:
        """Run till the drawdown `stop` or so long; the time that it took."""
        if stop <= well.drawdown:
            return 0.0
        slice_ = stop / well.slices
        left = duration
        while left > 0.0 and stop - well.drawdown > SETTLED * stop:
            edge = min(stop, (math.floor(well.drawdown / slice_ + 1e-6) + 1.0) * slice_)
            flow = self.at(well.drawdown)
            slope = (flow - self.at(edge)) / (edge - well.drawdown)
            left -= well.run(flow, left, edge, slope)
        return duration - left


def first_run(
    model: WellModel,
    level_points: Floats,
    flow_points: Floats,
    stop_level: float,
) -> FirstRun:
    """How long a pump runs from rest until the water is down at a level, and what it gives in a
    day at most.

    Parameters:
        model: the well [its fields' units]
        level_points: depths to water for which the pump's flow is known, rising [m], array
        flow_points: flow of the pump at each, of all pumps together, not rising [m3/s], array
        stop_level: depth that the water must not pass [m], scalar
    Returns:
        time, infinite where the level is not reached, volume and last level [their fields' units]
    Raises:
        OutOfRange: lists that do not fit, a flow that rises
    Source: balance of the casing, as in well_level.level_through, the flow in straight lines.
    """
    pump, well = _Pump(model, level_points, flow_points), well_at_rest(model)
    stop = stop_level - model.static_level
    ran = pump.run(well, DAY, stop)
    volume = well.inflow_volume + model.storage_area * well.drawdown
    reached = well.drawdown >= stop * (1.0 - SETTLED)
    end_level = model.static_level + well.drawdown
    return FirstRun(ran if reached else math.inf, volume, end_level)


def levels_while_pumped(
    model: WellModel,
    level_points: Floats,
    flow_points: Floats,
    time: Floats,
    lowest_level: float,
) -> FloatArray:
    """Depth to water in a well at rest that is pumped without a stop.

    Parameters:
        model: the well [its fields' units]
        level_points: depths to water for which the pump's flow is known, rising [m], array
        flow_points: flow of the pump at each, of all pumps together, not rising [m3/s], array
        time: times since the start, rising [s], array
        lowest_level: the intake, at which the water stays once it is there [m], scalar
    Returns:
        depth to water at each time [m]
    Raises:
        OutOfRange: lists that do not fit, a flow that rises, times that do not rise
    Source: balance of the casing, as in well_level.level_through, the flow in straight lines.
    """
    at = np.atleast_1d(np.asarray(time, dtype=float))
    spans = np.diff(at, prepend=0.0)
    require_positive(spans, "time between two moments", "s")
    pump, well = _Pump(model, level_points, flow_points), well_at_rest(model)
    lowest = lowest_level - model.static_level
    drawn = []
    for span in spans.tolist():
        pump.run(well, span, lowest)
        drawn.append(well.drawdown)
    return model.static_level + np.array(drawn)


def pumped_on_and_off(
    model: WellModel,
    level_points: Floats,
    flow_points: Floats,
    stop_level: float,
    restart_level: float,
    duration: float,
) -> PumpedDay:
    """What a pump really gives that is stopped at one level and starts again at another.

    The well is at rest before. The casing's first filling is in the sum: over several days the
    mean of a day is less.

    Parameters:
        model: the well [its fields' units]
        level_points: depths to water for which the pump's flow is known, rising [m], array
        flow_points: flow of the pump at each, of all pumps together, not rising [m3/s], array
        stop_level: depth at which the pump is stopped against running dry [m], scalar
        restart_level: depth, less than that, at which it starts again [m], scalar
        duration: time [s], scalar
    Returns:
        volume, starts, pumping time, inflow and last level [their fields' units]
    Raises:
        OutOfRange: lists that do not fit, a flow that rises, duration not above zero, restart not
            above stop, or levels so close that the pump would start more than 10 000 times
    Source: balance of the casing, as in `level_in_time`, the flow in straight lines.
    """
    require_positive(duration, "duration", "s")
    pump, well = _Pump(model, level_points, flow_points), well_at_rest(model)
    cycles = _Cycles(model, pump, well, stop_level, restart_level)
    cycles.run(duration)
    return cycles.since(duration)


def level_after_rest(
    model: WellModel, level_points: Floats, flow_points: Floats, stop_level: float, rest: float
) -> float:
    """Depth to water so long after a pump has drawn it down to a level and was stopped.

    Parameters:
        model: the well [its fields' units]
        level_points: depths to water for which the pump's flow is known, rising [m], array
        flow_points: flow of the pump at each, of all pumps together, not rising [m3/s], array
        stop_level: depth at which the pump is stopped against running dry [m], scalar
        rest: time since then [s], scalar
    Returns:
        depth to water [m]
    Raises:
        OutOfRange: lists that do not fit, a flow that rises, rest not above zero
    Source: balance of the casing, as in `level_in_time`; after the first run from rest, so that an
        aquifer that remembers stands deeper after later ones.
    """
    require_positive(rest, "rest", "s")
    pump, well = _Pump(model, level_points, flow_points), well_at_rest(model)
    pump.run(well, DAY, stop_level - model.static_level)
    well.run(0.0, rest)
    return model.static_level + well.drawdown


def pumped_day_after_day(
    model: WellModel,
    level_points: Floats,
    flow_points: Floats,
    stop_level: float,
    restart_level: float,
    days: int,
) -> tuple[PumpedDay, ...]:
    """The same for days one after the other; only the first begins at rest.

    Parameters:
        model: the well [its fields' units]
        level_points: depths to water for which the pump's flow is known, rising [m], array
        flow_points: flow of the pump at each, of all pumps together, not rising [m3/s], array
        stop_level: depth at which the pump is stopped against running dry [m], scalar
        restart_level: depth, less than that, at which it starts again [m], scalar
        days: how many [-], scalar
    Returns:
        volume, starts, pumping time, inflow and last level of each day [their fields' units]
    Raises:
        OutOfRange: as pumped_on_and_off
    Source: as pumped_on_and_off.
    """
    pump, well = _Pump(model, level_points, flow_points), well_at_rest(model)
    cycles = _Cycles(model, pump, well, stop_level, restart_level)
    found = []
    for _ in range(days):
        cycles.run(DAY)
        found.append(cycles.since(DAY))
    return tuple(found)


class _Cycles:
    """A pump that goes on and off by the level, and what it took since it was last asked."""

    def __init__(
        self,
        model: WellModel,
        pump: _Pump,
        well: SteadyWell | AquiferWell,
        stop_level: float,
        restart_level: float,
    ) -> None:
        require_positive(stop_level - restart_level, "stop level below the restart level", "m")
        self.model, self.pump, self.well = model, pump, well
        self.stop = stop_level - model.static_level
        self.restart = restart_level - model.static_level
        self.state: Literal["ready", "running", "resting"] = "ready"
        self.all_starts = 0
        self.starts, self.pumping_time, self.noted = 0, 0.0, (0.0, 0.0)

    def run(self, duration: float) -> None:
        """Let so much time go by."""
        left = duration
        while left > 0.0 and self.stop > 0.0:
            if self.state == "resting":
                if self.well.drawdown > self.restart * (1.0 + SETTLED):
                    left -= self.well.run(0.0, left, self.restart)
                if left > 0.0:
                    self.state = "ready"
                continue
            if self._many():
                self._run_by_the_mean(left)
                return
            if self.state == "ready":
                self._start()
            ran = self.pump.run(self.well, left, self.stop)
            self.pumping_time += ran
            left -= ran
            if left > 0.0:
                self.state = "resting"

    def _many(self) -> bool:
        """Whether a well that remembers would start one time more than is followed."""
        remembers = isinstance(self.well, AquiferWell) and self.restart > 0.0
        return remembers and self.state == "ready" and self.all_starts >= CYCLES

    def _start(self) -> None:
        self.state = "running"
        self.starts, self.all_starts = self.starts + 1, self.all_starts + 1
        require_range(float(self.all_starts), 0.0, float(MOST_STARTS), "number of starts", "")

    def _run_by_the_mean(self, duration: float) -> None:
        """Many more cycles, the water held at their mean meanwhile.

        While the water comes back the inflow is nearly in proportion to the drawdown, so that the
        mean of a cycle is the logarithmic one.
        """
        well = self.well
        mean = (self.stop - self.restart) / math.log(self.stop / self.restart)
        before, flow = well.inflow_volume, self.pump.at(mean)
        left = duration - self.pump.run(well, duration, mean)
        if left > 0.0:
            well.run(flow, left, flow_slope=flow / (NARROW * mean))
        inflow = max((well.inflow_volume - before) / duration, LEAST_FLOW)
        # A cycle empties what stands between the levels while the inflow goes on.
        between = well.area * (self.stop - self.restart)
        cycle = between * (1.0 / inflow + 1.0 / max(flow - inflow, LEAST_FLOW))
        self.starts += round(duration / cycle)
        self.pumping_time += min(inflow / flow, 1.0) * duration if flow > 0.0 else 0.0

    def since(self, duration: float) -> PumpedDay:
        """What was taken in so much time."""
        well, model = self.well, self.model
        volume = well.inflow_volume + model.storage_area * well.drawdown
        day = PumpedDay(
            volume - self.noted[0],
            self.starts,
            min(self.pumping_time, duration),
            well.inflow_volume - self.noted[1],
            model.static_level + well.drawdown,
        )
        self.noted = (volume, well.inflow_volume)
        self.starts, self.pumping_time = 0, 0.0
        return day
