"""Arrays and elements that a site's heated tank could have, with the power of each by the hour."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from wellsolar.data import hot_water_tables
from wellsolar.data import wiring as wire_table
from wellsolar.physics.array import module, stock_elements, string_layouts
from wellsolar.physics.array.best_resistance import power_by_resistance
from wellsolar.physics.array.stock_elements import ROUND_OFF, ElementWay
from wellsolar.physics.electric import cable
from wellsolar.physics.sun.year import HOUR, PlaneYear
from wellsolar.physics.types import FloatArray
from wellsolar.results import LeftOut
from wellsolar.site.schema import ElementTable, Site
from wellsolar.studies.array.cold_voltage import DWELLING_VOLTAGE, cold_voltages
from wellsolar.studies.array.coupling import Direct, Tracking, coupled_power
from wellsolar.studies.array.heater_circuit import BRIGHTEST, HeaterCircuit, OnArray, plate_of
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.heat.days import HOUSEHOLD_VOLTAGE, MOST_SERIES
from wellsolar.studies.sun.days import MONTHS
from wellsolar.studies.sun.module_sheet import REFERENCE_CELL

MOST_MODULES, MOST_STRINGS = 12, 4
"""Modules of all strings, and strings side by side, up to which arrays are looked at: our
choice."""


@dataclass(frozen=True, eq=False)
class Choice:
    """An array on an element.

    series, strings: of the array; element: in words; resistance: as joined [ohm]
    greatest_voltage: across the elements in the brightest cold sun [V]
    power: at them, mean of each hour [W]; own: True for the site's own array on its own element
    """

    series: int
    strings: int
    element: str
    resistance: float
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


@dataclass(frozen=True)
class _Element:
    """What may hang on an array: text, resistance [ohm], plate [V]; own for the site's."""

    text: str
    resistance: float
    voltage: float
    own: bool = False


def choices_of(
    site: Site, on: OnArray, circuit: HeaterCircuit, plane: PlaneYear, most: int
) -> Choices:
    """Every array up to a number of modules on every element that suits it.

    Parameters:
        site: the site
        on: its element on its array
        circuit: of the two
        plane: the year on the array's plane
        most: modules of all strings up to which is looked
    Returns:
        what suits, and what does not
    """
    light, cells = plane.plane_of_array_irradiance, plane.cell_temperature
    own_array = (circuit.series, circuit.parallel)
    layouts = string_layouts.layouts_up_to(most, MOST_SERIES, MOST_STRINGS)
    layouts += [] if own_array in layouts else [own_array]
    limits = _Limits.of(site, on)
    elements = _elements(on.element, circuit)
    sun = _LitSun.of(circuit, plane)
    counts = dict.fromkeys(("over_voltage", "over_current", "over_plate", "weaker"), 0)
    suiting: list[Choice] = []
    for series, strings in layouts:
        why = limits.breach(series, strings)
        if why is not None:
            counts[why] += 1
            continue
        on_plate = list(_on_plate(site, circuit, (series, strings), elements))
        counts["over_plate"] += len(elements) - len(on_plate)
        found = _best_of(circuit, sun, (series, strings), on_plate)
        counts["weaker"] += len(on_plate) - len(found)
        suiting += [each for each in found if not each.own]
    power = circuit.power(light, cells)
    first = elements[0]
    volts = circuit.point(BRIGHTEST, coldest(site)).voltage
    own = Choice(*own_array, first.text, circuit.resistance, volts, power, own=True)
    suits = limits.breach(*own_array) is None and volts <= first.voltage * (1.0 + ROUND_OFF)
    left_out = LeftOut(
        **counts, cold_limit=limits.voltage if limits.cold else None, wire_limit=limits.current
    )
    return Choices((*suiting, own) if suits else tuple(suiting), own, left_out)


def coldest(site: Site) -> float:
    """Cells in the coldest bright sun [degC]."""
    return REFERENCE_CELL if site.sun.record_low is None else float(site.sun.record_low)


@dataclass(frozen=True)
class _Limits:
    """What the site's wire and switches bear: open in the cold [V], in bright sun [A].

    cold: whether the file tells how cold it gets
    """

    site: Site
    on: OnArray
    voltage: float
    current: float | None
    cold: bool

    @classmethod
    def of(cls, site: Site, on: OnArray) -> _Limits:
        element, group = on.element, on.group
        switch = None if element.thermostat_switches == "AC" else element.switch_voltage
        told = [float(each) for each in (switch, group.isolator_voltage) if each is not None]
        bears = None
        if group.cable is not None:
            bears = wiring.pv_ampacity(wire_table.wire(group.cable.gauge), group.cable)
        cold = site.sun.record_low is not None
        return cls(site, on, min([DWELLING_VOLTAGE, *told]), bears, cold)

    def breach(self, series: int, strings: int) -> str | None:
        """Which limit an array breaks, if any."""
        wired = self.on.group.model_copy(update={"series": series, "parallel": strings})
        volts = [each for each in cold_voltages(self.site, wired) if each is not None]
        if max(volts, default=0.0) > self.voltage:
            return "over_voltage"
        assert self.site.module is not None
        amperes = float(cable.pv_conductor_current(float(self.site.module.isc), strings))
        if self.current is not None and amperes > self.current:
            return "over_current"
        return None


def _elements(element: ElementTable, circuit: HeaterCircuit) -> list[_Element]:
    """The site's own first, then all that are sold for a house, alone and by two."""
    plate = plate_of(element)[1]
    most = max(HOUSEHOLD_VOLTAGE, float(element.rated_voltage))
    sold = [each for each in hot_water_tables.element_ratings() if each.rated_voltage <= most]
    own = _Element(_own_text(element), circuit.resistance, plate, own=True)
    ways = stock_elements.element_ways(sold)
    others = [
        _Element(_text(each), each.resistance, each.voltage)
        for each in ways
        if _text(each) != own.text
    ]
    return [own, *others]


def _text(way: ElementWay) -> str:
    mark = f"{way.rating.rated_power:.0f} W {way.rating.rated_voltage:.0f} V"
    return mark if way.count == 1 else f"2 x {mark} {way.joined}"


def _own_text(element: ElementTable) -> str:
    mark = f"{float(element.rated_power):.0f} W {float(element.rated_voltage):.0f} V"
    if element.count == 1:
        return mark
    how = "by relays" if element.coupling == "switched" else f"in {element.wired}"
    return f"{element.count} x {mark} {how}"


def _on_plate(
    site: Site, circuit: HeaterCircuit, wired: tuple[int, int], elements: Sequence[_Element]
) -> Iterator[tuple[_Element, float]]:
    """The elements that an array never drives above their plate, with their greatest voltage."""
    for each in elements:
        trial = replace(
            circuit,
            series=wired[0],
            parallel=wired[1],
            resistance=each.resistance,
            coupling=_way(circuit),
        )
        volts = trial.at(BRIGHTEST, coldest(site)).voltage
        if volts <= each.voltage * (1.0 + ROUND_OFF):
            yield each, volts


def _way(circuit: HeaterCircuit) -> Direct | Tracking:
    """Designs are wired straight, or through the electronics that the site has."""
    return circuit.coupling if isinstance(circuit.coupling, Tracking) else Direct()


@dataclass(frozen=True, eq=False)
class _LitSun:
    """The hours of the year with sun: which they are, their months and light, one module."""

    lit: np.ndarray[tuple[int], np.dtype[np.bool_]]
    month: np.ndarray[tuple[int], np.dtype[np.int64]]
    light: FloatArray
    module: module.Diode

    @classmethod
    def of(cls, circuit: HeaterCircuit, plane: PlaneYear) -> _LitSun:
        light, cells = plane.plane_of_array_irradiance, plane.cell_temperature
        lit = light > 0.0
        one = module.at_conditions(circuit.parameters, light[lit], cells[lit])
        return cls(lit, np.asarray(plane.hours.month)[lit], light[lit], one)


def _best_of(
    circuit: HeaterCircuit,
    sun: _LitSun,
    wired: tuple[int, int],
    elements: Sequence[tuple[_Element, float]],
) -> list[Choice]:
    """The elements on one array that no other betters in every month."""
    if not elements or not sun.lit.any():
        return []
    array = module.array_of(sun.module, *wired)
    way = _way(circuit)
    ohms = np.array([each.resistance for each, _ in elements])
    if isinstance(way, Tracking):
        # Electronics give every element the same, so that the first that suits stands for all.
        elements = elements[:1]
        power = coupled_power(way, array, float(ohms[0]), circuit.cable_resistance, sun.light)
        powers = power[np.newaxis]
    else:
        powers = power_by_resistance(array, ohms, circuit.cable_resistance)
    months = np.stack([powers[:, sun.month == each].sum(axis=1) for each in MONTHS], axis=1)
    made = []
    for row in stock_elements.worth_looking_at(months * HOUR):
        each, volts = elements[row]
        hours = np.zeros(sun.lit.size)
        hours[sun.lit] = powers[row]
        own = each.own and wired == (circuit.series, circuit.parallel)
        made.append(Choice(*wired, each.text, each.resistance, volts, hours, own))
    return made
