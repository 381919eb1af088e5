"""What could be bought for an array and its element: other elements, and modules more or fewer."""

from __future__ import annotations

from dataclasses import replace

from wellsolar.data import hot_water_tables
from wellsolar.physics.array import (
    stock_elements,
    string_layouts,
)
from wellsolar.physics.array.stock_elements import ElementChoice
from wellsolar.physics.sun.year import HOUR
from wellsolar.results import CouplingWay, CurrentCeiling, StockElement, StringLayout
from wellsolar.site.schema import ArrayTable, ElementTable, Site
from wellsolar.studies.array.cold_voltage import cold_voltages
from wellsolar.studies.array.coupling import Direct
from wellsolar.studies.array.heater_circuit import BRIGHTEST, Hours, coldest_cell
from wellsolar.studies.heat.one_day import HOUSEHOLD_VOLTAGE
from wellsolar.studies.sun.module_sheet import REFERENCE_CELL

EACH_KIND = 2
"""Stock elements shown of each kind: one, two alike, two unlike."""


def stock_elements_of(
    site: Site, element: ElementTable, hours: Hours, best: CouplingWay
) -> tuple[StockElement, ...]:
    """The best of the elements that are sold: some alone, some pairs alike, some unlike.

    Parameters:
        best: the best single resistance
    Returns:
        those within their plate, the most heat first
    """
    most = max(HOUSEHOLD_VOLTAGE, float(element.rated_voltage))
    sold = [
        rating for rating in hot_water_tables.element_ratings() if rating.rated_voltage <= most
    ]
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
    """The array as it is, with a module or a row more or less, and wired in every other way.

    Returns:
        each with its energy through the file's coupling, and on its best resistance
    """
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

    Parameters:
        changes: of `string_layouts_of`
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
