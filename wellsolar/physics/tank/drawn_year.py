"""The year of one PV-heated tank in steps along the draws, in this process or in several."""

from __future__ import annotations

import math
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from multiprocessing import get_context, resource_tracker
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from wellsolar.beside import interrupts_held
from wellsolar.constants import HOUR
from wellsolar.physics.compiled import compiled
from wellsolar.physics.tank.events import Draws, schedule
from wellsolar.physics.tank.heating import half_heated
from wellsolar.physics.tank.kernel import step_tanks
from wellsolar.physics.tank.screen import TapSide
from wellsolar.physics.tank.stratified import Start, Tank, TankRun, begun_as_it_ends, simulate
from wellsolar.physics.types import FloatArray

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
    laid = schedule(np.zeros(hour_count), draws, 0.0, 0.0, HOUR, longest_busy=HOUR)
    middle = np.cumsum(laid.step) - 0.5 * laid.step
    return DrawnYear(laid.step, laid.tap_draw, (middle // HOUR).astype(int), side)


def short_heat(
    drawn_hours: DrawnYear,
    tank: Tank,
    heater_power: FloatArray,
    largest_shift: float = 0.1,
    machine: bool = False,
) -> float:
    """Heat that a tank lacks at the tap through a year that begins as it ends.

    Parameters:
        drawn_hours: draws and temperatures of the year [s, m3, degC]
        tank: the tank [-]
        heater_power: offered at its element, mean of each hour [W], array of hours
        largest_shift: part of a node that one sub-step may draw [-], scalar in (0, 1]
        machine: in machine code, where that can be [-]
    Returns:
        heat missing [J]
    Raises:
        OutOfRange: as `stratified.simulate`
    Source: as `stratified.simulate`.
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
    return begun_as_it_ends(run, [float(half_heated(side.inlet, warm))], step)[1].energy_short


Runner = Callable[[Sequence[Work]], Iterator[float]]
"""Runs tanks and tells the heat missing [J] of each, in their order, as it is found."""


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
