"""The commissioning sheet: readings in the order they are taken, with what each should be."""

from __future__ import annotations

import numpy as np

from wellsolar import kinds
from wellsolar.physics import pressure_tank, resistive
from wellsolar.results import Results
from wellsolar.results.readings import SheetLine, SheetResult, SheetStep
from wellsolar.site.read import SiteFile
from wellsolar.site.readings_file import Readings
from wellsolar.site.schema import Site
from wellsolar.studies.pumps import pump_on_well
from wellsolar.studies.reading_array import array_at_reading, sun_now
from wellsolar.studies.reading_faults import current_of
from wellsolar.studies.reading_pump import SLACK, expected_fill
from wellsolar.studies.starting import current_of as pump_current
from wellsolar.units import Quantity, System

GAUGE = 6_895.0
"""How near a precharge is set by a tyre gauge, 1 psi [Pa]: common practice, no source."""

AMPS = 0.1
"""How far a pump's current may lie from its sheet's [-]: common practice, no source."""


def study_sheet(file: SiteFile, system: System | None = None) -> Results:
    """The sheet of a site.

    Parameters:
        file: a site file that was read
        system: units to print in; None for the file's own
    Returns:
        results that hold only the sheet
    """
    site = file.site
    steps = [_tank(site), _well(site), *_pumps(site), *_array(file), *_hot(site), _night(site)]
    return Results(
        file=file.path,
        site_name=site.site.name,
        site_note=site.site.note,
        system=system or site.site.print_units,
        pumps=(),
        supply=(),
        pressure_tank=None,
        hand_pump=None,
        heated_tank=None,
        verdicts=(),
        assumptions=(),
        cautions=_cautions(site),
        sheet=SheetResult(tuple(each for each in steps if each.lines)),
    )


def _cautions(site: Site) -> tuple[str, ...]:
    there = {
        "direct current": bool(site.array),
        "mains": bool(site.pump),
        "pressure": site.pressure_tank is not None or site.water_heater is not None,
        "scald": site.water_heater is not None,
    }
    return tuple(key for key, told in there.items() if told)


def _band(kind: kinds.Kind, values: list[float], slack: float = 0.0) -> Quantity:
    low, high = min(values) * (1 - slack), max(values) * (1 + slack)
    return Quantity((low + high) / 2, kind, low, high)


def _tank(site: Site) -> SheetStep:
    lines = []
    switch, tank = site.pressure_switch, site.pressure_tank
    if tank is not None and switch is not None:
        best = float(pressure_tank.recommended_precharge(float(switch.cut_in)))
        value = Quantity(best, kinds.PRESSURE, best - GAUGE, best + GAUGE)
        lines.append(SheetLine("precharge, tank drained", value))
    before = "Pump off at its breaker and locked. Drain the tank until the gauge shows nothing."
    return SheetStep("tank", "Pressure tank, drained", before, tuple(lines))


def _well(site: Site) -> SheetStep:
    level = site.well.static_level
    value = Quantity(float(level), kinds.LENGTH, level.low, level.high)
    before = "All pumps off since some hours. Clean and disinfect what goes into the well."
    return SheetStep("well", "Water at rest", before, (SheetLine("static level", value),))


def _pumps(site: Site) -> list[SheetStep]:
    steps = []
    switch = site.pressure_switch
    for index, table in enumerate(site.pump, 1):
        on_well = pump_on_well(site, table, f"pump[{index}]")
        pressures = [0.0] if switch is None else [float(switch.cut_in), float(switch.cut_out)]
        duties = [on_well.duty("sheet", each) for each in pressures]
        lines = []
        if switch is not None:
            for label, value in (("cut-in", switch.cut_in), ("cut-out", switch.cut_out)):
                ends = (float(value) - 2 * GAUGE, float(value) + 2 * GAUGE)
                lines.append(
                    SheetLine(
                        f"{label} by the gauge", Quantity(float(value), kinds.PRESSURE, *ends)
                    )
                )
        if on_well.table.voltage is not None:
            amps = [pump_current(on_well.table, each.input_power) for each in duties]
            lines.append(SheetLine("running current", _band(kinds.CURRENT, amps, AMPS)))
        fill = expected_fill(site, on_well)
        if fill is not None:
            lines.append(SheetLine("cut-in to cut-out, no tap open", fill))
        flows = [each.flow for each in duties]
        if min(flows) > 0.0:
            lines.append(SheetLine("flow by bucket", _band(kinds.FLOW, flows, SLACK)))
        if on_well.level.known:
            levels = [each.pumping_level for each in duties]
            lines.append(
                SheetLine(
                    "level after 30 min of pumping, at the deepest",
                    _band(kinds.LENGTH, [float(site.well.static_level), *levels]),
                )
            )
        before = (
            "Ground resistance and connections: the electrician's readings, before the first "
            "start. Only one pump switched on. Break the circuit at once if it draws no water."
        )
        steps.append(SheetStep(f"pump_{index}", table.name, before, tuple(lines)))
    return steps  # fmt: skip


def _array(file: SiteFile) -> list[SheetStep]:
    at = array_at_reading(file)
    if at is None:
        return []
    # Cells from the record low or a winter's morning to a hot noon.
    coldest = file.site.sun.record_low
    temperatures = (65.0, 0.0 if coldest is None else float(coldest))
    volts = [
        float(resistive.open_circuit_voltage(at.circuit.array(light, cells)))
        for light, cells in zip((300.0, 1000.0), temperatures, strict=True)
    ]
    lines = [
        SheetLine("open-circuit voltage before connecting", _band(kinds.VOLTAGE, volts)),
        SheetLine("polarity at the isolator", None, "plus on plus"),
    ]
    now = sun_now(at, Readings("sheet", {}, sky="clear", hour=12.0))
    if now is not None:
        amps = [float(each) for each in np.percentile(current_of(at.circuit, now), [10, 90])]
        text = "current at the element, clear noon of any month"
        lines.append(SheetLine(text, _band(kinds.CURRENT, amps)))
    before = (
        "Isolator open and locked, modules covered where terminals are touched: they give full "
        "voltage in any light. The tank is full of water before the isolator is closed."
    )
    return [SheetStep("array", f"Modules: {at.on.group.name}", before, tuple(lines))]


def _hot(site: Site) -> list[SheetStep]:
    heater = site.water_heater
    if heater is None:
        return []
    lines = []
    for element in heater.element:
        if element.thermostat is not None:
            value = float(element.thermostat)
            text = f"{element.position} thermostat opens at"
            lines.append(SheetLine(text, _degrees(value, 5.0)))
    words = "opens by its test, stays open until reset"
    lines.append(SheetLine("high limit", None, words))
    if heater.mixing_valve is not None:
        outlet = float(heater.mixing_valve.outlet)
        lines.append(SheetLine("mixed water at the nearest tap", _degrees(outlet, 3.0)))
    lines.append(SheetLine("relief valve", None, "flows when lifted, shuts tight"))
    before = (
        "Keep everybody from the taps until the mixed water is measured. Stand clear of the "
        "relief valve's outlet. Isolate both supplies before a cover comes off."
    )
    return [SheetStep("hot_water", "Hot water", before, tuple(lines))]


def _degrees(value: float, off: float) -> Quantity:
    return Quantity(value, kinds.TEMPERATURE, value - off, value + off)


def _night(site: Site) -> SheetStep:
    lines: tuple[SheetLine, ...] = ()
    if site.pressure_tank is not None:
        value = Quantity(0.0, kinds.PRESSURE_LOSS, 0.0, 2 * GAUGE)
        lines = (SheetLine("pressure lost overnight", value),)
    before = "Pumps off, every tap and the house valve shut; note the hour and the gauge."
    return SheetStep("night", "Overnight", before, lines)
