"""Why a reading at the element is off: each way to be wrong is computed under the same sun."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from wellsolar import kinds
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Cause
from wellsolar.site.readings.file import Readings
from wellsolar.studies.array.coupling import Direct, Switched, Tracking
from wellsolar.studies.array.heater_circuit import HeaterCircuit
from wellsolar.studies.reading.causes import Candidate, ranked
from wellsolar.studies.reading.current import Meter
from wellsolar.studies.reading.sun import SunNow
from wellsolar.units import Quantity

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

MOST_BYPASSED = 12
"""Modules of one string that are tried as missing or bypassed; our choice."""


@dataclass(frozen=True)
class Reckoned:
    """What the meter shows under a reading's sun, of this circuit or one that is wrong."""

    circuit: HeaterCircuit
    meter: Meter
    now: SunNow

    def of(self, other: HeaterCircuit, dim: float = 1.0, warm: float = 0.0) -> FloatArray:
        """Each case, with the sun dimmer by a factor and the cells warmer by [K]."""
        return self.meter.read(other, self.now.irradiance * dim, self.now.cells + warm)


def other_plates(of: Callable[[float], FloatArray], plate: float) -> list[Candidate]:
    """Elements that may be there in place of the file's.

    Parameters:
        of: what would be read with another resistance [ohm]
        plate: resistance of the file's [ohm]
    Returns:
        the candidates
    """
    found = [
        Candidate(f"an element of {watts} W, {volts} V in place of the file's",
                  of(volts**2 / watts), 0.05)
        for watts, volts in PLATES
        if abs(volts**2 / watts / plate - 1.0) > 0.1
    ]  # fmt: skip
    found.append(Candidate("two such elements wired in series", of(2.0 * plate), 0.05))
    found.append(Candidate("two such elements wired in parallel", of(plate / 2.0), 0.05))
    return found


def causes_of(
    circuit: HeaterCircuit,
    meter: Meter,
    given: Readings,
    now: SunNow,
    read: Quantity,
    expected: Quantity,
) -> tuple[Cause, ...]:
    """Why a reading is off: each way to be wrong is computed under the same sun.

    Parameters:
        circuit: of array and element
        meter: amperes or volts
        given: what else was read at that time
        now: the sun
        read: the reading
        expected: its band
    Returns:
        the two likeliest
    """
    if now.down:
        return (
            Cause("another time or month than was written, or a clock that is off", None, 0.6),
            Cause("another supply than the modules on that element", None, 0.3),
        )
    low = float(read) < float(expected)
    if low and read.high < NO_CURRENT * float(expected):
        return (
            Cause(
                "the thermostat has opened, or the high limit tripped: feel the tank", None, 0.5
            ),
            Cause("an isolator, fuse or connector is open in the string", None, 0.3),
        )
    case = Reckoned(circuit, meter, now)
    tried = _of_modules(case, low) + _of_sun(case, given, low) + _of_coupling(case, low)
    measured = _measured_ohms(given)
    if measured is not None and not _element_fits(circuit, measured):
        text = "an element that is not that of the file, as its volts over its amperes say"
        there = _with(circuit, measured)
        if isinstance(circuit.coupling, Switched):
            there = replace(there, coupling=Direct())
        tried.append(Candidate(text, case.of(there), 3.0))
    elif measured is None:
        tried += other_plates(lambda ohms: case.of(_with(circuit, ohms)), circuit.resistance)
    if low:
        loose = [replace(circuit, cable_resistance=circuit.cable_resistance + each)
                 for each in (1.0, 4.0)]  # fmt: skip
        text = "a loose or corroded joint, or wire too thin: feel for warm joints"
        tried.append(Candidate(text, np.concatenate([case.of(each) for each in loose]), 0.2))
    return ranked(read, tried)


def _measured_ohms(given: Readings) -> float | None:
    """Volts over amperes, where both were read."""
    volts, amps = given.values.get("element_volts"), given.values.get("element_amps")
    if volts is None or amps is None or float(amps) <= 0.0 or float(volts) <= 0.0:
        return None
    return float(volts) / float(amps)


def _element_fits(circuit: HeaterCircuit, measured: float) -> bool:
    """True where a measured resistance clears the element of any part in it."""
    ohms: tuple[float, ...] = (circuit.resistance,)
    if isinstance(circuit.coupling, Switched):
        ohms = circuit.coupling.resistances(circuit.resistance)
    return any(abs(measured / each - 1.0) < PLATE_FITS for each in ohms)


def _with(circuit: HeaterCircuit, ohms: float) -> HeaterCircuit:
    return replace(circuit, resistance=ohms)


def _of_modules(case: Reckoned, low: bool) -> list[Candidate]:
    series, parallel = case.circuit.series, case.circuit.parallel
    if not low:
        text = "a module more in series than the file says"
        return [Candidate(text, case.of(replace(case.circuit, series=series + 1)), 0.3)]
    tried = []
    strings = "the string" if parallel == 1 else f"each of {parallel} strings"
    fewest = max(1, series - MOST_BYPASSED)
    shown = {
        count: case.of(replace(case.circuit, series=count)) for count in range(fewest, series + 1)
    }
    for gone in range(1, series - fewest + 1):
        what = "1 module" if gone == 1 else f"{gone} modules"
        diodes = "its diodes" if gone == 1 else "their diodes"
        text = f"{what} of {series} missing from {strings}, or bypassed by {diodes}"
        left = replace(case.circuit, series=series - gone)
        alike = shown[series - gone]
        # A diode bypasses a third of a module: as much more or less still counts for so many.
        fewer = shown.get(series - gone - 1, np.zeros_like(alike))
        thirds = [(2.0 * alike + other) / 3.0 for other in (shown[series - gone + 1], fewer)]
        values = np.concatenate([alike, case.of(left, DIRTY, WARM), *thirds])
        tried.append(Candidate(text, values, 1.0 / gone, "missing"))
    for gone in range(1, parallel):
        what = "a string" if gone == 1 else f"{gone} strings"
        text = f"{what} of {parallel} open: fuse, connector or isolator"
        fewer = case.of(replace(case.circuit, parallel=parallel - gone))
        tried.append(Candidate(text, fewer, 1.0, "strings"))
    return tried


def missing_modules(case: Reckoned, read: Quantity) -> Quantity | None:
    """Modules that would have to be missing from the string for a reading.

    Parameters:
        case: the circuit under the reading's sun
        read: the reading
    Returns:
        how many, with the ends of the reading; None where the string has one module, or where as
        many more would not lower the reading
    """
    series = case.circuit.series
    fewest = max(1, series - MOST_BYPASSED)
    counts = np.arange(fewest, series + 1)
    shown = np.array(
        [float(np.median(case.of(replace(case.circuit, series=int(each))))) for each in counts]
    )
    if series == 1 or (np.diff(shown) <= 0.0).any() or not shown[0] <= float(read) <= shown[-1]:
        return None
    gone = [series - float(np.interp(each, shown, counts)) for each in (read.high, read, read.low)]
    return Quantity(gone[1], kinds.RATIO, gone[0], gone[2])


def _of_sun(case: Reckoned, given: Readings, low: bool) -> list[Candidate]:
    measured, circuit = "irradiance" in given.values, case.circuit
    if not low:
        cool = Candidate(
            "cells cooler than thought: a strong wind", case.of(circuit, 1.0, -15.0), 0.5
        )
        bright = [case.of(circuit, 1.05), case.of(circuit, 1.3)]
        text = "sun brighter than that sky's: cloud edges or snow"
        if measured:
            text = "a sun meter that was not held in the plane of the modules, or is dirty"
        return [Candidate(text, np.concatenate(bright), 0.8), cool]
    dim = [case.of(circuit, share, warm) for share in (0.1, 0.3, 0.55, 0.75, 0.95)
           for warm in (0.0, 20.0)]  # fmt: skip
    tried = [Candidate("a string that is shaded, dirty or hotter than thought",
                       np.concatenate(dim), 1.0)]  # fmt: skip
    if not measured:
        weight = 0.1 if given.sky else 1.0
        text = "less sun than that time and sky bring: haze, cloud or a later hour"
        less = [case.of(circuit, 0.5), case.of(circuit, 0.8)]
        tried.append(Candidate(text, np.concatenate(less), weight))
    return tried


def _of_coupling(case: Reckoned, low: bool) -> list[Candidate]:
    """Relays that stand in another place, and electronics that do not follow."""
    circuit = case.circuit
    if isinstance(circuit.coupling, Tracking):
        if not low:
            return []
        text = "electronics that hold back: too hot, at their limit, or not at the best voltage"
        usual = case.of(circuit)
        return [Candidate(text, np.concatenate([usual * 0.5, usual * 0.9]), 0.7)]
    if not isinstance(circuit.coupling, Switched):
        return []
    stuck = [
        case.of(replace(circuit, resistance=ohms, coupling=Direct()))
        for ohms in circuit.coupling.resistances(circuit.resistance)
    ]
    text = "a relay that sticks, so that the elements are not joined as the sun asks"
    return [Candidate(text, each, 0.8, "relays") for each in stuck]
