"""A reading at the element: whether it is right for its sun, and what explains it if not."""

from __future__ import annotations

import numpy as np

from wellsolar import kinds
from wellsolar.physics.sun import sun
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Band, Cause, Implied, ReadingResult
from wellsolar.site.readings.file import Readings
from wellsolar.studies.array.coupling import Switched
from wellsolar.studies.array.heater_circuit import LIGHT_WIND, HeaterCircuit
from wellsolar.studies.reading.causes import is_off
from wellsolar.studies.reading.current import AMPERES, VOLTS, Meter, implied_sun
from wellsolar.studies.reading.element import LABELS, read_resistance
from wellsolar.studies.reading.faults import Reckoned, causes_of, missing_modules
from wellsolar.studies.reading.sun import (
    ArrayAtReading,
    SunNow,
    array_at_reading,
    sun_now,
    taken_words,
)
from wellsolar.units import Quantity

METER = 0.03
"""How far modules and a sun meter may be off together [-]; our choice after IEC tolerances."""

IN_THE_DARK = {False: 0.05, True: 1.0}
"""What a meter may show with the sun down, amperes and volts: our choice."""

SUN_KEYS = ("site.latitude", "sun.monthly")
"""What the file lacks where the sun of a time is not known."""

__all__ = ["ArrayAtReading", "array_at_reading", "read_array"]


def read_array(at: ArrayAtReading, given: Readings) -> list[ReadingResult]:
    """What readings at the element say.

    Parameters:
        at: the array with its element
        given: readings of one time
    Returns:
        a result for amperes, volts, and both together
    """
    amps, volts = given.values.get("element_amps"), given.values.get("element_volts")
    found = []
    if amps is not None and volts is not None and float(amps) > 0.0:
        found.append(read_resistance(at.circuit, at.on.element, at.on.group.name, amps, volts))
    if amps is not None:
        found.append(_reading(at, given, amps, AMPERES))
    elif volts is not None:
        found.append(_reading(at, given, volts, VOLTS))
    return found


def _reading(at: ArrayAtReading, given: Readings, read: Quantity, meter: Meter) -> ReadingResult:
    now, kind = sun_now(at, given), read.kind
    expected: Band | None = None
    causes: tuple[Cause, ...] = ()
    if now is not None:
        shown = meter.read(at.circuit, now.irradiance, now.cells)
        value = _spread(shown, kind, "irradiance" in given.values)
        if now.down:
            value = Quantity(0.0, kind, 0.0, IN_THE_DARK[meter.volts])
        expected = Band(value, now.rests_on, _most(at, now, meter, value))
        if is_off(read, value):
            causes = causes_of(at.circuit, meter, given, now, read, value)
    implied = implied_sun(at.circuit, meter, given, now, read)
    if now is not None and any("missing" in each.text for each in causes):
        gone = missing_modules(Reckoned(at.circuit, meter, now), read)
        why = "if nothing else is wrong, in that sun"
        label = "modules missing from the string"
        implied += () if gone is None else (Implied("implied_missing", label, gone, why),)
    told = at.plane is not None
    return ReadingResult(
        "element_volts" if meter.volts else "element_amps",
        LABELS[meter.volts],
        at.on.group.name,
        ", ".join(filter(None, (taken_words(given), given.sky))),
        read,
        expected,
        implied + _power(at.circuit, given, read, meter),
        causes,
        needs=() if now is not None or told else SUN_KEYS,
        why="" if now is not None else _unknown_sun(told),
    )


def _unknown_sun(told: bool) -> str:
    """What is said where the sun of a reading is not known."""
    if told:
        return "give the sky, the time of day or the irradiance with the reading"
    return "its sun is not known; give the irradiance too, else"


def _most(at: ArrayAtReading, now: SunNow, meter: Meter, value: Quantity) -> Quantity | None:
    """What it would show under a clear sky."""
    if now.clear is None or now.down:
        return None
    light = np.array([now.clear])
    cells = np.asarray(sun.cell_temperature(light, now.air.max(), LIGHT_WIND))
    return Quantity(max(float(meter.read(at.circuit, light, cells)[0]), value.high), value.kind)


def _power(
    circuit: HeaterCircuit, given: Readings, read: Quantity, meter: Meter
) -> tuple[Implied, ...]:
    """Power at the element: by both readings, else by one and the plate where that stays."""
    volts = given.values.get("element_volts")
    if not meter.volts and volts is not None:
        ends = (read.low * volts.low, read.high * volts.high)
        power = Quantity(float(read) * float(volts), kinds.POWER, *ends)
        return (Implied("implied_power", "power at the element", power, "volts by amperes"),)
    if isinstance(circuit.coupling, Switched):
        return ()
    ohms = 1.0 / circuit.resistance if meter.volts else circuit.resistance
    low, middle, high = (ohms * float(each) ** 2 for each in (read.low, read, read.high))
    power = Quantity(middle, kinds.POWER, low, high)
    return (Implied("implied_power", "power at the element", power, "by its plate's resistance"),)


def _spread(values: FloatArray, kind: kinds.Kind, measured: bool) -> Quantity:
    """The 10th to the 90th of a hundred cases about the middle; all of few, with the meter's
    tolerance, where the sun was measured."""
    if measured:
        low, high = float(values.min()) * (1 - METER), float(values.max()) * (1 + METER)
        return Quantity(float(np.median(values)), kind, low, high)
    low, middle, high = (float(each) for each in np.percentile(values, [10.0, 50.0, 90.0]))
    return Quantity(middle, kind, low, high)
