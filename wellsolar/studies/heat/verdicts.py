"""Whether a PV-heated tank gets hot enough, and whether anybody or anything can be hurt by it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wellsolar import kinds
from wellsolar.constants import US_GALLON
from wellsolar.results.heat import DivertedTankResult, HeatDay, HeatedTankResult, HouseholdYear
from wellsolar.site.schema import Site
from wellsolar.studies.array.heater_circuit import element_on_array
from wellsolar.studies.heat.one_day import hot_in_one_day
from wellsolar.studies.heat.stored import stored_verdicts
from wellsolar.studies.heat.tank import element_height
from wellsolar.studies.house.demand import ours
from wellsolar.studies.safety.guarded_tank import TANK, dial_up, temperature
from wellsolar.studies.sun.days import MONTH_NAMES
from wellsolar.units import Quantity, read, show
from wellsolar.verdicts import (
    Change,
    Place,
    Remedy,
    Rule,
    Status,
    Verdict,
    at_least,
    remedy,
    say,
    set_to,
)

UPPER_POWER = 4500.0
"""Of the upper element that is advised where there is none [W]: common practice, no source."""

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
    "from cold, with nothing drawn, one clear day of each month, or of that which the file aims "
    "at, brings the tank to the thermostat's setpoint, or as warm as aimed at",
    "heat balance",
    limit_is="at least",
    by="electrician",
    place=Place("tank_days", "heated_tank"),
)
SHARE = Rule(
    "share from PV",
    "how much of the hot water does PV give?",
    "with the household's draws PV gives the share of the year's hot-water heat that the file "
    "aims at, half of it by wellsolar's mark",
    "heat balance",
    limit_is="at least",
    by="owner",
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
    "on as many days as the file aims at, four in five by wellsolar's mark",
    "heat balance",
    limit_is="at least",
    by="electrician",
    place=Place("hot_water_months", "hot_water_year"),
)


BY_SUN = Rule(
    "hot evenings by the sun",
    "does the sun alone make the evenings' water hot?",
    "with the household's draws and nothing but modules the first after 17:00, or the day's last, "
    "comes as warm as wanted on as many days as the file aims at",
    "heat balance",
    limit_is="at least",
    by="electrician",
    place=Place("hot_water_months", "hot_water_year"),
)

SETTING = Rule(
    "thermostat setting",
    "is the thermostat set as warm as the water is wanted?",
    "the tank's setting no lower than the water wanted at the taps, nor than the file aims at",
    "heat balance",
    limit_is="at least",
    by="electrician",
    place=Place("tank_days", "heated_tank"),
)


def heat_verdicts(site: Site, result: HeatedTankResult) -> list[Verdict]:
    """Whether the tank gets hot and how much of the household's hot water that is: three or four
    verdicts; where sun and draws are known one on the evenings, and another where the file aims at
    some by the sun alone."""
    verdicts = [_reaches(site, result), _share(site, result), _setting(site, result)]
    verdicts += stored_verdicts(site, result)
    if result.households:
        verdicts += [
            evening_verdict(site, result, "PV", result.evening_thermostat, result.evening_draw),
            *_evening_by_sun(site, result),
        ]
    return verdicts


def aims_met(verdicts: Sequence[Verdict], site: Site) -> bool:
    """Whether a heated tank gives what is aimed at. True where share and evenings are as the file
    aims at or by our marks, and the clear day's temperature where the file aims at one."""
    named = site.aim.clear_day_temperature is not None or site.aim.clear_day_month is not None
    asked = {SHARE, EVENING, BY_SUN, *([REACHES] if named else [])}
    of_aims = [verdict for verdict in verdicts if verdict.rule in asked]
    judged = {verdict.rule for verdict in of_aims}
    return {SHARE, EVENING} <= judged and all(verdict.status == "pass" for verdict in of_aims)


def _reaches(site: Site, result: HeatedTankResult) -> Verdict:
    """Whether one clear day brings the tank to its setpoint, in the best and the worst month."""
    if not result.days:
        return REACHES.unknown(TANK, "site.latitude")
    month, wanted = site.aim.clear_day_month, site.aim.clear_day_temperature
    clear = [
        day
        for day in result.days
        if day.kind == "clear" and month in (None, MONTH_NAMES[day.month - 1])
    ]
    best = max(clear, key=lambda day: day.element_energy)
    worst = min(clear, key=lambda day: day.element_energy)
    setpoint = temperature(result.setpoint)
    if wanted is not None:
        return _as_warm(site, result, clear, wanted)
    short = [day.end_temperature for day in clear if day.days_to_setpoint != 1]
    status: Status = (
        "pass" if not short else "fail" if best.days_to_setpoint is None else "caution"
    )
    return REACHES.verdict(
        status,
        TANK,
        say(
            "{volume} from {inlet} to {setpoint} takes {energy}; a clear day gives {best_energy} "
            "in {best_month}, {worst_energy} in {worst_month}. {when}{start}"
            + ("" if month else "; one clear day of any month is asked by wellsolar's mark"),
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
        quantity=temperature(min(short)) if short else setpoint,
        limit=setpoint,
        remedy=None if status == "pass" else hot_in_one_day(site, result, worst),
    )


def _as_warm(
    site: Site, result: HeatedTankResult, clear: Sequence[HeatDay], wanted: Quantity
) -> Verdict:
    """Whether one clear day of the months aimed at leaves the tank as warm as is aimed at."""
    coldest = min(clear, key=lambda day: day.end_temperature)
    reached = temperature(coldest.end_temperature)
    enough = reached >= wanted or (coldest.days_to_setpoint == 1 and result.setpoint >= wanted)
    if result.setpoint < wanted:
        way = remedy("set the thermostat to {wanted:up}", _set_to(site, wanted), wanted=wanted)
    else:
        way = hot_in_one_day(site, result, min(clear, key=lambda day: day.element_energy))
    return REACHES.verdict(
        "pass" if enough else "caution",
        TANK,
        say(
            "begun at {inlet}, one clear day of {month} leaves {volume} at {reached}; {wanted} is "
            "aimed at",
            inlet=temperature(result.inlet_temperature),
            month=MONTH_NAMES[coldest.month - 1],
            volume=Quantity(result.tank_volume, kinds.VOLUME),
            reached=reached,
            wanted=wanted,
        ),
        quantity=reached,
        limit=wanted,
        remedy=way,
    )


def _set_to(site: Site, wanted: float) -> list[Change]:
    """The thermostat of the element on the array set as warm as wanted."""
    on = element_on_array(site)
    assert on is not None
    return [set_to(f"{on.path}.thermostat", dial_up(wanted))]


def _setting(site: Site, result: HeatedTankResult) -> Verdict:
    """Whether the tank's setting is as warm as its water is wanted."""
    aimed = site.aim.clear_day_temperature
    wanted = temperature(max(result.tap.temperature, aimed or result.tap.temperature))
    setpoint = temperature(result.setpoint)
    return SETTING.verdict(
        "pass" if at_least(setpoint, wanted) else "fail",
        TANK,
        say("set to {setpoint}, and {wanted} is wanted", setpoint=setpoint, wanted=wanted),
        quantity=setpoint,
        limit=wanted,
        remedy=remedy("set it to {wanted:up} or more", _set_to(site, wanted), wanted=wanted),
    )


def _when(best: HeatDay, worst: HeatDay) -> str:
    """On which clear day in a row it gets there, in both months."""
    return (
        f"From cold it reaches the setpoint {_ordinal(best)} in {MONTH_NAMES[best.month - 1]}, "
        f"{_ordinal(worst)} in {MONTH_NAMES[worst.month - 1]}"
    )


def _ordinal(day: HeatDay) -> str:
    """The number of that day in words."""
    number = day.days_to_setpoint
    if number is None:
        return "on no clear day in a row"
    if number == 1:
        return "on the 1st clear day"
    ending = {2: "nd", 3: "rd", 21: "st"}.get(number, "th")  # of 21 days at most
    return f"on the {number}{ending} clear day in a row"


def _start(site: Site, best: HeatDay) -> str:
    """From what start one clear day suffices in the best month."""
    if best.days_to_setpoint == 1 or best.start_for_one_day is None:
        return ""
    start = show(best.start_for_one_day, kinds.TEMPERATURE, site.site.print_units)
    return f"; in {MONTH_NAMES[best.month - 1]} one clear day suffices from {start} at midnight"


def _share(site: Site, result: HeatedTankResult) -> Verdict:
    """Whether PV gives as much of the year's hot-water heat as is aimed at."""
    if result.annual_share is None:
        missing = ["site.latitude"] if site.site.latitude is None else []
        missing += ["sun.monthly"] if site.sun.monthly is None else []
        missing += ["water_heater.draw.volume"] if result.draw_volume is None else []
        return SHARE.unknown(TANK, *missing[:2]) if missing else TOO_MUCH
    share = Quantity(result.annual_share, kinds.FRACTION)
    aim = site.aim.sun_share
    best = max(result.months, key=lambda month: month.share)
    worst = min(result.months, key=lambda month: month.share)
    enough = share >= aim
    assert result.draw_volume is not None
    return SHARE.verdict(
        "pass" if enough else "caution",
        TANK,
        say(
            "of {draw} a day at {tap} PV alone heats {share} over the year, {best} in "
            "{best_month} and {worst} in {worst_month}; {aim} is aimed at"
            + ours(aim, "sun_share"),
            aim=aim,
            draw=Quantity(result.draw_volume, kinds.VOLUME),
            tap=temperature(result.tap.temperature),
            share=share,
            best=Quantity(best.share, kinds.FRACTION),
            best_month=MONTH_NAMES[best.month - 1],
            worst=Quantity(worst.share, kinds.FRACTION),
            worst_month=MONTH_NAMES[worst.month - 1],
        ),
        quantity=share,
        limit=aim,
        remedy=_larger_share(site, result),
    )


def _larger_share(site: Site, result: HeatedTankResult) -> Remedy:
    """The draw of which PV gives what is aimed at, or else what would make it more."""
    helped = len(result.households) > 1
    rest = "" if helped else ", or let an upper element do the rest from the grid"
    if result.share_draw is None:
        return remedy("more modules{rest}", MORE_MODULES, rest=rest)
    return remedy(
        "draw no more than {draw:down} a day, {or_}add modules{rest}",
        _drawing(site, result.share_draw),
        draw=Quantity(result.share_draw, kinds.VOLUME),
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


def evening_verdict(
    site: Site,
    result: HeatedTankResult | DivertedTankResult,
    by: str,
    thermostat: float | None,
    small_draw: float | None,
) -> Verdict:
    """Whether the evening's draw finds hot water in the house as it stands: with what the grid
    heats, where something does.

    Parameters:
        result: of its tank, with the household's year
        by: what heats it beside the grid, in words
        thermostat: at which the grid would make the evenings hot [degC]; small_draw: with which
            they would be [m3]; None where there is none
    """
    alone, last = result.households[0], result.households[-1]
    year = last.year
    aim = site.aim.hot_evenings
    needed = math.ceil(aim * year.days)
    enough = last.fewest_evenings >= needed
    minutes = round(last.evening / 60)
    parts: dict[str, Quantity | str] = {
        "clock": f"{minutes // 60}:{minutes % 60:02d}",
        "tap": temperature(result.tap.temperature),
        "alone": _evenings(alone),
        "days": Quantity(year.days, kinds.DAYS),
    }
    template = "the draw that begins at {clock} comes at {tap} on {alone} of {days} by "
    template += f"{by} alone"
    if last is not alone:
        template += "; with the {helper} on {hot}, for {grid} a year from the grid"
        parts["hot"] = _evenings(last)
        parts["helper"] = last.heated_by
        parts["grid"] = Quantity(year.grid_heat, kinds.ENERGY)
    parts["aim"] = Quantity(needed, kinds.DAYS)
    template += "; {aim} are aimed at" + ours(aim, "hot_evenings")
    return EVENING.verdict(
        "pass" if enough else "caution",
        TANK,
        say(template, **parts),
        quantity=Quantity(last.fewest_evenings, kinds.DAYS),
        limit=Quantity(needed, kinds.DAYS),
        remedy=_hotter_evenings(site, last.heated_by, thermostat, small_draw),
    )


def _evening_by_sun(site: Site, result: HeatedTankResult) -> list[Verdict]:
    """Whether the sun alone makes the evenings hot; nothing where the file does not aim at it."""
    aim, alone = site.aim.sun_evenings, result.households[0]
    if aim is None:
        return []
    needed = Quantity(math.ceil(aim * alone.year.days), kinds.DAYS)
    ways, how = "more modules or a larger tank", MORE_MODULES
    draw = Quantity(result.sun_evening_draw or 0.0, kinds.VOLUME)
    changes: Sequence[Change] | str = how
    if result.sun_evening_draw is not None:
        ways = "draw no more than {draw:down} a day, or add modules"
        changes = _drawing(site, result.sun_evening_draw)
    return [
        BY_SUN.verdict(
            "pass" if alone.fewest_evenings >= needed else "caution",
            TANK,
            say(
                "by the sun alone it comes at {tap} on {alone} of {days}; {aim} are aimed at",
                tap=temperature(result.tap.temperature),
                alone=_evenings(alone),
                days=Quantity(alone.year.days, kinds.DAYS),
                aim=needed,
            ),
            quantity=Quantity(alone.fewest_evenings, kinds.DAYS),
            limit=needed,
            remedy=remedy(ways, changes, draw=draw),
        )
    ]


def _evenings(household: HouseholdYear) -> str:
    """Hot evenings, from the worst to the best of the years that were looked at."""
    low, high = household.fewest_evenings, household.most_evenings
    return f"{low}" if low == high else f"{low} to {high}"


def _hotter_evenings(
    site: Site, helper: str, thermostat: float | None, small_draw: float | None
) -> Remedy:
    """What makes the evening's draw hot often enough: a thermostat on the grid, less water."""
    ways: list[str] = []
    parts: dict[str, Quantity | str] = {}
    how: Sequence[Change] | str = MORE_MODULES
    if thermostat is not None:
        parts["thermostat"] = temperature(thermostat)
        if helper == "PV":
            parts["power"] = Quantity(UPPER_POWER, kinds.POWER)
            ways.append("an upper element of {power} on the grid, its thermostat at ")
            how = "a new element is a table of its own, which no single key makes"
        else:
            parts["helper"] = helper
            ways.append("set the thermostat of the {helper} to ")
            how = [set_to(_helper_path(site, helper), dial_up(thermostat))]
        ways[0] += "{thermostat:up}"
    if small_draw is not None:
        parts["draw"] = Quantity(small_draw, kinds.VOLUME)
        how = how if ways else _drawing(site, small_draw)
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
    """Whether the battery's surplus gives as much of the year's hot-water heat as is aimed at.

    Parameters:
        result: of the tank that only the surplus heats
        small_draw: of which it would give that much [m3]; None where there is none
    """
    if result.draw_volume is None:
        return SHARE.unknown(TANK, "water_heater.draw.volume")
    if result.annual_share is None:
        return TOO_MUCH
    share, aim = Quantity(result.annual_share, kinds.FRACTION), site.aim.sun_share
    enough = share >= aim
    return SHARE.verdict(
        "pass" if enough else "caution",
        TANK,
        say(
            "of {draw} a day at {tap} the battery's surplus alone heats {share} over the year; "
            "{aim} is aimed at" + ours(aim, "sun_share"),
            aim=aim,
            draw=Quantity(result.draw_volume, kinds.VOLUME),
            tap=temperature(result.tap.temperature),
            share=share,
        ),
        quantity=share,
        limit=aim,
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
