"""Many PV-heated tanks side by side through the hours of a year: quick, to see which are worth
a closer look.

All designs take each hour at once, a row of numbers for each layer: conduction and wall loss,
then the element with its thermostat, then the draws as plug flow with the layers remixed behind
them. Against `stratified.simulate` along the draws it is coarser in three ways: an hour's sun
comes before its draws, a thermostat closes on the hour, and the smallest tank sets for all how
finely a draw is cut. `ranking` holds it to the closer run and says by how much it may be wrong.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from wellsolar.constants import HOUR
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_range
from wellsolar.physics.sun.year import months_of_hours
from wellsolar.physics.tank.hot_water import element_heat_at_tap
from wellsolar.physics.tank.stratified import SETTLING, Tank
from wellsolar.physics.types import FloatArray, Progress

LAYERS: Final = 10
"""Layers of a screened tank, as many as the closer run has [-]."""

LARGEST_SHIFT: Final = 0.5
"""Part of a layer of the smallest tank that is drawn at once, at most [-]; our own mark."""

STABLE: Final = 0.25
"""Greatest conduction number of one explicit round [-]: no layer overshoots its neighbours."""

HOT: Final = 1e-9
"""Part of a draw's warmth that may lack where it counts as warm as wanted [-]."""

DAY_HOURS: Final = 24
"""Hours of a day [-]; no stretch of idle hours is laid across its end."""

BATCH: Final = 1024
"""Designs that run side by side at most [-], so that their layers stay in the cache."""

CUTS: Final = (12, 6, 4, 3, 2, 1)
"""Parts into which a year may be cut [-], each of whole months."""

ROUND_OFF: Final = 1e-9
"""Part of a draw by which that of another day may differ [-]."""

SIDE_BY_SIDE: Final = 600
"""Designs times parts of the year up to which an hour's arithmetic takes longer for what is done
than for being called [-]: the parts of the year of a few designs run side by side, too."""


class TapSide(NamedTuple):
    """What all tanks have in common; temperatures [degC], hysteresis [K].

    inlet: of the cold water; room: of the air round the tanks; tap: wanted at the tap
    setpoint: the element's thermostat opens; hysteresis: it closes so far below
    """

    inlet: float
    room: float
    tap: float
    setpoint: float
    hysteresis: float


class Screened(NamedTuple):
    """What each of many tanks did in the year.

    short: heat wanted at the tap that the element does not give [J], array of tanks
    wanted: heat of the draws [J], scalar
    hot: days on which every draw of the hours asked for comes as warm as wanted [-], array of
        tanks; none is counted where no hours were asked for
    """

    short: FloatArray
    wanted: float
    hot: NDArray[np.int_]


def screen_tanks(
    tanks: Sequence[Tank],
    source: Sequence[int],
    heater_power: FloatArray,
    tap_draw: FloatArray,
    side: TapSide,
    progress: Progress | None = None,
    evening: tuple[int, int] | None = None,
) -> Screened:
    """The year of many tanks by the hour, each begun about as it ends.

    The year of few tanks is cut into parts that run side by side, each after the month before it.

    Parameters:
        tanks: with volume, loss and height of the element; their nodes give way to `LAYERS` [-],
            array of tanks
        source: row of heater_power that heats each tank [-], array of tanks
        heater_power: offered at the element, mean of each hour [W], array of sources by hours
        tap_draw: mixed water wanted in each hour [m3], array of hours
        side: temperatures [degC] and hysteresis [K], scalars
        progress: is told how many hours are done, and of how many [callable]
        evening: first and last hour of the day whose draws are counted hot or not [-]; None for
            none
    Returns:
        heat that each tank lacks at the tap, that of a warmer room with it, and heat wanted [J],
            and days with hot evenings [-]
    Raises:
        OutOfRange: no tank, elements at different heights, series of unequal length, a negative
            power or draw
    Source: as `stratified.simulate`; heated layers fill up like a vessel to one level, which is
        pool-adjacent-violators for layers in the order of their warmth; the element's part as of
        `hot_water.element_heat_at_tap`.
    """
    powers, draws = np.atleast_2d(np.asarray(heater_power, float)), np.asarray(tap_draw, float)
    _require(tanks, source, powers, draws)
    lift = max(0.0, side.tap - side.inlet)
    wanted = float(draws.sum()) * lift * tanks[0].volumetric_heat_capacity
    cuts = _cuts(draws, len(tanks))
    local, tap_draws = cuts.laid(powers), cuts.laid(draws[None])[0]
    plan = _plan(local, tap_draws, LARGEST_SHIFT * min(tank.volume for tank in tanks) / LAYERS)
    # A row an hour, so that the powers of an hour lie side by side.
    by_hour = np.ascontiguousarray(local.T)
    rows = np.asarray(source, int)
    short, hot = [], []
    for begin in range(0, len(tanks), BATCH):
        some = slice(begin, begin + BATCH)
        count = len(tanks[some])
        sources = np.concatenate([rows[some] + part * len(powers) for part in range(cuts.parts)])
        batch = _Batch([*tanks[some]] * cuts.parts, sources, side, evening, len(cuts.counted))

        def tell(done: int, begin: int = begin, count: int = count) -> None:
            if progress is not None:
                progress(begin + count * done // len(by_hour), len(tanks))

        batch.run(by_hour, plan, cuts.period, tell)
        flows, days = cuts.of_year(batch.flows), cuts.of_year(batch.hot)
        given = element_heat_at_tap(*flows.swapaxes(0, 1))
        short.append(wanted - given.sum(axis=0) * batch.capacity[:count])
        hot.append(days.sum(axis=0))
    return Screened(np.concatenate(short), wanted, np.concatenate(hot))


def _require(
    tanks: Sequence[Tank], source: Sequence[int], powers: FloatArray, draws: FloatArray
) -> None:
    if not tanks or len(source) != len(tanks):
        raise OutOfRange(f"sources are {len(source)}, allowed is one for each of 1 or more tanks")
    require_range(np.asarray(source, float), 0, len(powers) - 1, "source", "")
    if draws.ndim != 1 or powers.shape[1:] != draws.shape or not draws.size:
        raise OutOfRange(f"hours of power are {powers.shape[1]}, allowed is {draws.size}")
    require_range(powers, 0.0, math.inf, "heater power", "W")
    require_range(draws, 0.0, math.inf, "tap draw", "m3")
    alike = {(tank.element_height, tank.volumetric_heat_capacity) for tank in tanks}
    if len(alike) > 1:
        raise OutOfRange("heights of the element or heat capacities differ, allowed is one")


class _Cuts(NamedTuple):
    """A year cut into parts of whole months that run side by side, each behind its lead-in.

    parts: of the year; hours: of the year that each part runs through, a row a part
    period: of each hour of a run; it ends where a month of any part does
    counted: month that a period counts for, a row a period and a column a part, -1 in a lead-in
    """

    parts: int
    hours: NDArray[np.int_]
    period: list[int]
    counted: NDArray[np.int_]

    def laid(self, values: FloatArray) -> FloatArray:
        """Series of the year, a row each, as the parts run through them: the rows of the first
        part, then those of the next. What is one series for all is that of the first part."""
        return np.concatenate([values[:, hour] for hour in self.hours])

    def of_year(self, sums: NDArray[Any]) -> NDArray[Any]:
        """Sums over periods, with the tanks of all parts in the last axis, as sums over months of
        each tank."""
        tanks = sums.shape[-1] // self.parts
        months = np.zeros((12, *sums.shape[1:-1], tanks), sums.dtype)
        for of_period, counted in zip(sums, self.counted, strict=True):
            for part, month in enumerate(counted.tolist()):
                if month >= 0:
                    months[month] += of_period[..., part * tanks : (part + 1) * tanks]
        return months


def _cuts(draws: FloatArray, tanks: int) -> _Cuts:
    """A year cut into as many parts as pay for so many tanks; into one where the draws of two days
    differ."""
    month = months_of_hours(draws.size) - 1
    alike = draws.size % DAY_HOURS == 0 and np.allclose(
        draws, np.resize(draws[:DAY_HOURS], draws.size), ROUND_OFF, 0.0
    )
    whole = alike and month[-1] == 11
    parts = next(cut for cut in CUTS if cut == 1 or (whole and cut * tanks <= SIDE_BY_SIDE))
    begins = np.searchsorted(month, np.arange(parts) * (12 // parts))
    ends = np.append(begins[1:], draws.size)
    lead = min(draws.size, round(SETTLING / HOUR))
    length = lead + int((ends - begins).max())
    hours = ends[:, None] + np.arange(-length, 0)
    inside = hours >= begins[:, None]
    hours %= draws.size
    counted = np.where(inside, month[hours], -1)
    period = np.cumsum((np.diff(counted, axis=1, prepend=counted[:, :1]) != 0).any(axis=0))
    firsts = np.searchsorted(period, np.arange(period[-1] + 1))
    return _Cuts(parts, hours, period.tolist(), counted[:, firsts].T)


class _Hours(NamedTuple):
    """Hours in which nothing else happens, or one with sun or a draw.

    hour: the last of them; length: hours in all; lit: whether any array gives power in it
    volume: mixed water [m3]; parts: that the draw is cut into
    """

    hour: int
    length: int
    lit: bool
    volume: float
    parts: int


def _plan(powers: FloatArray, draws: FloatArray, largest_draw: float) -> list[_Hours]:
    """The hours in order, those without sun and draw joined, though none across midnight."""
    plan: list[_Hours] = []
    idle = 0
    lit: list[bool] = (powers.max(axis=0) > 0.0).tolist()
    for hour, volume in enumerate(draws.tolist()):
        idle += 1
        if not lit[hour] and volume <= 0.0 and (hour + 1) % DAY_HOURS and hour + 1 < draws.size:
            continue
        parts = math.ceil(volume / largest_draw - 1e-9)
        plan.append(_Hours(hour, idle, lit[hour], volume, parts))
        idle = 0
    return plan


class _Batch:
    """Tanks side by side. Temperatures count from the cold inlet [K], heat in kelvins of a layer.

    layers: temperatures, bottom first, a row a layer and a column a tank
    flows: by period, the heat of the element, of a warmer room and at the tap, of each tank
    cold: whether a draw of this evening came colder than wanted; hot: by period, days on which
        none did
    """

    def __init__(
        self,
        tanks: Sequence[Tank],
        source: NDArray[np.int_],
        side: TapSide,
        evening: tuple[int, int] | None = None,
        periods: int = 1,
    ) -> None:
        spread = [self._of(tank) for tank in tanks]
        self.node_volume, self.capacity, self.loss_rate, self.conduction_rate = np.array(spread).T
        self.element = min(LAYERS - 1, int(tanks[0].element_height * LAYERS))
        self.source = source
        self.room = side.room - side.inlet
        self.tap = side.tap - side.inlet
        self.setpoint = side.setpoint - side.inlet
        self.closes = self.setpoint - side.hysteresis
        half_way = 0.5 * self.setpoint if math.isfinite(self.setpoint) else max(self.tap, 0.0)
        self.layers = np.full((LAYERS, len(tanks)), half_way)
        self.closed = np.ones(len(tanks), bool)
        self.evening = range(0) if evening is None else range(evening[0], evening[1] + 1)
        self.cold = np.zeros(len(tanks), bool)
        self.hot = np.zeros((periods, len(tanks)), int)
        self.flows = np.zeros((periods, 3, len(tanks)))
        self.of_element, self.of_room, self.at_tap = self.flows[0]
        self.gap = np.empty((LAYERS - 1, len(tanks)))
        self.heated = np.empty((LAYERS - self.element, len(tanks)))
        self.counts = np.arange(1.0, LAYERS - self.element + 1.0)[:, None]

    @staticmethod
    def _of(tank: Tank) -> tuple[float, float, float, float]:
        node_volume = tank.volume / LAYERS
        spacing = tank.inside_height / LAYERS
        conduction = tank.effective_conductivity / (tank.volumetric_heat_capacity * spacing**2)
        capacity = node_volume * tank.volumetric_heat_capacity
        return node_volume, capacity, tank.loss_rate, conduction

    def run(
        self,
        by_hour: FloatArray,
        plan: list[_Hours],
        period: Sequence[int],
        tell: Callable[[int], None],
    ) -> None:
        """Through the hours of a plan."""
        rise = HOUR / self.capacity
        rests = {length: self._rest(length) for length in {hours.length for hours in plan}}
        for hours in plan:
            self.of_element, self.of_room, self.at_tap = self.flows[period[hours.hour]]
            self._relax(*rests[hours.length])
            if hours.lit:
                self._heat(by_hour[hours.hour].take(self.source) * rise)
            for _ in range(hours.parts):
                if hours.hour % DAY_HOURS in self.evening:
                    self.cold |= self.layers[-1] < self.tap * (1.0 - HOT)
                self._draw(hours.volume / hours.parts / self.node_volume)
            if hours.hour % DAY_HOURS == DAY_HOURS - 1:
                self.hot[period[hours.hour]] += ~self.cold
                self.cold[:] = False
            if (hours.hour + 1) % 168 == 0:
                tell(hours.hour + 1)

    def _rest(self, hours: int) -> tuple[int, FloatArray, FloatArray, FloatArray]:
        """Rounds of conduction and number of each, what the loss keeps, what the room adds."""
        number = self.conduction_rate * (hours * HOUR)
        rounds = max(1, math.ceil(float(number.max()) / STABLE))
        kept = np.exp(-self.loss_rate * (hours * HOUR))
        return rounds, number / rounds, kept, self.room * (1.0 - kept)

    def _relax(self, rounds: int, number: FloatArray, kept: FloatArray, pull: FloatArray) -> None:
        layers, gap = self.layers, self.gap
        for _ in range(rounds):
            np.subtract(layers[1:], layers[:-1], out=gap)
            gap *= number
            layers[:-1] += gap
            layers[1:] -= gap
        warmed = LAYERS * pull - (1.0 - kept) * layers.sum(axis=0)
        self.of_room += np.maximum(warmed, 0.0)
        layers *= kept
        layers += pull

    def _heat(self, offered: FloatArray) -> None:
        """The warmed water fills up the layers above it to one level."""
        above, work = self.layers[self.element :], self.heated
        self.closed |= above[0] <= self.closes
        offered *= self.closed
        np.subtract(self.setpoint, above, out=work)
        np.maximum(work, 0.0, out=work)
        room = work.sum(axis=0)
        self.closed &= offered <= room
        taken = np.minimum(offered, room)
        self.of_element += taken
        np.cumsum(above, axis=0, out=work)
        work += taken
        work /= self.counts
        np.maximum(above, work.min(axis=0), out=above)

    def _draw(self, mixed: FloatArray) -> None:
        """Mixed water over the volume of a layer leaves through a mixing valve."""
        layers, gap = self.layers, self.gap
        if self.tap <= 0.0:
            return
        wanted = mixed * self.tap
        shift = wanted / np.maximum(layers[-1], self.tap)
        self.at_tap += shift * layers[-1]
        np.subtract(layers[1:], layers[:-1], out=gap)
        gap *= shift
        layers[1:] -= gap
        layers[0] *= 1.0 - shift
