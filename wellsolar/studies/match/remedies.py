"""What would match an array and its element better, each way tried before it is told."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from wellsolar import kinds
from wellsolar.physics.array import best_resistance, module
from wellsolar.physics.sun.year import HOUR
from wellsolar.results import ArrayMatch, HeaterRankingResult, HeaterRow, StockElement
from wellsolar.site.schema import Site
from wellsolar.studies.array.coupling import TRACKER_EFFICIENCY, TRACKER_MINIMUM
from wellsolar.studies.array.heater_circuit import Hours, OnArray, elements_on_arrays, plate_of
from wellsolar.studies.array.limits import limits_of, within_plate
from wellsolar.studies.asked.changed_site import changed_site, may_be_written, that_change
from wellsolar.studies.heat.tank import circuit_in_tank
from wellsolar.units import Quantity
from wellsolar.verdicts import Change, Remedy, remedy, set_to

HIGHEST_THRESHOLD = 2000.0
"""Sun that a site file can name [W/m2]; relays set to it never move."""


class Way(NamedTuple):
    """A way to match them: as a sentence has it, and the changes of the file."""

    template: str
    parts: dict[str, Quantity | str]
    changes: tuple[Change, ...]


@dataclass(frozen=True)
class Matching:
    """An array on its element through the year, for changes to be tried on."""

    site: Site
    on: OnArray
    hours: Hours

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
        return trial.energy() >= float(site.aim.matched) * best.power_sum * HOUR


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
                wired_as(layout.series, layout.parallel, on.group_path),
            )
    if not listed and match.coupling != "tracking":
        yield _electronics(on)


def wired_as(series: int, parallel: int, path: str) -> tuple[Change, ...]:
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
        element_as(
            choice.rated_power, choice.rated_voltage, choice.count, choice.joined, path, "direct"
        ),
    )


def element_as(
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


def as_the_best(best: HeaterRow, result: HeaterRankingResult, on: OnArray) -> Remedy:
    """A ranked design in place of the site's own, on its own tank.

    Parameters:
        on: the site's element on its array
    """
    modules = "1 module" if best.series == 1 else f"{best.series} modules in series"
    changes = wired_as(best.series, best.strings, on.group_path)
    if not best.own_element:
        coupling = "tracking" if result.tracking else "direct"
        changes += element_as(
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
