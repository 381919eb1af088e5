"""Whether array and element suit each other, and what would match them better."""

from __future__ import annotations

import math
from collections.abc import Iterator

from wellsolar import kinds
from wellsolar.results import (
    ArrayMatch,
    HeaterRankingResult,
    HeaterRow,
    StockElement,
    StringLayout,
)
from wellsolar.site.schema import ElementTable
from wellsolar.studies.array.cold_voltage import DWELLING_VOLTAGE
from wellsolar.studies.array.coupling import TRACKER_EFFICIENCY, TRACKER_MINIMUM
from wellsolar.studies.array.heater_circuit import (
    plate_of,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Sentence, Verdict, say

MARK = 0.95
"""Part of the energy on the best single resistance from which an element is matched: our
choice."""

SWITCHING_MARK = 0.98
"""Part of the energy with the best thresholds from which those of the file are good: our
choice."""

BEST_TRACKER = 0.99
"""Efficiency above which a sheet is doubted: common practice, no source."""

HIGHEST_THRESHOLD = 2000.0
"""Sun that a site file can name [W/m2]; relays set to it never move."""

MATCHED = Rule(
    "matched to the array",
    "is the element matched to the array?",
    "energy of the year at the element at least 95 % of that on the best single resistance, "
    "which is our mark",
    "load matching",
    limit_is="at least",
    place=Place("array", "match"),
)
TRACKER = Rule(
    "tracking electronics",
    "can the electronics be as good as stated?",
    "output over input of no more than 99 %",
    "common practice",
    limit_is="at most",
    place=Place("array", "match"),
)
THRESHOLDS = Rule(
    "switching thresholds",
    "do the relays switch at the right sun?",
    "energy of the year at least 98 % of that with the best thresholds, which is our mark",
    "load matching",
    limit_is="at least",
    place=Place("array", "match"),
)


def match_verdicts(element: ElementTable, match: ArrayMatch) -> list[Verdict]:
    """Whether the element suits the array, and what stands between is set right.

    Parameters:
        element: on the array
        match: of element and array
    Returns:
        one to two verdicts
    """
    verdicts = [_matched(element, match)]
    if match.coupling == "tracking" and element.tracker_efficiency is not None:
        verdicts.append(_tracker(match, element.tracker_efficiency))
    if match.thresholds is not None and match.thresholds.named:
        verdicts.append(_thresholds(match))
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


def _matched(element: ElementTable, match: ArrayMatch) -> Verdict:
    """Whether the element takes nearly what the best single resistance would."""
    matched = match.of_best >= MARK
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
            "best single resistance, {best}, takes {best_energy}",
            resistance=ohms(match.resistance),
            own=energy(match.own.energy),
            ratio=_share(match.own.ratio),
            best=ohms(best.resistances[0]),
            best_energy=energy(best.energy),
        ),
        quantity=_share(match.of_best),
        limit=_share(MARK),
        remedy=None if matched else _better(element, match),
    )


def _better(element: ElementTable, match: ArrayMatch) -> Sentence:
    """The first of these that reaches the mark: other thresholds, a stock element, the
    modules wired another way; electronics that track always do."""
    best = match.best_single.energy
    switched = match.thresholds
    if switched is not None and switched.named and switched.energy >= MARK * best:
        return _switch_at(match)
    straight = "" if match.coupling == "direct" else ', wired straight to the array ("direct")'
    for choice in _from_stock(match.shelf):
        if choice.of_best >= MARK:
            return say(
                "{element}: {resistance}, {energy} a year{straight}",
                element=choice.text if choice.count > 1 else f"an element of {choice.text}",
                resistance=ohms(choice.resistance),
                energy=energy(choice.energy),
                straight=straight,
            )
    for layout in match.wirings:
        if match.coupling == "direct" and _rewires(element, match, layout):
            return say(
                "the same modules with {series} in series and {parallel} in parallel, {energy} a "
                "year",
                series=f"{layout.series}",
                parallel=f"{layout.parallel}",
                energy=energy(layout.energy),
            )
    return say(
        "electronics that track the array, of {efficiency} or better and running from {least} up",
        efficiency=_share(TRACKER_EFFICIENCY),
        least=Quantity(TRACKER_MINIMUM, kinds.POWER),
    )


def _from_stock(elements: tuple[StockElement, ...]) -> Iterator[StockElement]:
    """One element first, then two alike; two unlike ones the site file can't name."""
    yield from (choice for choice in elements if choice.count == 1)
    yield from (choice for choice in elements if choice.count == 2 and choice.alike)


def _rewires(element: ElementTable, match: ArrayMatch, layout: StringLayout) -> bool:
    """Whether the same modules wired so match the element and harm nothing."""
    switch = element.switch_voltage
    most = min(DWELLING_VOLTAGE, DWELLING_VOLTAGE if switch is None else float(switch))
    return (
        layout.series * layout.parallel == match.series * match.parallel
        and layout.series != match.series
        and layout.energy > match.own.energy
        and layout.energy >= MARK * layout.best_energy
        and layout.greatest_voltage <= plate_of(element)[1]
        and (layout.cold_voltage or 0.0) <= most
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
        remedy=None
        if fine
        else say(
            "the efficiency of its sheet at a third of its power; {usual} is usual",
            usual=_share(TRACKER_EFFICIENCY),
        ),
    )


def _thresholds(match: ArrayMatch) -> Verdict:
    """Whether the relays switch at the right sun."""
    switched = match.thresholds
    assert switched is not None
    part = match.own.energy / switched.energy if switched.energy > 0.0 else 1.0
    fine = part >= SWITCHING_MARK
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
        remedy=None if fine else _switch_at(match),
    )


def _switch_at(match: ArrayMatch) -> Sentence:
    """The best thresholds as a remedy."""
    assert match.thresholds is not None
    template, parts = thresholds_text(match.thresholds.best)
    return say(f"switch to the next lower resistance at {template}", **parts)


def thresholds_text(best: tuple[float, ...]) -> tuple[str, dict[str, Quantity]]:
    """Thresholds as a file can have them: rising, and the greatest that may be written for those
    that are never worth switching at.

    Parameters:
        best: rising, infinite for never [W/m2]
    Returns:
        template of a list, and its quantities
    """
    values: list[float] = []
    for place, irradiance in enumerate(best):
        highest = HIGHEST_THRESHOLD - (len(best) - 1 - place)
        value = highest if not math.isfinite(irradiance) else min(round(irradiance), highest)
        values.append(max(value, values[-1] + 1.0) if values else max(value, 1.0))
    parts = {f"sun_{i}": Quantity(value, kinds.IRRADIANCE) for i, value in enumerate(values)}
    return ", ".join(f"{{{name}}}" for name in parts), parts


LAG = 0.02
"""Share of the heat wanted by which the same modules may give less than they could: our mark."""


USED = Rule(
    "modules of the tank used",
    "do the modules give this tank what they could?",
    "share of the year's hot-water heat no more than 2 points below the best that the same number "
    "of modules, or a smaller one, gives on this tank with elements that are sold; our mark",
    "heat balance",
    limit_is="at least",
    place=Place("array", "match"),
)


def used_verdict(name: str, result: HeaterRankingResult) -> Verdict:
    """Whether the modules give this tank what as many of them could.

    Parameters:
        name: of the array
        result: the designs that were ranked
    Returns:
        the verdict
    """
    own = result.own
    rivals = [
        each.own_tank
        for each in result.steps
        if each.own_tank is not None and each.own_tank.modules <= own.modules
    ]
    best = max([own, *rivals], key=lambda each: each.share)
    share, most = (Quantity(each.share, kinds.FRACTION) for each in (own, best))
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
    remedy = say(
        "{wired}, wired {how} {element}: {most}",
        wired=_wired(best),
        how="through the electronics to" if result.tracking else "straight to",
        element=best.element,
        most=most,
    )
    return USED.verdict(
        "pass" if enough else "caution",
        name,
        reason,
        quantity=share,
        limit=Quantity(best.share - LAG, kinds.FRACTION),
        remedy=None if enough else remedy,
    )


def _wired(row: HeaterRow) -> str:
    modules = "1 module" if row.series == 1 else f"{row.series} modules in series"
    return modules if row.strings == 1 else f"{row.strings} rows of {modules}"
