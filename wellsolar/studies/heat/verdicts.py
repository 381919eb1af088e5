"""Whether a PV-heated tank gets hot enough, and whether anybody or anything can be hurt by it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wellsolar import kinds
from wellsolar.constants import US_GALLON
from wellsolar.results import DivertedTankResult, HeatDay, HeatedTankResult, HouseholdYear
from wellsolar.site.schema import Site
from wellsolar.studies.heat.one_day import hot_in_one_day
from wellsolar.studies.heat.tank import element_height
from wellsolar.studies.safety.guarded_tank import TANK, dial_up, temperature
from wellsolar.studies.sun.days import MONTH_NAMES
from wellsolar.units import Quantity, read, show
from wellsolar.verdicts import Change, Place, Remedy, Rule, Status, Verdict, remedy, say, set_to

HALF = 0.5
"""Share of the year's hot-water heat below which PV is called a help only: our choice."""

UPPER_POWER = 4500.0
"""Of the upper element that is advised where there is none [W]: common practice, no source."""

EVENINGS = 0.8
"""Share of the year's days below which the evening's hot water is called a help only: our
choice."""


SMALL_DRAW = 10.0
"""Draws of a day from which a remedy names whole gallons, below them tenths [gal]: our choice."""

MORE_MODULES = (
    "how many modules go on the array hangs on its element, switches and wire: the match of array "
    "and element has them"
)
"""Why more modules are no change of one key."""

REACHES = Rule(
    "reaches temperature",
    "does the tank reach its setpoint?",
    "from cold, with nothing drawn, one clear day brings the tank to the thermostat's setpoint",
    "heat balance",
    limit_is="at least",
    place=Place("tank_days", "heated_tank"),
)
SHARE = Rule(
    "share from PV",
    "how much of the hot water does PV give?",
    "with the household's draws PV gives at least half of the year's hot-water heat",
    "heat balance",
    limit_is="at least",
    place=Place("hot_water_months", "heated_tank|hot_water_year"),
)
TOO_MUCH = SHARE.unknown(
    TANK,
    "water_heater.volume",
    "water_heater.draw.volume",
    why="a day's draw is more than any household's: over 20 tanks, or 50 of the second tank",
)
"""Said where the draw is no household's from such a tank."""

EVENING = Rule(
    "hot water in the evening",
    "does the evening's draw find hot water?",
    "with the household's draws the first after 17:00, or the day's last, comes as warm as wanted "
    "on four days in five",
    "heat balance",
    limit_is="at least",
    place=Place("hot_water_months", "hot_water_year"),
)


def heat_verdicts(site: Site, result: HeatedTankResult) -> list[Verdict]:
    """Whether the tank gets hot and how much of the household's hot water that is.

    Parameters:
        site: the site
        result: of its heated tank
    Returns:
        two verdicts, and a third where sun and draws are known
    """
    verdicts = [_reaches(site, result), _share(site, result)]
    return [*verdicts, _evening(site, result)] if result.households else verdicts


def _reaches(site: Site, result: HeatedTankResult) -> Verdict:
    """Whether one clear day brings the tank to its setpoint, in the best and the worst month."""
    if not result.days:
        return REACHES.unknown(TANK, "site.latitude")
    clear = [day for day in result.days if day.kind == "clear"]
    best = max(clear, key=lambda day: day.element_energy)
    worst = min(clear, key=lambda day: day.element_energy)
    setpoint = temperature(result.setpoint)
    slowest = all(day.days_to_setpoint == 1 for day in clear)
    status: Status = "pass" if slowest else "fail" if best.days_to_setpoint is None else "caution"
    return REACHES.verdict(
        status,
        TANK,
        say(
            "{volume} from {inlet} to {setpoint} takes {energy}; a clear day gives {best_energy} "
            "in {best_month}, {worst_energy} in {worst_month}. {when}{start}",
            volume=Quantity(result.tank_volume, kinds.VOLUME),
            inlet=temperature(result.inlet_temperature),
            setpoint=setpoint,
            energy=Quantity(result.heating_energy, kinds.ENERGY),
            best_energy=Quantity(best.element_energy, kinds.ENERGY),
            best_month=MONTH_NAMES[best.month - 1],
            worst_energy=Quantity(worst.element_energy, kinds.ENERGY),
            worst_month=MONTH_NAMES[worst.month - 1],
            when=_when(best, worst),
            start=_start(site, best),
        ),
        quantity=temperature(
            best.end_temperature if best.days_to_setpoint != 1 else result.setpoint
        ),
        limit=setpoint,
        remedy=None if status == "pass" else hot_in_one_day(site, result, worst),
    )


def _when(best: HeatDay, worst: HeatDay) -> str:
    """On which clear day in a row it gets there, in both months."""
    return (
        f"From cold it reaches the setpoint {_ordinal(best)} of {MONTH_NAMES[best.month - 1]}, "
        f"{_ordinal(worst)} of {MONTH_NAMES[worst.month - 1]}"
    )


def _ordinal(day: HeatDay) -> str:
    """The number of that day in words."""
    number = day.days_to_setpoint
    if number is None:
        return "on no clear day in a row"
    if number == 1:
        return "on the 1st clear day"
    ending = {2: "nd", 3: "rd"}.get(number, "th") if number < 20 else "th"
    return f"on the {number}{ending} clear day in a row"


def _start(site: Site, best: HeatDay) -> str:
    """From what start one clear day suffices in the best month."""
    if best.days_to_setpoint == 1 or best.start_for_one_day is None:
        return ""
    start = show(best.start_for_one_day, kinds.TEMPERATURE, site.site.print_units)
    return f"; in {MONTH_NAMES[best.month - 1]} one clear day suffices from {start} at midnight"


def _share(site: Site, result: HeatedTankResult) -> Verdict:
    """Whether PV gives half of the year's hot-water heat."""
    if result.annual_share is None:
        missing = ["site.latitude"] if site.site.latitude is None else []
        missing += ["sun.monthly"] if site.sun.monthly is None else []
        missing += ["water_heater.draw.volume"] if result.draw_volume is None else []
        return SHARE.unknown(TANK, *missing[:2]) if missing else TOO_MUCH
    share = Quantity(result.annual_share, kinds.FRACTION)
    half = Quantity(HALF, kinds.FRACTION)
    best = max(result.months, key=lambda month: month.share)
    worst = min(result.months, key=lambda month: month.share)
    enough = share >= half
    assert result.draw_volume is not None
    return SHARE.verdict(
        "pass" if enough else "caution",
        TANK,
        say(
            "of {draw} a day at {tap} PV alone heats {share} over the year, {best} in "
            "{best_month} and {worst} in {worst_month}",
            draw=Quantity(result.draw_volume, kinds.VOLUME),
            tap=temperature(result.tap.temperature),
            share=share,
            best=Quantity(best.share, kinds.FRACTION),
            best_month=MONTH_NAMES[best.month - 1],
            worst=Quantity(worst.share, kinds.FRACTION),
            worst_month=MONTH_NAMES[worst.month - 1],
        ),
        quantity=share,
        limit=half,
        remedy=_larger_share(site, result),
    )


def _larger_share(site: Site, result: HeatedTankResult) -> Remedy:
    """The draw of which PV gives half, or else what would make it more."""
    helped = len(result.households) > 1
    rest = "" if helped else ", or let an upper element do the rest from the grid"
    if result.half_share_draw is None:
        return remedy("more modules{rest}", MORE_MODULES, rest=rest)
    return remedy(
        "draw no more than {draw:down} a day, {or_}add modules{rest}",
        _drawing(site, result.half_share_draw),
        draw=Quantity(result.half_share_draw, kinds.VOLUME),
        or_="or " if helped else "",
        rest=rest,
    )


def _drawing(site: Site, most: float) -> list[Change] | str:
    """The day's draw set to whole gallons below so much [m3], or why the file can't say it."""
    heater = site.water_heater
    assert heater is not None
    if heater.draw.volumes is not None:
        return "the file lists the household's draws one by one, and any of them may be the less"
    gallons = most / US_GALLON
    shown = math.floor(gallons) if gallons >= SMALL_DRAW else math.floor(gallons * 10.0) / 10.0
    return [set_to("water_heater.draw.volume", read(f"{shown:g} gal", kinds.VOLUME))]


def _evening(site: Site, result: HeatedTankResult) -> Verdict:
    """Of the house as it stands: with what the grid heats, where something does."""
    alone, last = result.households[0], result.households[-1]
    year = last.year
    needed = math.ceil(EVENINGS * year.days)
    enough = last.fewest_evenings >= needed
    minutes = round(last.evening / 60)
    parts: dict[str, Quantity | str] = {
        "clock": f"{minutes // 60}:{minutes % 60:02d}",
        "tap": temperature(result.tap.temperature),
        "alone": _evenings(alone),
        "days": Quantity(year.days, kinds.DAYS),
    }
    template = "the draw that begins at {clock} comes at {tap} on {alone} of {days} by PV alone"
    if last is not alone:
        template += ", on {hot} with the {helper}, which takes {grid} a year from the grid"
        parts["hot"] = _evenings(last)
        parts["helper"] = last.heated_by
        parts["grid"] = Quantity(year.grid_heat, kinds.ENERGY)
    return EVENING.verdict(
        "pass" if enough else "caution",
        TANK,
        say(template, **parts),
        quantity=Quantity(last.fewest_evenings, kinds.DAYS),
        limit=Quantity(needed, kinds.DAYS),
        remedy=_hotter_evenings(site, result, last.heated_by),
    )


def _evenings(household: HouseholdYear) -> str:
    """Hot evenings, from the worst to the best of the years that were looked at."""
    low, high = household.fewest_evenings, household.most_evenings
    return f"{low}" if low == high else f"{low} to {high}"


def _hotter_evenings(site: Site, result: HeatedTankResult, helper: str) -> Remedy:
    """What makes the evening's draw hot often enough: a thermostat on the grid, less water."""
    ways: list[str] = []
    parts: dict[str, Quantity | str] = {}
    how: Sequence[Change] | str = MORE_MODULES
    if result.evening_thermostat is not None:
        parts["thermostat"] = temperature(result.evening_thermostat)
        if helper == "PV":
            parts["power"] = Quantity(UPPER_POWER, kinds.POWER)
            ways.append("an upper element of {power} on the grid, its thermostat at ")
            how = "a new element is a table of its own, which no single key makes"
        else:
            parts["helper"] = helper
            ways.append("set the thermostat of the {helper} to ")
            how = [set_to(_helper_path(site, helper), dial_up(result.evening_thermostat))]
        ways[0] += "{thermostat:up}"
    if result.evening_draw is not None:
        parts["draw"] = Quantity(result.evening_draw, kinds.VOLUME)
        how = how if ways else _drawing(site, result.evening_draw)
        ways.append("draw no more than {draw:down} a day")
    if not ways:
        return remedy("more modules or a larger tank: less water alone does not do it", how)
    return remedy("; or ".join(ways), how, **parts)


def _helper_path(site: Site, helper: str) -> str:
    """Key path of the thermostat of what heats beside the modules."""
    heater = site.water_heater
    assert heater is not None
    if helper == "second tank":
        return "water_heater.second_tank.thermostat"
    on_grid = [
        (element_height(element), number)
        for number, element in enumerate(heater.element, 1)
        if element.fed_by == "grid" and element.thermostat is not None
    ]
    highest = max(height for height, _ in on_grid)
    number = next(number for height, number in on_grid if height == highest)
    return f"water_heater.element[{number}].thermostat"


def diverted_share(site: Site, result: DivertedTankResult, small_draw: float | None) -> Verdict:
    """Whether the battery's surplus gives half of the year's hot-water heat.

    Parameters:
        site: the site
        result: of the tank that only the surplus heats
        small_draw: of which it would give half [m3]; None where there is none
    Returns:
        a verdict
    """
    if result.draw_volume is None:
        return SHARE.unknown(TANK, "water_heater.draw.volume")
    if result.annual_share is None:
        return TOO_MUCH
    share, half = Quantity(result.annual_share, kinds.FRACTION), Quantity(HALF, kinds.FRACTION)
    enough = share >= half
    return SHARE.verdict(
        "pass" if enough else "caution",
        TANK,
        say(
            "of {draw} a day at {tap} the battery's surplus alone heats {share} over the year",
            draw=Quantity(result.draw_volume, kinds.VOLUME),
            tap=temperature(result.tap.temperature),
            share=share,
        ),
        quantity=share,
        limit=half,
        remedy=_less_drawn(site, small_draw),
    )


def _less_drawn(site: Site, small_draw: float | None) -> Remedy:
    """A smaller draw, or more modules on the battery."""
    if small_draw is None:
        return remedy(
            "more modules on the battery, or an array of its own for the tank", MORE_MODULES
        )
    return remedy(
        "draw no more than {draw:down} a day, or add modules to the battery",
        _drawing(site, small_draw),
        draw=Quantity(small_draw, kinds.VOLUME),
    )
