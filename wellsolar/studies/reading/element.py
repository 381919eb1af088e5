"""Readings at the element: its resistance, its current or voltage, and what explains them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf

import numpy as np

from wellsolar import kinds
from wellsolar.physics.sun import tilted_plane
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Band, Cause, Implied, SheetLine
from wellsolar.site.schema import ElementTable, Site
from wellsolar.studies.array.coupling import Switched, Tracking, coupling_of
from wellsolar.studies.array.heater_circuit import LIGHT_WIND, plate_of
from wellsolar.studies.reading.faults import (
    MADE_DEAD,
    CircuitInSun,
    causes_of,
    missing_modules,
    other_plates,
)
from wellsolar.studies.reading.meter import AMPERES, VOLTS, implied_sun
from wellsolar.studies.reading.reading import (
    ELEMENT,
    JOINT,
    Candidate,
    Lacking,
    Reading,
    ends_of,
)
from wellsolar.studies.reading.sun import ArrayAtReading, SunNow, sun_now
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.studies.supply.diversion import element_on_inverter
from wellsolar.units import Quantity

METER = 0.03
"""How far modules and a sun meter may be off together [-]; our choice after IEC tolerances."""

PLATE_MORE, PLATE_LESS = 0.05, 0.10
"""How far an element's power may lie above and below its plate [-]: IEC 60335-1 and a national
standard of tubular elements above 100 W, second hand."""

LINE = 0.05
"""How far an inverter's voltage may lie from its rating [-]: common practice, no source."""

SUN_KEYS = ("site.latitude", "sun.monthly")
"""What the file lacks where the sun of a time is not known."""

SAMPLED = 9
"""Hours of clear noons, from the dimmest to the brightest, that stand for all of them."""

MOST_OHMS = 6
"""Resistances of relays that the sheet lists."""


def _plate_band(plate: float) -> Quantity:
    """The resistance of an element [ohm] with what its power may be off its plate."""
    low, high = plate / (1.0 + PLATE_MORE), plate / (1.0 - PLATE_LESS)
    return Quantity(plate, kinds.RESISTANCE, low, high)


@dataclass(frozen=True)
class _Plate:
    """An element that is fed by modules or by the inverter.

    ohms: by its plate, and every way in which relays join it; chopped: True where its current is
    """

    element: ElementTable
    subject: str
    ohms: tuple[float, ...]
    chopped: bool
    rests_on: str = "its plate, whose power may be 5 % more or 10 % less"


def _plate_on_array(at: ArrayAtReading) -> _Plate:
    """The element that an array feeds."""
    circuit, element, subject = at.circuit, at.on.element, at.on.group.name
    if isinstance(circuit.coupling, Switched):
        # The relays may stand in any of their places: the nearest one is meant.
        ohms = circuit.coupling.resistances(circuit.resistance)
        rests_on = "the nearest of what the relays can join, by the plate"
        return _Plate(element, subject, ohms, False, rests_on)
    chopped = isinstance(circuit.coupling, Tracking)
    return _Plate(element, subject, (circuit.resistance,), chopped)


def _plate_on_inverter(site: Site) -> _Plate | None:
    """The element that the inverter feeds; None without one."""
    on_inverter = element_on_inverter(site)
    if on_inverter is None:
        return None
    element, _ = on_inverter
    power, rated = plate_of(element)
    return _Plate(element, f"{element.position} element", (rated**2 / power,), True)


class _ElementReading(Reading):
    """A reading at the element that modules feed, or else the inverter."""

    reads = ("element_amps", "element_volts")

    @classmethod
    def lacks(cls, job: Job) -> tuple[str, ...]:
        """The first that is missing between a heater and modules on its element."""
        site = job.site
        if job.array is not None or element_on_inverter(site) is not None:
            return ()
        if site.water_heater is None:
            return ("water_heater",)
        if site.module is None:
            return ("module", "array")
        if not site.array:
            return ("array",)
        names = {group.name for group in site.array}
        on_array = any(element.fed_by in names for element in site.water_heater.element)
        return ("module.vmp", "module.imp") if on_array else ("water_heater.element[1].fed_by",)


class ElementResistance(_ElementReading):
    """An element by Ohm's law, against its plate."""

    clears = (ELEMENT,)
    step = "element"
    key = "element_resistance"
    label = "element by its volts and amperes"
    when = "whatever the sun"

    @classmethod
    def was_taken(cls, visit: Visit) -> bool:
        """Whether both were read, and current flowed."""
        return set(cls.reads) <= set(visit.values) and visit.values["element_amps"] > 0.0

    @cached_property
    def plate(self) -> _Plate:
        """The element that was read."""
        array = self.visit.job.array
        plate = _plate_on_inverter(self.site) if array is None else _plate_on_array(array)
        assert plate is not None
        return plate

    @property
    def subject(self) -> str:
        """Whose element."""
        return self.plate.subject

    @cached_property
    def measured(self) -> Quantity:
        """Volts over amperes."""
        amps, volts = self.visit.values["element_amps"], self.visit.values["element_volts"]
        low = volts.low / amps.high if amps.high > 0.0 else 0.0
        high = volts.high / amps.low if amps.low > 0.0 else inf
        return Quantity(volts / amps, kinds.RESISTANCE, low, high)

    def expected(self) -> Band:
        """The nearest of its plate's."""
        nearest = min(self.plate.ohms, key=lambda ohms: abs(ohms - self.measured))
        return Band(_plate_band(nearest), self.plate.rests_on)

    def explained(self, band: Quantity, low: bool) -> list[Candidate]:
        """Another element, one of several open, a joint, a short or a meter."""
        plate, element = float(band), self.plate.element
        candidates = other_plates(lambda ohms: np.array([ohms]), plate)
        if element.count > 1 and element.wired == "parallel":
            left = np.array([plate * element.count / (element.count - 1)])
            text = f"one of {element.count} elements side by side open"
            candidates.append(Candidate(text, left, 0.6))
        candidates += [
            Candidate("an element that runs hot, dry or under scale",
                      plate * np.array([1.03, 1.12]), 0.3),
            Candidate(f"a loose or burnt joint between the meter and the element: {MADE_DEAD}",
                      plate * np.array([1.15, 1.6]), 0.2, of=(JOINT,)),
            Candidate(f"a short across the element or its wires: {MADE_DEAD}",
                      plate * np.array([0.0, 0.3]), 0.3),
        ]  # fmt: skip
        if self.plate.chopped:
            shape = "a meter that does not read the true mean square of a chopped current"
            candidates.append(Candidate(shape, plate * np.array([0.5, 2.0]), 0.3))
        return candidates

    def boxes(self) -> list[SheetLine]:
        """Every element of the heater by itself."""
        heater = self.site.water_heater
        elements = () if heater is None else heater.element
        return [line for element in elements for line in _element_boxes(self.site, element)]


def _element_boxes(site: Site, element: ElementTable) -> list[SheetLine]:
    """The resistance of an element; of one behind relays, in each of their places."""
    power, voltage = plate_of(element)
    ohms = voltage**2 / power
    text = f"{element.position} element, resistance"
    on_array = element.fed_by in {group.name for group in site.array}
    coupling = coupling_of(element, ohms) if on_array else None
    if isinstance(coupling, Switched):
        places = enumerate(coupling.resistances(ohms)[:MOST_OHMS], 1)
        return [
            SheetLine(f"{text} in place {place} of the relays", _plate_band(joined))
            for place, joined in places
        ]
    if element.count > 1:
        text += f", {element.count} in {element.wired}"
    return [SheetLine(text, _plate_band(ohms))]


class _AtElement(_ElementReading):
    """Amperes at the element, or its volts where no amperes were read."""

    def __init__(self, visit: Visit) -> None:
        super().__init__(visit)
        self.meter = AMPERES if "element_amps" in visit.values else VOLTS
        self.key = self.meter.key
        self.label = self.meter.label

    @cached_property
    def measured(self) -> Quantity:
        """What that meter showed."""
        return self.visit.values[self.meter.key]

    def _power_by_plate(self, ohms: float) -> Implied:
        """Power at the element by one reading and its resistance [ohm]."""
        factor = 1.0 / ohms if self.meter.volts else ohms
        low, middle, high = (factor * shown**2 for shown in ends_of(self.measured))
        power, why = Quantity(middle, kinds.POWER, low, high), "by its plate's resistance"
        return Implied("implied_power", "power at the element", power, why)


class ElementOnInverter(_AtElement):
    """A reading at an element on the inverter, which takes what the battery can't."""

    when = "while the battery is full"

    def __init__(self, visit: Visit) -> None:
        super().__init__(visit)
        plate = _plate_on_inverter(self.site)
        assert plate is not None
        self.plate = plate
        self.ohms = plate.ohms[0]
        _, rated = plate_of(plate.element)
        self.line = float(self.site.power.inverter_voltage or rated)

    @property
    def subject(self) -> str:
        """Which of the heater's elements."""
        return self.plate.subject

    @classmethod
    def was_taken(cls, visit: Visit) -> bool:
        """Whether it was read, and is not on modules."""
        return super().was_taken(visit) and _on_inverter_only(visit.job)

    def expected(self) -> Band:
        """From nothing to all that the inverter gives."""
        full = self.line if self.meter.volts else self.line / self.ohms
        most = full * (1.0 + LINE) * (1.0 if self.meter.volts else 1.0 + PLATE_MORE)
        rests = "from none to all that the inverter gives: the battery's controller sets it"
        return Band(Quantity(full, self.measured.kind, 0.0, most), rests)

    def implied(self) -> list[Implied]:
        """Power, by the plate."""
        return [self._power_by_plate(self.ohms)]

    def explained(self, band: Quantity, low: bool) -> list[Candidate]:
        """A high voltage, or another element."""
        above = band * np.array([1.05, 1.15])
        candidates = [Candidate("an inverter whose voltage is high", above, 0.5)]
        if not self.meter.volts:
            candidates += other_plates(lambda ohms: np.array([self.line / ohms]), self.ohms)
        return candidates


def _on_inverter_only(job: Job) -> bool:
    """Whether the inverter feeds an element and no modules do."""
    return job.array is None and element_on_inverter(job.site) is not None


class ElementOnArray(_AtElement):
    """A reading at an element on modules: whether it is right for its sun."""

    step = "array"

    def __init__(self, visit: Visit) -> None:
        super().__init__(visit)
        assert visit.job.array is not None
        self.array = visit.job.array
        self.when = ", ".join(filter(None, (visit.given.taken, visit.given.sky)))

    @property
    def subject(self) -> str:
        """The name of the modules' group."""
        return self.array.on.group.name

    @classmethod
    def was_taken(cls, visit: Visit) -> bool:
        """Whether it was read, and is not on the inverter."""
        return super().was_taken(visit) and not _on_inverter_only(visit.job)

    @cached_property
    def sun(self) -> SunNow | None:
        """The sun it was read in; None where nothing tells it."""
        return sun_now(self.array, self.visit.given)

    def expected(self) -> Band | Lacking:
        """What the meter shows in the hours or cases of that sun."""
        now = self.sun
        if now is None and self.array.plane is None:
            return Lacking(SUN_KEYS, "its sun is not known; give the irradiance too, else")
        if now is None:
            why = "give the sky, the time of day or the irradiance with the reading"
            return Lacking(why=why)
        kind = self.measured.kind
        circuit, converter = self.array.circuit, self.array.on.element.tracker_converter
        # Electronics may do the most or the least of what the file does not tell.
        ways = (circuit,) if converter is not None else (circuit, circuit.hardest())
        shown = np.concatenate(
            [self.meter.read(way, now.irradiance, now.cells) for way in dict.fromkeys(ways)]
        )
        value = _spread(shown, kind, "irradiance" in self.visit.values)
        if now.down:
            value = Quantity(0.0, kind, 0.0, self.meter.in_the_dark)
        return Band(value, now.rests_on, self._most(now, value))

    def _most(self, now: SunNow, value: Quantity) -> Quantity | None:
        """What it would show under a clear sky."""
        if now.clear is None or now.down:
            return None
        light = np.array([now.clear])
        cells = np.asarray(tilted_plane.cell_temperature(light, now.air.max(), LIGHT_WIND))
        clear = float(self.meter.read(self.array.circuit, light, cells)[0])
        return Quantity(max(clear, value.high), value.kind)

    def implied(self) -> list[Implied]:
        """The sun that explains it, modules that would have to be missing, and its power."""
        circuit, now = self.array.circuit, self.sun
        implied = implied_sun(circuit, self.meter, self.visit.given, now, self.measured)
        if now is not None and any("missing" in cause.text for cause in self.causes):
            gone = missing_modules(CircuitInSun(circuit, self.meter, now), self.measured)
            label, why = "modules missing from the string", "if nothing else is wrong, in that sun"
            if gone is not None:
                implied.append(Implied("implied_missing", label, gone, why))
        return implied + self._power()

    def _power(self) -> list[Implied]:
        """Power at the element: by both readings, else by one and the plate where that stays."""
        read, volts = self.measured, self.visit.values.get("element_volts")
        if not self.meter.volts and volts is not None:
            ends = (read.low * volts.low, read.high * volts.high)
            power = Quantity(read * volts, kinds.POWER, *ends)
            return [Implied("implied_power", "power at the element", power, "volts by amperes")]
        if isinstance(self.array.circuit.coupling, Switched):
            return []
        return [self._power_by_plate(self.array.circuit.resistance)]

    def explained(self, band: Quantity, low: bool) -> Sequence[Candidate] | tuple[Cause, ...]:
        """Each way to be wrong, computed under the same sun."""
        assert self.sun is not None
        case = CircuitInSun(self.array.circuit, self.meter, self.sun)
        return causes_of(case, self.visit.given, self.measured, band)

    def boxes(self) -> list[SheetLine]:
        """Current, voltage and that of the electronics at the noon of the visit."""
        now, circuit = self.sun, self.array.circuit
        if now is None or now.down:
            return []
        lines = []
        for meter in (AMPERES, VOLTS):
            shown = meter.read(circuit, now.irradiance, now.cells)
            text = f"{meter.label}, a clear noon, thermostat calling"
            value = _spread(shown, meter.kind, False)
            lines.append(SheetLine(text, value, reads=(meter.key,)))
        if isinstance(circuit.coupling, Tracking):
            lines.append(self._at_electronics(now))
        return lines

    def _at_electronics(self, now: SunNow) -> SheetLine:
        """Voltage of the array itself, which the electronics hold at its best [V]."""
        order = np.argsort(now.irradiance)
        chosen = order[np.linspace(0, order.size - 1, min(SAMPLED, order.size)).astype(int)]
        cases = zip(now.irradiance[chosen].tolist(), now.cells[chosen].tolist(), strict=True)
        volts = sorted(self.array.circuit.at(*case).array_voltage for case in cases)
        value = Quantity(volts[len(volts) // 2], kinds.VOLTAGE, volts[0], volts[-1])
        return SheetLine("voltage of the array at the electronics, a clear noon", value)


def _spread(values: FloatArray, kind: kinds.Kind, measured: bool) -> Quantity:
    """The 10th to the 90th of a hundred cases about the middle; all of few, with the meter's
    tolerance, where the sun was measured."""
    if measured:
        low, high = float(values.min()) * (1 - METER), float(values.max()) * (1 + METER)
        return Quantity(float(np.median(values)), kind, low, high)
    low, middle, high = np.percentile(values, [10.0, 50.0, 90.0]).tolist()
    return Quantity(middle, kind, low, high)
