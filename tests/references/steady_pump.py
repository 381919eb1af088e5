"""A pump of steady flow in a well at rest, stopped and started at two levels, run by run."""

from __future__ import annotations

import math

from wellsolar.constants import DAY
from wellsolar.physics.well.level_in_time import PumpedDay, WellModel, well_at_rest

HORIZON = 3650.0 * DAY
"""Ten years [s]; a level not reached within them counts as never reached."""


def time_to_level(model: WellModel, flow: float, level: float) -> float:
    """Time [s] until the water is down at a level [m]; inf where it never gets there."""
    target = level - model.static_level
    if target <= 0.0:
        return 0.0
    ran = well_at_rest(model).run(flow, HORIZON, target)
    return ran if ran < HORIZON else math.inf


def pumped_day(
    model: WellModel, flow: float, stop_level: float, restart_level: float
) -> PumpedDay:
    """What the pump gives in a day; the casing's first filling is in the sum."""
    well = well_at_rest(model)
    stop, restart = stop_level - model.static_level, restart_level - model.static_level
    left, pumping_time, starts = DAY, 0.0, 0
    while left > 0.0 and stop > 0.0:
        starts += 1
        ran = well.run(flow, left, stop)
        pumping_time += ran
        left -= ran
        left -= well.run(0.0, left, restart)
    inflow = flow * pumping_time - model.storage_area * well.drawdown
    level = model.static_level + well.drawdown
    return PumpedDay(flow * pumping_time, starts, pumping_time, inflow, level)
