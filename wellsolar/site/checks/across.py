"""What cannot be: mistakes that show only between two keys of a site file.

Each check takes the readable part of a file, in which any key may be None, and yields the key path
and the message of each mistake. Of a range the likeliest value counts, as it does in the studies.
What is merely unwise is no mistake: studies judge that.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

from wellsolar import kinds
from wellsolar.data import pipes
from wellsolar.errors import OutOfRange
from wellsolar.kinds import Kind
from wellsolar.physics.sun.clearness import greatest_daily_clearness
from wellsolar.physics.sun.geometry import average_day, extraterrestrial_day
from wellsolar.site.checks.hand import discharge_table, lifts
from wellsolar.site.checks.heater import NOT_ARRAYS, water_heater
from wellsolar.site.checks.outages import outages
from wellsolar.site.checks.well import restart_levels, well_tests
from wellsolar.site.checks.words import Mistakes
from wellsolar.site.checks.words import as_given as _w
from wellsolar.site.checks.words import count as _count
from wellsolar.site.checks.words import known as _known
from wellsolar.site.checks.words import list_given as _q
from wellsolar.site.locate import Path
from wellsolar.units import digits, item_written, to_unit
from wellsolar.wording import quoted


def mistakes(site: SimpleNamespace) -> Mistakes:
    """Every mistake between the keys of a readable part."""
    for check in _CHECKS:
        yield from check(site)


def _well(site: SimpleNamespace) -> Mistakes:
    well = site.well
    if well is None:
        return
    if _known(well.depth, well.static_level) and well.static_level >= well.depth:
        yield (
            ("well", "static_level"),
            f"{_w(well.static_level)} lies at or below the bottom of the well "
            f"({_w(well.depth)}): a static level is measured from the ground and is less deep",
        )
    level = well.tested_pumping_level
    if _known(level, well.static_level) and level <= well.static_level:
        yield (
            ("well", "tested_pumping_level"),
            f"{_w(level)} is not below the static level ({_w(well.static_level)}): "
            "pumping draws the water down, so it is a greater depth",
        )
    yield from _in_the_well(site, ("well", "tested_pumping_level"), level)


def _in_the_well(site: SimpleNamespace, path: Path, depth: Any) -> Mistakes:
    if site.well is not None and _known(depth, site.well.depth) and depth > site.well.depth:
        yield (path, f"{_w(depth)} lies below the bottom of the well ({_w(site.well.depth)})")


def _pipes(site: SimpleNamespace) -> Mistakes:
    places: list[tuple[Path, Any]] = []
    if site.piping is not None:
        places += [(("piping", name), getattr(site.piping, name)) for name in _PIPE_RUNS]
    places += [(("pump", i, "drop_pipe"), pump.drop_pipe) for i, pump in enumerate(site.pump)]
    if site.hand_pump is not None:
        places.append((("hand_pump", "rising_main"), site.hand_pump.rising_main))
    for path, run in places:
        if run is None or not isinstance(run.size, str) or run.material not in pipes.materials():
            continue
        try:
            pipes.pipe_size(run.material, run.size)
        except OutOfRange:
            known = ", ".join(f'"{size}"' for size in pipes.sizes(run.material))
            yield (
                (*path, "size"),
                f"{quoted(run.size)} is no size of {run.material} in the table: "
                f"expected one of {known}",
            )


_PIPE_RUNS = ("drop_pipe", "lateral")


def _pressures(site: SimpleNamespace) -> Mistakes:
    switch, tank = site.pressure_switch, site.pressure_tank
    if switch is None:
        return
    if _known(switch.cut_in, switch.cut_out) and switch.cut_in >= switch.cut_out:
        yield (
            ("pressure_switch", "cut_out"),
            f"{_w(switch.cut_out)} is not above the cut-in ({_w(switch.cut_in)}): "
            "the pump starts at cut-in and stops at cut-out",
        )
    precharge = None if tank is None else tank.precharge
    if _known(precharge, switch.cut_out) and precharge >= switch.cut_out:
        yield (
            ("pressure_tank", "precharge"),
            f"{_w(precharge)} is not below the cut-out ({_w(switch.cut_out)}): the tank "
            "would never take water; the usual precharge is 2 psi (14 kPa) below cut-in",
        )


def _pumps(site: SimpleNamespace) -> Mistakes:
    yield from _same_names("pump", site.pump)
    for index, pump in enumerate(site.pump):
        path: Path = ("pump", index)
        yield from _curve(path, pump)
        yield from _in_the_well(site, (*path, "intake_depth"), pump.intake_depth)
        if pump.phases == 3 and pump.supply == "DC":
            yield ((*path, "phases"), '3 phases and supply = "DC" exclude each other')
        if pump.held_pressure is not None and pump.start != "variable speed":
            yield (
                (*path, "held_pressure"),
                f"{_w(pump.held_pressure)} is held by a pump of variable speed only: "
                'give start = "variable speed" beside it',
            )
        yield from _passes_casing(site, path, pump)


def _passes_casing(site: SimpleNamespace, path: Path, pump: SimpleNamespace) -> Mistakes:
    bore = None if site.well is None else site.well.casing_bore
    for name in ("diameter", "motor_diameter"):
        wide = getattr(pump, name)
        if pump.kind != "suction" and _known(wide, bore) and wide >= bore:
            yield ((*path, name), f"{_w(wide)} does not pass the casing ({_w(bore)})")
    if _known(pump.diameter, pump.motor_diameter) and pump.motor_diameter > pump.diameter:
        yield (
            (*path, "motor_diameter"),
            f"{_w(pump.motor_diameter)} is more than that of the whole pump "
            f"({_w(pump.diameter)}), which is measured at its widest",
        )


def _curve(path: Path, pump: SimpleNamespace) -> Mistakes:
    flow, head, power = pump.flow, pump.head, pump.power
    if flow is not None and len(flow) < 2:
        yield ((*path, "flow"), f"{_q(flow)} is one point: a curve needs two or more")
    if flow is not None and any(later <= sooner for sooner, later in pairwise(flow)):
        yield (
            (*path, "flow"),
            f"{_q(flow)}: each flow of a curve must be greater than the one before",
        )
    if head is not None and any(later >= sooner for sooner, later in pairwise(head)):
        yield (
            (*path, "head"),
            f"{_q(head)}: the head of a pump falls as its flow grows; "
            "each head must be lower than the one before",
        )
    for name, values in (("head", head), ("power", power)):
        if flow is not None and values is not None and len(values) != len(flow):
            yield (
                (*path, name),
                f"{_q(values)} has {_count(values, 'value')} for {_count(flow, 'flow')}: "
                "give one for each flow",
            )


def _hand_pump(site: SimpleNamespace) -> Mistakes:
    hand, well = site.hand_pump, site.well
    if hand is None or well is None:
        return
    if hand.kind != "suction":
        yield from _in_the_well(site, ("hand_pump", "cylinder_depth"), hand.cylinder_depth)
        if _known(hand.bore, well.casing_bore) and hand.bore >= well.casing_bore:
            yield (
                ("hand_pump", "bore"),
                f"{_w(hand.bore)} does not pass the casing ({_w(well.casing_bore)})",
            )
        if _known(hand.bore, hand.cylinder_diameter) and hand.cylinder_diameter <= hand.bore:
            yield (
                ("hand_pump", "cylinder_diameter"),
                f"{_w(hand.cylinder_diameter)} is the outside of a cylinder whose bore is "
                f"{_w(hand.bore)}: it must be more",
            )
    if _known(hand.rod_diameter, hand.bore) and hand.rod_diameter >= hand.bore:
        yield (
            ("hand_pump", "rod_diameter"),
            f"{_w(hand.rod_diameter)} does not pass the cylinder, whose bore is {_w(hand.bore)}",
        )


def _module(site: SimpleNamespace) -> Mistakes:
    module = site.module
    if module is None:
        return
    if _known(module.vmp, module.voc) and module.vmp >= module.voc:
        yield (
            ("module", "vmp"),
            f"{_w(module.vmp)} is not below voc ({_w(module.voc)}): the voltage at maximum power "
            "is about four fifths of the open-circuit voltage",
        )
    if _known(module.imp, module.isc) and module.imp >= module.isc:
        yield (
            ("module", "imp"),
            f"{_w(module.imp)} is not below isc ({_w(module.isc)}): the current at maximum power "
            "is a little less than the short-circuit current",
        )
    yield from _cells(module)
    if _known(module.vmp, module.imp, module.rated_power):
        product = module.vmp * module.imp
        if abs(product / module.rated_power - 1) > 0.05:
            yield (
                ("module", "rated_power"),
                f"{_w(module.rated_power)} does not agree with vmp x imp = {product:.0f} W",
            )


def _cells(module: SimpleNamespace) -> Mistakes:
    cells = module.cells
    if not _known(module.voc) or type(cells) is not int or not 1 <= cells <= 1000:
        return
    each = module.voc / cells
    if not 0.45 <= each <= 0.85:
        yield (
            ("module", "cells"),
            f"{cells} cells in series make {each:.2f} V each of {_w(module.voc)}: a silicon cell "
            "gives 0.5 to 0.8 V; of half-cut cells count one series path only (120 half cells "
            "are 60 in series)",
        )


def _arrays(site: SimpleNamespace) -> Mistakes:
    yield from _same_names("array", site.array)
    for index, group in enumerate(site.array):
        if group.name in NOT_ARRAYS:
            yield (
                ("array", index, "name"),
                f"{quoted(group.name)} is what fed_by calls the {NOT_ARRAYS[group.name]}: give "
                "the array another name",
            )
        if group.cable is not None and group.cable.length is None and not _empty(group.cable):
            yield (
                ("array", index, "cable"),
                'has no length: give the one-way run, e.g. length = "250 ft"',
            )


def _empty(table: SimpleNamespace) -> bool:
    return all(value is None for value in vars(table).values())


def _sun(site: SimpleNamespace) -> Mistakes:
    sun = site.sun
    if sun is None:
        return
    latitude: Any = None if site.site is None else site.site.latitude
    if _known(sun.monthly, latitude):
        for month, total in enumerate(sun.monthly, 1):
            most = _greatest_mean(float(latitude), month)
            if total > most:
                written = item_written(sun.monthly, month - 1)
                yield (
                    ("sun", "monthly"),
                    f"{written} in {_MONTHS[month - 1]} is more than the sky allows at latitude "
                    f"{_w(latitude)}: on a level surface at most "
                    f"{_like(most, written, kinds.IRRADIATION)} a day",
                )
    if _known(sun.record_low, sun.temperature):
        month = min(range(12), key=lambda each: sun.temperature[each])
        if sun.record_low > sun.temperature[month]:
            yield (
                ("sun", "record_low"),
                f"{_w(sun.record_low)} is above the mean of {_MONTHS[month]} "
                f"({item_written(sun.temperature, month)}): the lowest temperature on record lies "
                "below the mean of every month",
            )


_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


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


def _same_names(table: str, items: list[Any]) -> Mistakes:
    seen: set[str] = set()
    for index, item in enumerate(items):
        if isinstance(item.name, str) and item.name in seen:
            yield (
                (table, index, "name"),
                f"{quoted(item.name)} is used twice: each {table} needs a name of its own",
            )
        elif isinstance(item.name, str):
            seen.add(item.name)


_CHECKS: tuple[Callable[[SimpleNamespace], Mistakes], ...] = (
    _well,
    well_tests,
    restart_levels,
    _pipes,
    _pressures,
    _pumps,
    _hand_pump,
    discharge_table,
    lifts,
    _module,
    _arrays,
    water_heater,
    _sun,
    outages,
)
