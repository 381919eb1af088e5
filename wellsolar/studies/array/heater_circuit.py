"""The array on its element: the circuit of one group of modules, its cable and one element."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from wellsolar.physics.array import heating_element, module, resistive
from wellsolar.physics.array.module import Diode, FiveParameters
from wellsolar.physics.sun import tilted_plane
from wellsolar.physics.sun.days import DayOfSun
from wellsolar.physics.sun.year import HOUR, HourlyYear, PlaneYear
from wellsolar.physics.types import FloatArray, Floats
from wellsolar.results.heat import SunPoint
from wellsolar.results.pumps import WireResult
from wellsolar.site.schema import ArrayTable, ElementTable, Site
from wellsolar.studies.array.cold_voltage import cold_of
from wellsolar.studies.array.coupling import (
    AtElement,
    Coupling,
    Direct,
    Tracking,
    at_element,
    coupled_power,
    coupling_of,
)
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.sun.module_sheet import REFERENCE_CELL
from wellsolar.studies.sun.year import SUN_KEYS, plane_of_group
from wellsolar.verdicts import Assumption

IRRADIANCES = (200.0, 400.0, 600.0, 800.0, 1000.0)
"""Irradiances at which the meter's reading is foretold [W/m2]."""


MILD_AIR, LIGHT_WIND = 20.0, 1.0
"""Air [degC] and wind [m/s] of the working points: our choice, as of NOCT conditions."""

BRIGHTEST = 1250.0
"""Irradiance in a gap between bright clouds [W/m2]: the 1.25 of NEC 690.8 (second hand)."""

COLD_WIRE = 20.0
"""Temperature at which a file's element has its rated resistance [degC], as its schema says."""


@dataclass(frozen=True)
class HeaterCircuit:
    """Modules in series and parallel through a cable on one element.

    parameters: of one module; resistance: of the element, of several as they are wired [ohm]
    cable_resistance: loop [ohm]; assumed_cable: how much of it stands for a cable that the file
        does not name, which a year loses and no meter's reading or guard may count on [ohm]
    coupling: what stands between cable and element
    """

    parameters: FiveParameters
    series: int
    parallel: int
    resistance: float
    cable_resistance: float
    coupling: Coupling = field(default_factory=Direct)
    assumed_cable: float = 0.0

    @property
    def named_cable(self) -> float:
        """Loop resistance of the cable that the file names [ohm]."""
        return self.cable_resistance - self.assumed_cable

    def array(self, irradiance: Floats, cell_temperature: Floats) -> Diode:
        """The array as one diode at an irradiance [W/m2] and a cell temperature [degC]."""
        one = module.at_conditions(self.parameters, irradiance, cell_temperature)
        return module.array_of(one, self.series, self.parallel)

    def point(self, irradiance: float, cell_temperature: float) -> SunPoint:
        """What a meter at the element shows at one irradiance."""
        at = self.at(irradiance, cell_temperature)
        best = resistive.maximum_power_point(self.array(irradiance, cell_temperature))
        return SunPoint(
            irradiance=irradiance,
            cell_temperature=cell_temperature,
            current=at.power / at.voltage if at.voltage > 0.0 else 0.0,
            voltage=at.voltage,
            power=at.power,
            maximum_power=float(best.power),
            cable_loss=at.array_current**2 * self.named_cable,
        )

    def at(self, irradiance: float, cell_temperature: float) -> AtElement:
        """Element and array at one irradiance [W/m2] and cell temperature [degC]."""
        diode = self.array(irradiance, cell_temperature)
        return at_element(self.coupling, diode, self.resistance, self.named_cable, irradiance)

    def hardest(self) -> HeaterCircuit:
        """The same with electronics at the most that they may do; else as it is."""
        if not isinstance(self.coupling, Tracking):
            return self
        return replace(self, coupling=Tracking(self.coupling.hardest, self.coupling.hardest))

    def through(self, day: DayOfSun) -> FloatArray:
        """Power at the element through a day [W], one value a step."""
        one = _module_through(self.parameters, day)
        return self._power(one, day.effective_irradiance)

    def power(self, irradiance: FloatArray, cell_temperature: FloatArray) -> FloatArray:
        """Power at the element [W] at irradiances [W/m2] and cell temperatures [degC]."""
        one = module.at_conditions(self.parameters, irradiance, cell_temperature)
        return self._power(one, irradiance)

    def _power(self, one: Diode, irradiance: FloatArray) -> FloatArray:
        array = module.array_of(one, self.series, self.parallel)
        return coupled_power(
            self.coupling, array, self.resistance, self.cable_resistance, irradiance
        )

    def maximum_power(self, irradiance: FloatArray, cell_temperature: FloatArray) -> FloatArray:
        """The array's maximum power [W] at irradiances [W/m2] and cell temperatures [degC]."""
        diode = self.array(irradiance, cell_temperature)
        return np.asarray(resistive.maximum_power_point(diode).power, dtype=float)

    def reference_points(self) -> tuple[SunPoint, ...]:
        """The points with cells at 25 degC, as a datasheet states them."""
        return tuple(self.point(irradiance, REFERENCE_CELL) for irradiance in IRRADIANCES)

    def working_points(self) -> tuple[SunPoint, ...]:
        """The points with cells as warm as they get in mild air and a light wind."""
        return tuple(
            self.point(
                irradiance, float(tilted_plane.cell_temperature(irradiance, MILD_AIR, LIGHT_WIND))
            )
            for irradiance in IRRADIANCES
        )

    def matched_resistance(self) -> float:
        """Resistance that takes the array's maximum power at 1000 W/m2, 25 degC [ohm]."""
        return float(resistive.matched_resistance(self.array(1000.0, REFERENCE_CELL)))


@lru_cache(64)
def _module_through(parameters: FiveParameters, day: DayOfSun) -> Diode:
    """One module through a day: arrays and elements are tried on a day by the hundred."""
    return module.at_conditions(parameters, day.effective_irradiance, day.cell_temperature)


def plate_of(element: ElementTable) -> tuple[float, float]:
    """Rated power [W] and voltage [V] of all elements of a table together, as they are wired."""
    in_series = element.count if element.wired == "series" else 1
    return element.rated_power * element.count, element.rated_voltage * in_series


def circuit_of(
    parameters: FiveParameters,
    group: ArrayTable,
    element: ElementTable,
    water_temperature: float = COLD_WIRE,
    wiring_loss: float = 0.0,
) -> HeaterCircuit:
    """The circuit of a group on an element, or on several alike.

    Parameters:
        water_temperature: of the elements, where their resistance changes with it [degC]
        wiring_loss: part of the power that is lost in a cable which the file does not name
    """
    cold = heating_element.element_resistance(*plate_of(element))
    resistance = cold
    coefficient = element.temperature_coefficient
    if coefficient is not None:
        resistance = heating_element.resistance_at_temperature(
            resistance, water_temperature, coefficient, COLD_WIRE
        )
    named = group.cable is not None and group.cable.length is not None
    assumed = 0.0 if named else resistance * wiring_loss / (1.0 - wiring_loss)
    return HeaterCircuit(
        parameters,
        group.series,
        group.parallel,
        resistance,
        cable_resistance(group) + assumed,
        coupling_of(element, cold),
        assumed,
    )


def cable_resistance(group: ArrayTable) -> float:
    """Loop resistance of a group's cable, stranded copper at 75 degC [ohm]; 0 without one."""
    if group.cable is None or group.cable.length is None:
        return 0.0
    return wiring.line_resistance(group.cable.gauge, group.cable.length, phases=1)


def cable_assumptions(on: OnArray) -> tuple[Assumption, ...]:
    """What is made of a cable that the file does not name."""
    if on.group.cable is not None:
        return ()
    why = "losses.wiring of the year's heat is lost in it; readings and guards count on none of it"
    return (Assumption(f"{on.group_path}.cable", "not named", why, "common practice"),)


def array_wire(site: Site, group: ArrayTable, circuit: HeaterCircuit) -> WireResult | None:
    """The run of cable between modules and element in full sun; None where the file names no
    cable."""
    if group.cable is None or group.cable.length is None or site.module is None:
        return None
    at = circuit.at(1000.0, REFERENCE_CELL)
    metric = wiring.in_mm2(site, group.cable)
    load = wiring.array_load(
        float(site.module.isc), at.array_current, at.array_voltage, group.parallel, metric
    )
    return wiring.wire_run(
        group.cable, float(group.cable.length), load, float(site.limits.voltage_drop), metric
    )


@dataclass(frozen=True)
class OnArray:
    """An element with the group of modules that feeds it, and their key paths."""

    element: ElementTable
    group: ArrayTable
    path: str
    group_path: str


@dataclass(frozen=True, eq=False)
class Hours:
    """The array through the site's year.

    circuit: on the element; plane: its sun; module: one of its modules
    array, power: the array, and what its element gets by the hour [W]
    """

    circuit: HeaterCircuit
    plane: PlaneYear
    module: Diode
    array: Diode
    power: FloatArray

    def energy(self) -> float:
        """Energy at the element of its circuit through the year [J]."""
        light, cells = self.plane.effective_irradiance, self.plane.cell_temperature
        return float(self.circuit.power(light, cells).sum()) * HOUR


def element_on_array(site: Site) -> OnArray | None:
    """The first element of the site's heater that an array feeds."""
    return next(elements_on_arrays(site), None)


def elements_on_arrays(site: Site) -> Iterator[OnArray]:
    """The elements of the site's heater that arrays feed, in the order of the file."""
    elements = () if site.water_heater is None else site.water_heater.element
    for place, element in enumerate(elements, 1):
        for index, group in enumerate(site.array, 1):
            if group.name == element.fed_by:
                path = f"water_heater.element[{place}]"
                yield OnArray(element, group, path, f"array[{index}]")


def lacking_for_year(site: Site, year: HourlyYear | None) -> list[str]:
    """Keys that the file lacks for an array's year.

    Returns:
        the keys; none where array and year are known
    """
    missing = [] if site.module is not None else ["module"]
    if site.site.latitude is None:
        return [*missing, "site.latitude"]
    return missing if year is not None else [*missing, *SUN_KEYS]


def further_circuits(
    site: Site, on: OnArray, circuit: HeaterCircuit
) -> list[tuple[OnArray, HeaterCircuit]]:
    """Elements on arrays of their own, beside the one that is studied: each with its circuit,
    cold."""
    return [
        (
            element,
            circuit_of(
                circuit.parameters,
                element.group,
                element.element,
                wiring_loss=float(site.losses.wiring),
            ),
        )
        for element in elements_on_arrays(site)
        if element.path != on.path
    ]


def further_power(
    site: Site, on: OnArray, circuit: HeaterCircuit, year: HourlyYear
) -> FloatArray | None:
    """What further arrays give the tank through the year: power in the tank by the hour [W]; None
    where there are none."""
    powers = []
    for further, other in further_circuits(site, on, circuit):
        plane = plane_of_group(site, year, further.group, further.group_path)
        powers.append(other.power(plane.effective_irradiance, plane.cell_temperature))
    return np.sum(powers, axis=0) if powers else None


def hours_of(site: Site, on: OnArray, circuit: HeaterCircuit, year: HourlyYear) -> Hours:
    """The array of an element through the site's year."""
    plane = plane_of_group(site, year, on.group, on.group_path)
    light, cells = plane.effective_irradiance, plane.cell_temperature
    one = module.at_conditions(circuit.parameters, light, cells)
    array = module.array_of(one, circuit.series, circuit.parallel)
    return Hours(circuit, plane, one, array, circuit.power(light, cells))


def coldest_cell(site: Site) -> float:
    """Cells in the coldest bright sun [degC]."""
    return cold_of(site).temperature
