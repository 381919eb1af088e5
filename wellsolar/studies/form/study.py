"""The sheet as a form: every line and reading with what is expected, and why it may be off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.results.form import Causes, FormBox, FormField, FormResult, FormStep, MadeOf
from wellsolar.results.readings import SheetLine, SheetStep
from wellsolar.site.part_names import HOUSE_MAIN
from wellsolar.site.readings.file import FIELDS, Readings
from wellsolar.site.readings.table import READINGS
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.form.bands import causes_at, fixed_of, metered_sun, sun_causes, timed_bands
from wellsolar.studies.form.told import Texts, told_along
from wellsolar.studies.reading.element import ElementOnArray, ElementResistance
from wellsolar.studies.reading.fill import BucketFlow
from wellsolar.studies.reading.hot_water import TankTemperature, TapTemperature
from wellsolar.studies.reading.pressure import GaugePressure, PressureDecay
from wellsolar.studies.reading.reading import (
    AGAIN,
    AGAIN_WEIGHT,
    OFF,
    Candidate,
    Lacking,
    PumpReading,
    Reading,
)
from wellsolar.studies.reading.sun import NEAR
from wellsolar.studies.reading.table import TABLE
from wellsolar.studies.reading.together import CLEARED
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.units import Quantity

ROWS = {row.key: row for row in READINGS}

PERIOD = 1800.0
"""Time of pumping with which the sheet asks for the level [s]."""

FAR = 1e12
"""Beyond anything that is read, in SI."""

OUTSIDE = 0.01
"""How far beyond its band a reading is tried for its causes [-]."""

FALLS = (-7e5, 7e5)
"""Ends between which pressure may be lost overnight [Pa]: our choice."""


def study_form(case: Studied) -> FormResult:
    """The sheet of a site as a form.

    Returns:
        its steps in the order of the work, with bands and causes
    """
    job = Job(case)
    timed = timed_bands(job)
    steps = tuple(_step(job, step, set(timed)) for step in case.sheet.steps)
    again = (AGAIN, AGAIN_WEIGHT)
    return FormResult(steps, NEAR, timed, metered_sun(job), sun_causes(job), OFF, again, CLEARED)


def _step(job: Job, step: SheetStep, timed: set[str]) -> FormStep:
    """A step: its lines, then what may be read there besides."""
    pump = _pump_of(job, step)
    first = "" if job.array is None else job.array.on.group_path.removeprefix("array[").rstrip("]")
    fields = []
    for line in step.lines:
        other_array = step.key.startswith("array_") and step.key != f"array_{first}"
        kind = None if other_array else _kind_of(line.reads)
        if kind is None or kind.lacks(job):
            fields.append(_of_line(line))
        else:
            fields.append(_of_reading(job, kind, timed, pump, line))
    fields += _besides(job, step, timed, pump)
    return FormStep(step.key, step.title, step.before, tuple(fields))


def _pump_of(job: Job, step: SheetStep) -> str:
    """The pump that a step is about; empty where it is about none."""
    number = step.key.removeprefix("pump_")
    return job.site.pump[int(number) - 1].name if number.isdigit() else ""


def _kind_of(reads: tuple[str, ...]) -> type[Reading] | None:
    """The kind of reading that is made of some rows."""
    kinds_of = (kind for kind in TABLE if reads and reads[0] in kind.reads)
    return next((kind for kind in kinds_of if kind is not ElementResistance), None)


def _besides(job: Job, step: SheetStep, timed: set[str], pump: str) -> Iterator[FormField]:
    """Readings that are taken with a step, of which the sheet has no line."""
    if pump and job.site.pressure_tank is not None:
        for state in ("on", "off"):
            yield _of_reading(job, GaugePressure, timed, pump, None, state)
    if step.key == "hot_water":
        yield _of_reading(job, TankTemperature, timed)
        if job.site.water_heater is not None and job.site.water_heater.mixing_valve is None:
            yield _of_reading(job, TapTemperature, timed)
    if step.key == "night" and job.site.pressure_tank is not None:
        yield _of_reading(job, PressureDecay, timed, state="shut")
    array = job.array
    if array is not None and step.key == f"array_{array.on.group_path[len('array[') : -1]}":
        yield _of_reading(job, ElementResistance, timed)


def _of_line(line: SheetLine) -> FormField:
    """A line of the sheet that is in order or not."""
    value = line.expected
    if value is None:
        return FormField(f"line_{line.number}", line.number, line.text, line.words, "words")
    box = FormBox("", "", value.kind)
    bands = ((value.low, float(value), value.high),)
    return FormField(
        f"line_{line.number}", line.number, line.text, line.words, "value", (box,), bands=bands,
    )  # fmt: skip


def _made_of(kind: type[Reading]) -> tuple[MadeOf, tuple[str, ...]]:
    """How a reading is made, and of which rows."""
    if kind is BucketFlow:
        return "flow", ("bucket_volume", "bucket_time")
    if kind is PressureDecay:
        return "fall", ("evening_pressure", "morning_pressure", "hours_between")
    if kind is ElementResistance:
        return "ohms", ("element_volts", "element_amps")
    return "value", kind.reads


def _of_reading(
    job: Job,
    kind: type[Reading],
    timed: set[str],
    pump: str = "",
    line: SheetLine | None = None,
    state: str = "",
) -> FormField:
    """A reading of the table, with what `readings` says of it alone."""
    made_of, rows = _made_of(kind)
    if kind is ElementOnArray or "pumping_time" in (line.reads if line else ()):
        rows = line.reads if line is not None else rows
    boxes = tuple(_box(key) for key in rows)
    own = pump if issubclass(kind, PumpReading) or state else ""
    of = HOUSE_MAIN if kind is PressureDecay else "the pump"
    tried = _Tried(job, kind, made_of, rows, own, state)
    number = 0 if line is None else line.number
    label = tried.at(tried.some).label
    field = FormField(
        f"line_{number}" if number else "_".join(filter(None, (kind.__name__, pump, state))),
        number,
        line.text if line is not None else label + (f", {of} {state}" if state else ""),
        "",
        made_of,
        boxes,
        tried.pump,
        state,
        clears=kind.clears,
    )
    if rows[0] in timed and kind is not ElementResistance:
        field = replace(field, by_time=rows[0], rests_on="the site's year, at that time")
        return field if kind is ElementOnArray else tried.told(field, None)
    band = tried.at(tried.some).band
    if kind is ElementOnArray:  # Without a year its sun is only known where it is metered.
        return replace(field, by_time=rows[0], rests_on="the irradiance that was measured")
    if isinstance(band, Lacking):
        reason = band.why or f"the file does not give {' or '.join(band.needs)}"
        return replace(field, why=reason)
    return tried.told(replace(field, rests_on=band.rests_on), band.value)


def _box(key: str) -> FormBox:
    """The box of a row of the table of readings."""
    reader, _ = FIELDS[key]
    label = ROWS[key].help.rstrip(".")
    return FormBox(key, label, reader.kind, reader.above, reader.least, reader.most)


class _Tried:
    """A kind of reading, tried with whatever may be read."""

    def __init__(
        self, job: Job, kind: type[Reading], made_of: MadeOf, rows: tuple[str, ...], pump: str,
        state: str,
    ) -> None:  # fmt: skip
        self.job, self.kind, self.made_of, self.rows = job, kind, made_of, rows
        self.pump, self.state = pump, state
        self.some = Quantity(1e5 if FIELDS[rows[0]][0].kind is kinds.PRESSURE else 10.0,
                             self._measured_kind())  # fmt: skip

    def _measured_kind(self) -> Kind:
        kind_by_word = {"flow": kinds.FLOW, "fall": kinds.PRESSURE_LOSS, "ohms": kinds.RESISTANCE}
        return kind_by_word.get(self.made_of, FIELDS[self.rows[0]][0].kind)

    def at(self, read: Quantity) -> Reading:
        """The reading with a value and its ends [of its kind]."""

        def of(key: str, value: float, low: float, high: float) -> Quantity:
            return Quantity(value, FIELDS[key][0].kind, low, high)

        ends = (float(read), read.low, read.high)
        values = {self.rows[0]: of(self.rows[0], *ends)}
        if self.made_of == "flow":
            values["bucket_time"] = of("bucket_time", 1.0, 1.0, 1.0)
        elif self.made_of == "ohms":
            values["element_amps"] = of("element_amps", 1.0, 1.0, 1.0)
        elif self.made_of == "fall":
            values["morning_pressure"] = of("morning_pressure", 0.0, 0.0, 0.0)
            values["hours_between"] = of("hours_between", 3.6e4, 3.6e4, 3.6e4)
        elif "pumping_time" in self.rows:
            values["pumping_time"] = of("pumping_time", PERIOD, PERIOD, PERIOD)
        given = Readings("form", values, pump=self.pump or None)
        if self.made_of == "fall":
            given = replace(given, house_main=self.state or None)
        else:
            given = replace(given, pump_state=self.state or None)
        return self.kind(Visit(self.job, given))

    def told(self, field: FormField, band: Quantity | None) -> FormField:
        """A field with its bands, its warnings and its causes; band: None where it hangs on the
        time."""
        kind, (least, most) = self.some.kind, self._ends()
        any_band = Quantity(0.0, kind, -FAR, FAR)
        warns = told_along(lambda read: self._warning(read, band or any_band), kind, least, most)
        places = (
            (Quantity(FAR, kind), least, most) if band is None else (band, least, band.low),
            (any_band, least, most) if band is None else (band, band.low, band.high),
            (Quantity(-FAR, kind), least, most) if band is None else (band, band.high, most),
        )
        below, inside, above = (self._causes(*place) for place in places)
        if band is not None:
            below = self._weighed(below, band, band.low - OUTSIDE * max(abs(band.low), 1e-9))
            above = self._weighed(above, band, band.high + OUTSIDE * max(abs(band.high), 1e-9))
        elif self.kind is TankTemperature:
            below = self._weighed_of_tank(below)
        return replace(
            field, bands=self._bands(band), warns=tuple(warns), below=below, inside=inside,
            above=above,
        )  # fmt: skip

    def _bands(self, band: Quantity | None) -> tuple[tuple[float, float, float], ...]:
        """Low, middle and high, of an element behind relays in each of their places."""
        if band is None:
            return ()
        if self.made_of != "ohms":
            return ((band.low, float(band), band.high),)
        plates: list[Quantity] = []
        for ohms in np.geomspace(0.5, 500.0, 200).tolist():
            found = self.at(Quantity(ohms, kinds.RESISTANCE)).band
            if not isinstance(found, Lacking) and found.value not in plates:
                plates.append(found.value)
        return tuple((plate.low, float(plate), plate.high) for plate in plates)

    def _ends(self) -> tuple[float, float]:
        """Between what it may be read, in SI."""
        if self.made_of == "fall":
            return FALLS
        if self.made_of == "flow":
            return 0.0, 0.1
        if self.made_of == "ohms":
            return 0.1, 1000.0
        reader, _ = FIELDS[self.rows[0]]
        least = reader.above if reader.least is None else reader.least
        assert least is not None  # Every row of the table has both.
        assert reader.most is not None
        return least, reader.most

    def _warning(self, read: Quantity, band: Quantity) -> Texts:
        return tuple(filter(None, (self.at(read).warns(band),)))

    def _causes(self, band: Quantity, least: float, most: float) -> Causes:
        """Causes that need no weighing, along a part of what may be read."""
        if not most > least:
            return Causes()
        below, outside = most <= band.low, most <= band.low or least >= band.high
        tried = (least, least + (most - least) / 2.0, most)
        weighed = outside and all(
            isinstance(cause, Candidate)
            for read in tried
            for cause in self.at(Quantity(read, band.kind)).explained(band, below)
        )

        def texts(read: Quantity) -> Texts:
            reading = self.at(read)
            causes = reading.evident(band)
            if not causes and not weighed and (read.high < band.low or read.low > band.high):
                causes = tuple(
                    cause for cause in reading.explained(band, read.high < band.low)
                    if not isinstance(cause, Candidate)
                )  # fmt: skip
            known.update(fixed_of(causes))
            return tuple(cause.text for cause in causes)

        known: dict[str, tuple[float, tuple[str, ...]]] = {}
        along = told_along(texts, self.some.kind, least, most)
        if not any(causes.texts for causes in along):
            return Causes()
        return Causes(tuple(along), fixed=known)

    def _weighed(self, causes: Causes, band: Quantity, read: float) -> Causes:
        """The same, with the ways that are weighed."""
        reading = self.at(Quantity(read, self.some.kind))
        return replace(causes, ways=causes_at(reading, band).ways)

    def _weighed_of_tank(self, causes: Causes) -> Causes:
        """Ways of a tank to be too cool, below the coolest of all its year."""
        reading = self.at(Quantity(-40.0, kinds.TEMPERATURE))
        band = reading.band
        assert not isinstance(band, Lacking)
        return replace(causes, ways=causes_at(reading, band.value).ways)
