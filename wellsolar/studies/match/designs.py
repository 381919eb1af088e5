"""Arrays and elements that a site's heated tank could have, with the power of each by the hour."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from wellsolar.data.hot_water_tables import ElementRating, element_ratings
from wellsolar.physics.array import module, stock_elements, string_layouts
from wellsolar.physics.array.best_resistance import power_by_resistance
from wellsolar.physics.array.stock_elements import ROUND_OFF, ElementChoice
from wellsolar.physics.sun.year import HOUR, PlaneYear
from wellsolar.physics.types import FloatArray
from wellsolar.results.match import (
    CouplingWay,
    CurrentCeiling,
    LeftOut,
    StockElement,
    StringLayout,
)
from wellsolar.site.schema import ArrayTable, ElementTable, Site
from wellsolar.studies.array.circuit import driven_to, each_driven_to, limits_of
from wellsolar.studies.array.cold_voltage import cold_voltages
from wellsolar.studies.array.coupling import Direct, Tracking, coupled_power
from wellsolar.studies.array.heater_circuit import (
    BRIGHTEST,
    HeaterCircuit,
    Hours,
    OnArray,
    coldest_cell,
    plate_of,
)
from wellsolar.studies.heat.one_day import HOUSEHOLD_VOLTAGE, MOST_SERIES
from wellsolar.studies.house.demand import HOURS_A_DAY
from wellsolar.studies.sun.days import MONTHS
from wellsolar.studies.sun.module_sheet import REFERENCE_CELL
from wellsolar.units import System

EACH_KIND = 2
"""Stock elements shown of each kind: one, two alike, two unlike."""


def stock_elements_of(
    site: Site, element: ElementTable, hours: Hours, best: CouplingWay
) -> tuple[StockElement, ...]:
    """The best of the elements that are sold: some alone, some pairs alike, some unlike.

    Returns:
        those within their plate, the most heat first
    """
    most = max(HOUSEHOLD_VOLTAGE, float(element.rated_voltage))
    sold = [rating for rating in element_ratings() if rating.rated_voltage <= most]
    ranked = stock_elements.rank_elements(
        hours.array,
        sold,
        hours.circuit.array(BRIGHTEST, coldest_cell(site)),
        HOUR,
        hours.circuit.cable_resistance,
        within_rating_only=True,
    )
    shown: list[StockElement] = []
    for count, alike in ((1, True), (2, True), (2, False)):
        kind = [
            choice for choice in ranked if (len(choice.elements), _alike(choice)) == (count, alike)
        ]
        # The same resistance again tells nothing new.
        distinct = {round(choice.resistance, 3): choice for choice in reversed(kind)}
        first = sorted(distinct.values(), key=lambda choice: -choice.energy)[:EACH_KIND]
        shown += [_stock_element(choice, best) for choice in first]
    return tuple(sorted(shown, key=lambda element: -element.energy))


def _alike(choice: ElementChoice) -> bool:
    """True where all elements of a choice are the same."""
    return len(set(choice.elements)) == 1


def _stock_element(choice: ElementChoice, best: CouplingWay) -> StockElement:
    """A choice with its name as a shop would call it."""
    first = choice.elements[0]
    alike = _alike(choice)
    marks = [
        f"{element.rated_power:.0f} W {element.rated_voltage:.0f} V" for element in choice.elements
    ]
    text = marks[0] if len(marks) == 1 else f"{marks[0]} + {marks[1]} {choice.joined}"
    if alike and len(marks) == 2:
        text = f"two of {marks[0]} {choice.joined}"
    return StockElement(
        text=text,
        resistance=choice.resistance,
        energy=choice.energy,
        of_best=choice.energy / best.energy,
        greatest_voltage=choice.greatest_voltage,
        voltage_ratio=choice.voltage_ratio,
        power_ratio=choice.power_ratio,
        rated_power=first.rated_power,
        rated_voltage=first.rated_voltage,
        count=len(choice.elements),
        alike=alike,
        joined=choice.joined,
    )


def string_layouts_of(site: Site, group: ArrayTable, hours: Hours) -> tuple[StringLayout, ...]:
    """The array as it is, with a module or a row more or less, and wired in every other way: each
    with its energy through the file's coupling, and on its best resistance."""
    circuit = hours.circuit
    years = string_layouts.compare_layouts(
        hours.module,
        circuit.series,
        circuit.parallel,
        circuit.resistance,
        HOUR,
        circuit.cable_resistance,
    )
    changes: list[StringLayout] = []
    own: float | None = None
    for year in years:
        trial = replace(circuit, series=year.modules_in_series, parallel=year.strings)
        energy = replace(hours, circuit=trial).energy()
        own = energy if own is None else own
        wired = group.model_copy(update={"series": year.modules_in_series})
        cold = [voltage for voltage in cold_voltages(site, wired) if voltage is not None]
        changes.append(
            StringLayout(
                change=year.change,
                series=year.modules_in_series,
                parallel=year.strings,
                energy=energy,
                gain=energy / own - 1.0 if own > 0.0 else 0.0,
                best_resistance=year.best_resistance,
                best_energy=year.best_energy,
                cold_voltage=max(cold, default=None),
                greatest_voltage=trial.point(BRIGHTEST, coldest_cell(site)).voltage,
            )
        )
    return tuple(changes)


def ceiling_of(hours: Hours, changes: tuple[StringLayout, ...]) -> CurrentCeiling | None:
    """Why more modules in series stop helping an element that is wired straight.

    Returns:
        the ceiling; None with relays or electronics between
    """
    circuit = hours.circuit
    if not isinstance(circuit.coupling, Direct):
        return None
    sides = string_layouts.sides_of_match(
        hours.array, circuit.resistance, HOUR, circuit.cable_resistance
    )
    full_sun = circuit.array(1000.0, REFERENCE_CELL)
    return CurrentCeiling(
        power=float(string_layouts.current_ceiling(full_sun, circuit.resistance)),
        hours=sides.current_limited_hours,
        energy=sides.current_limited_energy,
        series_gain=sides.series_gain,
        one_more=next(change.gain for change in changes if change.series == circuit.series + 1),
    )


MOST_MODULES, MOST_STRINGS = 24, 4
"""Modules of all strings, and strings side by side, up to which arrays are looked at: our
choice."""

METRIC_ELEMENTS = (1200.0, 1500.0, 2000.0, 2400.0, 3000.0)
"""Rated power of elements of 230 V that are sold where sizes are metric [W]: common practice."""


def sold_elements(system: System) -> tuple[ElementRating, ...]:
    """The elements that are sold where sizes are in a system of units."""
    if system == "US":
        return element_ratings()
    return tuple(ElementRating(230.0, power, "common practice") for power in METRIC_ELEMENTS)


TAKEN = (0.5, 1.0, 2.0, math.inf)
"""Draws of a day whose heat a tank may take of a day's sun. What gives most of a month's sun may
give it on days that the tank can't use, and less on the dim ones; by months alone the element of
most hot evenings would be left out."""


@dataclass(frozen=True)
class DesignElement:
    """What may hang on an array, one element or some alike.

    text: in words; power [W], voltage [V]: of the plate of one; count, joined: of them
    resistance: of all as joined [ohm]; plate: voltage of all as joined [V]; own: for the site's
    """

    text: str
    power: float
    voltage: float
    count: int
    joined: str
    resistance: float
    plate: float
    own: bool = False


@dataclass(frozen=True, eq=False)
class Choice:
    """An array on an element.

    series, strings: of the array
    greatest_voltage: across the elements in the brightest cold sun [V]
    power: at them, mean of each hour [W]; own: True for the site's own array on its own element
    """

    series: int
    strings: int
    element: DesignElement
    greatest_voltage: float
    power: FloatArray
    own: bool = False


@dataclass(frozen=True, eq=False)
class Choices:
    """All that suit, and why others do not.

    suiting: with the site's own if it suits; own: the site's, whether it suits or not
    """

    suiting: tuple[Choice, ...]
    own: Choice
    left_out: LeftOut


def choices_of(
    site: Site,
    on: OnArray,
    circuit: HeaterCircuit,
    plane: PlaneYear,
    most: int,
    day_heat: float,
    sold: Sequence[ElementRating] | None = None,
    wired: Sequence[tuple[int, int]] = (),
    dead: int = 0,
) -> Choices:
    """Every array up to a number of modules on every element that suits it.

    Parameters:
        plane: the year on the array's plane
        most: modules of all strings up to which is looked
        day_heat: of the draws of a day [J]
        sold: elements that there are; left out for all that are sold at the site
        wired: series and strings of the only arrays to look at; none for all
        dead: strings of each that give nothing, though its elements bear them all
    Returns:
        what suits, and what does not
    """
    light, cells = plane.effective_irradiance, plane.cell_temperature
    own_array = (circuit.series, circuit.parallel)
    layouts = list(wired) or string_layouts.layouts_up_to(most, MOST_SERIES, MOST_STRINGS)
    layouts += [] if own_array in layouts else [own_array]
    limits = limits_of(site, on)
    there = sold_elements(site.site.print_units) if sold is None else sold
    elements = _elements(on.element, circuit, there)
    sun = _LitSun.of(circuit, plane)
    counts = dict.fromkeys(("over_voltage", "over_current", "over_plate", "weaker"), 0)
    suiting: list[Choice] = []
    for series, strings in layouts:
        if strings <= dead:
            continue
        why = limits.breach(series, strings)
        if why is not None:
            counts[why] += 1
            continue
        on_plate = list(_on_plate(site, circuit, (series, strings), elements))
        counts["over_plate"] += len(elements) - len(on_plate)
        choices = [
            replace(choice, strings=strings)
            for choice in _best_of(circuit, sun, (series, strings - dead), on_plate, day_heat)
        ]
        counts["weaker"] += len(on_plate) - len(choices)
        suiting += [choice for choice in choices if not choice.own]
    power = circuit.power(light, cells)
    first = elements[0]
    volts = driven_to(site, circuit)
    own = Choice(*own_array, first, volts, power, own=True)
    suits = limits.breach(*own_array) is None and volts <= first.plate * (1.0 + ROUND_OFF)
    left_out = LeftOut(**counts, cold_limit=limits.voltage, wire_limit=limits.carried)
    return Choices((*suiting, own) if suits else tuple(suiting), own, left_out)


def _elements(
    element: ElementTable, circuit: HeaterCircuit, there: Sequence[ElementRating]
) -> list[DesignElement]:
    """The site's own first, then all that there are for a house, alone and by two."""
    most = max(HOUSEHOLD_VOLTAGE, float(element.rated_voltage))
    sold = [rating for rating in there if rating.rated_voltage <= most]
    own = _own(element, circuit.resistance)
    others = [
        DesignElement(
            _text(way.rating.rated_power, way.rating.rated_voltage, way.count, way.joined),
            way.rating.rated_power, way.rating.rated_voltage, way.count, way.joined,
            way.resistance, way.voltage,
        )
        for way in stock_elements.element_ways(sold)
    ]  # fmt: skip
    return [own, *(other for other in others if other.text != own.text)]


def _text(power: float, voltage: float, count: int, joined: str) -> str:
    mark = f"{power:.0f} W {voltage:.0f} V"
    return mark if count == 1 else f"{count} x {mark} {joined}"


def _own(element: ElementTable, resistance: float) -> DesignElement:
    """The site's elements as they are joined, of a resistance [ohm]."""
    power, voltage = float(element.rated_power), float(element.rated_voltage)
    joined = "by relays" if element.coupling == "switched" else f"in {element.wired}"
    text = _text(power, voltage, element.count, joined)
    plate = plate_of(element)[1]
    return DesignElement(text, power, voltage, element.count, joined, resistance, plate, own=True)


def _on_plate(
    site: Site, circuit: HeaterCircuit, wired: tuple[int, int], elements: Sequence[DesignElement]
) -> Iterator[tuple[DesignElement, float]]:
    """The elements that an array never drives above their plate, with their greatest voltage."""
    series, strings = wired
    straight = replace(circuit, series=series, parallel=strings, coupling=_way(circuit))
    driven = each_driven_to(site, straight, [element.resistance for element in elements])
    for element, volts in zip(elements, driven, strict=True):
        if volts <= element.plate * (1.0 + ROUND_OFF):
            yield element, volts


def _way(circuit: HeaterCircuit) -> Direct | Tracking:
    """Designs are wired straight, or through the electronics that the site has."""
    return circuit.coupling if isinstance(circuit.coupling, Tracking) else Direct()


@dataclass(frozen=True, eq=False)
class _LitSun:
    """The hours of the year with sun: which they are, their days, light, one module; and the month
    of each day."""

    lit: np.ndarray[tuple[int], np.dtype[np.bool_]]
    day: np.ndarray[tuple[int], np.dtype[np.int64]]
    month: np.ndarray[tuple[int], np.dtype[np.int64]]
    light: FloatArray
    module: module.Diode

    @classmethod
    def of(cls, circuit: HeaterCircuit, plane: PlaneYear) -> _LitSun:
        light, cells = plane.effective_irradiance, plane.cell_temperature
        lit = light > 0.0
        one = module.at_conditions(circuit.parameters, light[lit], cells[lit])
        month = np.asarray(plane.hours.month)
        day = np.arange(lit.size)[lit] // HOURS_A_DAY
        return cls(lit, day, month[::HOURS_A_DAY], light[lit], one)

    def taken(self, powers: FloatArray, day_heat: float) -> FloatArray:
        """What tanks that take no more than some heat of a day [J] would get of powers [W] in each
        month [J], a row for each power."""
        begins = np.flatnonzero(np.diff(self.day, prepend=-1))
        of_day = np.add.reduceat(powers, begins, axis=1) * HOUR
        month = self.month[self.day[begins]]
        return np.stack(
            [
                np.minimum(of_day, tanks * day_heat)[:, month == number].sum(axis=1)
                for tanks in TAKEN
                for number in MONTHS
            ],
            axis=1,
        )


def _best_of(
    circuit: HeaterCircuit,
    sun: _LitSun,
    wired: tuple[int, int],
    elements: Sequence[tuple[DesignElement, float]],
    day_heat: float,
) -> list[Choice]:
    """The elements on one array that no other betters in every month, bright days and dim."""
    if not elements or not sun.lit.any():
        return []
    array = module.array_of(sun.module, *wired)
    way = _way(circuit)
    ohms = np.array([element.resistance for element, _ in elements])
    if isinstance(way, Tracking):
        tracking_electronics = way.electronics
        if (
            tracking_electronics.raises_voltage
            and tracking_electronics.lowers_voltage
            and not math.isfinite(tracking_electronics.greatest_voltage)
        ):
            # They give every element the same, so that the first that suits stands for all.
            elements, ohms = elements[:1], ohms[:1]
        powers = np.stack(
            [
                coupled_power(way, array, resistance, circuit.cable_resistance, sun.light)
                for resistance in ohms.tolist()
            ]
        )
    else:
        powers = _straight(circuit, array, ohms)
    choices = []
    for row in stock_elements.worth_looking_at(sun.taken(powers, day_heat)):
        element, volts = elements[row]
        hours = np.zeros(sun.lit.size)
        hours[sun.lit] = powers[row]
        own = element.own and wired == (circuit.series, circuit.parallel)
        choices.append(Choice(*wired, element, volts, hours, own))
    return choices


def _straight(circuit: HeaterCircuit, array: module.Diode, ohms: FloatArray) -> FloatArray:
    """Power on resistances that are wired straight, a row for each [W]. A cable that the file does
    not name takes the same part of it on each."""
    part = circuit.assumed_cable / circuit.resistance
    whole = power_by_resistance(array, ohms * (1.0 + part), circuit.named_cable)
    return np.asarray(whole / (1.0 + part))


def in_other_sun(
    circuit: HeaterCircuit, light: FloatArray, cells: FloatArray, choices: Sequence[Choice]
) -> FloatArray:
    """Power of arrays that are wired straight to their elements, in other hours than the year's.

    Parameters:
        light, cells: effective irradiance [W/m2] and temperature of the cells [degC]
    Returns:
        power [W], a row for each choice
    """
    lit = light > 0.0
    one = module.at_conditions(circuit.parameters, light[lit], cells[lit])
    powers = np.zeros((len(choices), lit.size))
    for wired in dict.fromkeys((choice.series, choice.strings) for choice in choices):
        rows = [
            row for row, choice in enumerate(choices) if (choice.series, choice.strings) == wired
        ]
        ohms = np.array([choices[row].element.resistance for row in rows])
        of_rows = np.zeros((len(rows), lit.size))
        of_rows[:, lit] = _straight(circuit, module.array_of(one, *wired), ohms)
        powers[rows] = of_rows
    return powers
