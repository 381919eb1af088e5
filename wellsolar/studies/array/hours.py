"""The element that an array heats, and the array through the hours of the site's year."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.physics.array import module
from wellsolar.physics.array.module import Diode
from wellsolar.physics.sun.year import HourlyYear, PlaneYear
from wellsolar.physics.types import FloatArray
from wellsolar.site.schema import ArrayTable, ElementTable, Site
from wellsolar.studies.array.heater_circuit import HeaterCircuit
from wellsolar.studies.sun.modules import REFERENCE_CELL
from wellsolar.studies.sun.year import plane_of_group


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


def element_on_array(site: Site) -> OnArray | None:
    """The first element of the site's heater that an array feeds."""
    elements = () if site.water_heater is None else site.water_heater.element
    for place, element in enumerate(elements, 1):
        for index, group in enumerate(site.array, 1):
            if group.name == element.fed_by:
                path = f"water_heater.element[{place}]"
                return OnArray(element, group, path, f"array[{index}]")
    return None


def hours_of(site: Site, on: OnArray, circuit: HeaterCircuit, year: HourlyYear) -> Hours:
    """The array of an element through the site's year.

    Parameters:
        site: the site
        on: element and group
        circuit: of the two
        year: the site's year of hours
    Returns:
        the array, and the power of its element
    """
    plane = plane_of_group(site, year, on.group, on.group_path)
    light, cells = plane.plane_of_array_irradiance, plane.cell_temperature
    one = module.at_conditions(circuit.parameters, light, cells)
    array = module.array_of(one, circuit.series, circuit.parallel)
    return Hours(circuit, plane, one, array, circuit.power(light, cells))


def coldest(site: Site) -> float:
    """Cells in the coldest bright sun, as the tank's study takes them [degC]."""
    return REFERENCE_CELL if site.sun.record_low is None else float(site.sun.record_low)
