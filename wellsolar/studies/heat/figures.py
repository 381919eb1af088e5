"""The series that the heated tank's figures show: curves of its array, temperatures of a day."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from wellsolar.physics.array import resistive
from wellsolar.physics.sun.year import HourlyYear
from wellsolar.results.figures import ArrayCurve, FigureData, LoadLine, TankDay
from wellsolar.results.heat import HeatedTankResult
from wellsolar.site.schema import Site
from wellsolar.studies.array.coupling import Direct, Switched
from wellsolar.studies.array.heater_circuit import HeaterCircuit, element_on_array
from wellsolar.studies.heat.days import tank_in_sun
from wellsolar.studies.heat.tank import circuit_in_tank, work_of
from wellsolar.studies.sun.module_sheet import parameters_of

CURVE_POINTS = 33
"""Points of an array's curve."""

BEYOND = 1.05
"""Voltage to which an element's line is drawn, over the greatest open-circuit voltage."""

SOLSTICES = {"winter": 12, "summer": 6}
"""Months of the year's shortest and longest day north of the equator."""

KINDS_OF_DAY = ("clear", "typical", "poor")


def with_heat(
    data: FigureData, site: Site, year: HourlyYear | None, heated: HeatedTankResult
) -> FigureData:
    """The series with those of a tank that modules heat."""
    assert site.water_heater is not None
    circuit, limit = _circuit(site), site.water_heater.high_limit
    return replace(
        data,
        array=heated.array,
        array_curves=_array_curves(circuit, heated),
        loads=_loads(circuit, heated),
        tank_days=_tank_days(site, year, circuit),
        high_limit=None if limit is None else float(limit),
    )


def _circuit(site: Site) -> HeaterCircuit:
    """The array on its element, as the tank's study has it."""
    on = element_on_array(site)
    assert on is not None
    assert site.module is not None
    return circuit_in_tank(site, on, parameters_of(site.module))


def _array_curves(circuit: HeaterCircuit, heated: HeatedTankResult) -> tuple[ArrayCurve, ...]:
    """Curves at the sun of the working points, with cells as warm as there."""
    curves = []
    for point in heated.working_points:
        diode = circuit.array(point.irradiance, point.cell_temperature)
        open_voltage = float(resistive.open_circuit_voltage(diode))
        # Close together where the current bends down.
        voltages = open_voltage * np.sin(np.linspace(0.0, np.pi / 2, CURVE_POINTS))
        currents = np.maximum(0.0, resistive.current_at_voltage(diode, voltages))
        best = resistive.maximum_power_point(diode)
        at = circuit.at(point.irradiance, point.cell_temperature)
        curves.append(
            ArrayCurve(
                point.irradiance,
                point.cell_temperature,
                tuple(voltages.tolist()),
                tuple(currents.tolist()),
                float(best.voltage),
                float(best.current),
                at.array_voltage,
                at.array_current,
            )
        )
    return tuple(curves)


def _loads(circuit: HeaterCircuit, heated: HeatedTankResult) -> tuple[LoadLine, ...]:
    """Lines of what the array sees: the element and its cable, or each that relays can make."""
    if isinstance(circuit.coupling, Switched):
        elements = circuit.coupling.resistances(circuit.resistance)
    elif isinstance(circuit.coupling, Direct):
        elements = (circuit.resistance,)
    else:
        return ()
    brightest = heated.working_points[-1]
    diode = circuit.array(brightest.irradiance, brightest.cell_temperature)
    greatest = BEYOND * float(resistive.open_circuit_voltage(diode))
    most = BEYOND * float(resistive.short_circuit_current(diode))
    lines = []
    for element in elements:
        resistance = element + circuit.cable_resistance
        end = min(greatest, most * resistance)
        lines.append(LoadLine(resistance, (0.0, end), (0.0, end / resistance)))
    return tuple(lines)


def _tank_days(site: Site, year: HourlyYear | None, circuit: HeaterCircuit) -> tuple[TankDay, ...]:
    """The tank through the days of the two solstice months, as the tank's study runs them."""
    on, heater = element_on_array(site), site.water_heater
    if site.site.latitude is None or on is None or heater is None:
        return ()
    work = work_of(site, heater, on.element)
    in_sun = tank_in_sun(site, year, work, on, circuit)
    tank_days = []
    for season, northern in SOLSTICES.items():
        month = northern if site.site.latitude >= 0 else (northern + 5) % 12 + 1
        days = in_sun.days[month - 1]
        for kind in KINDS_OF_DAY:
            if kind not in days:
                continue
            run = work.run(days[kind].through(circuit), work.inlet)
            tank_days.append(
                TankDay(
                    season,
                    month,
                    kind,
                    (0.0, *run.times.tolist()),
                    (work.inlet, *run.mean_temperature.tolist()),
                )
            )
    return tuple(tank_days)
