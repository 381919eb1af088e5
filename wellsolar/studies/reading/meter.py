"""What a meter shows at the element through each coupling, and the sun that explains it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import inf

import numpy as np

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.array.sun_from_current import (
    BRIGHTEST_LOOKED_FOR,
    irradiance_from_current,
    irradiance_in_air,
)
from wellsolar.physics.sun import tilted_plane
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Implied
from wellsolar.site.readings.file import Readings
from wellsolar.studies.array.coupling import Direct, Switched
from wellsolar.studies.array.heater_circuit import LIGHT_WIND, HeaterCircuit
from wellsolar.studies.reading.sun import MILD, SunNow
from wellsolar.units import Quantity

SCAN, FINER = 161, 21
"""Suns of 0 to 1600 W/m2 among which a reading is looked for, and those between two of them."""

ROUNDS = 3
"""Times that the place found is looked at more finely: 10 W/m2 over 20 each time."""


@dataclass(frozen=True)
class Meter:
    """What was read at the element.

    key: of the reading; label: of its result; kind: what it shows
    in_the_dark: what it may show with the sun down [A or V]: our choice
    """

    key: str
    label: str
    kind: kinds.Kind
    in_the_dark: float

    @property
    def volts(self) -> bool:
        """True of volts, False of amperes."""
        return self.kind is kinds.VOLTAGE

    def read(
        self, circuit: HeaterCircuit, irradiance: FloatArray, cells: FloatArray
    ) -> FloatArray:
        """What it shows [A or V] at irradiances [W/m2] and cell temperatures [degC]."""
        power = np.maximum(circuit.power(irradiance, cells), 0.0)
        ohms = _resistance_in_force(circuit, irradiance, cells)
        return np.asarray(np.sqrt(power * ohms if self.volts else power / ohms))


AMPERES = Meter("element_amps", "current at the element", kinds.CURRENT, 0.05)
VOLTS = Meter("element_volts", "voltage at the element", kinds.VOLTAGE, 1.0)


def _resistance_in_force(
    circuit: HeaterCircuit, irradiance: FloatArray, cells: FloatArray
) -> FloatArray:
    """Resistance that the array works on [ohm] in each case; only relays change it."""
    coupling = circuit.coupling
    if not isinstance(coupling, Switched):
        return np.full(np.shape(irradiance), circuit.resistance)
    ohms = np.array(coupling.resistances(circuit.resistance))
    if coupling.irradiances is not None:
        limits = np.array(coupling.irradiances)
        return np.asarray(ohms[(irradiance[:, None] < limits[None, :]).sum(axis=1)])
    powers = [
        replace(circuit, resistance=joined, coupling=Direct()).power(irradiance, cells)
        for joined in ohms.tolist()
    ]
    return np.asarray(ohms[np.argmax(np.array(powers), axis=0)])


def implied_sun(
    circuit: HeaterCircuit, meter: Meter, given: Readings, now: SunNow | None, read: Quantity
) -> list[Implied]:
    """The irradiance that explains a reading at the element, with its ends.

    Parameters:
        meter: amperes or volts
        given: the reading, for a measured cell temperature
        now: its sun, for the air; None for mild air
    Returns:
        irradiance and cell temperature; nothing where no sun explains it
    """
    cell = given.values.get("cell_temperature")
    air = MILD if now is None else float(np.median(now.air))

    def warmth(lights: FloatArray) -> FloatArray:
        if cell is not None:
            return np.full(lights.shape, float(cell))
        return np.asarray(tilted_plane.cell_temperature(lights, air, LIGHT_WIND))

    if isinstance(circuit.coupling, Direct):
        volts = None if meter.volts else given.values.get("element_volts")
        find = _through_the_diode(
            circuit, meter, None if cell is None else float(cell), air, volts
        )
    else:
        find = _by_looking(circuit, meter, warmth)
    low, middle, high = (find(shown) for shown in (read.low, float(read), read.high))
    if not middle < BRIGHTEST_LOOKED_FOR:
        return []
    light = Quantity(middle, kinds.IRRADIANCE, low, min(high, BRIGHTEST_LOOKED_FOR))
    cells = Quantity(float(warmth(np.array([middle]))[0]), kinds.TEMPERATURE)
    mild = "68 degF (20 degC)" if now is None else "the site's year at that time"
    by = "by the array's diode, whole and clean, on the element through its cable"
    if not isinstance(circuit.coupling, Direct):
        by = "the least that gives so much through relays or electronics, the array clean"
    why = "as measured" if cell is not None else f"air of {mild} and a light wind"
    return [
        Implied("implied_irradiance", "irradiance that explains it", light, by),
        Implied("implied_cells", "cells at that sun", cells, why),
    ]


def _through_the_diode(
    circuit: HeaterCircuit, meter: Meter, cell: float | None, air: float, volts: float | None
) -> Callable[[float], float]:
    """For a wire alone the sun follows from the array's own equation, at the volts that were read
    with the amperes, else at those of the element's plate."""
    loop = circuit.resistance + circuit.cable_resistance
    array = (circuit.parameters, circuit.series, circuit.parallel)
    ohms = circuit.resistance if meter.volts else 1.0

    def light(value: float) -> float:
        amps = value / ohms
        across = amps * loop if volts is None else volts + amps * circuit.cable_resistance
        if cell is not None:
            return float(irradiance_from_current(*array, amps, across, cell))
        try:
            return irradiance_in_air(*array, amps, across, air, LIGHT_WIND)
        except OutOfRange:
            return inf

    return light


def _by_looking(
    circuit: HeaterCircuit, meter: Meter, warmth: Callable[[FloatArray], FloatArray]
) -> Callable[[float], float]:
    """Through relays or electronics: the least sun at which the meter shows so much."""

    def shown(lights: FloatArray) -> FloatArray:
        return meter.read(circuit, lights, warmth(lights))

    first = np.linspace(0.0, BRIGHTEST_LOOKED_FOR, SCAN)
    of_first = shown(first)

    def light(value: float) -> float:
        lights, values = first, of_first
        for again in range(ROUNDS + 1):
            enough = np.flatnonzero(values >= value)
            if enough.size == 0:
                return inf if again == 0 else float(lights[-1])
            place = int(enough[0])
            if place == 0:
                return float(lights[0])
            if again < ROUNDS:
                lights = np.linspace(lights[place - 1], lights[place], FINER)
                values = shown(lights)
        over, under = values[place] - value, value - values[place - 1]
        share = under / (over + under) if over + under > 0.0 else 1.0
        return float(lights[place - 1] + share * (lights[place] - lights[place - 1]))

    return light
