"""What cannot be: mistakes that show only between two keys of a site file.

Each check takes the readable part of a file, in which any key may be None, and yields the key path
and the message of each mistake. What is merely unwise is no mistake: studies judge that.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from types import SimpleNamespace
from typing import Any

from wellsolar.data import pipes, wiring
from wellsolar.errors import OutOfRange
from wellsolar.site.locate import Path

Mistakes = Iterator[tuple[Path, str]]


def mistakes(site: SimpleNamespace) -> Mistakes:
    """Every mistake between keys.

    Parameters:
        site: from `shape.readable_part`
    Returns:
        key path and message of each
    """
    for check in _CHECKS:
        yield from check(site)


def _well(site: SimpleNamespace) -> Mistakes:
    well = site.well
    if well is None:
        return
    if _known(well.depth, well.static_level) and well.static_level.low >= well.depth.high:
        yield (
            ("well", "static_level"),
            f"{_w(well.static_level)} lies at or below the bottom of the well "
            f"({_w(well.depth)}): a static level is measured from the ground and is less deep",
        )
    level = well.tested_pumping_level
    if _known(level, well.static_level) and level.high <= well.static_level.low:
        yield (
            ("well", "tested_pumping_level"),
            f"{_w(level)} is not below the static level ({_w(well.static_level)}): "
            "pumping draws the water down, so it is a greater depth",
        )
    if _known(level, well.depth) and level.low > well.depth.high:
        yield (
            ("well", "tested_pumping_level"),
            f"{_w(level)} lies below the bottom of the well ({_w(well.depth)})",
        )


def _pipes(site: SimpleNamespace) -> Mistakes:
    places: list[tuple[Path, Any]] = []
    if site.piping is not None:
        places += [(("piping", name), getattr(site.piping, name)) for name in _PIPE_RUNS]
    places += [(("pump", i, "drop_pipe"), pump.drop_pipe) for i, pump in enumerate(site.pump)]
    for path, run in places:
        if run is None or not isinstance(run.size, str) or run.material not in pipes.materials():
            continue
        try:
            pipes.pipe_size(run.material, run.size)
        except OutOfRange:
            known = ", ".join(f'"{size}"' for size in pipes.sizes(run.material))
            yield (
                (*path, "size"),
                f'"{run.size}" is no size of {run.material} in the table: expected one of {known}',
            )


_PIPE_RUNS = ("drop_pipe", "lateral")


def _pressures(site: SimpleNamespace) -> Mistakes:
    switch, tank = site.pressure_switch, site.pressure_tank
    if switch is None:
        return
    if _known(switch.cut_in, switch.cut_out) and switch.cut_in.high >= switch.cut_out.low:
        yield (
            ("pressure_switch", "cut_out"),
            f"{_w(switch.cut_out)} is not above the cut-in ({_w(switch.cut_in)}): "
            "the pump starts at cut-in and stops at cut-out",
        )
    if tank is not None and _known(tank.precharge, switch.cut_out):
        if tank.precharge.low >= switch.cut_out.high:
            yield (
                ("pressure_tank", "precharge"),
                f"{_w(tank.precharge)} is not below the cut-out ({_w(switch.cut_out)}): the tank "
                "would never take water; the usual precharge is 2 psi (14 kPa) below cut-in",
            )


def _pumps(site: SimpleNamespace) -> Mistakes:
    yield from _same_names("pump", site.pump)
    for index, pump in enumerate(site.pump):
        path: Path = ("pump", index)
        yield from _curve(path, pump)
        depth = pump.intake_depth
        if site.well is not None and _known(depth, site.well.depth):
            if depth.low > site.well.depth.high:
                yield (
                    (*path, "intake_depth"),
                    f"{_w(depth)} lies below the bottom of the well ({_w(site.well.depth)})",
                )
        if pump.phases == 3 and pump.supply == "DC":
            yield ((*path, "phases"), '3 phases and supply = "DC" exclude each other')


def _curve(path: Path, pump: SimpleNamespace) -> Mistakes:
    flow, head, power = pump.flow, pump.head, pump.power
    if flow is not None and len(flow) < 2:
        yield ((*path, "flow"), f'"{flow[0].written}" is one point: a curve needs two or more')
    if flow is not None and any(b <= a for a, b in zip(flow, flow[1:], strict=False)):
        yield ((*path, "flow"), f'"{flow[0].written}": the flows of a curve run upward')
    if head is not None and any(b >= a for a, b in zip(head, head[1:], strict=False)):
        yield (
            (*path, "head"),
            f'"{head[0].written}": the head of a pump falls as its flow grows; '
            "each head must be lower than the one before",
        )
    for name, values in (("head", head), ("power", power)):
        if flow is not None and values is not None and len(values) != len(flow):
            yield (
                (*path, name),
                f'"{values[0].written}" has {len(values)} values for {len(flow)} flows: '
                "give one for each flow",
            )


def _hand_pump(site: SimpleNamespace) -> Mistakes:
    hand, well = site.hand_pump, site.well
    if hand is None or well is None or not _known(hand.cylinder_depth, well.depth):
        return
    if hand.kind != "suction" and hand.cylinder_depth.low > well.depth.high:
        yield (
            ("hand_pump", "cylinder_depth"),
            f"{_w(hand.cylinder_depth)} lies below the bottom of the well ({_w(well.depth)})",
        )
    if _known(hand.bore, well.casing_bore) and hand.bore.low >= well.casing_bore.high:
        yield (
            ("hand_pump", "bore"),
            f"{_w(hand.bore)} does not pass the casing ({_w(well.casing_bore)})",
        )


def _module(site: SimpleNamespace) -> Mistakes:
    module = site.module
    if module is None:
        return
    if _known(module.vmp, module.voc) and module.vmp.high >= module.voc.low:
        yield (
            ("module", "vmp"),
            f"{_w(module.vmp)} is not below voc ({_w(module.voc)}): the voltage at maximum power "
            "is about four fifths of the open-circuit voltage",
        )
    if _known(module.imp, module.isc) and module.imp.high >= module.isc.low:
        yield (
            ("module", "imp"),
            f"{_w(module.imp)} is not below isc ({_w(module.isc)}): the current at maximum power "
            "is a little less than the short-circuit current",
        )
    if _known(module.voc) and isinstance(module.cells, int) and module.cells > 0:
        if not 0.45 <= module.voc / module.cells <= 0.85:
            yield (
                ("module", "cells"),
                f"{module.cells} cells in series make {module.voc / module.cells:.2f} V each of "
                f"{_w(module.voc)}: a silicon cell gives 0.5 to 0.8 V; of half-cut cells count "
                "one series path only (120 half cells are 60 in series)",
            )
    if _known(module.vmp, module.imp, module.rated_power):
        product = module.vmp * module.imp
        if abs(product / module.rated_power - 1) > 0.05:
            yield (
                ("module", "rated_power"),
                f"{_w(module.rated_power)} does not agree with vmp x imp = {product:.0f} W",
            )


def _arrays(site: SimpleNamespace) -> Mistakes:
    yield from _same_names("array", site.array)
    names = [group.name for group in site.array if isinstance(group.name, str)]
    heater = site.water_heater
    if heater is None:
        return
    for index, element in enumerate(heater.element):
        fed = element.fed_by
        if isinstance(fed, str) and fed != "grid" and fed not in names:
            known = ", ".join(f'"{name}"' for name in [*names, "grid"])
            yield (
                ("water_heater", "element", index, "fed_by"),
                f'"{fed}" is no array group of this file: expected one of {known}',
            )
    limit = heater.mixing_valve.outlet if heater.mixing_valve is not None else None
    if _known(limit, heater.draw.temperature) and heater.draw.temperature.low > limit.high:
        yield (
            ("water_heater", "draw", "temperature"),
            f"{_w(heater.draw.temperature)} is hotter than the mixing valve lets through "
            f"({_w(limit)})",
        )


def _wires(site: SimpleNamespace) -> Mistakes:
    places = [(("pump", i, "cable"), pump.cable) for i, pump in enumerate(site.pump)]
    places += [(("array", i, "cable"), group.cable) for i, group in enumerate(site.array)]
    for path, cable in places:
        if cable is None or cable.gauge not in wiring.gauges():
            continue
        if path[0] == "array" and cable.length is None:
            yield (path, 'has no length: give the one-way run, e.g. length = "250 ft"')


def _same_names(table: str, items: list[Any]) -> Mistakes:
    seen: set[str] = set()
    for index, item in enumerate(items):
        if isinstance(item.name, str) and item.name in seen:
            yield (
                (table, index, "name"),
                f'"{item.name}" is used twice: each {table} needs a name of its own',
            )
        elif isinstance(item.name, str):
            seen.add(item.name)


def _known(*values: Any) -> bool:
    return all(value is not None for value in values)


def _w(value: Any) -> str:
    return str(value.written)


_CHECKS: tuple[Callable[[SimpleNamespace], Mistakes], ...] = (
    _well,
    _pipes,
    _pressures,
    _pumps,
    _hand_pump,
    _module,
    _arrays,
    _wires,
)
