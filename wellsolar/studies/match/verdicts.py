"""Whether array and element suit each other, and what would match them better."""

from __future__ import annotations

from collections.abc import Callable

from wellsolar import kinds
from wellsolar.results import ArrayMatch, HeaterRankingResult
from wellsolar.studies.array.cold_voltage import cold_voltages
from wellsolar.studies.array.coupling import TRACKER_EFFICIENCY
from wellsolar.studies.array.heater_circuit import OnArray
from wellsolar.studies.house.aims import ours
from wellsolar.studies.match.remedies import Matching, as_the_best, better, switch_at
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Place, Rule, Verdict, at_most, remedy, say, set_to

SWITCHING_MARK = 0.98
"""Part of the energy with the best thresholds from which those of the file are good: our
choice."""

BEST_TRACKER = 0.99
"""Efficiency above which a sheet is doubted: common practice, no source."""

MATCHED = Rule(
    "matched to the array",
    "is the element matched to the array?",
    "energy of the year at the element at least the part of that on the best single resistance "
    "which the file aims at, 95 % as our own mark; less is no matter where the tank gives what is "
    "aimed at",
    "load matching",
    limit_is="at least",
    by="electrician",
    place=Place("array", "match"),
)
TRACKER = Rule(
    "tracking electronics",
    "can the electronics be as good as stated?",
    "output over input of no more than 99 %",
    "common practice",
    limit_is="at most",
    by="electrician",
    read_by="owner",
    place=Place("array", "match"),
)
INPUT = Rule(
    "electronics on the array",
    "do the electronics bear the array's voltage?",
    "open-circuit voltage in the record cold no more than the electronics bear by their sheet",
    "cold voltage",
    limit_is="at most",
    safety=True,
    by="electrician",
    place=Place("array", "match"),
)
THRESHOLDS = Rule(
    "switching thresholds",
    "do the relays switch at the right sun?",
    "energy of the year at least 98 % of that with the best thresholds, which is our mark",
    "load matching",
    limit_is="at least",
    by="electrician",
    place=Place("array", "match"),
)


def match_verdicts(match: ArrayMatch, at: Matching, aims_met: Callable[[], bool]) -> list[Verdict]:
    """Whether the element suits the array, and what stands between is set right.

    Parameters:
        at: the same, for remedies to be tried on
        aims_met: whether the tank gives what is aimed at, asked where they do not match
    Returns:
        one to four verdicts
    """
    element = at.on.element
    verdicts = [_matched(match, at, aims_met)]
    if match.coupling == "tracking":
        verdicts.append(_input(match, at))
    if match.coupling == "tracking" and element.tracker_efficiency is not None:
        verdicts.append(_tracker(match, element.tracker_efficiency))
    if match.thresholds is not None and match.thresholds.named:
        verdicts.append(_thresholds(match, at.on.path))
    return verdicts


def energy(value: float) -> Quantity:
    """An energy as a quantity [J]."""
    return Quantity(value, kinds.ENERGY)


def ohms(value: float) -> Quantity:
    """A resistance as a quantity [ohm]."""
    return Quantity(value, kinds.RESISTANCE)


def _share(value: float) -> Quantity:
    """A fraction as a quantity."""
    return Quantity(value, kinds.FRACTION)


def _matched(match: ArrayMatch, at: Matching, aims_met: Callable[[], bool]) -> Verdict:
    """Whether the element takes nearly what the best single resistance would."""
    aim = at.site.aim.matched
    fits = match.of_best >= aim
    matched = fits or aims_met()
    best = match.best_single
    how = {
        "direct": "straight on {resistance}",
        "switched": "with relays",
        "tracking": "with tracking electronics",
    }[match.coupling]
    return MATCHED.verdict(
        "pass" if matched else "caution",
        match.array,
        say(
            f"{how} {{own}} a year reach the water, {{ratio}} of what the array could give; the "
            "best single resistance, {best}, takes {best_energy}"
            + "; {aim} of that is aimed at"
            + ours(aim, "matched")
            + ("" if fits or not matched else "; the tank gives what is aimed at"),
            resistance=ohms(match.resistance),
            own=energy(match.own.energy),
            ratio=_share(match.own.ratio),
            aim=aim,
            best=ohms(best.resistances[0]),
            best_energy=energy(best.energy),
        ),
        quantity=_share(match.of_best),
        limit=aim if fits or not matched else None,
        remedy=None if matched else better(match, at),
    )


def _input(match: ArrayMatch, at: Matching) -> Verdict:
    """Whether the electronics bear the array open in the cold."""
    bears, path = at.on.element.tracker_greatest_input, at.on.path
    volts = [voltage for voltage in cold_voltages(at.site, at.on.group) if voltage is not None]
    if not volts:
        return INPUT.unknown(match.array, "sun.record_low")
    reached = Quantity(max(volts), kinds.VOLTAGE)
    if bears is None:
        why = f"{show(reached, kinds.VOLTAGE, 'SI')} open in the cold"
        return INPUT.unknown(match.array, f"{path}.tracker_greatest_input", why=why)
    borne = at_most(reached, bears)
    mild = match.series * (0.0 if at.site.module is None else float(at.site.module.voc))
    if not borne and mild <= bears and at.site.sun.record_low is None:
        return INPUT.unknown(match.array, "sun.record_low")
    most = int(match.series * bears / reached)
    return INPUT.verdict(
        "pass" if borne else "fail",
        match.array,
        say("open in the cold the array brings {reached}", reached=reached),
        quantity=reached,
        limit=bears,
        remedy=remedy(
            "no more than {most} modules in series, or electronics that bear {reached:up}"
            if most
            else "electronics that bear {reached:up}",
            [set_to(f"{at.on.group_path}.series", most)] if most else "other electronics",
            most=f"{most}",
            reached=reached,
        ),
    )


def _tracker(match: ArrayMatch, told: Quantity) -> Verdict:
    """Whether the electronics' efficiency can be true."""
    fine = told <= BEST_TRACKER
    return TRACKER.verdict(
        "pass" if fine else "caution",
        match.array,
        say(
            "by the file {told} of the array's maximum power reaches the element",
            told=_share(float(told)),
        ),
        quantity=_share(float(told)),
        limit=_share(BEST_TRACKER),
        remedy=remedy(
            "the efficiency of its sheet at a third of its power; {usual} is usual",
            "it is read from the sheet, not chosen",
            usual=_share(TRACKER_EFFICIENCY),
        ),
    )


def _thresholds(match: ArrayMatch, path: str) -> Verdict:
    """Whether the relays switch at the right sun."""
    switched = match.thresholds
    assert switched is not None
    part = match.own.energy / switched.energy if switched.energy > 0.0 else 1.0
    fine, way = part >= SWITCHING_MARK, switch_at(switched.best, path)
    return THRESHOLDS.verdict(
        "pass" if fine else "caution",
        match.array,
        say(
            "{own} a year; {best} with the best thresholds, {hourly} if the best resistance were "
            "chosen every hour",
            own=energy(match.own.energy),
            best=energy(switched.energy),
            hourly=energy(switched.hourly_energy),
        ),
        quantity=_share(part),
        limit=_share(SWITCHING_MARK),
        remedy=remedy(way.template, way.changes, **way.parts),
    )


LAG = 0.02
"""Share of the heat wanted by which the same modules may give less than they could: our mark."""


USED = Rule(
    "modules of the tank used",
    "do the modules give this tank what they could?",
    "share of the year's hot-water heat no more than 2 points below the best that the same number "
    "of modules, or a smaller one, gives on this tank with elements that are sold; our mark",
    "heat balance",
    limit_is="at least",
    by="electrician",
    place=Place("array", "match"),
)


def used_verdict(on: OnArray, result: HeaterRankingResult) -> Verdict:
    """Whether the modules give this tank what as many of them could.

    Parameters:
        on: the site's element on its array
        result: the designs that were ranked
    """
    own = result.own
    rivals = [
        step.own_tank
        for step in result.steps
        if step.own_tank is not None and step.own_tank.modules <= own.modules
    ]
    best = max([own, *rivals], key=lambda row: row.share)
    share, most = (Quantity(row.share, kinds.FRACTION) for row in (own, best))
    enough = own.share >= best.share - LAG
    if best is own:
        reason = say(
            "PV gives {share} of the year's hot-water heat, as much as any wiring of as many "
            "modules that was looked at",
            share=share,
        )
    else:
        reason = say(
            "PV gives {share} of the year's hot-water heat; {modules} could give this tank {most}",
            share=share,
            modules="the same modules" if best.modules == own.modules else f"{best.modules}",
            most=most,
        )
    return USED.verdict(
        "pass" if enough else "caution",
        on.group.name,
        reason,
        quantity=share,
        limit=Quantity(best.share - LAG, kinds.FRACTION),
        remedy=as_the_best(best, result, on),
    )
