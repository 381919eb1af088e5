"""The household's draws of hot water by the clock, from its list or a federal pattern."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.constants import DAY, HOUR, US_GALLON
from wellsolar.data import hot_water_tables
from wellsolar.data.hot_water_tables import Draw
from wellsolar.physics.hydraulics import demand
from wellsolar.site.schema import DrawTable, Site, WaterHeaterTable
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

EVENING = 17 * HOUR
"""Clock time from which on a draw is the evening's [s]: our choice."""

LIST_FLOW = 1.7 * US_GALLON / 60.0
"""Flow at which the draws of a list run [m3/s]: 1.7 gpm, that of most draws of the federal
patterns (10 CFR 430 Subpart B App. E, second hand)."""

SHORTEST = 1.0
"""Least duration of a draw [s]; only a list with two draws in one second comes to it."""

MOST_TANKS, MOST_SECOND_TANKS = 20.0, 50.0
"""Tanks of mixed water a day above which a draw is no household's, and of a second, smaller tank:
our own marks."""

FEW_TANKS, SMALL_SHIFT = 2.0, 0.1
"""Tanks of mixed water a day up to which a tenth of a layer is drawn at once; larger draws, which
leave less to mix, are drawn in larger parts, so that a year takes no longer."""

PIECE = 0.015
"""Mixed water of a piece over the volume of the tank: about what such a part of ten layers is."""

MOST_PIECES = 40
"""Pieces that one draw is cut into at most."""


@dataclass(frozen=True)
class TapDraw:
    """One draw of mixed water; start: clock time [s]; duration [s]; volume [m3]."""

    start: float
    duration: float
    volume: float


def draws_of_day(table: DrawTable, daily_volume: float) -> tuple[TapDraw, ...]:
    """The draws of a day, from the file's list or from a federal pattern.

    A pattern is scaled to the day's volume: its draws keep their times and last as long.

    Parameters:
        daily_volume: mixed water a day [m3]
    Returns:
        draws in the order of the clock
    """
    if table.times is not None and table.volumes is not None:
        listed = [
            TapDraw(float(start), volume / LIST_FLOW, float(volume))
            for start, volume in zip(table.times, table.volumes, strict=True)
        ]
        return tuple(_apart(listed))
    pattern = hot_water_tables.draw_pattern(table.pattern)
    scale = daily_volume / sum(draw.volume for draw in pattern)
    scaled = [
        TapDraw(
            (hot_water_tables.FIRST_DRAW + draw.start) % DAY,
            draw.volume / draw.flow,
            draw.volume * scale,
        )
        for draw in pattern
    ]
    return tuple(sorted(scaled, key=lambda draw: draw.start))


def _apart(draws: list[TapDraw]) -> list[TapDraw]:
    """A list's draws, each over before the next begins."""
    nexts = [*(draw.start for draw in draws[1:]), draws[0].start + DAY]
    return [
        TapDraw(draw.start, max(SHORTEST, min(draw.duration, later - draw.start)), draw.volume)
        for draw, later in zip(draws, nexts, strict=True)
    ]


def is_no_households(
    daily_draw: float, tank_volume: float, second_volume: float = math.inf
) -> bool:
    """True where a day's draw is more than a household takes from such tanks.

    Parameters:
        daily_draw: mixed water a day [m3]
        tank_volume: of the tank [m3]
        second_volume: of one downstream [m3]
    Returns:
        whether it is too much for either
    """
    return daily_draw > MOST_TANKS * tank_volume or daily_draw > MOST_SECOND_TANKS * second_volume


def evening_draw(draws: tuple[TapDraw, ...]) -> TapDraw:
    """The first draw after 17:00, or the day's last where none is so late.

    Parameters:
        draws: of a day, at least one
    """
    return next((draw for draw in draws if draw.start >= EVENING), draws[-1])


def largest_shift(daily_draw: float, tank_volume: float) -> float:
    """Part of a layer that is drawn at once, as of `stratified.simulate`.

    Parameters:
        daily_draw: mixed water a day [m3]
        tank_volume: of the tank [m3]
    Returns:
        part, up to the whole layer
    """
    tanks = daily_draw / tank_volume
    return min(1.0, SMALL_SHIFT * max(1.0, tanks / FEW_TANKS))


def in_pieces(draws: tuple[TapDraw, ...], tank_volume: float) -> list[Draw]:
    """The draws cut into pieces, so that each piece is hot enough at the tap or is not.

    Parameters:
        tank_volume: of the tank [m3]
    Returns:
        pieces by the clock, each with the flow of its draw
    """
    shift = largest_shift(sum(draw.volume for draw in draws), tank_volume)
    largest = PIECE * shift / SMALL_SHIFT * tank_volume
    pieces = []
    for draw in draws:
        parts = min(MOST_PIECES, max(1, math.ceil(draw.volume / largest)))
        pieces += [
            Draw(
                draw.start + draw.duration * part / parts,
                draw.volume / parts,
                draw.volume / draw.duration,
            )
            for part in range(parts)
        ]
    return pieces


def draw_volume_of(
    site: Site, heater: WaterHeaterTable
) -> tuple[float | None, tuple[Assumption, ...]]:
    """Hot water a day at the tap.

    Returns:
        volume [m3], None where the file gives neither it nor the people, and what was assumed
    """
    if heater.draw.volumes is not None:
        return sum(heater.draw.volumes), ()
    if heater.draw.volume is not None:
        return float(heater.draw.volume), ()
    people = site.site.people
    if people is None:
        return None, ()
    volume = float(demand.hot_water_use(people)) * DAY
    value = Quantity(volume, kinds.VOLUME)
    why = f"solar sizing rule for {people} people, taken as mixed water"
    return volume, (Assumption("water_heater.draw.volume", value, why, "hot water use"),)


HOURS_A_DAY = 24
