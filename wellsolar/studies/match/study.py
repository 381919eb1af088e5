"""How an array suits the element that it heats: couplings, stock elements, one module more."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

import numpy as np

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import best_resistance, connection, resistive
from wellsolar.physics.array.best_resistance import ResistanceSet
from wellsolar.physics.array.connection import CouplingYear
from wellsolar.physics.sun.year import HOUR, HourlyYear
from wellsolar.physics.types import FloatArray
from wellsolar.results.match import (
    ArrayMatch,
    CouplingMonth,
    CouplingWay,
    Diversion,
    MatchResult,
    Thresholds,
)
from wellsolar.results.pumps import PressureTankResult, PumpResult
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import ElementTable, Site
from wellsolar.studies.array.coupling import (
    Direct,
    Switched,
    Tracking,
    coupling_assumptions,
    electronics_of,
)
from wellsolar.studies.array.heater_circuit import (
    HeaterCircuit,
    Hours,
    OnArray,
    cable_assumptions,
    elements_on_arrays,
    hours_of,
    lacking_for_year,
)
from wellsolar.studies.heat.tank import circuit_in_tank
from wellsolar.studies.match.designs import ceiling_of, stock_elements_of, string_layouts_of
from wellsolar.studies.match.verdicts import MATCHED, Matching, match_verdicts
from wellsolar.studies.sun.days import MONTHS, orientation
from wellsolar.studies.sun.module_sheet import parameters_of
from wellsolar.studies.sun.refused import why_refused
from wellsolar.studies.supply.diversion import DivertedHeat, Spill, diversion_result, spill_of
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Assumption, Verdict


def array_matches(site: Site, year: HourlyYear | None) -> tuple[ArrayMatch | Verdict, ...]:
    """The numbers of each array and its element.

    Returns:
        for each element on an array the match, or what its file lacks for one
    """
    return tuple(_match(site, on, year) for on in elements_on_arrays(site))


def study_couplings(
    site: Site,
    year: HourlyYear | None,
    matches: Sequence[ArrayMatch | Verdict],
    diverted: DivertedHeat,
    pumps: tuple[PumpResult, ...] = (),
    tank: PressureTankResult | None = None,
    *,
    aims_met: Callable[[], bool],
) -> tuple[MatchResult | None, StudyPart]:
    """How the site's array and elements suit each other.

    Parameters:
        diverted: heat of its element on the inverter
        pumps: results of its pumps, to look at a battery's surplus
        tank: of the pressure tank, likewise
        aims_met: whether the tank gives what the site aims at, asked where they do not match
    Returns:
        the result, None where nothing can be said, and what it brings
    """
    ons = tuple(elements_on_arrays(site))
    part = StudyPart()
    for on, made in zip(ons, matches, strict=True):
        part = part.and_of(_said(site, on, year, made, aims_met))
    first, *others = matches or (None,)
    match = first if isinstance(first, ArrayMatch) else None
    diversion = diverted.result
    if diversion is None and match is not None and year is not None:
        diversion = _if_diverted(site, ons[0].element, pumps, tank, year)
    further = tuple(other for other in others if isinstance(other, ArrayMatch))
    if match is None and diversion is None:
        return None, part.and_of(diverted.part)
    result = MatchResult(match, diversion, further)
    return result, part.and_of(diverted.part)


def _if_diverted(
    site: Site,
    element: ElementTable,
    pumps: tuple[PumpResult, ...],
    tank: PressureTankResult | None,
    year: HourlyYear,
) -> Diversion | None:
    """The array's element as if it were on the inverter; None without a battery's year."""
    if site.power.battery_energy is None:
        return None
    spill = spill_of(site, pumps, tank, year)
    if not isinstance(spill, Spill):
        return None
    return diversion_result(site, element, spill, year.hours.month, False)[0]


def _match(site: Site, on: OnArray, year: HourlyYear | None) -> ArrayMatch | Verdict:
    """The match of one array and its element, or the keys that would settle it."""
    name = on.group.name
    missing = lacking_for_year(site, year)
    if missing or year is None or site.module is None:
        return MATCHED.unknown(name, *missing)
    try:
        return _array_match(site, on, _hours(site, on, year))
    except OutOfRange as error:
        return MATCHED.unknown(name, "module.vmp", "module.imp", why=why_refused(error))


def _hours(site: Site, on: OnArray, year: HourlyYear) -> Hours:
    """The array on its element through the year."""
    assert site.module is not None
    circuit = circuit_in_tank(site, on, parameters_of(site.module))
    return hours_of(site, on, circuit, year)


def _said(
    site: Site,
    on: OnArray,
    year: HourlyYear | None,
    match: ArrayMatch | Verdict,
    aims_met: Callable[[], bool],
) -> StudyPart:
    """What is said of the match of one array and its element."""
    if isinstance(match, Verdict):
        return StudyPart((match,))
    assert year is not None
    known = year
    at = Matching(site, on, lambda: _hours(site, on, known))
    return StudyPart(tuple(match_verdicts(match, at, aims_met)), _assumptions(site, on))


def _assumptions(site: Site, on: OnArray) -> tuple[Assumption, ...]:
    """What the file leaves open of the array's place, its cable and its electronics."""
    return (
        *orientation(site, on.group, on.group_path)[2],
        *cable_assumptions(on),
        *coupling_assumptions(on.element, on.path),
    )


def _array_match(site: Site, on: OnArray, hours: Hours) -> ArrayMatch:
    """Every number of the match."""
    circuit = hours.circuit
    best_power = connection.maximum_power(hours.array)
    own = connection.coupling_year(hours.power, best_power, HOUR)
    sets = best_resistance.best_resistance_sets(hours.array, 3, circuit.cable_resistance)
    ways = _ways(on.element, hours, own, sets)
    best_single = next(way for way in ways if way.key == "best_single")
    changes = string_layouts_of(site, on.group, hours)
    return ArrayMatch(
        array=on.group.name,
        series=circuit.series,
        parallel=circuit.parallel,
        coupling=on.element.coupling,
        resistance=circuit.resistance,
        cable_resistance=circuit.cable_resistance,
        matched_resistance=circuit.matched_resistance(),
        peak_power=float(own.power.max()),
        own=ways[0],
        best_single=best_single,
        ways=ways,
        months=_months(hours, best_power, best_single),
        shelf=stock_elements_of(site, on.element, hours, best_single),
        wirings=changes,
        ceiling=ceiling_of(hours, changes),
        thresholds=_thresholds(hours),
        lift=_lift(hours),
    )


def _ways(
    element: ElementTable, hours: Hours, own: CouplingYear, sets: tuple[ResistanceSet, ...]
) -> tuple[CouplingWay, ...]:
    """The file's own coupling, then what it could be."""
    circuit = hours.circuit
    tracked_energy = own.tracked_energy

    def way(key: str, text: str, ohms: Iterable[float], energy: float) -> CouplingWay:
        ratio = energy / tracked_energy if tracked_energy > 0.0 else 0.0
        return CouplingWay(key, text, tuple(ohms), energy, ratio)

    ways = [way("own", *_own_text(circuit), own.energy)]
    if not isinstance(circuit.coupling, Direct):
        straight = connection.direct(
            hours.array, circuit.resistance, HOUR, circuit.cable_resistance
        )
        ways.append(
            way("direct", "straight on the element", [circuit.resistance], straight.energy)
        )
    names = ("best_single", "best_two", "best_three")
    texts = ("best single resistance", "best two, by relays", "best three, by relays")
    ways += [
        way(key, text, best.resistances, best.power_sum * HOUR)
        for key, text, best in zip(names, texts, sets, strict=True)
    ]
    if not isinstance(circuit.coupling, Tracking):
        electronics = replace(electronics_of(element), raises_voltage=True, lowers_voltage=True)
        year = connection.tracked(
            hours.array, electronics, circuit.resistance, HOUR, circuit.cable_resistance
        )
        ways.append(way("tracking", _tracking_text(electronics), (), year.energy))
    ways.append(way("ideal", "all that the array could give", (), tracked_energy))
    return tuple(ways)


def _own_text(circuit: HeaterCircuit) -> tuple[str, tuple[float, ...]]:
    """The file's own coupling in words, and its resistances [ohm]."""
    way = circuit.coupling
    if isinstance(way, Tracking):
        return f"as it is: {_tracking_text(way.electronics)}", ()
    if isinstance(way, Switched):
        how = "best each hour" if way.irradiances is None else "by the sun"
        return f"as it is: by relays, {how}", way.resistances(circuit.resistance)
    return "as it is: straight on the element", (circuit.resistance,)


def _tracking_text(electronics: connection.TrackingElectronics) -> str:
    """Tracking electronics in words."""
    percent = show(Quantity(electronics.efficiency, kinds.FRACTION), kinds.FRACTION, "SI")
    return f"electronics that track, {percent}"


def _months(
    hours: Hours, best_power: FloatArray, best_single: CouplingWay
) -> tuple[CouplingMonth, ...]:
    """Energy of each month as it is, on the best resistance, and at the array's best [J]."""
    (ohms,) = best_single.resistances
    (on_best,) = best_resistance.power_by_resistance(
        hours.array, ohms, hours.circuit.cable_resistance
    )
    month = hours.plane.hours.month
    return tuple(
        CouplingMonth(
            number,
            *(
                float(power[month == number].sum()) * HOUR
                for power in (hours.power, on_best, best_power)
            ),
        )
        for number in MONTHS
    )


def _thresholds(hours: Hours) -> Thresholds | None:
    """The file's thresholds beside the best; None without relays."""
    circuit = hours.circuit
    way = circuit.coupling
    if not isinstance(way, Switched):
        return None
    ohms = way.resistances(circuit.resistance)
    sun = hours.plane.effective_irradiance
    best = connection.best_thresholds(hours.array, ohms, sun, circuit.cable_resistance).tolist()
    with_best = connection.switched_by_thresholds(
        hours.array,
        ohms,
        sun,
        best,
        HOUR,
        circuit.cable_resistance,
    )
    hourly = connection.switched(hours.array, ohms, HOUR, circuit.cable_resistance)
    return Thresholds(
        resistances=ohms,
        named=way.irradiances or (),
        best=tuple(best[::-1]),
        energy=with_best.energy,
        hourly_energy=hourly.energy,
    )


def _lift(hours: Hours) -> float | None:
    """Greatest voltage that tracking electronics must make above the array's [V]."""
    circuit = hours.circuit
    if not isinstance(circuit.coupling, Tracking):
        return None
    best = resistive.maximum_power_point(hours.array)
    wanted = np.sqrt(hours.power * circuit.resistance)
    raised = wanted[wanted > np.asarray(best.voltage)]
    return float(raised.max()) if raised.size else None
