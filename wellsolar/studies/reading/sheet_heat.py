"""Steps of the commissioning sheet at the modules, the elements and the hot water."""

from __future__ import annotations

import numpy as np

from wellsolar import kinds
from wellsolar.constants import PSI
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module, module_fit, resistive
from wellsolar.results.readings import SheetLine, SheetStep
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import ArrayTable, ElementTable, Site, WaterHeaterTable
from wellsolar.studies.array.coupling import Switched, Tracking, coupling_of
from wellsolar.studies.array.heater_circuit import plate_of
from wellsolar.studies.reading.current import AMPERES, VOLTS
from wellsolar.studies.reading.element import plate_band
from wellsolar.studies.reading.sheet_well import near
from wellsolar.studies.reading.sun import ArrayAtReading, SunNow, sun_now
from wellsolar.studies.sun.module_sheet import rating_of
from wellsolar.units import Quantity

HOTTEST_CELLS, DIM = 65.0, 300.0
"""Cells [degC] and sun [W/m2] of the lowest open-circuit voltage of a bright day: our choice."""

FREEZING, BRIGHT = 0.0, 1000.0
"""Cells [degC] of the highest where the file has no record low, and its sun [W/m2]."""

THERMOSTAT, MIXED = 5.0, 3.0
"""How far a thermostat and a mixing valve may lie from their setting [K]: common practice, no
source."""

INSULATION = "1 megohm or more; 0.5 below 120 V"
"""Of an array, wires of both poles: IEC 62446-1, from memory."""

SAMPLED = 9
"""Hours of clear noons, from the dimmest to the brightest, that stand for all of them."""

MOST_OHMS = 6
"""Resistances of relays that the sheet lists."""


def array_steps(site: Site, at: ArrayAtReading | None) -> list[SheetStep]:
    """Every group of modules.

    Parameters:
        site: the site
        at: the one that heats, with its sun; None where there is none
    Returns:
        a step a group; none where the module's sheet does not hold together
    """
    if site.module is None:
        return []
    try:
        parameters = module_fit.fit_five_parameters(rating_of(site.module))
    except OutOfRange:
        return []
    steps = []
    for number, group in enumerate(site.array, 1):
        heats = at is not None and at.on.group is group
        lines = [
            SheetLine("open-circuit voltage before connecting",
                      _open_voltage(site, parameters, group)),
            SheetLine("polarity at the isolator", None, "plus on plus, in every string"),
            SheetLine("insulation to ground, plus and minus", None, INSULATION),
        ]  # fmt: skip
        if heats and at is not None:
            lines += _at_noon(at)
        steps.append(
            SheetStep(
                "array" if heats else f"array_{number}",
                f"Modules: {group.name}",
                _before_modules(heats),
                tuple(lines),
            )
        )
    return steps


def _open_voltage(site: Site, parameters: module.FiveParameters, group: ArrayTable) -> Quantity:
    """From cells in the record low or at freezing to those of a hot day in weak sun [V]."""
    coldest = site.sun.record_low
    cases = ((DIM, HOTTEST_CELLS), (BRIGHT, FREEZING if coldest is None else float(coldest)))
    volts = []
    for light, cells in cases:
        one = module.at_conditions(parameters, light, cells)
        array = module.array_of(one, group.series, group.parallel)
        volts.append(float(resistive.open_circuit_voltage(array)))
    return Quantity(sum(volts) / 2, kinds.VOLTAGE, min(volts), max(volts))


def _at_noon(at: ArrayAtReading) -> list[SheetLine]:
    """Current and voltage at the element at a clear noon of any month."""
    now = sun_now(at, Readings("sheet", {}, sky="clear", hour=12.0))
    if now is None or now.down:
        return []
    lines = []
    for meter, kind, what in (
        (AMPERES, kinds.CURRENT, "current"),
        (VOLTS, kinds.VOLTAGE, "voltage"),
    ):
        shown = meter.read(at.circuit, now.irradiance, now.cells)
        low, middle, high = (float(each) for each in np.percentile(shown, [10.0, 50.0, 90.0]))
        text = f"{what} at the element, a clear noon, thermostat calling"
        lines.append(SheetLine(text, Quantity(middle, kind, low, high)))
    if isinstance(at.circuit.coupling, Tracking):
        lines.append(_at_electronics(at, now))
    return lines


def _at_electronics(at: ArrayAtReading, now: SunNow) -> SheetLine:
    """Voltage of the array itself, which the electronics hold at its best [V]."""
    order = np.argsort(now.irradiance)
    chosen = order[np.linspace(0, order.size - 1, min(SAMPLED, order.size)).astype(int)]
    volts = sorted(
        at.circuit.at(float(now.irradiance[each]), float(now.cells[each])).array_voltage
        for each in chosen
    )
    text = "voltage of the array at the electronics, a clear noon"
    return SheetLine(text, Quantity(volts[len(volts) // 2], kinds.VOLTAGE, volts[0], volts[-1]))


def _before_modules(heats: bool) -> str:
    said = (
        "Isolator open and locked, modules covered where terminals are touched: they give full "
        "voltage in any light, and its arc does not go out. Never open a connector under load."
    )
    tank = (
        " The tank is full of water, seen at an open hot tap, before the isolator is closed: an "
        "element that is dry burns out at once."
    )
    return f"{said}{tank if heats else ''} A licensed electrician's work."


def hot_steps(site: Site) -> list[SheetStep]:
    """Elements, thermostats and taps.

    Parameters:
        site: the site
    Returns:
        the elements by themselves, the hot water, and the second tank
    """
    heater = site.water_heater
    if heater is None:
        return []
    elements = [line for each in heater.element for line in _element_lines(site, each)]
    dead = (
        "Every supply of the heater isolated, locked and measured dead: "
        f"{_supplies(site, heater)}. One wire off each element."
    )
    hot = (
        "Keep everybody from the taps until the mixed water is measured. Stand clear of the "
        "relief valve's outlet, which must lead to a safe place. Isolate every supply before a "
        "cover comes off."
    )
    steps = [
        SheetStep("element", "Elements, wires off", dead, tuple(elements)),
        SheetStep("hot_water", "Hot water", hot, tuple(_hot_lines(heater))),
    ]
    second = heater.second_tank
    if second is not None:
        value = near(float(second.thermostat), kinds.TEMPERATURE, THERMOSTAT)
        lines = (
            SheetLine("thermostat opens at", value),
            SheetLine("relief valve", None, "flows when lifted, shuts tight"),
        )
        said = (
            "Its breaker off and locked before a cover comes off; the tank full before it goes "
            "on. Its water may be hotter than that of the modules' tank."
        )
        steps.append(SheetStep("second_tank", "Second heated tank", said, lines))
    return steps


def _supplies(site: Site, heater: WaterHeaterTable) -> str:
    """What feeds the heater's elements, as it is switched off."""
    fed = {each.fed_by for each in heater.element}
    groups = [each.name for each in site.array if each.name in fed]
    named = [f"the isolator of the modules ({each})" for each in groups]
    named += [f"the breaker of the {each}" for each in ("grid", "inverter") if each in fed]
    return ", ".join(named)


def _element_lines(site: Site, element: ElementTable) -> list[SheetLine]:
    power, voltage = plate_of(element)
    ohms = voltage**2 / power
    groups = {each.name for each in site.array}
    text = f"{element.position} element, resistance"
    way = coupling_of(element, ohms) if element.fed_by in groups else None
    if isinstance(way, Switched):
        made = way.resistances(ohms)[:MOST_OHMS]
        return [SheetLine(f"{text} in place {place} of the relays", plate_band(each))
                for place, each in enumerate(made, 1)]  # fmt: skip
    if element.count > 1:
        text += f", {element.count} in {element.wired}"
    return [SheetLine(text, plate_band(ohms))]


def _hot_lines(heater: WaterHeaterTable) -> list[SheetLine]:
    lines = [
        SheetLine(
            f"{each.position} thermostat opens at",
            near(float(each.thermostat), kinds.TEMPERATURE, THERMOSTAT),
        )
        for each in heater.element
        if each.thermostat is not None
    ]
    lines.append(SheetLine("high limit", None, "opens by its test, stays open until reset"))
    if heater.mixing_valve is not None:
        outlet = near(float(heater.mixing_valve.outlet), kinds.TEMPERATURE, MIXED)
        lines.append(SheetLine("mixed water at the nearest tap", outlet))
    lines.append(SheetLine("relief valve", None, "flows when lifted, shuts tight"))
    if heater.expansion_tank_precharge is not None:
        value = near(float(heater.expansion_tank_precharge), kinds.PRESSURE, PSI)
        lines.append(SheetLine("air of the expansion tank, drained", value))
    return lines
