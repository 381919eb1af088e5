"""PV-heated tanks ranked by what they give at the tap: all by the hour, the best of them closely.

The screen by the hour is wrong by some thousandths of the heat wanted. Whatever it puts within
its margin of a place among the best is run again along the draws, until nothing that is left
could still be one of them: the best ten are those of a full run of all, unless the screen is
wrong by more than the margin. The margin grows with the errors that are found on the way.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

import numpy as np

from wellsolar.physics.guards import require_range
from wellsolar.physics.tank.drawn_year import Runner, Work, drawn_year, runner
from wellsolar.physics.tank.events import Draws
from wellsolar.physics.tank.screen import TapSide, screen_tanks
from wellsolar.physics.tank.stratified import Tank
from wellsolar.physics.types import FloatArray

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

Progress = Callable[[int, int], None]
"""Is told how much of the work is done, and of how much."""


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
    short: heat missing at the tap [J]; share: of the heat wanted that came [0..1]
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
        designs that were run closely, the best first, with heat missing [J] and share [0..1]
    Raises:
        OutOfRange: no design, or as `screen_tanks`
    Source: as `stratified.simulate`.
    """
    require_range(top, 1, 1_000_000, "number of the best", "")
    powers = np.atleast_2d(np.asarray(heater_power, float))
    year = drawn_year(draws, powers.shape[1], side)
    told = _Told(progress)
    with runner(year, workers) as run:
        screened = screen_tanks(
            [each.tank for each in heaters],
            [each.source for each in heaters],
            powers,
            year.hourly(),
            side,
            told.screen,
        )
        search = _Search(heaters, powers, screened.short, screened.wanted, run, told)
        search.look_at(beside)
        search.look_at(search.first(AT_LEAST * top))
        while between := search.undecided(top):
            search.look_at(between[:TAKEN], len(between))
    told.done()
    return HeaterRanking(search.ranked(), screened.wanted, len(heaters), search.margin)


def better(share: float, heater: HeaterDesign) -> tuple[float, ...]:
    """Order of designs: most heat at the tap to a tenth of a per cent, cut to whole per cents;
    among equals the fewest modules, then the smallest tank, then the most heat.

    Parameters:
        share: of the heat wanted that comes [0..1], scalar
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
        told: _Told,
    ) -> None:
        self.designs, self.powers, self.wanted = designs, powers, wanted
        self.guess = [self._share(float(short)) for short in screened]
        self.run, self.told = run, told
        self.found: dict[int, RankedHeater] = {}
        self.margin = MARGIN

    def _share(self, short: float) -> float:
        return 1.0 - short / self.wanted if self.wanted > 0.0 else 1.0

    def look_at(self, numbers: Sequence[int], expected: int = 0) -> None:
        """Run designs closely, those that were not yet."""
        new = [each for each in dict.fromkeys(numbers) if each not in self.found]
        works = [work_of(self.designs[each], self.powers) for each in new]
        for count, (number, short) in enumerate(zip(new, self.run(works), strict=True), 1):
            share = self._share(short)
            self.found[number] = RankedHeater(number, self.designs[number], short, share)
            error = abs(share - self.guess[number])
            self.margin = max(self.margin, GROWTH * error)
            self.told.closer(len(self.found), max(len(new), expected) - count)

    def first(self, count: int) -> list[int]:
        """The best by the hour, and the best few of each number of modules and each group."""
        order = sorted(
            range(len(self.designs)), key=lambda each: self._key(each, self.guess[each])
        )
        chosen, so_far = order[:count], dict[tuple[int, str], int]()
        for each in order:
            kind = (self.designs[each].modules, self.designs[each].group)
            so_far[kind] = so_far.get(kind, 0) + 1
            if so_far[kind] <= OF_EACH_COUNT:
                chosen.append(each)
        return chosen

    def undecided(self, top: int) -> list[int]:
        """Designs that may still be among the best, the most promising first."""
        ranked = sorted(self._key(each.number, each.share) for each in self.found.values())
        if len(self.found) == len(self.designs):
            return []
        last = ranked[top - 1] if len(ranked) >= top else (float("inf"),)
        hopes = sorted(
            (self._key(each, min(1.0, self.guess[each] + self.margin)), each)
            for each in range(len(self.designs))
            if each not in self.found
        )
        return [each for hope, each in hopes if hope < last]

    def ranked(self) -> tuple[RankedHeater, ...]:
        return tuple(
            sorted(self.found.values(), key=lambda each: self._key(each.number, each.share))
        )

    def _key(self, number: int, share: float) -> tuple[float, ...]:
        return (*better(share, self.designs[number]), number)
