"""An element by its own volts and amperes, and one that the inverter feeds."""

from __future__ import annotations

from math import inf

import numpy as np

from wellsolar import kinds
from wellsolar.results.readings import Band, Cause, Implied, ReadingResult
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import ElementTable, Site
from wellsolar.studies.array.coupling import Switched, Tracking
from wellsolar.studies.array.heater_circuit import HeaterCircuit, plate_of
from wellsolar.studies.reading.causes import Candidate, is_off, ranked
from wellsolar.studies.reading.faults import other_plates
from wellsolar.studies.supply.diversion import element_on_inverter
from wellsolar.units import Quantity

PLATE_MORE, PLATE_LESS = 0.05, 0.10
"""How far an element's power may lie above and below its plate [-]: IEC 60335-1 and a national
standard of tubular elements above 100 W, second hand."""

LINE = 0.05
"""How far an inverter's voltage may lie from its rating [-]: common practice, no source."""

LABELS = {False: "current at the element", True: "voltage at the element"}
"""What a meter reads there, amperes and volts."""


def plate_band(plate: float) -> Quantity:
    """The resistance of an element with what its power may be off.

    Parameters:
        plate: by its plate [ohm]
    Returns:
        the resistance with its ends
    """
    low, high = plate / (1.0 + PLATE_MORE), plate / (1.0 - PLATE_LESS)
    return Quantity(plate, kinds.RESISTANCE, low, high)


def read_resistance(
    circuit: HeaterCircuit,
    element: ElementTable,
    subject: str,
    amps: Quantity,
    volts: Quantity,
) -> ReadingResult:
    """An element that an array feeds, by Ohm's law, against its plate.

    Parameters:
        circuit: of array and element
        element: its table
        subject: whose element
        amps, volts: read at the same time, amperes above 0
    Returns:
        the result
    """
    ohms: tuple[float, ...] = (circuit.resistance,)
    rests = "its plate, whose power may be 5 % more or 10 % less"
    if isinstance(circuit.coupling, Switched):
        # The relays may stand in any of their places: the nearest one is meant.
        ohms = circuit.coupling.resistances(circuit.resistance)
        rests = "the nearest of what the relays can join, by the plate"
    chopped = isinstance(circuit.coupling, Tracking)
    return _resistance(ohms, rests, element, chopped, subject, amps, volts)


def _resistance(
    ohms: tuple[float, ...],
    rests: str,
    element: ElementTable,
    chopped: bool,
    subject: str,
    amps: Quantity,
    volts: Quantity,
) -> ReadingResult:
    low = volts.low / amps.high if amps.high > 0.0 else 0.0
    high = volts.high / amps.low if amps.low > 0.0 else inf
    measured = Quantity(float(volts) / float(amps), kinds.RESISTANCE, low, high)
    plate = min(ohms, key=lambda each: abs(each - float(measured)))
    band = plate_band(plate)
    causes: tuple[Cause, ...] = ()
    if is_off(measured, band):
        tried = other_plates(lambda each: np.array([each]), plate)
        tried += _one_open(element, plate)
        hot = "an element that runs hot, dry or under scale"
        tried.append(Candidate(hot, plate * np.array([1.03, 1.12]), 0.3))
        loose = "a loose or burnt joint between the meter and the element"
        tried.append(Candidate(loose, plate * np.array([1.15, 1.6]), 0.2))
        short = "a short across the element or its wires: open the isolator"
        tried.append(Candidate(short, plate * np.array([0.0, 0.3]), 0.3))
        if chopped:
            shape = "a meter that does not read the true mean square of a chopped current"
            tried.append(Candidate(shape, plate * np.array([0.5, 2.0]), 0.3))
        causes = ranked(measured, tried)
    return ReadingResult(
        "element_resistance", "element by its volts and amperes", subject, "whatever the sun",
        measured, Band(band, rests), (), causes,
    )  # fmt: skip


def _one_open(element: ElementTable, plate: float) -> list[Candidate]:
    """Several elements side by side, of which one has burnt out."""
    count = element.count
    if count < 2 or element.wired != "parallel":
        return []
    left = plate * count / (count - 1)
    return [Candidate(f"one of {count} elements side by side open", np.array([left]), 0.6)]


def read_diverted(site: Site, given: Readings) -> list[ReadingResult]:
    """Readings at an element on the inverter, which takes what the battery can't.

    Parameters:
        site: the site
        given: readings of one time
    Returns:
        results; none where the site has no such element or nothing was read at one
    """
    found = element_on_inverter(site)
    amps, volts = given.values.get("element_amps"), given.values.get("element_volts")
    if found is None or (amps is None and volts is None):
        return []
    element, _ = found
    power, rated = plate_of(element)
    ohms = rated**2 / power
    line = float(site.power.inverter_voltage or rated)
    subject = f"{element.position} element"
    made = []
    if amps is not None and volts is not None and float(amps) > 0.0:
        rests = "its plate, whose power may be 5 % more or 10 % less"
        made.append(_resistance((ohms,), rests, element, True, subject, amps, volts))
    if amps is not None:
        made.append(_of_inverter(amps, False, line, ohms, subject))
    elif volts is not None:
        made.append(_of_inverter(volts, True, line, ohms, subject))
    return made


def _of_inverter(
    read: Quantity, in_volts: bool, line: float, ohms: float, subject: str
) -> ReadingResult:
    full = line if in_volts else line / ohms
    most = full * (1.0 + LINE) * (1.0 if in_volts else 1.0 + PLATE_MORE)
    rests = "from none to all that the inverter gives: the battery's controller sets it"
    band = Quantity(full, read.kind, 0.0, most)
    causes: tuple[Cause, ...] = ()
    if is_off(read, band):
        above = full * np.array([1.05, 1.15])
        tried = [Candidate("an inverter whose voltage is high", above, 0.5)]
        if not in_volts:
            tried += other_plates(lambda each: np.array([line / each]), ohms)
        causes = ranked(read, tried)
    factor = 1.0 / ohms if in_volts else ohms
    low, middle, high = (factor * float(each) ** 2 for each in (read.low, read, read.high))
    power = Quantity(middle, kinds.POWER, low, high)
    heat = Implied("implied_power", "power at the element", power, "by its plate's resistance")
    return ReadingResult(
        "element_volts" if in_volts else "element_amps", LABELS[in_volts], subject,
        "while the battery is full", read, Band(band, rests), (heat,), causes,
    )  # fmt: skip
