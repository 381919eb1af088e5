"""Every source of water, and the hot water, against every outage, by what other studies found."""

from __future__ import annotations

import math
from dataclasses import replace

from wellsolar import kinds
from wellsolar.results.heat import DivertedTankResult, HeatedTankResult, HouseholdYear
from wellsolar.results.outages import HotWater, Outage, OutageResult
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import Site
from wellsolar.studies.array.heater_circuit import element_on_array
from wellsolar.studies.house.wells import FIRST, name_of, views
from wellsolar.studies.outage.equipment import (
    Equipment,
    Event,
    matrix_events,
    wanted_of,
    whole_event,
)
from wellsolar.studies.outage.power import SunOnPumps
from wellsolar.studies.outage.sources import Tried, outage, stores_of, well_volume
from wellsolar.studies.outage.weak_links import own_fix, weak_links
from wellsolar.studies.supply.diversion import element_on_inverter
from wellsolar.studies.well.total_head import DEEPER_WATER
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Assumption,
    Place,
    Remedy,
    Rule,
    Trade,
    Verdict,
    changes_of,
    remedy,
    say,
)

NO_PRESSURE = "there is no pressure at the taps"


def hot_water(has: Equipment, event: Event, outage: Outage) -> HotWater | None:
    """The hot water in one outage; None of a site without a water heater."""
    if has.site.water_heater is None:
        return None
    hot = _hot(has, event)
    if outage.pressure == "no" and hot.state != "none":
        return HotWater(hot.state, hot.days, hot.end_temperature, NO_PRESSURE)
    return hot


def _hot(has: Equipment, event: Event) -> HotWater:
    site, failed, days = has.site, event.failed, event.days
    heater, heated, diverted = site.water_heater, has.heated, has.diverted
    assert heater is not None
    if "water heater" in failed:
        return HotWater("none", 0.0, None, "the water heater has failed")
    on_grid = heater.second_tank is not None or any(e.fed_by == "grid" for e in heater.element)
    if on_grid and site.power.grid and "grid" not in failed:
        return HotWater("hot", float(days), None, "nothing: the grid heats it")
    if heated is not None and not event.dark and heated.array not in failed:
        return _sunny(heated.households, days, "sun on its own array")
    surplus = {"inverter", "battery"} & failed or event.dark
    if diverted is not None and diverted.households and not surplus:
        return _sunny(diverted.households, days, "the battery's surplus")
    return _cooling(site, heated or diverted, event)


def _sunny(households: tuple[HouseholdYear, ...], days: int, limit: str) -> HotWater:
    """Days with a hot evening by the sun alone, as often as in the year."""
    if not households:
        return HotWater("on sunny days", None, None, limit)
    first = households[0]
    hot = days * first.fewest_evenings / first.year.days
    return HotWater("on sunny days", hot, None, limit)


def _cooling(
    site: Site, heated: HeatedTankResult | DivertedTankResult | None, event: Event
) -> HotWater:
    """Nothing heats: as long as what is in the tank is warm enough."""
    why = "nothing heats it"
    if event.dark and (element_on_array(site) or element_on_inverter(site)):
        why = "no sun heats it"
    if heated is None or not heated.dark_days:
        return HotWater("cooling", None, None, why)
    warm = 0
    for day in heated.dark_days[: event.days]:
        drawn = day.top_temperature
        if (day.idle_temperature if drawn is None else drawn) < heated.tap.temperature:
            break
        warm += 1
    last = heated.dark_days[min(event.days, len(heated.dark_days)) - 1]
    end = last.idle_temperature if last.top_temperature is None else last.top_temperature
    shown = end if event.days <= len(heated.dark_days) else None
    return HotWater("cooling", float(warm), shown, why)


SUBJECT = "water supply"

LINKS = Rule(
    "water when one thing fails",
    "is there survival water when any one thing fails?",
    "with each component alone out of order, all other sources together give everybody's survival "
    "water for as long as the repair takes, in the low season",
    "outages",
    limit_is="at least",
    by="plumber",
    read_by="owner",
    place=Place("outages", "outages"),
    worst=DEEPER_WATER,
)
WORST = Rule(
    "water in the worst outage",
    "is there survival water in the worst of the usual outages?",
    "with no grid through the darkest days of the year, or with nothing but hands, all other "
    "sources together give everybody's survival water, in the low season",
    "outages",
    limit_is="at least",
    by="plumber",
    read_by="owner",
    place=Place("outages", "outages"),
    worst=DEEPER_WATER,
)
OWN = Rule(
    "water in an outage of the file",
    "is there survival water when this fails?",
    "all that is left gives everybody's survival water for as long as it lasts, in the low season",
    "outages",
    limit_is="at least",
    by="plumber",
    read_by="owner",
    place=Place("outages", "outages"),
)


def study_outages(has: Equipment, fixes: bool = True) -> tuple[OutageResult | None, StudyPart]:
    """What is left of a site's water, and of its hot water, when things fail.

    Parameters:
        fixes: False to look for no remedies, which takes the most of the time
    Returns:
        the outages; None of a site with nothing that brings water, and what they bring
    """
    site = has.own.site
    if not (has.pumps or has.hand or has.lifts):
        return None, StudyPart()
    wanted = wanted_of(site)
    tried = Tried(has, SunOnPumps(has), wanted, stores_of(has, wanted))
    events = matrix_events(site)
    whole = _with_heat(tried, whole_event(site))
    outages = {event: _with_heat(tried, event) for event in events}
    links = weak_links(tried, site, fixes)
    wells = (name_of(view.well) or FIRST for view in views(has.site))
    most = sum(well_volume(has, name=name) for name in wells)
    result = OutageResult(
        survival=wanted.survival,
        basic=wanted.basic,
        normal=wanted.normal,
        static_level=float(has.site.well.static_level),
        low=site.well.static_level.is_range,
        well_volume=most if math.isfinite(most) else None,
        stores=tried.stores,
        whole=whole,
        outages=tuple(outages.values()),
        links=links.links,
        plan=links.plan,
        planned=links.planned,
        other_levels=tuple((well.name, float(well.static_level)) for well in has.site.other_well),
    )
    verdicts = _verdicts(tried, site, result, outages, fixes)
    return result, StudyPart(tuple(verdicts), _assumptions(has))


def _with_heat(tried: Tried, event: Event) -> Outage:
    dry = outage(tried, event)
    return replace(dry, hot=hot_water(tried.has, event, dry))


def _assumptions(has: Equipment) -> tuple[Assumption, ...]:
    """What this study adds; what the studies of the sources rest on stands with them."""
    assumptions = [
        Assumption(
            "people who pump in an outage",
            "8 h a day at each handle",
            "one crew's day; more crews in turns lift more, as far as the well yields",
            "human power",
        )
    ]
    if any(table.supply == "AC" for table in has.site.pump):
        why = "a transfer switch connects each to grid, inverter or generator; no key changes it"
        assumptions.append(Assumption("power of the pumps", "any of them", why, "common practice"))
    if has.site.power.battery_energy is not None:
        why = "most inverters do not run without their battery; no key changes it"
        assumptions.append(Assumption("inverter without battery", "off", why, "common practice"))
        assumptions += _of_battery(has.site)
    return tuple(assumptions)


def _of_battery(site: Site) -> list[Assumption]:
    """What is left out of a battery's day: what else draws on it, and what else may charge it."""
    assumptions = []
    if site.power.other_use is None:
        none = Quantity(0.0, kinds.ENERGY)
        why = "no other load on the battery is named: what the pumps get of it is an upper limit"
        assumptions.append(Assumption("power.other_use", none, why, "common practice"))
    if site.power.generator_rating is not None:
        why = (
            "while it runs the generator drives the pumps; that it may charge the battery "
            "meanwhile is not counted, so there may be more water; no key changes it"
        )
        assumptions.append(Assumption("generator on the battery", "none", why, "common practice"))
    return assumptions


def _verdicts(
    tried: Tried, site: Site, result: OutageResult, outages: dict[Event, Outage], fixes: bool
) -> list[Verdict]:
    if result.survival is None:
        return [LINKS.unknown(SUBJECT, "site.people")]
    verdicts = [_links(result)]
    usual = {e: outage for e, outage in outages.items() if e.dark or e.key == "hands"}
    usual = {e: outage for e, outage in usual.items() if e.group == "matrix"}
    if usual:
        event = min(usual, key=lambda event: usual[event].survival or 0.0)
        verdicts.append(_one(tried, site, WORST, SUBJECT, event, usual[event], fixes))
    own = {e: outage for e, outage in outages.items() if e.group == "own"}
    verdicts += [_one(tried, site, OWN, e.name, e, outage, fixes) for e, outage in own.items()]
    return verdicts


def _links(result: OutageResult) -> Verdict:
    worst = min(result.links, key=lambda link: link.outage.volume)
    left, limit = _volume(worst.outage.volume), _volume(result.survival or 0.0)
    weak = result.weak
    parts: dict[str, Quantity | str] = {"name": worst.component, "left": left, "wanted": limit}
    if not weak:
        reason = "least is left without the {name}: {left} a day; survival water is {wanted}"
        reason = (
            reason if worst.component != "nothing" else "{left} a day; survival water is {wanted}"
        )
        return LINKS.verdict("pass", SUBJECT, say(reason, **parts), quantity=left, limit=limit)
    if all(_needs(link.outage) for link in weak) or (result.whole.short and _needs(result.whole)):
        why = "" if result.whole.short else f"without the {weak[0].component}"
        return LINKS.unknown(SUBJECT, *_needs(weak[0].outage), why=why)
    if result.whole.short:
        reason = "even with all in order there is {left} a day; survival water is {wanted}"
        parts["left"] = left = _volume(result.whole.volume)
    else:
        names = [link.component for link in weak]
        parts["names"] = ", or without the ".join(names)
        reason = "too little is left without the {names}"
        reason += (
            "; least without the {name}: {left} a day" if len(names) > 1 else ": {left} a day"
        )
        reason += "; survival water is {wanted}"
    wanted = _remedy(result)
    return LINKS.verdict(
        "fail", SUBJECT, say(reason, **parts), quantity=left, limit=limit, remedy=wanted,
        trade=_trade(wanted),
    )  # fmt: skip


def _trade(wanted: Remedy | None) -> Trade | None:
    """Whose work it is, where a pump must go into the well."""
    paths = [change.path for change in changes_of(wanted)]
    return "driller" if any(path.startswith("hand_pump.") for path in paths) else None


def _volume(volume: float) -> Quantity:
    return Quantity(volume, kinds.SUMMED_VOLUME)


def _needs(short: Outage) -> tuple[str, ...]:
    """Keys that might turn out to bring a source back."""
    return next((cell.needs[:2] for cell in short.cells if cell.needs), ())


def _remedy(result: OutageResult) -> Remedy:
    if result.plan:
        # A key that a later step sets again has its last value.
        changes = {change.path: change for fix in result.plan for change in fix.changes}
        return remedy(
            "{ways}; checked: never less than {least} a day is left then",
            tuple(changes.values()),
            ways="; then ".join(fix.text for fix in result.plan),
            least=_volume(result.planned or 0.0),
        )
    fixes = [(link.component, link.fix) for link in result.weak if link.fix is not None]
    if not fixes:
        return remedy(
            "a second source that needs none of what fails, or water brought in",
            "none of the pumps, tanks and modules that were tried is enough",
        )
    return remedy(
        "{ways}; the rest needs a second source of water",
        "no change that was tried clears them all",
        ways="; ".join(f"without the {name}: {fix.text}" for name, fix in fixes),
    )


def _one(
    tried: Tried, site: Site, rule: Rule, subject: str, event: Event, outage: Outage, fixes: bool
) -> Verdict:
    if outage.short and _needs(outage):
        return rule.unknown(subject, *_needs(outage), why=f"with {event.name} failed")
    left, limit = _volume(outage.volume), _volume(tried.wanted.survival or 0.0)
    wanted = None
    if outage.short:
        fix = own_fix(tried, site, event, outage) if fixes else None
        wanted = remedy(
            "bring water in for that long, or leave until it is over", "it is what people do"
        )
        if fix is not None:
            least = _volume(fix.volume)
            template = "{fix}; checked: {least} a day is left then"
            wanted = remedy(template, fix.changes, fix=fix.text, least=least)
    return rule.verdict(
        "fail" if outage.short else "pass",
        subject,
        say(
            "{name}: {left} a day for {days}; survival water is {wanted}",
            name=event.name,
            left=left,
            days="1 day" if event.days == 1 else f"{event.days} days",
            wanted=limit,
        ),
        quantity=left,
        limit=limit,
        remedy=wanted,
        trade=_trade(wanted),
    )
