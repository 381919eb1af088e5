"""What cannot be in a module, in the groups of modules and in their sun."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.physics.sun.clearness import greatest_daily_clearness
from wellsolar.physics.sun.position import average_day, extraterrestrial_day
from wellsolar.site.checks.heater import NOT_ARRAYS
from wellsolar.site.checks.words import (
    Mistakes,
    as_given,
    known,
    same_names,
)
from wellsolar.units import digits, item_written, to_unit
from wellsolar.wording import quoted

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def datasheet(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the datasheet of the module."""
    module = site.module
    if module is None:
        return
    if known(module.vmp, module.voc) and module.vmp >= module.voc:
        yield (
            ("module", "vmp"),
            f"{as_given(module.vmp)} is not below voc ({as_given(module.voc)}): the voltage at "
            "maximum power is about four fifths of the open-circuit voltage",
        )
    if known(module.imp, module.isc) and module.imp >= module.isc:
        yield (
            ("module", "imp"),
            f"{as_given(module.imp)} is not below isc ({as_given(module.isc)}): the current at "
            "maximum power is a little less than the short-circuit current",
        )
    yield from _cells(module)
    if known(module.vmp, module.imp, module.rated_power):
        product = module.vmp * module.imp
        if abs(product / module.rated_power - 1) > 0.05:
            yield (
                ("module", "rated_power"),
                f"{as_given(module.rated_power)} does not agree with vmp x imp = {product:.0f} W",
            )


def _cells(module: SimpleNamespace) -> Mistakes:
    cells = module.cells
    if not known(module.voc) or type(cells) is not int or not 1 <= cells <= 1000:
        return
    of_cell = module.voc / cells
    if not 0.45 <= of_cell <= 0.85:
        yield (
            ("module", "cells"),
            f"{cells} cells in series make {of_cell:.2f} V each of {as_given(module.voc)}: a "
            "silicon cell gives 0.5 to 0.8 V; of half-cut cells count one series path only (120 "
            "half cells are 60 in series)",
        )


def arrays(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the groups of modules."""
    yield from same_names("array", site.array)
    for index, group in enumerate(site.array):
        if group.name in NOT_ARRAYS:
            yield (
                ("array", index, "name"),
                f"{quoted(group.name)} is what fed_by calls the {NOT_ARRAYS[group.name]}: give "
                "the array another name",
            )
        least, greatest = group.least_input_voltage, group.greatest_input_voltage
        if known(least, greatest) and least >= greatest:
            yield (
                ("array", index, "least_input_voltage"),
                f"{as_given(least)} must be less than greatest_input_voltage "
                f"({as_given(greatest)})",
            )
        yield from _near_buildings(index, group)
        if group.cable is not None and group.cable.length is None and not _empty(group.cable):
            yield (
                ("array", index, "cable"),
                'has no length: give the one-way run, e.g. length = "250 ft"',
            )


def _near_buildings(index: int, group: SimpleNamespace) -> Mistakes:
    """A mistake where a group that must touch a building is said to touch none."""
    if group.reaches != "no building":
        return
    if group.place == "roof":
        why = 'the modules are on a building (place = "roof")'
        yield (
            ("array", index, "reaches"),
            f'"no building" can\'t be: {why}; write "building" or "outside wall"',
        )
    elif group.feeds == "heater":
        yield (
            ("array", index, "reaches"),
            '"no building" can\'t be: the water heater stands in a building or at its wall; '
            'write "building" or "outside wall"',
        )


def _empty(table: SimpleNamespace) -> bool:
    return all(value is None for value in vars(table).values())


def sky(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the table of the sky and the air."""
    sun = site.sun
    if sun is None:
        return
    latitude: Any = None if site.site is None else site.site.latitude
    if known(sun.monthly, latitude):
        for month, total in enumerate(sun.monthly, 1):
            most = _greatest_mean(float(latitude), month)
            if total > most:
                written = item_written(sun.monthly, month - 1)
                yield (
                    ("sun", "monthly"),
                    f"{written} in {_MONTHS[month - 1]} is more than the sky allows at latitude "
                    f"{as_given(latitude)}: on a level surface at most "
                    f"{_like(most, written, kinds.IRRADIATION)} a day",
                )
    if known(sun.record_low, sun.temperature):
        month = min(range(12), key=lambda number: sun.temperature[number])
        if sun.record_low > sun.temperature[month]:
            yield (
                ("sun", "record_low"),
                f"{as_given(sun.record_low)} is above the mean of {_MONTHS[month]} "
                f"({item_written(sun.temperature, month)}): the lowest temperature on record lies "
                "below the mean of every month",
            )


def _greatest_mean(latitude: float, month: int) -> float:
    """Daily total of a month in which every day is the clearest that such a month has [J/m2]."""
    outside = float(extraterrestrial_day(latitude, average_day(month)))
    clear = 0.75
    for _ in range(20):
        clear = greatest_daily_clearness(clear)
    return clear * outside


def _like(value: float, written: str, kind: Kind) -> str:
    """A value in the unit of a text of the file."""
    unit = written.partition(" ")[2]
    if unit not in kind.written:
        unit = kind.us[0].unit
    text = digits(to_unit(value, kind, unit), 2)
    return f"{text} {unit.removesuffix('/day').removesuffix('/d')}"
