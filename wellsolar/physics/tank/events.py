"""The steps of a tank's year laid along what happens to it: draws, sun, the hours.

A step ends where a draw begins or ends, at every hour, and, while sun or water flows, after ten
minutes at the latest; in the dark hours between draws one step is an hour. The energy of a step
is that of the series under it, so merging loses none.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from wellsolar.constants import DAY, HOUR
from wellsolar.data.hot_water_tables import Draw
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.tank.stratified import LONGEST_STEP
from wellsolar.physics.types import FloatArray

LONGEST_BUSY: Final = 600.0
"""Longest step with sun or a draw [s]; our own mark: against minutes the year's energies move by
a few parts in ten thousand."""

CLOCK: Final = 6
"""Digits after the second to which all times are taken, so that draws that follow one another,
or the hours, leave no splinter of a step between them."""


@dataclass(frozen=True, eq=False)
class Draws:
    """Draws through a run: start [s] from its beginning, duration [s] and mixed volume [m3]."""

    start: FloatArray
    duration: FloatArray
    volume: FloatArray


@dataclass(frozen=True, eq=False)
class Schedule:
    """Steps of a run and what drives the tank in each; arrays of steps.

    step: length [s]; heater_power: of the PV element, mean over the step [W]
    tap_draw: mixed water wanted [m3]
    """

    step: FloatArray
    heater_power: FloatArray
    tap_draw: FloatArray

    def sums(self, energy: FloatArray, period: float = HOUR) -> FloatArray:
        """Sums of a quantity over periods of equal length.

        Parameters:
            energy: an amount in each step [J], array of steps
            period: hour, or a whole number of hours [s], scalar
        Returns:
            amount in each period [J], array
        Raises:
            OutOfRange: the run is no whole number of periods, or a step passes the end of one
        Source: none needed.
        """
        return np.add.reduceat(energy, np.append(0, self._last(period)[:-1] + 1))

    def at_ends(self, state: FloatArray, period: float = HOUR) -> FloatArray:
        """States at the ends of periods of equal length.

        Parameters:
            state: a state at the end of each step [degC], array of steps
            period: hour, or a whole number of hours [s], scalar
        Returns:
            state at the end of each period [degC], array
        Raises:
            OutOfRange: the run is no whole number of periods, or a step passes the end of one
        Source: none needed.
        """
        return np.asarray(state[self._last(period)])

    def _last(self, period: float) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
        """The last step of each period."""
        ends = np.cumsum(self.step)
        count = round(float(ends[-1]) / period)
        wanted = period * np.arange(1.0, count + 1)
        last = np.minimum(np.searchsorted(ends, wanted - 1e-3), ends.size - 1)
        if count < 1 or np.any(np.abs(ends[last] - wanted) > 1e-3) or last[-1] != ends.size - 1:
            raise OutOfRange(f"period is {period:g} s: the steps do not keep to such periods")
        return last


def every_day(
    day_of_draws: Sequence[Draw], days: int, first_draw: float, daily_volume: float | None = None
) -> Draws:
    """The same draws on every day of a run.

    Parameters:
        day_of_draws: start after the first draw, volume and flow of each [s, m3, m3/s], list
        days: length of the run [-], whole number
        first_draw: clock time from which the starts count [s], scalar
        daily_volume: mixed water of a day [m3], scalar, to which all flows are scaled; None
            leaves them as they are
    Returns:
        the draws in order; those that pass the end of the last day begin the first [s, s, m3]
    Raises:
        OutOfRange: no day, no draw, a draw without flow or volume or longer than a day, a
            negative daily volume
    Source: none needed.
    """
    require_positive(days, "days", "")
    start = np.array([first_draw + draw.start for draw in day_of_draws])
    volume = np.array([draw.volume for draw in day_of_draws])
    flow = np.array([draw.flow for draw in day_of_draws])
    if not volume.size:
        raise OutOfRange("day of draws is empty, allowed is 1 draw or more")
    require_positive(volume, "volume of a draw", "m3")
    require_positive(flow, "flow of a draw", "m3/s")
    duration = volume / flow
    require_range(duration, 0.0, DAY, "duration of a draw", "s")
    if daily_volume is not None:
        require_range(daily_volume, 0.0, math.inf, "daily volume", "m3")
        volume = volume * (daily_volume / float(volume.sum()))
    end_of_run = days * DAY
    starts = (np.arange(days)[:, None] * DAY + start).ravel() % end_of_run
    durations, volumes = np.tile(duration, days), np.tile(volume, days)
    over = np.maximum(starts + durations - end_of_run, 0.0)
    late = over > 0.0
    part = over / durations
    starts = np.append(starts, np.zeros(int(late.sum())))
    volumes = np.append(volumes * (1.0 - part), (volumes * part)[late])
    durations = np.append(durations - over, over[late])
    order = np.argsort(starts, kind="stable")
    return Draws(starts[order], durations[order], volumes[order])


def schedule(
    heater_power: FloatArray,
    draws: Draws,
    series_step: float,
    longest_busy: float = LONGEST_BUSY,
) -> Schedule:
    """The steps of a run, from a series of equal steps and a list of draws.

    Parameters:
        heater_power: of the PV element, mean over each step of the series [W], array
        draws: the draws [s, s, m3]; they may overlap
        series_step: length of a step of the series, an hour or a whole part of it [s], scalar
        longest_busy: longest step with sun or a draw [s], scalar
    Returns:
        steps and what drives the tank in each, a Schedule [s, W, m3]
    Raises:
        OutOfRange: negative power or a value missing, a draw that ends after the series, steps
            that do not divide the hour
    Source: none needed.
    """
    power = np.asarray(heater_power, float)
    require_positive(series_step, "series step", "s")
    if abs(HOUR / series_step - round(HOUR / series_step)) > 1e-9 or series_step > HOUR:
        raise OutOfRange(f"series step is {series_step:g} s, allowed is a whole part of 3600 s")
    require_positive(longest_busy, "longest busy step", "s")
    require_range(power, 0.0, math.inf, "heater power", "W")
    start, end = _clock(draws, power.size * series_step)
    clock = np.round(series_step * np.arange(power.size + 1.0), CLOCK)
    energy = np.append(0.0, np.cumsum(power)) * series_step
    ends = _ends(clock, energy, start, end, series_step, longest_busy)
    step = np.diff(ends)
    return Schedule(
        step=step,
        heater_power=np.diff(np.interp(ends, clock, energy)) / step,
        tap_draw=_drawn(start, end, draws.volume, ends),
    )


def _clock(draws: Draws, end_of_run: float) -> tuple[FloatArray, FloatArray]:
    """Beginning and end of each draw, rounded."""
    start = np.round(draws.start, CLOCK)
    end = np.round(draws.start + draws.duration, CLOCK)
    if start.size:
        least = 10.0**-CLOCK
        require_range(start, 0.0, end_of_run - least, "start of a draw", "s")
        require_range(end - start, least, math.inf, "duration of a draw", "s")
        require_range(end, 0.0, end_of_run, "end of a draw", "s")
        require_range(draws.volume, 0.0, math.inf, "volume of a draw", "m3")
    return start, end


def _ends(
    clock: FloatArray,
    energy: FloatArray,
    start: FloatArray,
    end: FloatArray,
    series_step: float,
    longest_busy: float,
) -> FloatArray:
    """Beginning of the run and the ends of its steps."""
    if series_step > longest_busy:
        spacing = series_step / math.ceil(series_step / longest_busy - 1e-9)
    else:
        spacing = series_step * math.floor(longest_busy / series_step + 1e-9)
    length = float(clock[-1])
    fine, hours = _lattice(spacing, length), _lattice(LONGEST_STEP, length)
    lit = np.diff(np.interp(fine, clock, energy)) > 0.0
    drawing = np.searchsorted(np.sort(start), fine) > np.searchsorted(np.sort(end), fine, "right")
    busy = np.append(lit, False) | np.append(False, lit) | drawing
    return np.unique(np.round(np.concatenate([fine[busy], hours, start, end]), CLOCK))


def _lattice(spacing: float, length: float) -> FloatArray:
    """Times from 0 to a length, at a spacing that starts anew at every hour."""
    hours = HOUR * np.arange(math.ceil(length / HOUR - 1e-9))
    within = spacing * np.arange(math.ceil(HOUR / spacing - 1e-9))
    times = (hours[:, None] + within).ravel()
    return np.append(times[times < length - 1e-6], length)


def _drawn(start: FloatArray, end: FloatArray, volume: FloatArray, ends: FloatArray) -> FloatArray:
    """Volume drawn in each step: every draw shared out over the steps that it covers."""
    first, after = np.searchsorted(ends, start), np.searchsorted(ends, end)
    covered = after - first
    which = np.repeat(np.arange(start.size), covered)
    behind = np.arange(which.size) - np.repeat(np.cumsum(covered) - covered, covered)
    steps = first[which] + behind
    shares = np.diff(ends)[steps] * (volume / (end - start))[which]
    return np.asarray(np.bincount(steps, shares, minlength=ends.size - 1), float)
