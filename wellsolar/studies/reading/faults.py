"""Why a reading at the element is off: each way to be wrong is computed under the same sun."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from wellsolar import kinds
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Cause
from wellsolar.site.readings.file import Readings
from wellsolar.studies.array.coupling import Direct, Switched, Tracking
from wellsolar.studies.array.heater_circuit import HeaterCircuit
from wellsolar.studies.reading.meter import Meter
from wellsolar.studies.reading.reading import ELEMENT, JOINT, Candidate, fixed
from wellsolar.studies.reading.sun import SunNow
from wellsolar.units import Quantity

MADE_DEAD = (
    "isolator open and locked, electronics left until their capacitors are empty, no voltage by a "
    "meter rated for it; only then look and measure"
)
"""What comes before a hand at a direct-current circuit: modules give their full voltage in any
light, and a joint that is warm is live. Common practice, no source."""

GUARD_OPEN = "the thermostat has opened, or the high limit tripped"

NO_CURRENT = 0.05
"""Share of what is expected below which the circuit is taken to be open [-]; our choice."""

PLATE_FITS = 0.12
"""How far a resistance may lie from its plate to clear the element [-], as its power may."""

PLATES = (
    *((watts, 240) for watts in (1500, 2000, 2500, 3000, 3500, 3800, 4500, 5500)),
    (1500, 120),
    (2000, 120),
    (4500, 208),
    (3000, 230),
)
"""Usual plates of heating elements, W and V: common practice, no source."""

DIRTY, WARM = 0.9, 15.0
"""Sun [-] and warmth [K] by which modules that are left may be worse than thought: our choice."""

DIM = 4.0
"""How usual dirt and shade are beside a string that is open [-]: our choice."""

MISSING = (1.0, 0.3)
"""How usual it is that a module is missing from a string, and from each of several [-]: our
choice."""

MOST_BYPASSED = 12
"""Modules of one string that are tried as missing or bypassed; our choice."""


@dataclass(frozen=True)
class CircuitInSun:
    """What the meter shows under a reading's sun, of this circuit or one that is wrong."""

    circuit: HeaterCircuit
    meter: Meter
    now: SunNow

    def shown(self, other: HeaterCircuit, dim: float = 1.0, warm: float = 0.0) -> FloatArray:
        """Each case, with the sun dimmer by a factor and the cells warmer by [K]."""
        return self.meter.read(other, self.now.irradiance * dim, self.now.cells + warm)


def other_plates(shown: Callable[[float], FloatArray], plate: float) -> list[Candidate]:
    """Elements that may be there in place of the file's.

    Parameters:
        shown: what would be read with another resistance [ohm]
    """
    others = [
        Candidate(f"an element of {watts} W, {volts} V in place of the file's",
                  shown(volts**2 / watts), 0.1, of=(ELEMENT,))
        for watts, volts in PLATES
        if abs(volts**2 / watts / plate - 1.0) > 0.1
    ]  # fmt: skip
    for text, ohms in (
        ("two such elements wired in series", 2.0 * plate),
        ("two such elements wired in parallel", plate / 2.0),
    ):
        others.append(Candidate(text, shown(ohms), 0.1, of=(ELEMENT,)))
    return others


def causes_of(
    case: CircuitInSun, given: Readings, read: Quantity, expected: Quantity
) -> Sequence[Candidate] | tuple[Cause, ...]:
    """Why a reading is off: each way to be wrong is computed under the same sun.

    Parameters:
        case: array and element, the meter and the sun
        given: what else was read at that time
    Returns:
        ways to be weighed; the likeliest causes where nothing flows
    """
    if case.now.down:
        return fixed(
            ("another time or month than was written, or a clock that is off", 0.6),
            ("another supply than the modules on that element", 0.3),
        )
    low = read < expected
    if low and read.high < NO_CURRENT * (expected.low + expected.high) / 2.0:
        return fixed(
            (f"{GUARD_OPEN}: read the tank's warmth at a tap, all covers on", 0.5),
            (f"an isolator, fuse or connector open in the string: {MADE_DEAD}", 0.3),
        )
    return ways_to_be_wrong(case, given, low)


def ways_to_be_wrong(case: CircuitInSun, given: Readings, low: bool) -> list[Candidate]:
    """Each way in which a circuit under a sun may give too little, or too much.

    Parameters:
        low: True where too little was read
    """
    candidates = _of_modules(case, low) + _of_sun(case, given, low) + _of_coupling(case, low)
    candidates += _of_element(case, given)
    if low:
        wires = case.circuit.cable_resistance
        loose = [replace(case.circuit, cable_resistance=wires + more) for more in (1.0, 4.0)]
        text = f"a loose or corroded joint, or wire too thin: {MADE_DEAD}, joint by joint"
        values = np.concatenate([case.shown(circuit) for circuit in loose])
        candidates.append(Candidate(text, values, 0.2, of=(JOINT,)))
    return candidates


def _of_element(case: CircuitInSun, given: Readings) -> list[Candidate]:
    """Another element than the file's: as volts over amperes say, or any usual one."""
    circuit, measured = case.circuit, _measured_ohms(given)
    if measured is None:
        return other_plates(
            lambda ohms: case.shown(replace(circuit, resistance=ohms)), circuit.resistance
        )
    if _element_fits(circuit, measured):
        return []
    text = "an element that is not that of the file, as its volts over its amperes say"
    there = replace(circuit, resistance=measured)
    if isinstance(circuit.coupling, Switched):
        there = replace(there, coupling=Direct())
    return [Candidate(text, case.shown(there), 3.0, of=(ELEMENT,))]


def _measured_ohms(given: Readings) -> float | None:
    """Volts over amperes, where both were read."""
    volts, amps = given.values.get("element_volts"), given.values.get("element_amps")
    if volts is None or amps is None or amps <= 0.0 or volts <= 0.0:
        return None
    return volts / amps


def _element_fits(circuit: HeaterCircuit, measured: float) -> bool:
    """True where a measured resistance clears the element of any part in it."""
    ohms: tuple[float, ...] = (circuit.resistance,)
    if isinstance(circuit.coupling, Switched):
        ohms = circuit.coupling.resistances(circuit.resistance)
    return any(abs(measured / joined - 1.0) < PLATE_FITS for joined in ohms)


def _of_modules(case: CircuitInSun, low: bool) -> list[Candidate]:
    """Modules or strings that are missing; one too many where more is read."""
    series, parallel = case.circuit.series, case.circuit.parallel
    if not low:
        text = "a module more in series than the file says"
        return [Candidate(text, case.shown(replace(case.circuit, series=series + 1)), 0.3)]
    candidates = []
    strings = "the string" if parallel == 1 else f"each of {parallel} strings"
    fewest = max(1, series - MOST_BYPASSED)
    by_count = {
        count: case.shown(replace(case.circuit, series=count))
        for count in range(fewest, series + 1)
    }
    for gone in range(1, series - fewest + 1):
        what = "1 module" if gone == 1 else f"{gone} modules"
        diodes = "its diodes" if gone == 1 else "their diodes"
        text = f"{what} of {series} missing from {strings}, or bypassed by {diodes}"
        left = replace(case.circuit, series=series - gone)
        alike = by_count[series - gone]
        # A diode bypasses a third of a module: as much more or less still counts for so many.
        fewer = by_count.get(series - gone - 1, np.zeros_like(alike))
        thirds = [(2.0 * alike + other) / 3.0 for other in (by_count[series - gone + 1], fewer)]
        values = np.concatenate([alike, case.shown(left, DIRTY, WARM), *thirds])
        candidates.append(Candidate(text, values, MISSING[parallel > 1] / gone, "missing"))
    for gone in range(1, parallel):
        what = "a string" if gone == 1 else f"{gone} strings"
        text = f"{what} of {parallel} open, at a fuse, connector or isolator: {MADE_DEAD}"
        fewer = case.shown(replace(case.circuit, parallel=parallel - gone))
        candidates.append(Candidate(text, fewer, 1.0, "strings"))
    return candidates


def missing_modules(case: CircuitInSun, read: Quantity) -> Quantity | None:
    """Modules that would have to be missing from the string for a reading: how many, with the ends
    of the reading; None where the string has one module, or where as many more would not lower the
    reading."""
    series = case.circuit.series
    fewest = max(1, series - MOST_BYPASSED)
    counts = np.arange(fewest, series + 1)
    shown = np.array(
        [np.median(case.shown(replace(case.circuit, series=count))) for count in counts.tolist()]
    )
    if series == 1 or (np.diff(shown) <= 0.0).any() or not shown[0] <= read <= shown[-1]:
        return None
    left = np.interp([read.high, read, read.low], shown, counts)
    least, middle, most = (series - left).tolist()
    return Quantity(middle, kinds.RATIO, least, most)


def _of_sun(case: CircuitInSun, given: Readings, low: bool) -> list[Candidate]:
    """Another sun than was thought, or modules that see less of it."""
    measured, circuit = "irradiance" in given.values, case.circuit
    if not low:
        cool = Candidate(
            "cells cooler than thought: a strong wind", case.shown(circuit, 1.0, -15.0), 0.5
        )
        bright = [case.shown(circuit, 1.05), case.shown(circuit, 1.3)]
        text = "sun brighter than that sky's: cloud edges or snow"
        if measured:
            text = "a sun meter that was not held in the plane of the modules, or is dirty"
        return [Candidate(text, np.concatenate(bright), 0.8), cool]
    dim = [case.shown(circuit, share, warm) for share in (0.1, 0.3, 0.55, 0.75, 0.95)
           for warm in (0.0, 20.0)]  # fmt: skip
    text = "a string that is shaded, dirty or hotter than thought"
    candidates = [Candidate(text, np.concatenate(dim), DIM)]
    if not measured:
        weight = 0.1 if given.sky else 1.0
        text = "less sun than that time and sky bring: haze, cloud or a later hour"
        less = [case.shown(circuit, 0.5), case.shown(circuit, 0.8)]
        candidates.append(Candidate(text, np.concatenate(less), weight))
    return candidates


def _of_coupling(case: CircuitInSun, low: bool) -> list[Candidate]:
    """Relays that stand in another place, and electronics that do not follow."""
    circuit = case.circuit
    if isinstance(circuit.coupling, Tracking):
        if not low:
            return []
        text = "electronics that hold back: too hot, at their limit, or not at the best voltage"
        usual = case.shown(circuit)
        return [Candidate(text, np.concatenate([usual * 0.5, usual * 0.9]), 0.7)]
    if not isinstance(circuit.coupling, Switched):
        return []
    stuck = [
        case.shown(replace(circuit, resistance=ohms, coupling=Direct()))
        for ohms in circuit.coupling.resistances(circuit.resistance)
    ]
    text = "a relay that sticks, so that the elements are not joined as the sun asks"
    return [Candidate(text, values, 0.8, "relays") for values in stuck]
