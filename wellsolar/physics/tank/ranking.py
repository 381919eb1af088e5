"""PV-heated tanks ranked by what they give at the tap: all by the hour, the best of them closely.

The screen by the hour is wrong by some thousandths of the heat wanted. Whatever it puts within
its margin of a place among the best is run again along the draws, until nothing that is left
could still be one of them: the best ten are those of a full run of all, unless the screen is
wrong by more than the margin. The margin grows with the errors that are found on the way.
"""

from __future__ import annotations

import math
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from multiprocessing import get_context, resource_tracker
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from wellsolar.beside import interrupts_held
from wellsolar.constants import HOUR
from wellsolar.physics.compiled import compiled
from wellsolar.physics.guards import require_range
from wellsolar.physics.sun.year import months_of_hours
from wellsolar.physics.tank.events import Draws, schedule
from wellsolar.physics.tank.hot_water import element_heat_at_tap, half_heated
from wellsolar.physics.tank.kernel import step_tanks
from wellsolar.physics.tank.screen import TapSide, screen_tanks
from wellsolar.physics.tank.stratified import Start, Tank, TankRun, begun_as_it_ends, simulate
from wellsolar.physics.types import FloatArray, Progress

MARGIN: Final = 0.01
"""Share of the heat wanted by which the screen may be wrong [-]; measured 0.003 for tanks of 40
gallons or more, 0.011 for the smallest with little sun to spare."""

GROWTH: Final = 1.5
"""Margin over the greatest error of the screen that was found [-]; our own mark."""

AT_LEAST: Final = 3
"""Designs run closely at least, over those asked for [-]; our own mark."""

OF_EACH_COUNT: Final = 3
"""Designs of each number of modules and each group that are run closely [-]: the best by the
hour; our own mark."""

TAKEN: Final = 12
"""Designs run closely in one round [-]."""

SCREEN_PART: Final = 0.2
"""Part of the work that the screen is, for the progress that is told [-]."""


class HeaterDesign(NamedTuple):
    """A tank on an array: number of modules, row of its power, the tank.

    group: designs of a number of modules that are compared among themselves as well
    largest_shift: part of a layer that is drawn at once in the closer run [-]
    """

    modules: int
    source: int
    tank: Tank
    group: str = ""
    largest_shift: float = 0.1


class RankedHeater(NamedTuple):
    """What a design did in the year.

    number: place in the designs that were given
    short: heat wanted at the tap that did not come from the modules [J]
    share: of the heat wanted that came from them [0..1]
    """

    number: int
    design: HeaterDesign
    short: float
    share: float


class HeaterRanking(NamedTuple):
    """Designs that were run closely, the best first.

    rows: of them, with those asked for beside; wanted: heat of the draws [J]
    screened: designs looked at by the hour; margin: share by which the screen may be wrong
    """

    rows: tuple[RankedHeater, ...]
    wanted: float
    screened: int
    margin: float


def rank_heaters(
    heaters: Sequence[HeaterDesign],
    heater_power: FloatArray,
    draws: Draws,
    side: TapSide,
    top: int = 10,
    workers: int = 1,
    progress: Progress | None = None,
    beside: Sequence[int] = (),
) -> HeaterRanking:
    """The designs that give most at the tap, as `better` orders them.

    Parameters:
        heaters: tanks on arrays [-], array
        heater_power: offered at the element, mean of each hour [W], array of sources by hours
        draws: through the year [s, s, m3]
        side: temperatures [degC] and hysteresis [K], scalars
        top: how many of the best are to be certain [-], whole number
        workers: processes to start where nothing is compiled; 1 for none [-], whole number
        progress: is told how much of the work is done, and of how much [callable]
        beside: places of designs to be run closely whatever they give [-], array
    Returns:
        designs that were run closely, the best first, with heat that they lack [J] and share
            [0..1]
    Raises:
        OutOfRange: no design, or as `screen_tanks`
    Source: as `stratified.simulate`.
    """
    require_range(top, 1, 1_000_000, "number of the best", "")
    powers = np.atleast_2d(np.asarray(heater_power, float))
    year = drawn_year(draws, powers.shape[1], side)
    progress_told = _Told(progress)
    with runner(year, workers) as run:
        screened = screen_tanks(
            [heater.tank for heater in heaters],
            [heater.source for heater in heaters],
            powers,
            year.hourly(),
            side,
            progress_told.screen,
        )
        search = _Search(heaters, powers, screened.short, screened.wanted, run, progress_told)
        search.look_at(beside)
        search.look_at(search.first(AT_LEAST * top))
        while between := search.undecided(top):
            search.look_at(between[:TAKEN], len(between))
    progress_told.done()
    return HeaterRanking(search.ranked(), screened.wanted, len(heaters), search.margin)


def better(share: float, heater: HeaterDesign) -> tuple[float, ...]:
    """Order of designs: most heat at the tap to a tenth of a per cent, cut to whole per cents;
    among equals the fewest modules, then the smallest tank, then the most heat.

    Parameters:
        share: of the heat wanted that comes from the modules [0..1], scalar
        heater: whose share it is [-]
    Returns:
        sort key [-], array; the best is least
    Source: a choice of this program.
    """
    whole = float(np.floor(np.round(100.0 * share, 1)))
    return (-whole, heater.modules, heater.tank.volume, -share)


def work_of(heater: HeaterDesign, heater_power: FloatArray) -> Work:
    """A design as `drawn_year.runner` takes it.

    Parameters:
        heater: a tank on an array [-]
        heater_power: offered at the element, mean of each hour [W], array of sources by hours
    Returns:
        tank [-], power of its hours [W] and part of a layer that is drawn at once [-]
    Source: none needed.
    """
    return heater.tank, heater_power[heater.source], heater.largest_shift


class _Told:
    """Progress of the screen and of the closer runs as one."""

    def __init__(self, progress: Progress | None) -> None:
        self.progress = progress
        self.reached = 0.0

    def screen(self, done: int, of: int) -> None:
        self._tell(SCREEN_PART * done / of)

    def closer(self, done: int, left: int) -> None:
        self._tell(SCREEN_PART + (1.0 - SCREEN_PART) * done / (done + left))

    def done(self) -> None:
        self._tell(1.0)

    def _tell(self, part: float) -> None:
        # What is left to do is an estimate: a bar that went back would only confuse.
        self.reached = max(self.reached, part)
        if self.progress is not None:
            self.progress(round(1000 * self.reached), 1000)


class _Search:
    """Designs, what the screen says of them, and what those run closely gave."""

    def __init__(
        self,
        designs: Sequence[HeaterDesign],
        powers: FloatArray,
        screened: FloatArray,
        wanted: float,
        run: Runner,
        progress_told: _Told,
    ) -> None:
        self.designs, self.powers, self.wanted = designs, powers, wanted
        self.guess = [self._share(float(short)) for short in screened]
        self.run, self.told = run, progress_told
        self.found: dict[int, RankedHeater] = {}
        self.margin = MARGIN

    def _share(self, short: float) -> float:
        return 1.0 - short / self.wanted if self.wanted > 0.0 else 1.0

    def look_at(self, numbers: Sequence[int], expected: int = 0) -> None:
        """Run designs closely, those that were not yet."""
        new = [number for number in dict.fromkeys(numbers) if number not in self.found]
        works = [work_of(self.designs[number], self.powers) for number in new]
        for count, (number, short) in enumerate(zip(new, self.run(works), strict=True), 1):
            share = self._share(short)
            self.found[number] = RankedHeater(number, self.designs[number], short, share)
            error = abs(share - self.guess[number])
            self.margin = max(self.margin, GROWTH * error)
            self.told.closer(len(self.found), max(len(new), expected) - count)

    def first(self, count: int) -> list[int]:
        """The best by the hour, and the best few of each number of modules and each group."""
        order = sorted(
            range(len(self.designs)), key=lambda number: self._key(number, self.guess[number])
        )
        chosen, so_far = order[:count], dict[tuple[int, str], int]()
        for number in order:
            kind = (self.designs[number].modules, self.designs[number].group)
            so_far[kind] = so_far.get(kind, 0) + 1
            if so_far[kind] <= OF_EACH_COUNT:
                chosen.append(number)
        return chosen

    def undecided(self, top: int) -> list[int]:
        """Designs that may still be among the best, the most promising first."""
        ranked = sorted(self._key(heater.number, heater.share) for heater in self.found.values())
        if len(self.found) == len(self.designs):
            return []
        last = ranked[top - 1] if len(ranked) >= top else (float("inf"),)
        hopes = sorted(
            (self._key(number, min(1.0, self.guess[number] + self.margin)), number)
            for number in range(len(self.designs))
            if number not in self.found
        )
        return [design for hope, design in hopes if hope < last]

    def ranked(self) -> tuple[RankedHeater, ...]:
        return tuple(
            sorted(self.found.values(), key=lambda heater: self._key(heater.number, heater.share))
        )

    def _key(self, number: int, share: float) -> tuple[float, ...]:
        return (*better(share, self.designs[number]), number)


Work = tuple[Tank, FloatArray, float]
"""A tank, the power offered at its element in each hour [W], and the part of a layer that is
drawn at once [-]."""


class DrawnYear(NamedTuple):
    """What all tanks of a year have in common.

    step: lengths of the steps [s]; tap_draw: mixed water wanted in each [m3]
    hour: of the year, in which each step lies; side: temperatures
    """

    step: FloatArray
    tap_draw: FloatArray
    hour: NDArray[np.int_]
    side: TapSide

    def hourly(self) -> FloatArray:
        """Mixed water wanted in each hour.

        Returns:
            volumes [m3], array of hours
        Source: none needed.
        """
        return np.asarray(np.bincount(self.hour, self.tap_draw), float)


def drawn_year(draws: Draws, hour_count: int, side: TapSide) -> DrawnYear:
    """A year in steps that end where an hour ends, or a draw begins or ends.

    Parameters:
        draws: through the year [s, s, m3]
        hour_count: length of the year in hours [-], whole number
        side: temperatures [degC] and hysteresis [K], scalars
    Returns:
        steps [s], their draws [m3] and their hours [-]
    Raises:
        OutOfRange: as `events.schedule`
    Source: none needed.
    """
    laid = schedule(np.zeros(hour_count), draws, HOUR, longest_busy=HOUR)
    middle = np.cumsum(laid.step) - 0.5 * laid.step
    return DrawnYear(laid.step, laid.tap_draw, (middle // HOUR).astype(int), side)


def short_heat(
    drawn_hours: DrawnYear,
    tank: Tank,
    heater_power: FloatArray,
    largest_shift: float = 0.1,
    machine: bool = False,
) -> float:
    """Heat wanted at the tap that its element does not give, in a year that begins as it ends.

    Parameters:
        drawn_hours: draws and temperatures of the year [s, m3, degC]
        tank: the tank [-]
        heater_power: offered at its element, mean of each hour [W], array of hours
        largest_shift: part of a node that one sub-step may draw [-], scalar in (0, 1]
        machine: in machine code, where that can be [-]
    Returns:
        heat missing, that of a warmer room with it [J]
    Raises:
        OutOfRange: as `stratified.simulate`
    Source: as `stratified.simulate` and `hot_water.element_heat_at_tap`.
    """
    power = np.asarray(heater_power, float)[drawn_hours.hour]
    side, step = drawn_hours.side, drawn_hours.step

    def run(starts: Sequence[Start], part: slice) -> TankRun:
        return simulate(
            tank,
            starts[0],
            power[part],
            drawn_hours.tap_draw[part],
            side.inlet,
            side.room,
            side.tap,
            side.setpoint,
            side.hysteresis,
            step[part],
            largest_shift=largest_shift,
            machine=machine,
        )

    warm = side.setpoint if math.isfinite(side.setpoint) else side.tap
    starts, year = begun_as_it_ends(run, [half_heated(side.inlet, warm)], step)
    mean = year.mean_temperatures[0]
    stored = tank.heat_capacity * np.diff(mean, prepend=float(np.mean(starts[0])))
    element, delivered = year.accepted_power * step, year.delivered_power * step
    hour = drawn_hours.hour
    from_room = np.maximum(-_summed(hour, element - delivered - stored), 0.0)
    month = months_of_hours(from_room.size)
    given = element_heat_at_tap(
        _summed(month[hour], element), _summed(month, from_room), _summed(month[hour], delivered)
    )
    return year.energy_wanted - float(given.sum())


def _summed(place: NDArray[np.int_], values: FloatArray) -> FloatArray:
    """Sums of values that belong to the same place."""
    return np.asarray(np.bincount(place, values), float)


Runner = Callable[[Sequence[Work]], Iterator[float]]
"""Runs tanks and tells the heat that each lacks [J], in their order, as it is found."""


@contextmanager
def runner(drawn_hours: DrawnYear, workers: int = 1) -> Iterator[Runner]:
    """What runs tanks through a year: compiled where that can be, else in several processes.

    Where no process can be started the tanks are run in this one.

    Parameters:
        drawn_hours: draws and temperatures of the year [s, m3, degC]
        workers: processes to start where nothing is compiled; 1 for none [-], whole number
    Returns:
        the runner, for the length of a block [callable]
    Source: none needed.
    """
    machine = compiled(step_tanks) is not None

    def here(works: Sequence[Work]) -> Iterator[float]:
        for work in works:
            yield short_heat(drawn_hours, *work, machine=machine)

    pool = None if machine or workers < 2 else _started(drawn_hours, workers)
    if pool is None:
        yield here
        return

    def there(works: Sequence[Work]) -> Iterator[float]:
        futures: list[Future[float]] = []
        with suppress(BrokenProcessPool):
            futures = [pool.submit(_run, *work) for work in works]
        for number, work in enumerate(works):
            try:
                yield futures[number].result()
            except (IndexError, BrokenProcessPool):
                yield short_heat(drawn_hours, *work)

    try:
        yield there
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _started(drawn_hours: DrawnYear, workers: int) -> ProcessPoolExecutor | None:
    """Processes that are on their way already; None where the system gives none."""
    try:
        # The tracker of the pool's locks lets interrupts through again as it starts.
        resource_tracker.ensure_running()
        with interrupts_held():
            pool = ProcessPoolExecutor(workers, get_context("spawn"), _keep, (drawn_hours,))
            for _ in range(workers):
                pool.submit(_wake)
    except (OSError, ImportError, NotImplementedError):
        return None
    return pool


_KEPT: list[DrawnYear] = []
"""In a process of a pool, filled once at its start: the year that its tanks are run through."""


def _keep(drawn_hours: DrawnYear) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _KEPT[:] = [drawn_hours]


def _wake() -> None:
    """Nothing; a process starts when it is given its first task."""


def _run(tank: Tank, power: FloatArray, largest_shift: float) -> float:
    return short_heat(_KEPT[0], tank, power, largest_shift)
