"""The page that goes along to the site: the sheet as a form, on a telephone without a network."""

from __future__ import annotations

import json
from base64 import b64encode
from calendar import month_name
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, replace
from hashlib import sha256
from itertools import groupby
from math import log
from typing import Any, Literal

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.reports.pages.card import card_context
from wellsolar.reports.pages.html import cautions_context, job_context, page_of
from wellsolar.reports.plain import plain
from wellsolar.reports.tables.card import NEVER
from wellsolar.results import Results
from wellsolar.results.form import (
    ByTime,
    Causes,
    DayWhatIf,
    Fault,
    Fixed,
    FormBox,
    FormField,
    FormResult,
    MeteredSun,
    SunCauses,
    TimedBands,
    Told,
    Way,
    WhatIf,
)
from wellsolar.units import System, in_si

SKIES = {"clear": "clear", "thin cloud": "hazy, thin cloud", "overcast": "cloudy"}
"""Words of the readings for the sky, as the page asks for it."""

TIMED_IN_SUN = ("element_amps", "element_volts")
"""Readings whose band hangs on the sky as well."""

UNITS: dict[str, tuple[str, ...]] = {
    kind.name: units
    for kind, units in (
        (kinds.LENGTH, ("ft", "m", "in", "cm")),
        (kinds.PRESSURE, ("psi", "kPa", "bar")),
        (kinds.PRESSURE_LOSS, ("psi", "kPa", "bar")),
        (kinds.VOLUME, ("gal", "L")),
        (kinds.FLOW, ("gpm", "L/min")),
        (kinds.TEMPERATURE, ("degF", "degC")),
        (kinds.WATCH, ("s", "min", "h")),
        (kinds.DURATION, ("h", "min", "s")),
        (kinds.CURRENT, ("A", "mA")),
        (kinds.RESISTANCE, ("ohm", "kohm")),
    )
}
"""Units that a box offers, by the name of its kind; of any other kind the one that is printed."""

MADE = {"flow": kinds.FLOW, "fall": kinds.PRESSURE_LOSS, "ohms": kinds.RESISTANCE}
"""Kinds of what is made of several boxes."""

ANSWERED = (
    kinds.FLOW, kinds.HEAD, kinds.POWER, kinds.CURRENT, kinds.VOLTAGE, kinds.VOLUME,
    kinds.LENGTH, kinds.FRACTION, kinds.TEMPERATURE, kinds.ENERGY,
)  # fmt: skip
"""Kinds of what is reckoned anew; times choose their own unit."""

DAYS = {"clear": "clear", "typical": "typical", "poor": "poor: of ten days one is no better"}
"""Kinds of day, as the page asks for one."""

EXACT, ROUNDED = 13, 9
"""Digits of a number that is compared, and of one that goes into a formula."""

WHOLE = 1e12
"""Numbers below it are written without a point where they have nothing after it."""

Object = dict[str, Any]


def on_site_page(
    results: Results,
    form: FormResult,
    what_if: WhatIf,
    faults: Sequence[Fault],
    site_text: str,
) -> str:
    """The page.

    Parameters:
        results: of `study_site`, with the card
        form: of `study_form`; what_if: of `study_what_if`; faults: of `study_faults`
        site_text: the site file, which the page holds to be read back
    Returns:
        the page, which needs nothing else
    """
    system = results.system
    texts = _Texts()
    fields = (field for step in form.steps for field in step.fields)
    inputs = _inputs(what_if, system)
    data: Object = {
        "fields": {field.key: _field(field, texts) for field in fields},
        "units": _units(form, system),
        "smallest": {kind: kinds.SMALLEST.get(kind, 0.0) for kind in _units(form, system)},
        "near": form.near,
        "timed": {key: _timed(bands) for key, bands in form.timed.items()},
        "metered": None if form.sun is None else _metered(form.sun),
        "sunCauses": {
            key: _sun_causes(causes, texts, key, form.causes)
            for key, causes in form.causes.items()
        },
        "texts": texts.listed,
        "slack": form.slack,
        "again": form.again,
        "cleared": form.cleared,
        "site": results.site_name,
        "whatIf": what_if_data(what_if)
        | {
            "inputs": inputs,
            "choices": {
                "gauge": [[gauge] for gauge in what_if.gauges],
                "month": list(enumerate(month_name[1:])),
                "kind": [[kind, DAYS[kind]] for kind in what_if.days],
            },
            "units": {kind.name: _kind_units(kind, system)[0] for kind in ANSWERED},
        },
    }
    data["id"] = sha256(json.dumps(data).encode()).hexdigest()[:16]
    steps = [
        {
            "key": step.key,
            "title": step.title,
            "before": step.before,
            "sun": any(field.by_time in TIMED_IN_SUN for field in step.fields),
            "fields": [_shown(field) for field in step.fields],
        }
        for step in form.steps
    ]
    page = page_of(
        "on_site.html.j2",
        results,
        {
            "job": job_context(results.job, wanted=True),
            "steps": steps,
            "skies": SKIES,
            "what_if": bool(inputs),
            "faults": [asdict(fault) for fault in faults],
            "roots": [fault.key for fault in faults if "." not in fault.key],
            "card": card_context(results),
            "never_heading": NEVER,
            "cautions": cautions_context(results.cautions),
            "data": in_script(data),
            "site_file": _escaped(json.dumps(site_text)),
        },
        "what_if.js",
        "on_site.js",
    )
    # Without the lines and spaces by which a template is read.
    return "\n".join(filter(None, (line.strip(" ") for line in page.split("\n")))) + "\n"


def _inputs(what_if: WhatIf, system: System) -> list[Object]:
    """The sizes that may be changed: name, unit, value and step of each."""
    inputs: list[Object] = []

    def size(key: str, label: str, kind: Kind, value: float | None, us: float, si: float) -> None:
        if value is not None:
            step = us if system == "US" else si
            inputs.append({"key": key, "label": label, "unit": _kind_units(kind, system)[0],
                         "value": _number(value), "step": step})  # fmt: skip

    def choice(key: str, label: str, value: str) -> None:
        inputs.append({"key": key, "label": label, "value": value})

    def cable(key: str, label: str, gauge: str, run: float | None) -> None:
        if run is not None:
            choice(f"{key}.gauge", f"{label}: gauge", gauge)
            size(f"{key}.run", f"{label}: run, one way", kinds.LENGTH, run, 10.0, 5.0)

    switch = what_if.cut_in is not None and what_if.cut_out is not None
    if what_if.pumps and switch:
        size("static_level", "Water at rest, depth", kinds.LENGTH, what_if.static_level, 5.0, 1.0)
        size("cut_in", "Cut-in", kinds.PRESSURE, what_if.cut_in, 1.0, 10.0)
        size("cut_out", "Cut-out", kinds.PRESSURE, what_if.cut_out, 1.0, 10.0)
    if what_if.tank_volume is not None and switch:
        size("precharge", "Air of the drained tank", kinds.PRESSURE, what_if.precharge, 1.0, 10.0)
        size("bucket", "Bucket", kinds.VOLUME, 0.02, 0.5, 1.0)
        size("watch", "Time to fill it, by the watch", kinds.WATCH, 30.0, 1.0, 1.0)
    for place, pump in enumerate(what_if.pumps if switch else ()):
        cable(f"pump.{place}", f"Cable of the {pump.name}", pump.gauge, pump.run)
    heater = what_if.heater
    if heater is not None:
        size("series", "Modules in series", kinds.COUNT, float(heater.series), 1.0, 1.0)
        size("power", "Element, power on its plate", kinds.POWER, heater.power, 250.0, 250.0)
        size("voltage", "Element, voltage on its plate", kinds.VOLTAGE, heater.voltage, 10.0, 10.0)
        cable("array", "Cable of the modules", heater.gauge, heater.run)
        size("light", "Sun on the modules", kinds.IRRADIANCE, 1000.0, 50.0, 50.0)
    tank = what_if.tank
    if tank is not None:
        size("thermostat", "Thermostat of the tank", kinds.TEMPERATURE, tank.thermostat, 5.0, 1.0)
    if what_if.days:
        choice("month", "Month", "0")
        choice("kind", "Day", "clear")
    if what_if.hands or tank is not None:
        size("people", "People in the house", kinds.COUNT, float(what_if.people), 1.0, 1.0)
    if what_if.hands:
        size("each", "Water for each", kinds.VOLUME, 0.05, 1.0, 5.0)
        size("pumpers", "Hands at the handle: people", kinds.COUNT, 1.0, 1.0, 1.0)
    return inputs


def in_script(data: object) -> str:
    """Data as a script element holds it, with nothing in it that could end the element."""
    return _escaped(json.dumps(_plain(data), separators=(",", ":"), allow_nan=False))


def _escaped(text: str) -> str:
    """JSON with nothing in it that could end a script element."""
    for sign in "<>&":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return text


def _plain(data: object) -> object:
    """The same with no text in it that turns the writing of a page, and whole numbers as such."""
    if isinstance(data, str):
        return plain(data)
    if isinstance(data, float) and data.is_integer() and abs(data) < WHOLE:
        return int(data)
    if isinstance(data, Mapping):
        return {plain(str(key)): _plain(value) for key, value in data.items()}
    if isinstance(data, Sequence):
        return [_plain(value) for value in data]
    return data


def _number(value: float, digits: int = EXACT) -> float:
    return float(f"{float(value):.{digits}g}")


def _rounded(data: Any) -> Any:
    """Numbers of nested data with the digits that count."""
    if isinstance(data, float):
        return _number(data, ROUNDED)
    if isinstance(data, dict):
        return {key: _rounded(value) for key, value in data.items()}
    return [_rounded(value) for value in data] if isinstance(data, (list, tuple)) else data


def _packed(
    numbers: Iterable[float],
    bytes_each: Literal[1, 3] = 3,
    step: float | None = None,
    *,
    logarithms: bool = False,
) -> list[Any]:
    """A table of numbers in steps of all that they span: the least, the step, the steps in so many
    bytes each, little end first, in base 64, how many bytes, and whether they are logarithms.

    Zeros stand for themselves: last come by turns how many numbers are zero, and how many not.

    Parameters:
        step: between two numbers; None for what the bytes allow
        logarithms: the steps are those of the numbers' logarithms, alike in every size of them
    """
    values = list(numbers)
    runs = [(zero, len(list(run))) for zero, run in groupby(values, lambda value: value == 0.0)]
    counts = [count for _, count in runs]
    others = [log(value) if logarithms else value for value in values if value != 0.0]
    least = min(others, default=0.0)
    if step is None:
        step = (max(others, default=0.0) - least) / (256**bytes_each - 1) or 1.0
    whole = (round((value - least) / step) for value in others)
    text = b64encode(b"".join(number.to_bytes(bytes_each, "little") for number in whole)).decode()
    if not runs or not runs[0][0]:
        counts.insert(0, 0)
    return [least, step, text, bytes_each, int(logarithms), *counts]


def _flat(numbers: ByTime) -> Iterator[float]:
    return (number for month in numbers for at_time in month for number in at_time)


def what_if_data(what_if: WhatIf) -> Object:
    """What the page's script reckons with.

    Parameters:
        what_if: of `study_what_if`
    Returns:
        sizes of the file with all that their answers follow from, in SI, and days of sun, packed
    """
    named = asdict(replace(what_if, days={}, tank=None))
    del named["days"]
    sizes: Object = _rounded(named)
    sizes["hands"] = [
        hand | {key: _packed(hand[key]) for key in ("powers", "flows")} for hand in named["hands"]
    ]
    if what_if.tank is not None:
        # A draw of whole layers, and the ends of a table, count as they stand.
        sizes["tank"] = asdict(what_if.tank)
    return {"sizes": sizes, "days": {kind: _days(days) for kind, days in what_if.days.items()}}


def _days(days: Sequence[DayWhatIf]) -> Object:
    """Days one after the other."""
    series = {
        "lights": [light for day in days for light in day.lights],
        "cells": [cell for day in days for cell in day.cells],
        "beside": [power for day in days for power in day.beside],
    }
    return {name: _packed(values) for name, values in series.items()}


def _told_only(data: Object) -> Object:
    """Without what is empty, which the script fills in again."""
    return {key: value for key, value in data.items() if value not in ("", [], {}, False, None, 0)}


def _kind_units(kind: Kind, system: System) -> list[list[Any]]:
    """Units that may be chosen, the printed one first: as written, its factor and its offset."""
    shown = (kind.us if system == "US" else kind.metric)[0]
    named = [shown.unit, *(unit for unit in UNITS.get(kind.name, ()) if unit != shown.unit)]
    return [[unit, *(_number(number) for number in in_si(kind, unit))] for unit in named]


def _units(form: FormResult, system: System) -> Object:
    """Units by the name of each kind that is read, or made of what is read."""
    read = (box.kind for step in form.steps for field in step.fields for box in field.boxes)
    named = {kind.name: kind for kind in (*read, *MADE.values())}
    return {name: _kind_units(kind, system) for name, kind in named.items()}


def _shown(field: FormField) -> Object:
    """A field as the template prints it."""
    return {
        "key": field.key,
        "number": field.number,
        "label": field.label,
        "words": field.words,
    }


class _Texts:
    """Texts that many readings share, each once."""

    def __init__(self) -> None:
        self.listed: list[str] = []
        self._places: dict[str, int] = {}

    def place(self, text: str) -> int:
        """Where a text stands among them."""
        if text not in self._places:
            self._places[text] = len(self.listed)
            self.listed.append(text)
        return self._places[text]


def _field(field: FormField, texts: _Texts) -> Object:
    """A field as the script judges it."""
    kind = MADE.get(field.made_of)
    above = "below" if field.above != Causes() else ""
    return _told_only(
        {
            "number": field.number,
            "madeOf": "" if field.made_of == "value" else field.made_of,
            "pump": field.pump,
            "state": field.state,
            "boxes": [_box(box) for box in field.boxes],
            "bands": [[_number(end) for end in band] for band in field.bands],
            "byTime": field.by_time,
            "inSun": field.by_time in TIMED_IN_SUN,
            "restsOn": field.rests_on,
            "why": field.why,
            "clears": list(field.clears),
            "warns": _along(field.warns, texts),
            "below": _causes(field.below, texts),
            "inside": _causes(field.inside, texts),
            "above": _causes(field.above, texts) if field.above != field.below else above,
            "made": "" if kind is None else kind.name,
        }
    )


def _box(box: FormBox) -> Object:
    bounds = {"above": box.above, "least": box.least, "most": box.most}
    box_data: Object = {"key": box.key, "label": box.label, "kind": box.kind.name}
    return _told_only(box_data) | {
        key: bound for key, bound in bounds.items() if bound is not None
    }


def _along(told: tuple[Told, ...], texts: _Texts) -> list[list[Any]]:
    """Texts with their bounds; nothing where there are none."""
    if not any(causes.texts for causes in told):
        return []
    return [
        [_number(causes.beyond), causes.end, [texts.place(text) for text in causes.texts]]
        for causes in told
    ]


def _causes(causes: Causes, texts: _Texts) -> Object:
    ways = [
        [texts.place(way.text), _rounded(way.at[0]), way.weight, way.group, "", list(way.of)]
        for way in causes.ways
    ]
    causes_along = _along(causes.told, texts)
    return _told_only({"told": causes_along, "ways": ways, "fixed": _fixed(causes.fixed, texts)})


def _fixed(fixed: Fixed, texts: _Texts) -> Object:
    return {f"{texts.place(text)}": [share, list(of)] for text, (share, of) in fixed.items()}


def _times(way: Way, other: Way) -> float | None:
    """How many times another way a way is at every sun; None where they are not alike."""
    pairs = [
        pair for ends in zip(way.at, other.at, strict=True) for pair in zip(*ends, strict=True)
    ]
    ratios = [one / two for one, two in pairs if two > 0.0]
    if way.text != other.text or not ratios:
        return None
    times = ratios[len(ratios) // 2]
    alike = all(abs(one - times * two) <= 1e-6 * abs(one) for one, two in pairs)
    return _number(times) if alike else None


def _sun_causes(
    causes: SunCauses, texts: _Texts, key: str, all_causes: Mapping[str, SunCauses]
) -> Object:
    """Of volts at a resistance that stays only by how many ohms they are amperes."""
    amperes = all_causes[TIMED_IN_SUN[0]]

    def numbers(way: Way, other: Way) -> float | list[Any]:
        times = None if key == TIMED_IN_SUN[0] else _times(way, other)
        return _packed((end for ends in way.at for end in ends), 1) if times is None else times

    def ways(
        listed: tuple[tuple[str, Way], ...], others: tuple[tuple[str, Way], ...]
    ) -> list[list[Any]]:
        return [
            [
                texts.place(way.text),
                numbers(way, other),
                way.weight,
                way.group,
                known,
                list(way.of),
            ]
            for (known, way), (_, other) in zip(listed, others, strict=True)
        ]

    return {
        "lights": list(causes.lights),
        "below": ways(causes.below, amperes.below),
        "above": ways(causes.above, amperes.above),
        "open": [texts.place(text) for text in causes.open],
        "share": causes.share,
        "dark": [texts.place(text) for text in causes.dark],
        "fixed": _fixed(causes.fixed, texts),
    }


def _timed(timed: TimedBands) -> Object:
    logarithms = not timed.by_hour
    return {
        "hours": list(timed.hours),
        "byHour": timed.by_hour,
        "like": timed.like,
        "times": timed.times,
        "bands": {
            sky: _packed(_flat(months), logarithms=logarithms)
            for sky, months in timed.bands.items()
        },
        "lights": {sky: _packed(_flat(months), 1) for sky, months in timed.lights.items()},
    }


def _metered(sun: MeteredSun) -> Object:
    return {
        "hours": list(sun.hours),
        "airs": _packed(_flat(sun.airs), 1, sun.air_step),
        "off": sun.off,
        "dark": sun.dark,
        "inTheDark": dict(sun.in_the_dark),
    }
