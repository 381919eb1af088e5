"""Why a reading at the element is off: each way to be wrong is computed under the same sun."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from wellsolar import kinds
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Cause
from wellsolar.site.readings_file import Readings
from wellsolar.studies.pv_heater import HeaterCircuit
from wellsolar.studies.reading_causes import Candidate, ranked
from wellsolar.units import Quantity

NO_CURRENT = 0.05
"""Share of what is expected below which the circuit is taken to be open [-]; our choice."""

PLATES = ((1500, 240), (2000, 240), (2500, 240), (3000, 240), (3500, 240), (3800, 240),
          (5500, 240), (1500, 120), (2000, 120), (4500, 208))  # fmt: skip
"""Usual plates of heating elements, W and V: common practice, no source."""


@dataclass(frozen=True, eq=False)
class SunNow:
    """The sun that a reading may have had; each an array of cases.

    irradiance: on the plane [W/m2]; cells, air: [degC]
    clear: under a clear sky [W/m2]; None where the sun was measured
    """

    irradiance: FloatArray
    cells: FloatArray
    air: FloatArray
    clear: float | None
    rests_on: str


def current_of(circuit: HeaterCircuit, now: SunNow) -> FloatArray:
    """Current through the element in each case of a sun [A].

    Parameters:
        circuit: of array and element
        now: the sun
    Returns:
        amperes
    """
    power = circuit.power(now.irradiance, now.cells)
    return np.sqrt(np.maximum(power, 0.0) / circuit.resistance)


def other_plates(of: Callable[[float], FloatArray], plate: float) -> list[Candidate]:
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
    given: Readings,
    now: SunNow,
    read: Quantity,
    expected: Quantity,
    ohms: float,
) -> tuple[Cause, ...]:
    """Why a reading is off: each way to be wrong is computed under the same sun."""
    amps = Quantity(
        float(read) / ohms, kinds.CURRENT, read.low / ohms, read.high / ohms)  # fmt: skip
    if float(read) < NO_CURRENT * float(expected):
        return (
            Cause(
                "the thermostat has opened, or the high limit tripped: feel the tank", None, 0.5
            ),
            Cause("an isolator, fuse or connector is open in the string", None, 0.3),
        )

    def of(other: HeaterCircuit, dim: float = 1.0, warm: float = 0.0) -> FloatArray:
        return current_of(other, replace(now, irradiance=now.irradiance * dim,
                                       cells=now.cells + warm))  # fmt: skip

    low = float(read) < float(expected)
    tried = _of_modules(circuit, of, low)
    tried += _of_sun(of, given, circuit, low)
    # A measured resistance that fits the plate clears the element of any part in it.
    volts = given.values.get("element_volts")
    known = volts is not None and abs(float(volts) / float(amps) / circuit.resistance - 1) < 0.1
    if not known:
        tried += other_plates(
            lambda each: of(replace(circuit, resistance=each)), circuit.resistance
        )
    if low:
        loose = [replace(circuit, cable_resistance=circuit.cable_resistance + each)
                 for each in (1.0, 4.0)]  # fmt: skip
        text = "a loose or corroded joint, or wire too thin: feel for warm joints"
        tried.append(Candidate(text, np.concatenate([of(each) for each in loose]), 0.2))
    found = ranked(amps, tried)
    return tuple(
        replace(each, expected=Quantity(float(each.expected) * ohms, read.kind,
                each.expected.low * ohms, each.expected.high * ohms))
        if each.expected is not None else each
        for each in found
    )  # fmt: skip


def _of_modules(
    circuit: HeaterCircuit, of: Callable[..., FloatArray], low: bool
) -> list[Candidate]:
    series, parallel = circuit.series, circuit.parallel
    if not low:
        more = replace(circuit, series=series + 1)
        return [Candidate("a module more in series than the file says", of(more), 0.3)]
    tried = []
    if series > 1:
        strings = [replace(circuit, series=each) for each in (series - 1, series - 2) if each > 0]
        aged = [
            of(each, share, warm)
            for each in strings
            for share in (1.0, 0.9)
            for warm in (0.0, 15.0)
        ]
        text = "a module or two missing from the string, or bypassed by their diodes"
        tried.append(Candidate(text, np.concatenate(aged), 1.0))
    if parallel > 1:
        fewer = replace(circuit, parallel=parallel - 1)
        tried.append(Candidate("a string open: its fuse, connector or isolator", of(fewer), 1.0))
    return tried


def _of_sun(
    of: Callable[..., FloatArray], given: Readings, circuit: HeaterCircuit, low: bool
) -> list[Candidate]:
    measured = "irradiance" in given.values
    if not low:
        edge = Candidate(
            "sun brighter than that sky's: cloud edges or snow", of(circuit, 1.3), 0.8
        )
        cool = Candidate("cells cooler than thought: a strong wind", of(circuit, 1.0, -15.0), 0.5)
        return [cool] if measured else [edge, cool]
    dim = [of(circuit, share, warm) for share in (0.55, 0.75, 0.95) for warm in (0.0, 20.0)]
    tried = [Candidate("a string that is shaded, dirty or hotter than thought",
                       np.concatenate(dim), 1.0)]  # fmt: skip
    if not measured:
        weight = 0.1 if given.sky else 1.0
        text = "less sun than that time and sky bring: haze, cloud or a later hour"
        tried.append(Candidate(text, np.concatenate([of(circuit, 0.5), of(circuit, 0.8)]), weight))
    return tried
