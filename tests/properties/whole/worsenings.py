"""Changes of one thing of a site for the worse, as rows of a table.

A worsening says what is worse and gives every way of making a site so: "thinner wire" gives one
changed site for each cable of the file. Which verdicts are then no better is asked in
`test_worse.py`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from tests.properties.whole.strategy import Tables
from wellsolar.data import pipes, wiring
from wellsolar.site.schema import Site

_NUMBER = re.compile(r"(?<![\w./*-])(-?)(?:(\d+) )?(\d+/\d+|\d+(?:\.\d+)?(?:e-?\d+)?)")

How = Callable[[Any], Any]
"""What stands in the file, None for nothing, to what stands there then; None for no change."""


def each_number(text: str, change: Callable[[float], float]) -> str:
    """A written quantity, list or range with each number changed, its unit kept."""

    def written(found: re.Match[str]) -> str:
        sign, whole, rest = found.groups()
        number = float(Fraction(rest) if "/" in rest else float(rest)) + float(whole or 0)
        return f"{change(-number if sign else number):.9g}"

    return _NUMBER.sub(written, text)


def times(factor: float) -> How:
    """So many times what the file has."""

    def how(value: Any) -> Any:
        if isinstance(value, str):
            return each_number(value, lambda number: number * factor)
        return None if value is None else max(1, round(value * factor))

    return how


def plus(us: float, si: float) -> How:
    """So much more: the first number in units of the trade, the second in metric ones."""
    metric = re.compile(r"(?<![a-zA-Z])(m|mm|kPa|degC|L/min|bar)$")

    def how(value: Any) -> Any:
        if not isinstance(value, str):
            return None
        more = si if metric.search(value) else us
        return each_number(value, lambda number: number + more)

    return how


def to(new: Any, but: tuple[Any, ...] = ()) -> How:
    """Another value, whatever the file has, unless that is the new one or as bad."""
    return lambda value: None if value == new or value in but else new


def was(old: Any, new: Any) -> How:
    """Another value in place of one that the file has."""
    return lambda value: new if value == old else None


GONE = object()
"""In place of a value: the key is taken out."""


def gone(value: Any) -> Any:
    """Without the key."""
    return None if value is None else GONE


def fewer(value: Any) -> Any:
    """One less of them."""
    return value - 1 if isinstance(value, int) and value > 1 else None


def all_but_two(value: Any) -> Any:
    """A list without its last two values."""
    if not isinstance(value, str) or value.count(",") < 3:
        return None
    numbers, unit = value.rsplit(" ", 1)
    return f"{','.join(numbers.split(',')[:-2])} {unit}"


def turbulent(value: Any) -> Any:
    """Drawdowns that grow faster with each step."""
    if value is None:
        return None
    numbers, unit = value.rsplit(" ", 1)
    steps = [float(each) * (1 + 0.4 * n) for n, each in enumerate(numbers.split(","))]
    return f"{', '.join(f'{each:.6g}' for each in steps)} {unit}"


def thinner(value: Any) -> Any:
    """Two gauges thinner."""
    if value is None:
        return None
    sold = wiring.metric_wires() if wiring.wire(value).metric else wiring.wires()
    at = [each.gauge for each in sold].index(value) - 2
    return sold[at].gauge if at >= 0 else None


def narrower(run: Any) -> Any:
    """A pipe one size smaller."""
    if not isinstance(run, dict) or "size" not in run:
        return None
    material = run.get("material", "polyethylene SIDR")
    alike = pipes.named_alike(material, pipes.pipe_size(material, run["size"]))
    sizes = [each.nominal for each in alike]
    at = sizes.index(run["size"]) - 1
    return {**run, "size": sizes[at]} if at >= 0 else None


def rougher(run: Any) -> Any:
    """A plastic pipe in old steel."""
    if not isinstance(run, dict) or "steel" in run.get("material", ""):
        return None
    size = run.get("size", "1 in").split(" mm")[0]
    near = {"32": "DN 25", "40": "DN 32", "50": "DN 40", "63": "DN 50"}.get(size, size)
    return {**run, "size": near, "material": "galvanised steel"}


def if_none(absent: Any, how: How) -> How:
    """As `how` does it, with a value where the file has none and takes the default."""
    return lambda value: absent if value is None else how(value)


@dataclass(frozen=True)
class Worsening:
    """One thing made worse.

    name: what is worse
    keys: paths of the file, `[]` for each table of several, and what becomes of each; those that
        share their tables are changed together
    removes: the path that is taken out, where one is
    """

    name: str
    keys: tuple[tuple[str, How], ...]
    removes: str = ""

    def ways(self, site: Tables) -> Iterator[tuple[str, Tables]]:
        """Each way of making a site worse so: where, and the changed tables."""
        places = {where for path, _ in self.keys for where in _places(site, path.split("."))}
        for numbers in sorted(places):
            changed = deepcopy(site)
            at = [key for path, how in self.keys if (key := _change(changed, path, numbers, how))]
            if at:
                yield ", ".join(at), changed


def _places(site: Any, path: list[str]) -> Iterator[tuple[int, ...]]:
    """The numbers of the tables that `[]` may stand for."""
    name, rest = path[0], path[1:]
    if not rest:
        yield ()
    elif name.endswith("[]"):
        for number, table in enumerate(site.get(name[:-2], ())):
            yield from ((number, *more) for more in _places(table, rest))
    elif isinstance(site.get(name), dict):
        yield from _places(site[name], rest)
    elif name in ALWAYS:
        yield ()


ALWAYS = ("power", "limits", "piping", "demand", "sun", "losses", "aim")
"""Tables whose defaults hold where the file has none."""


def _change(site: Tables, path: str, numbers: tuple[int, ...], how: How) -> str:
    """Change a key in place; its path, empty where nothing is to be changed."""
    table: Any = site
    left = list(numbers)
    *names, key = path.split(".")
    written = []
    for name in names:
        if name.endswith("[]"):
            if not left or name[:-2] not in table or left[0] >= len(table[name[:-2]]):
                return ""
            table = table[name[:-2]][left[0]]
            written.append(f"{name[:-2]}[{left.pop(0) + 1}]")
        else:
            if name not in table and name not in ALWAYS:
                return ""
            table = table.setdefault(name, {})
            written.append(name)
    new = how(table.get(key))
    if new is None:
        return ""
    if new is GONE:
        del table[key]
    else:
        table[key] = new
    return ".".join([*written, key])


def one(name: str, path: str, how: How) -> Worsening:
    """A worsening of a single key."""
    return Worsening(name, ((path, how),))


def without(path: str) -> Worsening:
    """A key taken out of the file."""
    return Worsening(f"without {path}", ((path, gone),), removes=path)


def deeper_by(us: float, si: float, well: str = "well") -> tuple[tuple[str, How], ...]:
    """All levels of a well that much deeper."""
    levels = ("static_level", "tested_pumping_level", "drawdown_test.level",
              "drawdown_test.rest_level")  # fmt: skip
    return tuple((f"{well}.{each}", plus(us, si)) for each in levels)


def _reaching(up: float) -> How:
    """A value that may be so many times itself."""

    def how(value: Any) -> Any:
        if not isinstance(value, str) or ".." in value or "," in value:
            return None
        return f"{value} ({value} .. {times(up)(value)})"

    return how


WELL = (
    Worsening("deeper water", deeper_by(15.0, 5.0)),
    Worsening("water much deeper", deeper_by(60.0, 18.0)),
    one("water perhaps deeper", "well.static_level", _reaching(1.2)),
    Worsening("less yield", (
        ("well.specific_capacity", times(0.5)), ("well.tested_yield", times(0.5)),
        ("well.transmissivity", times(0.5)), ("well.drawdown_test.flow", times(0.5)),
        ("well.step_test.flow", times(0.5)))),
    one("a well tested for less", "well.tested_yield", times(0.4)),
    Worsening("deeper drawdown", (
        ("well.specific_capacity", times(0.7)), ("well.step_test.drawdown", times(1.4)))),
    one("more turbulence in the well", "well.step_test.drawdown", turbulent),
    one("a shorter test", "well.drawdown_test.time", times(0.5)),
    one("readings in another well", "well.drawdown_test.distance", if_none("60 ft", times(2))),
    one("drawn deeper in the test", "well.tested_pumping_level", times(1.2)),
    one("perhaps less yield", "well.specific_capacity", _reaching(0.6)),
    one("a narrower casing", "well.casing_bore", times(0.7)),
    one("a shallower well", "well.depth", times(0.85)),
    one("colder well water", "well.water_temperature", plus(-8, -4)),
    one("deeper frost", "piping.frost_depth", if_none("60 in", plus(30, 750))),
    one("a shallower pitless adapter", "piping.pitless_depth", if_none("1 ft", times(0.4))),
    one("a check valve in the house", "piping.check_valve_place", to("house")),
    one("a lower casing", "well.casing_height", if_none("2 in", times(0.3))),
    one("a flood", "well.flood_height", if_none("3 ft", plus(3, 1))),
    one("a nearer septic tank", "well.septic_tank_distance", if_none("30 ft", times(0.4))),
    one("a nearer drain field", "well.drain_field_distance", if_none("60 ft", times(0.4))),
    one("a spool in the casing", "well.pitless_spool", if_none("3.5 in", times(1.2))),
    Worsening("deeper water in another well", deeper_by(4.0, 1.2, "other_well[]")),
    one("another well tested for less", "other_well[].tested_yield", times(0.4)),
    one("another well on lower ground", "other_well[].ground_height", plus(-15, -4.5)),
    one("a lower casing of another well", "other_well[].casing_height", times(0.3)),
    one("another well nearer a septic tank", "other_well[].septic_tank_distance", times(0.4)),
    one("a shallower pipe from another well", "other_well[].pitless_depth", times(0.4)),
)  # fmt: skip

PIPES = (
    one("a narrower drop pipe", "piping.drop_pipe", narrower),
    one("a narrower drop pipe of its own", "pump[].drop_pipe", narrower),
    one("a narrower lateral", "piping.lateral", narrower),
    one("a rougher drop pipe", "piping.drop_pipe", rougher),
    one("a rougher lateral", "piping.lateral", rougher),
    one("a longer lateral", "piping.lateral.length", if_none("400 ft", times(3))),
    one("a drop pipe of a low class", "piping.drop_pipe.pressure_class", to("40 psi")),
    one("a lateral of a low class", "piping.lateral.pressure_class", to("40 psi")),
    one("more fittings", "piping.fittings[].count", times(4)),
    one("a check valve that opens late", "piping.fittings[].opening_velocity", times(4)),
    one("a stiffer spring in a check valve", "piping.fittings[].opening_pressure", times(10)),
    one("fittings that lose more", "piping.fittings[].k", times(3)),
    one("fittings worth more pipe", "piping.fittings[].equivalent_length", times(3)),
    one("a rougher wall", "piping.lateral.roughness", times(4)),
    one("more loss in treatment", "piping.treatment_loss", if_none("8 psi", plus(8, 55))),
    one("a higher tank", "piping.tank_elevation", if_none("30 ft", plus(25, 8))),
)

PUMPS = (
    one("an older pump", "pump[].head", times(0.85)),
    one("a much weaker pump", "pump[].head", times(0.5)),
    one("a pump that takes more", "pump[].power", times(1.4)),
    one("a sheet that promises too much", "pump[].power", times(0.35)),
    Worsening("a sheet of fewer points", (
        ("pump[].flow", all_but_two), ("pump[].head", all_but_two),
        ("pump[].power", all_but_two))),
    one("a pump that wastes more", "pump[].efficiency", times(0.7)),
    one("an intake less deep", "pump[].intake_depth", times(0.85)),
    one("more water to keep above the intake", "pump[].minimum_submergence",
        if_none("30 ft", times(2))),
    one("a motor without a service factor", "pump[].service_factor", to("1")),
    one("a breaker too small", "pump[].breaker", times(0.3)),
    one("a breaker too large", "pump[].breaker", if_none("150 A", times(6))),
    one("a fatter pump", "pump[].diameter", times(1.2)),
    one("a longer pump", "pump[].length", times(2)),
    one("a pump without a shroud", "pump[].shroud", was(True, False)),
    one("no dry-run protection", "pump[].dry_run_protection", to(False)),
    one("a suction pump that needs more", "pump[].required_suction_head", plus(6, 2)),
    one("no foot valve", "pump[].foot_valve", to(False)),
    one("a suction pump that stands higher", "pump[].stands_at", plus(8, 2.5)),
    one("a buried suction line", "pump[].suction_line", to("buried")),
    one("more pressure to hold", "pump[].held_pressure", plus(15, 100)),
    one("a worse power factor", "pump[].power_factor", if_none("55 %", times(0.75))),
    one("more amperes at start", "pump[].locked_rotor_current", times(1.5)),
    one("a worse code letter", "pump[].code_letter", to("R")),
    one("more amperes at a gentle start", "pump[].starting_current", times(2)),
    one("no overload protection", "pump[].overload", to("none")),
    one("an overload set too high", "pump[].overload_current", times(1.5)),
    one("no ground-fault breaker", "pump[].ground_fault_breaker", was(True, False)),
    one("more amperes at full load", "pump[].full_load_current", times(1.5)),
    one("a motor for less voltage", "pump[].voltage", times(0.5)),
    Worsening("a pump hung far deeper", (
        ("well.depth", times(4)), ("pump[].intake_depth", times(4)))),
    one("three phases", "pump[].phases", to(3)),
    one("a bigger motor", "pump[].rated_power", to("7 1/2 hp")),
    one("thinner pump cable", "pump[].cable.gauge", thinner),
    one("a longer pump cable", "pump[].cable.length", times(2)),
    one("a hotter pump cable", "pump[].cable.ambient", to("60 degC")),
    one("a pump cable among others", "pump[].cable.conductors", to(10)),
    one("thicker pump cable in the casing", "pump[].cable.diameter", times(2)),
    one("a pump that rests longer", "pump[].restart_after", times(8)),
    one("a pump started later", "pump[].restart_level", times(0.9)),
)  # fmt: skip

PRESSURE = (
    Worsening("higher pressure", (
        ("pressure_switch.cut_in", plus(15, 100)), ("pressure_switch.cut_out", plus(15, 100)),
        ("pressure_tank.precharge", plus(15, 100)))),
    one("a higher cut-out", "pressure_switch.cut_out", plus(25, 170)),
    one("far too little precharge", "pressure_tank.precharge", times(0.4)),
    one("too much precharge", "pressure_tank.precharge", plus(5, 35)),
    one("far too much precharge", "pressure_tank.precharge", plus(20, 140)),
    one("a smaller tank", "pressure_tank.volume", times(0.3)),
    one("a much smaller tank", "pressure_tank.volume", times(0.05)),
    one("a tank for less pressure", "pressure_tank.greatest_pressure", to("65 psi")),
    one("no relief valve at the tank", "pressure_tank.relief_pressure", gone),
    one("a pressure tank where it freezes", "pressure_tank.coldest_room",
        if_none("10 degF", plus(-50, -28))),
    one("one tank less", "pressure_tank.count", fewer),
)  # fmt: skip

WANTED = (
    one("more use", "demand.daily_use", times(2)),
    one("far more use", "demand.daily_use", times(12)),
    one("more taps at once", "demand.peak_flow", times(2)),
    one("more water to survive", "demand.survival_use", if_none("50 L/day", times(3))),
    one("more people", "site.people", times(3)),
    one("far more people", "site.people", times(100)),
    one("longer outages", "outage[].days", if_none(30, times(4))),
    Worsening("a storm without sun", (("outage[].failed", lambda value: [*value, "sun"]),)),
    Worsening("a storm that takes the well too",
              (("outage[].failed", lambda value: [*value, "well"]),)),
    Worsening("a storm that takes all",
              (("outage[].failed", lambda value: [*value, "well", "storage tank"]),)),
)  # fmt: skip

POWER = (
    one("no changeover switch", "power.pump_changeover", to(False)),
    one("pumps at once", "power.pumps_run", was("kept apart", "at once")),
    one("no grid", "power.grid", to(False)),
    one("a well whose metal is bonded to nothing", "well.bonded", to(False)),
    one(
        "one high limit for two supplies",
        "water_heater.element[].high_limit_switches",
        to("nothing"),
    ),
    one("currents in one wiring space", "water_heater.supplies_apart", to(False)),
    one("nothing between the supplies", "power.kept_apart", to([])),
    Worsening(
        "a generator bonded twice",
        (("power.generator_neutral", to("bonded")), ("power.transfer_neutral", to("joined"))),
    ),
    one("a smaller inverter", "power.inverter_rating", times(0.3)),
    one(
        "a relay that carries less",
        "water_heater.element[].surplus_switch_current",
        times(0.3),
    ),
    one("a smaller surge", "power.inverter_surge", times(0.4)),
    one("an inverter of another voltage", "power.inverter_voltage", to("400 V")),
    one("an inverter that wastes more", "power.inverter_efficiency", if_none("60 %", times(0.7))),
    one("an inverter that idles more", "power.inverter_idle", if_none("200 W", times(4))),
    one("a smaller generator", "power.generator_rating", times(0.3)),
    one("less fuel", "power.generator_hours", times(0.3)),
    one("a smaller battery", "power.battery_energy", times(0.3)),
    one("less of the battery usable", "power.battery_usable", if_none("30 %", times(0.5))),
    one("a battery that wastes more", "power.battery_efficiency", if_none("60 %", times(0.7))),
    one("more use of the battery", "power.other_use", if_none("8 kWh", times(4))),
    one("dirtier modules", "losses.dirt", to("40 %")),
    one("a worse derate", "power.array_derate", if_none("50 %", times(0.6))),
    one("a valve set to cut-out", "constant_pressure_valve.set_pressure", to("60 psi")),
    one("a valve that bears less", "constant_pressure_valve.greatest_pressure", times(0.5)),
    one("a valve that shuts farther", "constant_pressure_valve.least_flow", times(0.3)),
    one("a valve that loses more", "constant_pressure_valve.loss", times(2)),
    one("a smaller storage tank", "storage_tank.volume", times(0.2)),
    one(
        "a float that starts the filling late",
        "storage_tank.fills_below",
        if_none("8 %", times(0.2)),
    ),
    one("floats close together", "storage_tank.fills_below", to("94 %")),
    one("no low float", "storage_tank.stops_below", to("0 %")),
    one("a filling pipe in the water", "storage_tank.air_gap", to("0 in")),
    one("an overflow without a screen", "storage_tank.overflow", to("open")),
    one("an open storage tank", "storage_tank.covered", to(False)),
    one("a storage tank lower down", "storage_tank.elevation", plus(-10, -3)),
    one("less in reserve", "storage_tank.reserve", if_none("5 %", times(0.2))),
)

SUN = (
    one("less sun", "sun.monthly", times(0.6)),
    one("a duller sky", "sun.clearness", times(0.6)),
    one("trees", "sun.shading", to(", ".join(["30"] * 12) + " %")),
    one("a high horizon", "sun.horizon", to("45, 45, 45, 45 deg")),
    one("a colder record", "sun.record_low", plus(-40, -22)),
    one("a much colder record", "sun.record_low", to("-58 degC")),
    one("darker ground", "sun.albedo", to("0 %")),
    one("weaker modules", "module.imp", times(0.75)),
    one("fewer modules on hand", "module.on_hand", times(0.3)),
    one("fewer modules in series", "array[].series", fewer),
    one("fewer rows of modules", "array[].parallel", fewer),
    one("far too few modules", "array[].series", lambda value: 1 if value > 1 else None),
    one("more modules in series", "array[].series", times(2)),
    one("far too many in series", "array[].series", times(6)),
    one("more rows of modules", "array[].parallel", if_none(4, times(4))),
    one("modules that look north", "array[].azimuth", to("0 deg")),
    one("modules on edge", "array[].tilt", to("90 deg")),
    one("thinner array wire", "array[].cable.gauge", thinner),
    one("longer array wire", "array[].cable.length", times(4)),
    one("a hotter roof", "array[].cable.ambient", to("70 degC")),
    one("array wires among others", "array[].cable.conductors", to(20)),
    Worsening(
        "modules on the roof",
        (
            ("array[].place", was("ground", "roof")),
            ("array[].reaches", was("no building", "building")),
        ),
    ),
    one("wires that end in the house", "array[].reaches", was("no building", "building")),
    one("modules grounded by nothing", "array[].grounding", was("solid", "none")),
    one("wires in the open", "array[].enclosed", was(True, False)),
    one("an isolator of one pole", "array[].isolator_poles", to(1)),
    one("a fuse too large", "array[].overcurrent", if_none("100 A", times(4))),
    one("a fuse too small", "array[].overcurrent", times(0.3)),
    one("an isolator of less voltage", "array[].isolator_voltage", times(0.2)),
    one("an isolator of less current", "array[].isolator_current", times(0.2)),
    one("no ground-fault protection", "array[].ground_fault_protection", to(False)),
    one("no arc-fault protection", "array[].arc_fault_protection", was(True, False)),
    one("a drive that starts at more volts", "array[].least_input_voltage", times(1.6)),
    one("a pump's drive that works from more volts on", "pump[].least_voltage", times(1.6)),
    one("a pump's drive that bears less voltage", "pump[].greatest_voltage", times(0.6)),
    one("a pump's drive that starts late", "pump[].start_power", times(6)),
    one("no rapid shutdown", "array[].rapid_shutdown", to(False)),
)

HEAT = (
    one("a tank that loses more", "water_heater.heat_loss", times(3)),
    one("a tank where it freezes", "water_heater.coldest_room",
        if_none("10 degF", plus(-50, -28))),
    one("a tank less insulated", "water_heater.insulation", times(0.3)),
    one("a tank rated worse", "water_heater.uniform_energy_factor", times(0.9)),
    one("a colder room", "water_heater.room_temperature", if_none("35 degF", plus(-25, -14))),
    one("a freezing room", "water_heater.room_temperature", to("5 degF")),
    one("a larger tank", "water_heater.volume", times(2.5)),
    one("a smaller heater", "water_heater.volume", times(0.5)),
    one("a hotter thermostat", "water_heater.element[].thermostat", plus(30, 17)),
    one("a thermostat as hot as boiling", "water_heater.element[].thermostat", to("205 degF")),
    one("a thermostat far too cold", "water_heater.element[].thermostat", to("86 degF")),
    one("a colder thermostat", "water_heater.element[].thermostat", to("105 degF")),
    one("bare contacts for direct current", "water_heater.element[].thermostat_switches",
        to("AC")),
    one("one contact for thermostat and high limit",
        "water_heater.element[].high_limit_switches", to("same relay")),
    one("contacts of less voltage", "water_heater.element[].switch_voltage", times(0.3)),
    one("an element too large", "water_heater.element[].rated_power", times(4)),
    one("an element too small", "water_heater.element[].rated_power", times(0.2)),
    one("an element of less voltage", "water_heater.element[].rated_voltage", to("48 V")),
    one("a tracker that wastes more", "water_heater.element[].tracker_efficiency", times(0.7)),
    one("a tracker that starts later", "water_heater.element[].tracker_minimum",
        lambda value: None if value is None else "900 W"),
    one("a tracker that passes less", "water_heater.element[].tracker_maximum", times(0.4)),
    one("relays that switch too late", "water_heater.element[].switch_irradiances",
        lambda value: None if value is None else each_number(value, lambda x: 700 + x / 3)),
    one("relays that switch too soon", "water_heater.element[].switch_irradiances", times(0.3)),
    one("a tracker said to waste nothing", "water_heater.element[].tracker_efficiency",
        to("100 %")),
    one("an element higher up", "water_heater.element[].height", to("80 %")),
    one("a hotter high limit", "water_heater.high_limit", plus(30, 17)),
    one("a high limit past boiling", "water_heater.high_limit", to("212 degF")),
    one("a high limit below the thermostat", "water_heater.high_limit", to("112 degF")),
    one("a relief valve of less capacity", "water_heater.relief_capacity", to("500 W")),
    one("a relief valve that opens hotter", "water_heater.relief_temperature", to("240 degF")),
    one("a relief valve that opens late", "water_heater.relief_pressure", times(2)),
    one("a relief valve that opens early", "water_heater.relief_pressure", times(0.3)),
    Worsening("a cold side that is closed", (
        ("water_heater.check_valve", to(True)), ("water_heater.expansion_tank", to(False)),
        ("water_heater.expansion_tank_volume", gone),
        ("water_heater.expansion_tank_precharge", gone))),
    one("a smaller expansion tank", "water_heater.expansion_tank_volume", times(0.2)),
    one("an expansion tank without air", "water_heater.expansion_tank_precharge", times(0.3)),
    one("no vacuum relief", "water_heater.vacuum_relief", to(False)),
    one("a tank above its taps", "water_heater.above_fixtures", to(True)),
    one("no valves at the fixtures", "water_heater.fixture_valves", to(False)),
    one("a hotter mixing valve", "water_heater.mixing_valve.outlet", plus(25, 14)),
    one("a mixing valve for another place", "water_heater.mixing_valve.standard",
        to("ASSE 1062")),
    one("more hot water", "water_heater.draw.volume", times(3)),
    one("more hot water at each draw", "water_heater.draw.volumes", times(3)),
    one("hotter water at the tap", "water_heater.draw.temperature", plus(7, 4)),
    one("a second tank's hotter thermostat", "water_heater.second_tank.thermostat", plus(60, 33)),
    one("a second tank's hotter high limit", "water_heater.second_tank.high_limit", plus(45, 25)),
    one("a second tank's relief valve of less capacity",
        "water_heater.second_tank.relief_capacity", to("500 W")),
)  # fmt: skip

HANDS = (
    one("a longer lever arm of the load", "hand_pump.lever_ratio", times(0.4)),
    one("a thicker cylinder", "hand_pump.bore", times(1.5)),
    one("a cylinder less deep", "hand_pump.cylinder_depth", times(0.6)),
    one("a cylinder deeper", "hand_pump.cylinder_depth", times(1.3)),
    one("a thicker cylinder in the casing", "hand_pump.cylinder_diameter", times(1.6)),
    one("thinner rods", "hand_pump.rod_diameter", if_none("6 mm", times(0.5))),
    one("a rising main of two sizes less", "hand_pump.rising_main", narrower),
    one("a pump made for less depth", "hand_pump.rated_depth", if_none("20 ft", times(0.3))),
    one("faster strokes", "hand_pump.stroke_rate", to("120 strokes/min")),
    one("a longer stroke", "hand_pump.stroke", times(2)),
    one("no relief valve at the hand pump", "hand_pump.relief_pressure", gone),
    one("a bucket in the well", "lift[].kind", to("bucket and windlass")),
    one("a shorter stroke", "hand_pump.stroke", times(0.5)),
    one("leather cups that leak", "hand_pump.volumetric_efficiency", if_none("50 %", times(0.5))),
    one("a stiffer pump", "hand_pump.mechanical_efficiency", if_none("40 %", times(0.5))),
    one("older arms", "hand_pump.person_age", if_none(60, lambda value: 60)),
    one("weaker arms", "hand_pump.person_power", times(0.3)),
    one("one person at the handle", "hand_pump.people_pumping", was(2, 1)),
    one("a hand pump to be primed", "hand_pump.needs_priming", to(True)),
    one("no frost drain", "hand_pump.frost_drain", to(False)),
    one("no valve to the spout", "hand_pump.spout_valve", to(False)),
    one("a higher spout", "hand_pump.spout_height", if_none("10 ft", times(4))),
    one("a maker that promises more", "hand_pump.discharge_flow", times(3)),
    one("higher in the mountains", "site.altitude", to("4000 m")),
    one("a lift that gives less", "lift[].flow", times(0.2)),
    one("a lift that gives more than people can", "lift[].flow", times(5)),
    one("a lift for less height", "lift[].head", times(0.3)),
    one("a lift said to waste nothing", "lift[].efficiency", to("99 %")),
    one("a lift that wastes more", "lift[].efficiency", times(0.4)),
    one("a higher spout of the lift", "lift[].spout_height", if_none("15 ft", times(5))),
)

AIMS = (
    one("more hot evenings aimed at", "aim.hot_evenings", to("100 %")),
    one("hot evenings aimed at by the sun", "aim.sun_evenings", to("100 %")),
    one("more of the heat aimed at", "aim.sun_share", to("100 %")),
    one("a better match aimed at", "aim.matched", to("100 %")),
    one("more dark days aimed at", "aim.dark_days", to("60 days")),
    one("more to spare aimed at", "aim.spare", to("200 %")),
    one("fewer short days aimed at", "aim.days_short", to(0)),
)

LIMITS = (
    one("a lower limit of velocity", "limits.velocity", to("1 ft/s")),
    one("a lower limit of voltage drop", "limits.voltage_drop", to("0.3 %")),
    one("a wider margin above the cut-out", "limits.cut_out_margin", to("60 psi")),
    one("a longer least run", "limits.run_time", to("10 min")),
    one("less time to pump the day's water", "limits.daily_run", to("10 min")),
    one("fewer starts allowed", "limits.starts_a_day", to("3 starts/day")),
    one("a weaker hand allowed for", "limits.handle_force", to("40 N")),
    one("hotter storage asked for", "limits.storage_temperature", to("175 degF")),
    one("more clearance in the casing", "limits.casing_clearance", to("2 in")),
    one("faster water asked past the motor", "limits.motor_cooling", to("3 ft/s")),
    one("no short days allowed", "limits.short_days", to(0)),
    one("longer repairs", "limits.outage_days", to(40)),
)

REMOVED = tuple(
    without(path)
    for path in (
        "well.specific_capacity", "well.tested_yield", "well.tested_pumping_level",
        "well.step_test", "well.drawdown_test", "well.casing_bore", "piping.frost_depth",
        "pressure_tank.precharge", "pressure_tank", "site.people", "demand.daily_use",
        "power.inverter_rating", "power.inverter_surge", "power.inverter_voltage",
        "power.battery_energy", "pump[].intake_depth", "pump[].power", "pump[].rated_power",
        "pump[].voltage", "pump[].cable", "pump[].locked_rotor_current", "pump[].code_letter",
        "pump[].motor_diameter", "pump[].diameter", "pump[].dry_run_protection",
        "pump[].overload", "pump[].overload_current", "pump[].ground_fault_breaker",
        "pump[].required_suction_head", "hand_pump.cylinder_depth", "hand_pump.rising_main",
        "site.latitude", "sun.record_low", "sun.monthly", "sun.temperature", "array[].cable",
        "array[].place", "array[].isolator_voltage", "array[].isolator_current",
        "array[].isolator_poles", "array[].reaches", "array[].grounding", "array[].enclosed",
        "array[].ground_fault_protection", "array[].arc_fault_protection",
        "array[].rapid_shutdown", "water_heater.element[].thermostat",
        "water_heater.element[].thermostat_switches", "water_heater.element[].switch_voltage",
        "water_heater.high_limit", "water_heater.relief_temperature",
        "water_heater.relief_pressure", "water_heater.relief_capacity",
        "water_heater.check_valve", "water_heater.expansion_tank_volume",
        "water_heater.expansion_tank_precharge", "water_heater.above_fixtures",
        "water_heater.vacuum_relief", "water_heater.fixture_valves",
        "water_heater.mixing_valve", "water_heater.mixing_valve.standard",
        "water_heater.draw.volume", "water_heater.second_tank.high_limit",
        "water_heater.second_tank.relief_temperature", "lift[].efficiency",
    )
)  # fmt: skip

WORSENINGS = {
    each.name: each
    for each in (
        *WELL, *PIPES, *PUMPS, *PRESSURE, *WANTED, *POWER, *SUN, *HEAT, *HANDS, *AIMS, *LIMITS,
        *REMOVED,
    )
}  # fmt: skip
"""Every worsening by its name."""


def unknown_paths() -> list[str]:
    """Keys that a worsening names and no site file has."""
    return [
        path
        for worsening in WORSENINGS.values()
        for path, _ in worsening.keys
        if not _has(Site, path.split("."))
    ]


def _has(table: Any, path: list[str]) -> bool:
    name = path[0].removesuffix("[]")
    if name not in table.model_fields:
        return False
    if len(path) == 1:
        return True
    kinds = [table.model_fields[name].annotation]
    while kinds:
        kind = kinds.pop()
        if hasattr(kind, "model_fields"):
            return _has(kind, path[1:])
        kinds += getattr(kind, "__args__", ())
    return False
