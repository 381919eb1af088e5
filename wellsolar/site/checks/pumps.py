"""What cannot be in pumps and in what carries and keeps their water."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

from wellsolar.data import pipes
from wellsolar.data.fitting_table import OTHER
from wellsolar.errors import OutOfRange
from wellsolar.site.checks.words import (
    Mistakes,
    as_given,
    count,
    in_the_well,
    known,
    list_given,
    names_a_well,
    same_names,
    well_of,
)
from wellsolar.site.locate import Path
from wellsolar.wording import nearest, quoted


def pipe_sizes(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the sizes of pipes."""
    places: list[tuple[Path, Any]] = []
    if site.piping is not None:
        places += [
            (("piping", name), getattr(site.piping, name)) for name in ("drop_pipe", "lateral")
        ]
    places += [
        (("pump", i, name), getattr(pump, name))
        for i, pump in enumerate(site.pump)
        for name in ("drop_pipe", "line", "suction_pipe")
    ]
    if site.storage_tank is not None:
        places.append((("storage_tank", "gravity_line"), site.storage_tank.gravity_line))
    if site.hand_pump is not None:
        places += [
            (("hand_pump", name), getattr(site.hand_pump, name))
            for name in ("rising_main", "line")
        ]
    for path, run in places:
        if run is None:
            continue
        if known(run.bore, run.outside_diameter) and run.bore >= run.outside_diameter:
            yield (
                (*path, "bore"),
                f"{as_given(run.bore)} is not less than the outside diameter "
                f"({as_given(run.outside_diameter)})",
            )
        if not isinstance(run.size, str) or run.material not in pipes.materials():
            continue
        try:
            size = pipes.pipe_size(run.material, run.size)
        except OutOfRange:
            if not known(run.bore, run.outside_diameter):
                yield (*path, "size"), _no_size(run.material, run.size)
            continue
        if known(run.bore) and run.outside_diameter is None and run.bore >= size.outside_diameter:
            yield (
                (*path, "bore"),
                f"{as_given(run.bore)} is no less than {quoted(run.size)} of {run.material} "
                "measures outside: give its outside_diameter too, or its right size",
            )


def _fittings(site: SimpleNamespace) -> Iterator[tuple[Path, Any]]:
    """Every table of fittings with its path."""
    lists: list[tuple[Path, Any]] = [(("piping",), site.piping)]
    lists += [
        (("pump", number, name), getattr(pump, name))
        for number, pump in enumerate(site.pump)
        for name in ("line", "suction_pipe")
    ]
    if site.storage_tank is not None:
        lists.append((("storage_tank", "gravity_line"), site.storage_tank.gravity_line))
    for path, table in lists:
        for index, fitting in enumerate(() if table is None else table.fittings or ()):
            yield (*path, "fittings", index), fitting


def fittings(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the loss of fittings."""
    for path, fitting in _fittings(site):
        if known(fitting.k, fitting.equivalent_length):
            yield (
                (*path, "equivalent_length"),
                f"{as_given(fitting.equivalent_length)} and k = {as_given(fitting.k)} say the "
                "same twice: give one of them",
            )
        if fitting.kind == OTHER and fitting.k is None and fitting.equivalent_length is None:
            yield (
                (*path, "kind"),
                '"other" is in no table: give its k or its equivalent_length beside it',
            )
        opening = ("opening_velocity", fitting.opening_velocity), (
            "opening_pressure", fitting.opening_pressure,
        )  # fmt: skip
        openings = [(name, value) for name, value in opening if value is not None]
        if len(openings) == 2:
            yield (
                (*path, "opening_pressure"),
                f"{as_given(fitting.opening_pressure)} and an opening_velocity say the same "
                "twice: give the one on the valve's sheet",
            )
        for name, value in openings[:1]:
            if fitting.kind not in ("check valve", OTHER):
                yield (
                    (*path, name),
                    f"{as_given(value)}: only a check valve opens with the flow, leave it out for "
                    "other fittings",
                )
            elif known(fitting.equivalent_length):
                yield (
                    (*path, name),
                    f"{as_given(value)} needs the valve's k: give it in place of the "
                    "equivalent_length",
                )
            elif known(fitting.k) and fitting.k == 0:
                yield (*path, "k"), f"{as_given(value)} to open it and no loss exclude each other"


def _no_size(material: str, size: str) -> str:
    """What to say of a size that the table lacks: all that it has, or the diameters and walls."""
    pipe_sizes = [pipes.pipe_size(material, name) for name in pipes.sizes(material)]
    listed = ", ".join(quoted(pipe_size.nominal) for pipe_size in pipe_sizes)
    if pipe_sizes[0].wall:
        pipe_sizes.sort(key=lambda pipe_size: pipe_size.outside_diameter)
        diameters = ", ".join(dict.fromkeys(pipe_size.diameter for pipe_size in pipe_sizes))
        walls = ", ".join(dict.fromkeys(pipe_size.wall for pipe_size in pipe_sizes))
        listed = f"{diameters} with its wall, {walls}"
    others = [material for material in pipes.materials() if size in pipes.sizes(material)]
    if others:
        listed += f" ({quoted(size)} is one of {', '.join(others)})"
    near = (
        nearest(size, [pipe_size.nominal for pipe_size in pipe_sizes], 0.6)
        if pipe_sizes[0].wall
        else None
    )
    return (
        f"{quoted(size)} is no size of {material} in the table: expected one of {listed}, "
        "or any beside bore and outside_diameter"
        + (f", did you mean {quoted(near)}?" if near else "")
    )


def pressures(site: SimpleNamespace) -> Mistakes:
    """Mistakes in pressure switch, valve and pressure tank."""
    yield from _valve(site)
    switch, tank = site.pressure_switch, site.pressure_tank
    if switch is None:
        return
    if known(switch.cut_in, switch.cut_out) and switch.cut_in >= switch.cut_out:
        yield (
            ("pressure_switch", "cut_out"),
            f"{as_given(switch.cut_out)} is not above the cut-in ({as_given(switch.cut_in)}): "
            "the pump starts at cut-in and stops at cut-out",
        )
    precharge = None if tank is None else tank.precharge
    pressing = [pump for pump in site.pump if pump.delivers != "storage tank"]
    # Where a drive holds the pressure of every pump that presses, the switch starts none.
    by_drive = pressing and all(pump.held_pressure is not None for pump in pressing)
    if not by_drive and known(precharge, switch.cut_out) and precharge >= switch.cut_out:
        yield (
            ("pressure_tank", "precharge"),
            f"{as_given(precharge)} is not below the cut-out ({as_given(switch.cut_out)}): the "
            "tank would never take water; the usual precharge is 2 psi (14 kPa) below cut-in",
        )


def _valve(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the valve that holds the pressure."""
    valve = site.constant_pressure_valve
    if valve is None or valve.set_pressure is None:
        return
    place = "constant_pressure_valve"
    pressing = [pump for pump in site.pump if pump.delivers != "storage tank"]
    held = as_given(valve.set_pressure)
    if site.pressure_switch is None:
        yield (
            (place, "set_pressure"),
            f"{held} is held by a valve that stops no pump: it wants [pressure_switch] with "
            "cut_in and cut_out",
        )
    if pressing and all(pump.held_pressure is not None for pump in pressing):
        yield (
            (place, "set_pressure"),
            f"{held} is held by a valve, and every pump that presses into the house holds its own "
            "pressure by a drive: leave one of them out",
        )
    for one, other in (("loss", "loss_flow"), ("loss_flow", "loss")):
        if getattr(valve, one) is not None and getattr(valve, other) is None:
            yield (
                (place, one),
                f"{as_given(getattr(valve, one))} wants {other} beside it: a loss holds at its "
                "flow",
            )


def pumps(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the powered pumps."""
    yield from same_names("pump", site.pump)
    for index, pump in enumerate(site.pump):
        path: Path = ("pump", index)
        yield from _curve(path, pump)
        yield from in_the_well(well_of(site, pump), (*path, "intake_depth"), pump.intake_depth)
        if pump.phases == 3 and pump.supply == "DC":
            yield ((*path, "phases"), '3 phases and supply = "DC" exclude each other')
        if pump.held_pressure is not None and pump.start != "variable speed":
            yield (
                (*path, "held_pressure"),
                f"{as_given(pump.held_pressure)} is held by a pump of variable speed only: "
                'give start = "variable speed" beside it',
            )
        if pump.electronics == "none" and pump.start == "variable speed":
            yield (
                (*path, "electronics"),
                '"none" and start = "variable speed" exclude each other: a drive is electronics, '
                '"in a box" or "in the motor"',
            )
        if pump.kind != "suction" and pump.draws != "storage tank":
            for key in ("suction_line", "suction_pipe", "stands_at", "foot_valve"):
                if getattr(pump, key) is not None:
                    yield (
                        (*path, key),
                        'only a pump of kind = "suction" has one: leave it out for a pump in the '
                        "water",
                    )
        yield from _links(site, path, pump)
        yield from _in_another_well(site, path, pump)
        yield from _solar_drive(path, pump)
        yield from _jet(path, pump)
        yield from _passes_casing(site, path, pump)


def _links(site: SimpleNamespace, path: Path, pump: SimpleNamespace) -> Mistakes:
    """Mistakes in where a pump draws and delivers."""
    for key in ("draws", "delivers"):
        if getattr(pump, key) == "storage tank" and site.storage_tank is None:
            yield (
                (*path, key),
                '"storage tank" wants [storage_tank] with its volume: the file has none',
            )
    makes = site.pressure_switch is not None or pump.held_pressure is not None
    if pump.delivers == "pressure tank" and not makes:
        yield (
            (*path, "delivers"),
            '"pressure tank" wants [pressure_switch] with cut_in and cut_out, or the pump\'s '
            "held_pressure: the file has neither",
        )
    if pump.delivers == "storage tank" and pump.held_pressure is not None:
        yield (
            (*path, "held_pressure"),
            f"{as_given(pump.held_pressure)} is held at a pressure tank: a pump that delivers "
            "into the open storage tank holds none",
        )
    if pump.draws != "storage tank":
        return
    if pump.delivers == "storage tank":
        yield (
            (*path, "delivers"),
            '"storage tank" is where it draws from: a pump delivers elsewhere',
        )
    for key in ("intake_depth", "restart_level", "restart_after"):
        if getattr(pump, key) is not None:
            yield (
                (*path, key),
                f"{as_given(getattr(pump, key))} belongs to a pump in the well: one that draws "
                "from the storage tank has none; see storage_tank.stops_below",
            )


def _in_another_well(site: SimpleNamespace, path: Path, pump: SimpleNamespace) -> Mistakes:
    """Mistakes of a pump that says in which other well it hangs."""
    yield from names_a_well(site, path, pump)
    if pump.well is None:
        return
    if pump.draws == "storage tank":
        yield (
            (*path, "well"),
            f'{quoted(pump.well)} and draws = "storage tank" exclude each other: leave one out',
        )
        return
    elsewhere = pump.kind == "suction" and (
        pump.stands_at is not None or pump.suction_pipe is not None
    )
    key = "suction_pipe" if elsewhere else "line"
    own = getattr(pump, key)
    if own is not None and own.length is None:
        yield (*path, key), f"has no length: give how far it leads from {quoted(pump.well)}"
    if own is None and well_of(site, pump) is not None:
        yield (
            path,
            f"hangs in {quoted(pump.well)} and has no {key}: that of [piping] leads from [well], "
            f"so give [pump.{key}] its own material, size and length",
        )


def _solar_drive(path: Path, pump: SimpleNamespace) -> Mistakes:
    """Mistakes in the maker's table of a pump that modules drive, and in its voltages."""
    least, most = pump.least_voltage, pump.greatest_voltage
    if known(least, most) and least >= most:
        yield (
            (*path, "greatest_voltage"),
            f"{as_given(most)} is not above the least voltage ({as_given(least)})",
        )
    for number, block in enumerate(pump.solar_table):
        at: Path = (*path, "solar_table", number)
        power, flow = block.power, block.flow
        if known(power, flow) and len(power) != len(flow):
            yield (
                (*at, "flow"),
                f"{list_given(flow)} has {count(flow, 'value')} for {count(power, 'power')}: give "
                "one for each power",
            )
        for name, values in (("power", power), ("flow", flow)):
            if values is not None and any(later <= sooner for sooner, later in pairwise(values)):
                yield (
                    (*at, name),
                    f"{list_given(values)}: each must be greater than the one before: with more "
                    "power more water flows",
                )
        if number:
            yield from _upward(at, "head", pump.solar_table[number - 1], block)


def _upward(at: Path, name: str, before: SimpleNamespace, block: SimpleNamespace) -> Mistakes:
    """A block of a maker's table that does not lie above the one before it."""
    least, own = getattr(before, name), getattr(block, name)
    if known(least, own) and own <= least:
        yield (
            (*at, name),
            f"{as_given(own)} is not above that of the block before ({as_given(least)}): give the "
            f"{name}s upward",
        )


def _jet(path: Path, pump: SimpleNamespace) -> Mistakes:
    """Mistakes in the maker's table of a jet with its ejector in the well."""
    if pump.tail_pipe is not None and not pump.jet_table:
        yield (
            (*path, "tail_pipe"),
            f"{as_given(pump.tail_pipe)} hangs below an ejector in the well: give the jet's "
            "jet_table beside it",
        )
    if pump.jet_table and (pump.kind != "suction" or pump.draws == "storage tank"):
        yield (
            (*path, "jet_table"),
            'a jet stands above its well: give kind = "suction" beside its table; it draws none '
            "from the storage tank",
        )
    for number, block in enumerate(pump.jet_table):
        at: Path = (*path, "jet_table", number)
        pressure, flow = block.pressure, block.flow
        if known(pressure, flow) and len(pressure) != len(flow):
            yield (
                (*at, "flow"),
                f"{list_given(flow)} has {count(flow, 'value')} for "
                f"{count(pressure, 'pressure')}: give one for each pressure",
            )
        if pressure is not None and any(b <= a for a, b in pairwise(pressure)):
            yield (*at, "pressure"), f"{list_given(pressure)}: give the pressures upward"
        if flow is not None and (len(flow) < 2 or any(b >= a for a, b in pairwise(flow))):
            yield (
                (*at, "flow"),
                f"{list_given(flow)}: two flows or more, each less than the one before: against "
                "more pressure less water comes",
            )
        if number:
            yield from _upward(at, "lift", pump.jet_table[number - 1], block)


def storage_tank(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the floats of the storage tank."""
    tank = site.storage_tank
    if tank is None:
        return
    full = "100 %" if tank.fills_to is None else as_given(tank.fills_to)
    to = 1.0 if tank.fills_to is None else tank.fills_to
    if tank.fills_below is not None and tank.fills_below >= to:
        yield (
            ("storage_tank", "fills_below"),
            f"{as_given(tank.fills_below)} is not below the share at which filling stops ({full})",
        )
    if known(tank.stops_below, tank.fills_below) and tank.stops_below >= tank.fills_below:
        yield (
            ("storage_tank", "stops_below"),
            f"{as_given(tank.stops_below)} is not below the share at which filling starts "
            f"({as_given(tank.fills_below)}): pumps that draw would stop before it is filled",
        )


def pumps_run(site: SimpleNamespace) -> Mistakes:
    """A mistake where the two spellings of how pumps run contradict each other."""
    power = site.power
    if power is None or power.pumps_run is None or power.pump_changeover is None:
        return
    if power.pump_changeover != (power.pumps_run == "kept apart"):
        yield (
            ("power", "pumps_run"),
            f"{quoted(power.pumps_run)} and pump_changeover = "
            f"{str(power.pump_changeover).lower()} exclude each other: leave one out",
        )


def restart_levels(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the levels at which pumps start again."""
    for index, pump in enumerate(site.pump):
        well = well_of(site, pump)
        static: Any = None if well is None else well.static_level
        level, path = pump.restart_level, ("pump", index, "restart_level")
        if known(level, pump.restart_after):
            yield (
                ("pump", index, "restart_after"),
                f"{as_given(pump.restart_after)} and restart_level = {as_given(level)} exclude "
                "each other: a pump starts again after a time or at a level",
            )
        if known(level, pump.intake_depth) and level >= pump.intake_depth:
            yield (
                path,
                f"{as_given(level)} is not above the intake ({as_given(pump.intake_depth)}): "
                "the pump stops before the water is down at its intake and starts again higher",
            )
        if known(level, static) and level <= static:
            yield (
                path,
                f"{as_given(level)} is not below the water at rest ({as_given(static)}): "
                "once stopped, the pump would not start again",
            )


def _passes_casing(site: SimpleNamespace, path: Path, pump: SimpleNamespace) -> Mistakes:
    well = well_of(site, pump)
    bore = None if well is None else well.casing_bore
    for name in ("diameter", "motor_diameter"):
        wide = getattr(pump, name)
        hangs = pump.kind != "suction" and pump.draws != "storage tank"
        if hangs and known(wide, bore) and wide >= bore:
            yield ((*path, name), f"{as_given(wide)} does not pass the casing ({as_given(bore)})")
    if known(pump.diameter, pump.motor_diameter) and pump.motor_diameter > pump.diameter:
        yield (
            (*path, "motor_diameter"),
            f"{as_given(pump.motor_diameter)} is more than that of the whole pump "
            f"({as_given(pump.diameter)}), which is measured at its widest",
        )


def _curve(path: Path, pump: SimpleNamespace) -> Mistakes:
    flow, head, power = pump.flow, pump.head, pump.power
    if flow is not None and len(flow) < 2:
        yield ((*path, "flow"), f"{list_given(flow)} is one point: a curve needs two or more")
    if flow is not None and any(later <= sooner for sooner, later in pairwise(flow)):
        yield (
            (*path, "flow"),
            f"{list_given(flow)}: each flow of a curve must be greater than the one before",
        )
    if head is not None and any(later >= sooner for sooner, later in pairwise(head)):
        yield (
            (*path, "head"),
            f"{list_given(head)}: the head of a pump falls as its flow grows; "
            "each head must be lower than the one before",
        )
    for name, values in (("head", head), ("power", power)):
        if flow is not None and values is not None and len(values) != len(flow):
            yield (
                (*path, name),
                f"{list_given(values)} has {count(values, 'value')} for {count(flow, 'flow')}: "
                "give one for each flow",
            )
