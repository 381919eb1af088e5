"""Rows of what guards people, tank and wiring of a PV-heated heater."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Row, Section, quantity, row
from wellsolar.reports.tables.well import wire_rows
from wellsolar.results import (
    ArrayCircuit,
    BurnTime,
    FedElement,
    HeatedTankResult,
    TankSafety,
    TapWater,
)


def heat_safety_sections(tank: HeatedTankResult) -> tuple[Section, ...]:
    """What a plumber fits to the tank, and an electrician to the array."""
    return (
        *tank_guard_sections(tank.safety),
        _circuit(tank),
        *(_other_circuit(fed) for fed in tank.safety.others),
    )


def tap_section(tap: TapWater) -> Section:
    """For the plumber: mixing and scalding."""
    return Section(
        "tap",
        "Hot water at the tap",
        "How much mixed water, and could it burn anybody?",
        (
            row("tap_temperature", "tap temperature", tap.temperature, kinds.TEMPERATURE),
            row("mixing_ratio", "hot share", tap.mixing_ratio, kinds.FRACTION,
                "of the mixed water, tank at its setpoint"),
            row("tap_volume", "mixed water from one tank", tap.volume, kinds.VOLUME),
            *_burns("burn", "unmixed", tap.unmixed),
            *_burns("mixed_burn", "mixed", tap.mixed),
        ),
    )  # fmt: skip


def _burns(key: str, water: str, burn: BurnTime) -> tuple[Row, ...]:
    why = {
        "table": "of contact, from the published times",
        "at most": "or less: hotter than the published times reach",
        "none": "no burn time is published for water this cool",
    }[burn.bound]
    return tuple(
        Row(f"{key}_{who}", f"{water}, {who} burnt in", quantity(seconds, kinds.DURATION), why,
            kinds.DURATION, "none")
        for who, seconds in (("adult", burn.adult), ("child", burn.child))
    )  # fmt: skip


def tank_guard_sections(safety: TankSafety) -> tuple[Section, ...]:
    """What a plumber fits to the tank, and to one downstream."""
    made = [_tank(safety, "tank_guards", "Guards of the hot tank")]
    if safety.second is not None:
        made.append(_tank(safety.second, "second_tank_guards", "Guards of the second tank"))
    return tuple(made)


def _tank(safety: TankSafety, key: str, title: str) -> Section:
    """For the plumber."""
    pressure = safety.pressure
    both = ", both tanks" if safety.second is not None else ""
    return Section(
        key,
        title,
        "What lets pressure and heat go in time, and what kills legionella?",
        (
            row("guarded", "hottest the tank may get", safety.guarded, kinds.TEMPERATURE,
                "by its high limit, told or usual"),
            row("boiling_temperature", "boils at", safety.boiling_temperature, kinds.TEMPERATURE,
                "without pressure, at this altitude"),
            row("heat_input", "relief valve, capacity", safety.heat_input, kinds.HEAT_INPUT,
                "at least, on its plate: all elements at once"),
            *_array_input(safety),
            row("relief_pressure", "relief valve opens at", pressure.relief_pressure,
                kinds.PRESSURE, "of the file, or the usual"),
            row("pressure_limit", "pressure allowed below", pressure.limit, kinds.PRESSURE,
                "10 % below it"),
            row("supply_pressure", "highest supply pressure", pressure.supply, kinds.PRESSURE,
                "where the pumps stop"),
            row("hot_expansion", "expansion", pressure.expansion, kinds.VOLUME,
                f"from cold to the hottest{both}"),
            *_tanks(safety),
            row("kill_time", "kills 9 in 10 legionella in", safety.kill_time, kinds.DURATION,
                "at the setpoint" if safety.kill_time is not None
                else "no time is published for a setpoint this low"),
            row("heat_through", "heat through at", safety.heat_through, kinds.TEMPERATURE,
                "before use after days without sun, all of the tank"),
            row("heat_through_time", "and for", safety.heat_through_time, kinds.DURATION),
        ),
    )  # fmt: skip


def _array_input(safety: TankSafety) -> list[Row]:
    if safety.array_input <= 0.0:
        return []
    return [
        row("array_input", "of which the array", safety.array_input, kinds.POWER,
            "in the coldest bright sun"),
    ]  # fmt: skip


def _tanks(safety: TankSafety) -> list[Row]:
    """Where the expansion goes, as far as the file tells; never two ways at once."""
    pressure = safety.pressure
    if pressure.after is not None or pressure.tank_needed is not None:
        return [
            row("pressure_after", "pressure after it", pressure.after, kinds.PRESSURE,
                "in the bladder tank that takes it" if pressure.after is not None
                else "the bladder tank has no room for it"),
            row("tank_needed", "bladder tank for it", pressure.tank_needed, kinds.VOLUME,
                "the least, at its precharge"),
        ]  # fmt: skip
    if pressure.expansion_tank is None:
        return []
    return [
        row("expansion_tank", "expansion tank for it", pressure.expansion_tank, kinds.VOLUME,
            "the least behind a check valve, precharged to the supply pressure"),
    ]  # fmt: skip


def _circuit(tank: HeatedTankResult) -> Section:
    """For the electrician."""
    safety = tank.safety
    rows = _guards(safety.circuit, safety.element_voltage, safety.element_power)
    return _section("circuit_guards", "Guards of the direct current", rows)


def _other_circuit(fed: FedElement) -> Section:
    """The same of an array that feeds another element."""
    rows = [Row("array", "array", fed.array)]
    rows += _guards(fed.circuit, fed.element_voltage, fed.element_power)
    if fed.wire is not None:
        rows += wire_rows(fed.wire)
    title = f"Guards of the direct current of element {fed.number}"
    return _section(f"circuit_guards_{fed.number}", title, rows)


def _section(key: str, title: str, rows: list[Row]) -> Section:
    question = "What must switches, fuses and wires between modules and tank be made for?"
    return Section(key, title, question, tuple(rows))


def _guards(circuit: ArrayCircuit, element_voltage: float, element_power: float) -> list[Row]:
    rows = [
        row("system_voltage", "switches and fuses for", circuit.system_voltage, kinds.VOLTAGE,
            "of direct current at least: no load, record cold"
            if circuit.system_voltage is not None else "the file has no sun.record_low"),
        row("circuit_current", "and for", circuit.current, kinds.CURRENT,
            "1.25 x short-circuit current"),
        row("conductor_current", "wires and fuses for", circuit.conductor_current, kinds.CURRENT,
            "1.25 x 1.25 x short-circuit current"),
        row("overcurrent_asked", "fuse, where one is fitted", circuit.overcurrent_asked,
            kinds.CURRENT, "the next standard size"),
    ]  # fmt: skip
    if circuit.overcurrent_most is not None:
        rows.append(row("overcurrent_most", "the largest fuse", circuit.overcurrent_most,
                        kinds.CURRENT, "that the wire of the file bears"))  # fmt: skip
    if circuit.string_fuse is not None:
        rows.append(row("string_fuse", "fuse of each row", circuit.string_fuse, kinds.CURRENT,
                        "three rows or more side by side"))  # fmt: skip
    rows += [
        row("element_voltage", "at each element", element_voltage, kinds.VOLTAGE,
            "at most, in the coldest bright sun"),
        row("element_power", "and into it", element_power, kinds.POWER),
    ]  # fmt: skip
    return rows
