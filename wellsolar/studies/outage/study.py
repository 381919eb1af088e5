"""Every source of water against every outage, from what the other studies found."""

from __future__ import annotations

import math
from dataclasses import replace

from wellsolar import kinds
from wellsolar.physics.sun.year import HourlyYear
from wellsolar.results import Fix, Outage, OutageResult, StudyPart
from wellsolar.site.schema import Site
from wellsolar.studies.outage.equipment import Equipment, HotTank, equipment_of, wanted_of
from wellsolar.studies.outage.events import Event, matrix_events, whole_event
from wellsolar.studies.outage.hot_water import hot_water
from wellsolar.studies.outage.power import SunOnPumps
from wellsolar.studies.outage.sources import Tried, outage, stores_of, well_volume
from wellsolar.studies.outage.weak_links import own_fix, weak_links
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Place, Rule, Sentence, Verdict, say

SUBJECT = "water supply"

NOT_TOLD = HotTank()
"""A water heater that nobody asked about."""

LINKS = Rule(
    "water when one thing fails",
    "is there survival water when any one thing fails?",
    "with each component alone out of order, all other sources together give everybody's survival "
    "water for as long as it takes to mend it, in the low season",
    "outages",
    limit_is="at least",
    place=Place("outages", "outages"),
)
WORST = Rule(
    "water in the worst outage",
    "is there survival water in the worst of the usual outages?",
    "with no grid through the darkest days of the year, or with nothing but hands, all other "
    "sources together give everybody's survival water, in the low season",
    "outages",
    limit_is="at least",
    place=Place("outages", "outages"),
)
OWN = Rule(
    "water in an outage of the file",
    "is there survival water when this fails?",
    "all that is left gives everybody's survival water for as long as it lasts, in the low season",
    "outages",
    limit_is="at least",
    place=Place("outages", "outages"),
)


def study_outages(
    site: Site, year: HourlyYear | None = None, hot: HotTank = NOT_TOLD
) -> tuple[OutageResult | None, StudyPart]:
    """What is left of a site's water, and of its hot water, when things fail.

    Parameters:
        site: the site as in its file
        year: its year of hours
        hot: what the heater's studies found
    Returns:
        the outages; None of a site with nothing that brings water, and what they bring
    """
    has = equipment_of(site, year, hot)
    if not (has.pumps or has.hand or has.lifts):
        return None, StudyPart()
    wanted = wanted_of(site)
    tried = Tried(has, SunOnPumps(has), wanted, stores_of(has, wanted))
    events = matrix_events(site)
    whole = _with_heat(tried, whole_event(site))
    found = {event: _with_heat(tried, event) for event in events}
    links = weak_links(tried, site)
    most = well_volume(has)
    result = OutageResult(
        survival=wanted.survival,
        basic=wanted.basic,
        normal=wanted.normal,
        static_level=float(has.site.well.static_level),
        low=site.well.static_level.is_range,
        well_volume=most if math.isfinite(most) else None,
        stores=tried.stores,
        whole=whole,
        outages=tuple(found.values()),
        links=links.links,
        plan=links.plan,
        planned=links.planned,
    )
    return result, StudyPart(
        tuple(_verdicts(tried, site, result, found)), _assumptions(has), _cautions(result)
    )


def _with_heat(tried: Tried, event: Event) -> Outage:
    found = outage(tried, event)
    return replace(found, hot=hot_water(tried.has, event, found))


def _assumptions(has: Equipment) -> tuple[Assumption, ...]:
    """What the studies of the sources rest on is told by their own commands; here only what this
    study adds."""
    made = [
        Assumption(
            "people who pump in an outage",
            "8 h a day at each handle",
            "one crew's day; others in turns lift more, as far as the well gives",
            "human power",
        )
    ]
    if any(each.supply == "AC" for each in has.site.pump):
        why = "a transfer switch brings grid, inverter or generator to each; no key changes it"
        made.append(Assumption("power of the pumps", "any of them", why, "common practice"))
    if has.site.power.battery_energy is not None:
        why = "most inverters stand still without their battery; no key changes it"
        made.append(Assumption("inverter without battery", "off", why, "common practice"))
        made += _of_battery(has.site)
    return tuple(made)


def _of_battery(site: Site) -> list[Assumption]:
    """What is left out of a battery's day: what else draws on it, and what else may charge it."""
    made = []
    if site.power.other_use is None:
        none = Quantity(0.0, kinds.ENERGY)
        why = "no other load on the battery is named: what pumps get of it is an upper figure"
        made.append(Assumption("power.other_use", none, why, "common practice"))
    if site.power.generator_rating is not None:
        why = (
            "while it runs the generator drives the pumps; that it may charge the battery "
            "meanwhile is not counted, so there may be more water; no key changes it"
        )
        made.append(Assumption("generator on the battery", "none", why, "common practice"))
    return made


def _cautions(result: OutageResult) -> tuple[str, ...]:
    kinds_there = {each.kind for each in result.whole.cells}
    made = ["drinking water", "freezing"]
    if "hand pump" in kinds_there:
        made.append("closed valve")
        made += ["pumps together"] if "pump" in kinds_there else []
    if any(each.name == "water heater" for each in result.stores):
        made.append("heater water")
    if "pump" in kinds_there:
        made.append("mains")
    return tuple(made)


def _verdicts(
    tried: Tried, site: Site, result: OutageResult, found: dict[Event, Outage]
) -> list[Verdict]:
    if result.survival is None:
        return [LINKS.unknown(SUBJECT, "site.people")]
    made = [_links(result)]
    usual = {e: each for e, each in found.items() if e.dark or e.key == "hands"}
    usual = {e: each for e, each in usual.items() if e.group == "matrix"}
    if usual:
        event = min(usual, key=lambda each: usual[each].survival or 0.0)
        made.append(_one(tried, site, WORST, SUBJECT, event, usual[event]))
    own = {e: each for e, each in found.items() if e.group == "own"}
    made += [_one(tried, site, OWN, e.name, e, each) for e, each in own.items()]
    return made


def _links(result: OutageResult) -> Verdict:
    worst = min(result.links, key=lambda each: each.outage.volume)
    left, limit = _volume(worst.outage.volume), _volume(result.survival or 0.0)
    weak = result.weak
    parts: dict[str, Quantity | str] = {"name": worst.component, "left": left, "wanted": limit}
    if not weak:
        told = "least is left without the {name}: {left} a day, {wanted} are survival water"
        told = (
            told if worst.component != "nothing" else "{left} a day, {wanted} are survival water"
        )
        return LINKS.verdict("pass", SUBJECT, say(told, **parts), quantity=left, limit=limit)
    if all(_needs(each.outage) for each in weak) or (result.whole.short and _needs(result.whole)):
        why = "" if result.whole.short else f"without the {weak[0].component}"
        return LINKS.unknown(SUBJECT, *_needs(weak[0].outage), why=why)
    if result.whole.short:
        told = "even with all in order there are {left} a day, {wanted} are survival water"
        parts["left"] = left = _volume(result.whole.volume)
    else:
        names = [each.component for each in weak]
        leaves = "one component alone leaves" if len(weak) == 1 else f"{len(weak)} alone leave"
        parts["names"] = ", ".join(names)
        told = f"{leaves} too little when out of order: {{names}}; without the {{name}} there are "
        told += "{left} a day, {wanted} are survival water"
    return LINKS.verdict(
        "fail", SUBJECT, say(told, **parts), quantity=left, limit=limit, remedy=_remedy(result)
    )


def _volume(volume: float) -> Quantity:
    return Quantity(volume, kinds.VOLUME)


def _needs(short: Outage) -> tuple[str, ...]:
    """Keys that might turn out to bring a source back."""
    return next((each.needs[:2] for each in short.cells if each.needs), ())


def _remedy(result: OutageResult) -> Sentence:
    if result.plan:
        told = "; then ".join(fix_text(each) for each in result.plan)
        return say(
            "{told}: tried, and never less than {least} a day is left",
            told=told,
            least=_volume(result.planned or 0.0),
        )
    fixes = [(each.component, each.fix) for each in result.weak if each.fix is not None]
    if not fixes:
        return say("a second source that needs nothing of what fails, or water carried in")
    told = "; ".join(f"without the {name}: {fix_text(fix)}" for name, fix in fixes)
    return say("{told}; the rest asks for a second source of water", told=told)


def fix_text(fix: Fix) -> str:
    """A change as its reader writes it into the file."""
    keys = ", ".join(f"{each.path} = {each.value}" for each in fix.changes)
    return f"{fix.text} ({keys})"


def _one(
    tried: Tried, site: Site, rule: Rule, subject: str, event: Event, found: Outage
) -> Verdict:
    if found.short and _needs(found):
        return rule.unknown(subject, *_needs(found), why=f"with {event.name} failed")
    left, limit = _volume(found.volume), _volume(tried.wanted.survival or 0.0)
    remedy = None
    if found.short:
        fix = own_fix(tried, site, event, found)
        remedy = say("water carried in for so long, or people who leave with it")
        if fix is not None:
            least = _volume(fix.volume)
            remedy = say("{told}: tried, then {least} a day are left",
                         told=fix_text(fix), least=least)  # fmt: skip
    return rule.verdict(
        "fail" if found.short else "pass",
        subject,
        say(
            "{name}: {left} a day for {days}, {wanted} are survival water",
            name=event.name,
            left=left,
            days="1 day" if event.days == 1 else f"{event.days} days",
            wanted=limit,
        ),
        quantity=left,
        limit=limit,
        remedy=remedy,
    )
