"""How often a motor may start, and its shortest run, by its size or the user's own limits."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.physics.electric import motor
from wellsolar.site.schema import PumpTable, Site

SHORTEST_RUN = 60.0
"""Run below which no motor of a well pump should be stopped [s]: a maker's table for all sizes."""

LARGE_MOTOR = 5592.7
"""Power that stands for a motor of unknown size, 7 1/2 hp [W], above which no table asks more."""

SMALL_MOTOR = 372.85
"""The same of a motor of which least is asked, 1/2 hp [W]."""


@dataclass(frozen=True)
class MotorCycle:
    """What a motor bears.

    shortest_run: no run is shorter [s]; wanted_run: what the tables ask of its size [s]
    daily_starts, hourly_starts: no more [1/s]
    """

    shortest_run: float
    wanted_run: float
    daily_starts: float
    hourly_starts: float


def motor_cycle(site: Site, table: PumpTable) -> MotorCycle:
    """What a pump's motor bears; of an unknown size what the largest does.

    Parameters:
        site: the site, whose own limits come before those of the tables
    Returns:
        runs and starts
    """
    power = LARGE_MOTOR if table.rated_power is None else float(table.rated_power)
    return _cycle(site, table, power)


def at_the_best(site: Site, table: PumpTable) -> MotorCycle:
    """What a pump's motor bears if a size that the file does not give is small.

    Returns:
        runs and starts
    """
    power = SMALL_MOTOR if table.rated_power is None else float(table.rated_power)
    return _cycle(site, table, power)


def _cycle(site: Site, table: PumpTable, power: float) -> MotorCycle:
    run, starts = site.limits.run_time, site.limits.starts_a_day
    hourly = motor.greatest_hourly_starts(power)
    return MotorCycle(
        shortest_run=SHORTEST_RUN if run is None else float(run),
        wanted_run=motor.least_run(power) if run is None else float(run),
        daily_starts=(
            motor.greatest_start_rate(power, table.phases) if starts is None else float(starts)
        ),
        # At the worst demand the pump runs twice as long as with no tap open, and rests as long.
        hourly_starts=hourly if run is None else 0.25 / float(run),
    )
