"""What a household gets from a PV-heated tank in a year, alone and with what heats beside it."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace
from functools import cache

from wellsolar.beside import beside
from wellsolar.physics.solve import bracketed_root
from wellsolar.results.heat import Household
from wellsolar.studies.heat import verdicts as heat_verdicts
from wellsolar.studies.heat.tank import (
    UPPER,
    AuxiliaryHeat,
    GridElement,
    SecondTank,
    TankAtWork,
)
from wellsolar.studies.heat.year import (
    HeatedYear,
    YearRun,
    evening_of_days,
    heat_months,
    household_year,
    pv_share,
    run_hours,
    run_two_tanks,
    run_year,
)
from wellsolar.studies.house.demand import HOURS_A_DAY, HeatAims, evening_draw, is_no_households

LEAST_DRAW = 0.1
"""Share of the household's draw below which no smaller one is looked for."""

ROUNDS = 4
"""Searches by the hour, each set right by the fine run before it."""

CLEARANCE, EVENING_CLEARANCE = 0.002, 0.01
"""Shares of the draw by which a draw that is advised stays below the one found; days are counted
whole, so that the evenings' is less fine."""

ABOVE_TAP = (1.0, 4.0, 8.0, 14.0)
"""Warmth above that of the tap at which an upper thermostat is tried to close again [K]."""


NO_HOUSEHOLD = Household()
"""Where the file does not tell the sun or the draw, or a draw that is no household's."""


def study_household(
    work: TankAtWork, heated: HeatedYear, auxiliary: AuxiliaryHeat, aims: HeatAims
) -> Household:
    """The household's year.

    Parameters:
        auxiliary: what else heats; before a second tank an element on the grid stays off
    Returns:
        months and years, and the draws that would be small enough; `NO_HOUSEHOLD` where the day's
        draw is too many tanks
    """
    with household_beside(work, heated, auxiliary, aims) as household:
        return household()


@contextmanager
def household_beside(
    work: TankAtWork, heated: HeatedYear, auxiliary: AuxiliaryHeat, aims: HeatAims | None
) -> Iterator[Callable[[], Household]]:
    """The household's year, the half of it on PV alone made beside this process.

    Parameters:
        auxiliary: what else heats; before a second tank an element on the grid stays off
        aims: what the tank should give; None where what would give it is not looked for
    Returns:
        for the length of a block, what gives that of `study_household`; to be called once
    """
    second = math.inf if auxiliary.second is None else auxiliary.second.tank.volume
    if is_no_households(heated.daily_draw, work.tank.volume, second):
        yield lambda: NO_HOUSEHOLD
        return
    aim = None if aims is None else aims.evenings
    if auxiliary.grid is None and auxiliary.second is None:
        with _on_pv(work, heated) as on_pv:
            by_hour = _by_hour(work, heated)
            yield lambda: _with_auxiliary(
                work, heated, auxiliary, aim,
                lambda: _advised(work, heated, aims, on_pv(by_hour), by_hour),
            )  # fmt: skip
        return
    with beside(lambda: _alone(work, heated, aims)) as alone:
        yield lambda: _with_auxiliary(work, heated, auxiliary, aim, alone)


_Years = dict[Hashable, Household]

_YEARS: ContextVar[_Years | None] = ContextVar("_YEARS", default=None)


@contextmanager
def years_kept() -> Iterator[None]:
    """For the length of a block, the years on PV alone are kept: who tries designs and then judges
    the one that was chosen does not run its year again."""
    token = _YEARS.set({})
    try:
        yield
    finally:
        _YEARS.reset(token)


@contextmanager
def _on_pv(work: TankAtWork, heated: HeatedYear) -> Iterator[Callable[[ByHour], Household]]:
    """The year on PV alone, of which the run along the draws is made beside this process and those
    by the hour in it."""
    years = _YEARS.get()
    key = (
        work, heated.draws, heated.power.tobytes(),
        *(other_power.tobytes() for other_power in heated.other_powers),
    )  # fmt: skip
    if years is not None and key in years:
        kept = years[key]
        yield lambda by_hour: kept
        return

    with beside(lambda: run_year(work, heated)) as along_the_draws:

        def made(by_hour: ByHour) -> Household:
            if heated.other_powers:
                for year in range(len(heated.other_powers) + 1):
                    by_hour(1.0, year)
            household = _of_year(work, heated, along_the_draws(), by_hour)
            if years is not None:
                years[key] = household
            return household

        yield made


def _of_year(work: TankAtWork, heated: HeatedYear, year: YearRun, by_hour: ByHour) -> Household:
    """What a year on PV alone comes to."""
    closes = work.setpoint - work.differential
    others = _other_evenings(work, heated, year, by_hour)
    household = household_year(heated, year, "PV", closes, others)
    months, share = heat_months(heated, year), pv_share(heated, year)
    return Household(months=months, households=(household,), annual_share=share)


def _alone(work: TankAtWork, heated: HeatedYear, aims: HeatAims | None) -> Household:
    """The year on PV alone, and the draws of which that gives what is aimed at."""
    by_hour = _by_hour(work, heated)
    household = _of_year(work, heated, run_year(work, heated), by_hour)
    return _advised(work, heated, aims, household, by_hour)


def _advised(
    work: TankAtWork,
    heated: HeatedYear,
    aims: HeatAims | None,
    found: Household,
    by_hour: ByHour,
) -> Household:
    """The same with the draws of which the modules give what is aimed at."""
    if aims is None:
        return found
    (household,), share = found.households, found.annual_share
    part = _share_draw(work, heated, share, aims.share, by_hour)
    hot, alone = household.fewest_evenings / household.year.days, None
    if aims.sun_evenings is not None and hot < aims.sun_evenings:
        alone = _evening_draw(work, heated, None, hot, aims.sun_evenings, by_hour)
    return replace(found, share_draw=part, sun_evening_draw=alone)


def _with_auxiliary(
    work: TankAtWork,
    heated: HeatedYear,
    auxiliary: AuxiliaryHeat,
    aim: float | None,
    alone: Callable[[], Household],
) -> Household:
    """The year with what else heats, then what is wanted of the one without it, and what would
    better the evenings."""
    helped = []
    grid, second = auxiliary.grid, auxiliary.second
    if grid is not None:
        closes = work.setpoint - work.differential
        year = run_year(work, heated, grid=grid)
        others = _other_evenings(work, heated, year, _by_hour(work, heated, grid))
        helped.append(household_year(heated, year, "upper element", closes, others))
    if second is not None:
        closes = second.thermostat - work.differential
        year = run_two_tanks(work, second, heated)
        others = _other_evenings(work, heated, year, _by_hour(work, heated, second=second))
        helped.append(household_year(heated, year, "second tank", closes, others))
    household = alone()
    household = replace(household, households=(*household.households, *helped))
    last = household.households[-1]
    hot = last.fewest_evenings / last.year.days
    if aim is None or hot >= aim:
        return household
    small = None
    if second is None:
        small = _evening_draw(work, heated, grid, hot, aim, _by_hour(work, heated, grid))
    thermostat = _evening_thermostat(work, heated, auxiliary, aim)
    return replace(household, evening_draw=small, evening_thermostat=thermostat)


ByHour = Callable[[float, int], YearRun]
"""The coarse run at a part of the draws through the year, 0, or through another one of the same
months, 1 and on; each kept."""


def _by_hour(
    work: TankAtWork,
    heated: HeatedYear,
    grid: GridElement | None = None,
    second: SecondTank | None = None,
) -> ByHour:
    """Coarse runs, kept for as long as a search lasts."""
    powers = (heated.power, *heated.other_powers)
    return cache(lambda part, year: run_hours(work, heated, part, grid, second, powers[year]))


def _other_evenings(
    work: TankAtWork, heated: HeatedYear, year: YearRun, by_hour: ByHour, part: float = 1.0
) -> tuple[int, ...]:
    """Hot evenings in the other years: as many more or fewer than in the site's own as coarse
    runs of both tell. What is hot on every evening of one year the grid makes so in all."""
    hot = int(evening_of_days(heated, year).hot.sum())
    if hot == heated.days:
        return (hot,) * len(heated.other_powers)
    own = _hot_by_hour(work, heated, by_hour(part, 0))
    counts = [
        hot + _hot_by_hour(work, heated, by_hour(part, other)) - own
        for other in range(1, len(heated.other_powers) + 1)
    ]
    return tuple(min(max(count, 0), heated.days) for count in counts)


def _hot_by_hour(work: TankAtWork, heated: HeatedYear, year: YearRun) -> int:
    """Evenings of a coarse run after whose draw the top is still as warm as the taps want."""
    draw = evening_draw(heated.draws)
    hour = int((draw.start + draw.duration) // 3600) % HOURS_A_DAY
    return int((year.top_temperature[hour::HOURS_A_DAY] >= work.tap).sum())


def _share_draw(
    work: TankAtWork, heated: HeatedYear, share: float | None, aim: float, by_hour: ByHour
) -> float | None:
    """The draw a day of which PV gives the share aimed at [m3]; None where it gives more, or less
    of even the smallest draw."""
    if share is None or share >= aim:
        return None

    def fine(part: float) -> float:
        return (pv_share(heated, run_year(work, heated, part)) or 0.0) - aim

    def coarse(part: float) -> float:
        return pv_share(heated, by_hour(part, 0)) or 0.0

    part = _largest_part(fine, coarse, share - aim, CLEARANCE)
    return None if part is None else heated.daily_draw * part


def _evening_draw(
    work: TankAtWork,
    heated: HeatedYear,
    grid: GridElement | None,
    hot: float,
    aim: float,
    by_hour: ByHour,
) -> float | None:
    """The draw a day with which the evenings are hot often enough [m3]; None where not even the
    smallest is small enough."""

    def fine(part: float) -> float:
        year = run_year(work, heated, part, grid)
        hot = int(evening_of_days(heated, year).hot.sum())
        fewest = min(hot, *_other_evenings(work, heated, year, by_hour, part), heated.days)
        return fewest / heated.days - aim

    def coarse(part: float) -> float:
        return _hot_by_hour(work, heated, by_hour(part, 0)) / heated.days

    part = _largest_part(fine, coarse, hot - aim, EVENING_CLEARANCE)
    return None if part is None else heated.daily_draw * part


def _largest_part(
    fine: Callable[[float], float],
    coarse: Callable[[float], float],
    now: float,
    clearance: float,
) -> float | None:
    """The largest part of the draws at which `fine` is not negative.

    Parameters:
        fine: how much more than enough there is at a part of the draws, in steps along them
        coarse: the same by the hour but for a constant, for the search
        now: `fine` of the whole draw
        clearance: how finely the part is sought, and by how much it stays below what is found
    Returns:
        part; None where not even the least is small enough
    """
    part, offset = 1.0, now - coarse(1.0)
    for _ in range(ROUNDS):
        if coarse(LEAST_DRAW) + offset < 0:
            return None
        if coarse(part) + offset < 0:
            part = _root(coarse, offset, part, clearance)
        part = max(LEAST_DRAW, part - clearance)
        here = fine(part)
        if here >= 0:
            return part
        offset = here - coarse(part)
    return None


def _root(
    coarse: Callable[[float], float], offset: float, highest: float, tolerance: float
) -> float:
    """The part of the draws at which `coarse` and an offset cancel."""
    return bracketed_root(
        lambda part: coarse(part) + offset,
        LEAST_DRAW,
        highest,
        "share of the draw",
        "",
        tolerance,
    )


def _evening_thermostat(
    work: TankAtWork, heated: HeatedYear, auxiliary: AuxiliaryHeat, aim: float
) -> float | None:
    """Where a thermostat on the grid would make the evenings hot [degC]; None where it would not.

    It is that of the second tank, of the element on the grid, or of an ordinary one where the
    house has neither.
    """
    element = auxiliary.grid or GridElement(heat_verdicts.UPPER_POWER, UPPER, work.tap)
    for above in ABOVE_TAP:
        thermostat = work.tap + work.differential + above
        if auxiliary.second is not None:
            second = replace(auxiliary.second, thermostat=thermostat)
            year = run_two_tanks(work, second, heated)
            by_hour = _by_hour(work, heated, second=second)
        else:
            grid = replace(element, thermostat=thermostat)
            year = run_year(work, heated, grid=grid)
            by_hour = _by_hour(work, heated, grid)
        hot = int(evening_of_days(heated, year).hot.sum())
        fewest = min(hot, *_other_evenings(work, heated, year, by_hour), heated.days)
        if fewest >= aim * heated.days:
            return thermostat
    return None
