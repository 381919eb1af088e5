"""Whether array and element suit each other, and what would match them better."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from wellsolar import kinds
from wellsolar.physics.array import best_resistance, module
from wellsolar.physics.sun.year import HOUR
from wellsolar.results.match import ArrayMatch, HeaterRankingResult, HeaterRow, StockElement
from wellsolar.site.schema import Site
from wellsolar.studies.array.circuit import limits_of, within_plate
from wellsolar.studies.array.cold_voltage import cold_voltages
from wellsolar.studies.array.coupling import TRACKER_EFFICIENCY, TRACKER_MINIMUM
from wellsolar.studies.array.heater_circuit import Hours, OnArray, elements_on_arrays, plate_of
from wellsolar.studies.asked.changed_site import changed_site, may_be_written, that_change
from wellsolar.studies.heat.tank import circuit_in_tank
from wellsolar.studies.house.demand import ours
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Change, Place, Remedy, Rule, Verdict, at_most, remedy, say, set_to

HIGHEST_THRESHOLD = 2000.0
"""Sun that a site file can name [W/m2]; relays set to it never move."""


class Way(NamedTuple):
    """A way to match them: as a sentence has it, and the changes of the file."""

    template: str
    parts: dict[str, Quantity | str]
    changes: tuple[Change, ...]


@dataclass(frozen=True)
class Matching:
    """An array on its element, for changes to be tried on.

    hours_asked: gives the same through the year, wanted only where something is tried
    """

    site: Site
    on: OnArray
    hours_asked: Callable[[], Hours]

    @cached_property
    def hours(self) -> Hours:
        """The array through the year."""
        return self.hours_asked()

    def matches(self, changes: Sequence[Change]) -> bool:
        """Whether changes make array and element match, within what the site bears."""
        site = changed_site(self.site, changes)
        on = next(fed for fed in elements_on_arrays(site) if fed.path == self.on.path)
        circuit = circuit_in_tank(site, on, self.hours.circuit.parameters)
        own = self.hours.circuit
        limits = limits_of(site, on)
        wired = (circuit.series, circuit.parallel)
        if wired != (own.series, own.parallel) and (
            limits.breach(*wired) is not None or limits.asks_a_fuse(circuit.parallel)
        ):
            return False
        if not within_plate(site, circuit, plate_of(on.element)[1]):
            return False
        array = module.array_of(self.hours.module, *wired)
        trial = replace(self.hours, circuit=circuit, array=array)
        (best,) = best_resistance.best_resistance_sets(array, 1, circuit.cable_resistance)
        return trial.energy() >= site.aim.matched * best.power_sum * HOUR


def better(match: ArrayMatch, at: Matching) -> Remedy:
    """The first of these that reaches the mark and breaks nothing: other thresholds, electronics
    that lower and raise the voltage, a stock element, the modules wired another way, electronics
    that track.

    Parameters:
        at: the same, for changes to be tried on
    """
    for way in _ways(match, at.on):
        if may_be_written(way.changes) and at.matches(way.changes):
            return remedy(way.template, that_change(at.site, way.changes), **way.parts)
    element = at.on.element
    if element.switched_resistances is not None or element.switch_irradiances is not None:
        return remedy(
            "an element or relays of another resistance: near {best} for the year",
            "the relays' resistances are chosen with the elements that they join",
            best=Quantity(match.best_single.resistances[0], kinds.RESISTANCE),
        )
    return remedy(
        "modules of another voltage, or an element made to order: near {best} for the year",
        "nothing that is sold and was tried matches within what switch, wire and plate bear",
        best=Quantity(match.best_single.resistances[0], kinds.RESISTANCE),
    )


def _ways(match: ArrayMatch, on: OnArray) -> Iterator[Way]:
    """What may match them, in the order in which it is least work."""
    element, path = on.element, on.path
    switched = match.thresholds
    if switched is not None and switched.named:
        yield switch_at(switched.best, path)
    if match.coupling == "tracking" and element.tracker_converter != "both":
        yield Way(
            "electronics that lower the array's voltage and raise it",
            {},
            (set_to(f"{path}.tracker_converter", "both"),),
        )
    listed = element.switched_resistances is not None or element.switch_irradiances is not None
    if not listed:
        yield from (_element(choice, match, path) for choice in _from_stock(match.shelf))
    for layout in match.wirings:
        same = layout.series * layout.parallel == match.series * match.parallel
        if same and layout.series != match.series and layout.energy > match.own.energy:
            yield Way(
                "the same modules with {series} in series and {parallel} in parallel, {energy} a "
                "year",
                {
                    "series": f"{layout.series}",
                    "parallel": f"{layout.parallel}",
                    "energy": Quantity(layout.energy, kinds.ENERGY),
                },
                _wired_as(layout.series, layout.parallel, on.group_path),
            )
    if not listed and match.coupling != "tracking":
        yield _electronics(on)


def _wired_as(series: int, parallel: int, path: str) -> tuple[Change, ...]:
    """Modules in series and rows of a group as changes."""
    return set_to(f"{path}.series", series), set_to(f"{path}.parallel", parallel)


def _element(choice: StockElement, match: ArrayMatch, path: str) -> Way:
    """An element that is sold, or two alike, wired straight."""
    straight = "" if match.coupling == "direct" else ', wired straight to the array ("direct")'
    return Way(
        "{element}: {resistance}, {energy} a year{straight}",
        {
            "element": choice.text if choice.count > 1 else f"an element of {choice.text}",
            "resistance": Quantity(choice.resistance, kinds.RESISTANCE),
            "energy": Quantity(choice.energy, kinds.ENERGY),
            "straight": straight,
        },
        _element_as(
            choice.rated_power, choice.rated_voltage, choice.count, choice.joined, path, "direct"
        ),
    )


def _element_as(
    power: float, voltage: float, count: int, joined: str, path: str, coupling: str
) -> tuple[Change, ...]:
    """One element [W, V], or some alike as they are joined, as changes."""
    return (
        set_to(f"{path}.rated_power", f"{power:g} W"),
        set_to(f"{path}.rated_voltage", f"{voltage:g} V"),
        set_to(f"{path}.count", count),
        set_to(f"{path}.wired", "series" if joined == "in series" else "parallel"),
        set_to(f"{path}.coupling", coupling),
    )


def _from_stock(elements: tuple[StockElement, ...]) -> Iterator[StockElement]:
    """One element first, then two alike; two unlike ones the site file can't name."""
    yield from (choice for choice in elements if choice.count == 1)
    yield from (choice for choice in elements if choice.count == 2 and choice.alike)


def _electronics(on: OnArray) -> Way:
    """Electronics that track, and never go above the element's plate."""
    plate = Quantity(plate_of(on.element)[1], kinds.VOLTAGE)
    efficiency = Quantity(TRACKER_EFFICIENCY, kinds.FRACTION)
    least = Quantity(TRACKER_MINIMUM, kinds.POWER)
    return Way(
        "electronics that track the array, lowering its voltage and raising it to no more than "
        "{plate}, of {efficiency} or better and running from {least} up",
        {"plate": plate, "efficiency": efficiency, "least": least},
        (
            set_to(f"{on.path}.coupling", "tracking"),
            set_to(f"{on.path}.tracker_converter", "both"),
            set_to(f"{on.path}.tracker_efficiency", efficiency),
            set_to(f"{on.path}.tracker_minimum", least),
            set_to(f"{on.path}.tracker_greatest_output", plate),
        ),
    )


def switch_at(best: tuple[float, ...], path: str) -> Way:
    """The best thresholds of relays, as a file can have them: rising, and the greatest that may be
    written for those that are never worth switching at.

    Parameters:
        best: rising, infinite for never [W/m2]
    """
    values: list[float] = []
    for place, irradiance in enumerate(best):
        highest = HIGHEST_THRESHOLD - (len(best) - 1 - place)
        value = highest if not math.isfinite(irradiance) else min(round(irradiance), highest)
        values.append(max(value, values[-1] + 1.0) if values else max(value, 1.0))
    parts: dict[str, Quantity | str] = {
        f"sun_{place}": Quantity(value, kinds.IRRADIANCE) for place, value in enumerate(values)
    }
    written = ", ".join(f"{value:.0f}" for value in values) + " W/m2"
    return Way(
        "switch to the next lower resistance at " + ", ".join(f"{{{name}}}" for name in parts),
        parts,
        (set_to(f"{path}.switch_irradiances", written),),
    )


def _as_the_best(best: HeaterRow, result: HeaterRankingResult, on: OnArray) -> Remedy:
    """A ranked design in place of the site's own, on its own tank."""
    modules = "1 module" if best.series == 1 else f"{best.series} modules in series"
    changes = _wired_as(best.series, best.strings, on.group_path)
    if not best.own_element:
        coupling = "tracking" if result.tracking else "direct"
        changes += _element_as(
            best.rated_power, best.rated_voltage, best.count, best.joined, on.path, coupling
        )
    listed = on.element.switched_resistances is not None and not best.own_element
    return remedy(
        "{wired}, wired {through} {element}: {most}",
        "the relays' resistances go out of the file with it" if listed else changes,
        wired=modules if best.strings == 1 else f"{best.strings} rows of {modules}",
        through="through the electronics to" if result.tracking else "straight to",
        element=best.element,
        most=Quantity(best.share, kinds.FRACTION),
    )


SWITCHING_MARK = 0.98
"""Part of the energy with the best thresholds from which those of the file are good: our
choice."""

BEST_TRACKER = 0.99
"""Efficiency above which a sheet is doubted: common practice, no source."""

MATCHED = Rule(
    "matched to the array",
    "is the element matched to the array?",
    "energy of the year at the element at least the part of that on the best single resistance "
    "which the file aims at, 95 % by wellsolar's mark; less is no matter where the tank gives "
    "what is aimed at",
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
    "energy of the year at least 98 % of that with the best thresholds, which is wellsolar's mark",
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


def _tracker(match: ArrayMatch, limit: Quantity) -> Verdict:
    """Whether the electronics' efficiency can be true."""
    fine = limit <= BEST_TRACKER
    return TRACKER.verdict(
        "pass" if fine else "caution",
        match.array,
        say(
            "by the file {told} of the array's maximum power reaches the element",
            told=_share(float(limit)),
        ),
        quantity=_share(float(limit)),
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
    "of modules, or a smaller one, gives on this tank with elements that are sold; by wellsolar's "
    "mark",
    "heat balance",
    limit_is="at least",
    by="electrician",
    place=Place("array", "match"),
)


def used_verdict(on: OnArray, result: HeaterRankingResult) -> Verdict:
    """Whether the modules give this tank what as many of them could."""
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
        remedy=_as_the_best(best, result, on),
    )
