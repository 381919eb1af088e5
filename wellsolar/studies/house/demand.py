"""How much water the people of a site want, when hot water is drawn, and what the site aims at."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, NamedTuple

from wellsolar import kinds
from wellsolar.constants import DAY, HOUR, US_GALLON
from wellsolar.data import hot_water_tables
from wellsolar.data.hot_water_tables import Draw
from wellsolar.physics.hydraulics import demand
from wellsolar.site.defaults import default_of
from wellsolar.site.schema import DrawTable, Site, WaterHeaterTable
from wellsolar.units import Quantity, read
from wellsolar.verdicts import Assumption, Remedy, remedy, set_to

OURS = ", wellsolar's mark"
"""Said in a reason behind an aim that is the usual one."""


class HeatAims(NamedTuple):
    """What a heated tank should give.

    share: of the year's hot-water heat by the sun [-]
    evenings: share of the year's evenings with hot water [-]
    sun_evenings: the same by the sun alone [-], None where that is not asked
    """

    share: float
    evenings: float
    sun_evenings: float | None


def heat_aims(site: Site) -> HeatAims:
    """What the tank of a site should give."""
    aim = site.aim
    alone = None if aim.sun_evenings is None else float(aim.sun_evenings)
    return HeatAims(float(aim.sun_share), float(aim.hot_evenings), alone)


def ours(
    value: Quantity, key: Literal["hot_evenings", "sun_share", "matched", "dark_days"]
) -> str:
    """What is said behind an aim that is as usual; nothing behind another."""
    default = default_of(("aim", key))
    assert default is not None
    return OURS if value == read(default.value, value.kind) else ""


def short_days(site: Site) -> int:
    """Days a year on which the water may fall short."""
    aimed = site.aim.days_short
    return site.limits.short_days if aimed is None else aimed


LARGEST_HOUSEHOLD = 10
"""People up to whom the rule of metered households is used as one household; more are counted as
the fewest alike of no more: our choice."""


def daily_use(site: Site) -> tuple[float | None, tuple[Assumption, ...]]:
    """Water on an ordinary day as a mean flow [m3/s], and the assumption it rests on.

    Given in the file, or by the metered use of as many households as so many people make; None
    where the file gives neither.
    """
    if site.demand.daily_use is not None:
        return float(site.demand.daily_use), ()
    people = site.site.people
    if people is None:
        return None, ()
    households = math.ceil(people / LARGEST_HOUSEHOLD)
    use = households * demand.metered_indoor_use(people / households)
    value = Quantity(use, kinds.DAILY_FLOW)
    why = f"metered indoor use of a household of {people}"
    if households > 1:
        why = f"{people} people as {households} households of up to {LARGEST_HOUSEHOLD}, each by "
        why += "its metered indoor use with running water"
    return use, (Assumption("demand.daily_use", value, why, "metered use"),)


def peak_flow(site: Site) -> Quantity | None:
    """The most that taps draw at one time: as the file has it, else by its fixtures; None where
    the file tells neither."""
    quantity, fixtures = site.demand.peak_flow, site.demand.fixtures
    if quantity is not None or fixtures is None:
        return quantity
    return Quantity(demand.peak_of_fixtures(fixtures.model_dump()), kinds.FLOW)


def peak_assumed(site: Site) -> tuple[Assumption, ...]:
    """The peak that is reckoned by fixtures; nothing where the file tells one itself."""
    peak = peak_flow(site)
    if site.demand.peak_flow is not None or peak is None:
        return ()
    why = "by its fixtures: the greatest use at its own flow, the others at their allowance"
    return (Assumption("demand.peak_flow", peak, why, "fixture allowances"),)


def survival_volume(site: Site) -> float | None:
    """Water for a day of survival of everybody [m3]; None where people is missing."""
    if site.site.people is None:
        return None
    return demand.survival_use(site.site.people, site.demand.survival_use) * DAY


DAILY_KEYS = ("demand.daily_use",)
"""What settles the day's water; the people of a household do as well."""


WORTH_SAVING = 0.1
"""Part of the day's water below which it is no advice to use no more: our choice."""

ANOTHER_SOURCE = "find another source, or hang a pump where this well gives more"
"""What helps where a well gives hardly anything."""


def use_less(most: float, wanted: float, instead: str = ANOTHER_SOURCE) -> Remedy:
    """The remedy to use no more water than there is.

    Parameters:
        most: water a day [m3]
        wanted: a day [m3]
        instead: what is advised where there is hardly any
    Returns:
        the remedy, with the day's use in whole gallons
    """
    if most < WORTH_SAVING * wanted:
        return remedy(instead, "it is work on the well, not a key")
    gallons = math.floor(most / US_GALLON * (1.0 + 1e-9))
    return remedy(
        "use no more than {most:down} a day, or find another source beside it",
        [set_to("demand.daily_use", f"{gallons} gal/day")],
        most=Quantity(most, kinds.VOLUME),
    )


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
    if table.times is not None:
        assert table.volumes is not None
        listed = [
            TapDraw(float(start), volume / LIST_FLOW, float(volume))
            for start, volume in zip(table.times, table.volumes, strict=True)
        ]
        return tuple(_apart(listed))
    pattern = hot_water_tables.draw_pattern(table.pattern)
    scale = daily_volume / sum(draw.volume for draw in pattern)
    return tuple(
        TapDraw(
            hot_water_tables.FIRST_DRAW + draw.start,
            draw.volume / draw.flow,
            draw.volume * scale,
        )
        for draw in pattern
    )


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
    """Hot water a day at the tap: volume [m3], None where the file gives neither it nor the
    people, and what was assumed."""
    if heater.draw.volumes is not None:
        return sum(heater.draw.volumes), ()
    if heater.draw.volume is not None:
        return float(heater.draw.volume), ()
    people = site.site.people
    if people is None:
        return None, ()
    volume = demand.hot_water_use(people) * DAY
    value = Quantity(volume, kinds.VOLUME)
    why = f"solar sizing rule for {people} people, taken as mixed water"
    return volume, (Assumption("water_heater.draw.volume", value, why, "hot water use"),)


HOURS_A_DAY = 24
