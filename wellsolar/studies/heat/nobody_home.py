"""The tank without its household, and the tank without its sun."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from wellsolar.constants import DAY, HOUR
from wellsolar.physics.tank import events as tank_events
from wellsolar.physics.tank import overheating
from wellsolar.physics.types import FloatArray
from wellsolar.results import DarkDay, HeatDay, NobodyHome
from wellsolar.site.schema import WaterHeaterTable
from wellsolar.studies.array.heater_circuit import HeaterCircuit
from wellsolar.studies.heat.days import TankAtWork
from wellsolar.studies.heat.year import HOURS_A_DAY
from wellsolar.studies.house.draws import MOST_TANKS, TapDraw, in_pieces, largest_shift
from wellsolar.studies.sun.days import STEP, Sky

LONGEST_ABSENCE = 60
"""Clear days in a row that are looked at."""

BOILING = 100.0
"""Where an open tank boils at sea level [degC]; no tank is followed above it."""

DARK_DAYS = 7


def nobody_home(
    heater: WaterHeaterTable,
    work: TankAtWork,
    circuit: HeaterCircuit,
    sky: Sky | None,
    plane: tuple[float, float],
    days: tuple[HeatDay, ...],
) -> NobodyHome | None:
    """A tank at its setpoint left alone in clear weather, its thermostat failed closed.

    Parameters:
        heater: the heater's table
        work: the tank
        circuit: the array on its element
        sky: of the site, or None
        plane: tilt and azimuth of the array [deg]
        days: of each month
    Returns:
        days until its guards act; None where the site's sun is not known
    """
    if sky is None or not days:
        return None
    sunniest = max(days, key=lambda day: day.element_energy)
    power = circuit.through(sky.kinds_of_day(sunniest.month, *plane)[sunniest.kind])
    stuck = replace(work, setpoint=math.inf)
    run = stuck.run(np.tile(power, LONGEST_ABSENCE), work.setpoint, high_limit=BOILING)
    told = heater.relief_temperature
    relief = overheating.RELIEF_TEMPERATURE if told is None else float(told)
    limit = None if heater.high_limit is None else float(heater.high_limit)
    return NobodyHome(
        month=sunniest.month,
        hottest=BOILING
        if math.isfinite(run.high_limit_time)
        else float(run.top_temperature.max()),
        high_limit=limit,
        days_to_high_limit=None if limit is None else _days_until(limit, run.top_temperature),
        relief=relief,
        days_to_relief=_days_until(relief, run.top_temperature),
    )


def _days_until(limit: float, tops: FloatArray) -> float | None:
    """Days until the top of a tank is as hot as a limit [degC]; None where it never is."""
    hotter = np.flatnonzero(tops >= limit - 1e-6)
    return float(hotter[0] + 1) * STEP / DAY if hotter.size else None


def dark_days(work: TankAtWork, draws: tuple[TapDraw, ...] | None) -> tuple[DarkDay, ...]:
    """A week without sun, from the setpoint at midnight.

    Parameters:
        work: the tank
        draws: of a day; None where they are not known
    Returns:
        the tank at the end of each day
    """
    daily = sum(draw.volume for draw in draws or ())
    if draws is None or daily > MOST_TANKS * work.tank.volume:
        drawn = None
    else:
        drawn = _week(replace(work, largest_shift=largest_shift(daily, work.tank.volume)), draws)
    idle = _week(work, ())
    made = []
    for day in range(DARK_DAYS):
        nodes = None if drawn is None else drawn[day]
        made.append(
            DarkDay(
                day=day + 1,
                mean_temperature=None if nodes is None else float(nodes.mean()),
                top_temperature=None if nodes is None else float(nodes.max()),
                tap_volume=None if nodes is None else work.tap_volume(nodes),
                idle_temperature=float(idle[day].mean()),
                idle_tap_volume=work.tap_volume(idle[day]),
            )
        )
    return tuple(made)


def _week(work: TankAtWork, draws: tuple[TapDraw, ...]) -> list[FloatArray]:
    """The nodes at the end of each day."""
    dark = np.zeros(HOURS_A_DAY)
    step, draw = np.full(HOURS_A_DAY, HOUR), dark
    if draws:
        pieces = in_pieces(draws, work.tank.volume)
        steps = tank_events.schedule(
            dark, tank_events.every_day(pieces, 1, 0.0), 0.0, 0.0, HOUR, longest_busy=HOUR
        )
        step, draw = steps.step, steps.tap_draw
    made: list[FloatArray] = []
    nodes = np.full(work.tank.nodes, work.setpoint)
    for _ in range(DARK_DAYS):
        nodes = work.run(np.zeros(step.size), nodes, draw, step).end_temperatures
        made.append(nodes)
    return made
