"""Rows of what guards people, tank and wiring of a PV-heated heater."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Listed, Row, Section, quantity
from wellsolar.reports.tables.pump import wire_rows
from wellsolar.results.heat import HeatedTankResult
from wellsolar.results.heat_safety import (
    ArrayCircuit,
    ArrayResult,
    BurnTime,
    FedElement,
    HeatSafety,
    TankPressure,
    TankSafety,
    TapWater,
)


def heat_safety_sections(tank: HeatedTankResult) -> tuple[Section, ...]:
    """What a plumber fits to the tank, and an electrician to the array."""
    return (
        *tank_guard_sections(tank.safety),
        _circuit(tank.safety),
        *(_other_circuit(fed) for fed in tank.safety.others),
    )


TAP = Listed(TapWater, "temperature", "mixing_ratio", "volume")


def tap_section(tap: TapWater) -> Section:
    """For the plumber: mixing and scalding."""
    return Section(
        "tap",
        "Hot water at the tap",
        "How much mixed water, and could it burn anybody?",
        (
            *TAP.rows(tap),
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
    sections = [_tank(safety, "tank_guards", "Guards of the hot tank")]
    if safety.second is not None:
        sections.append(_tank(safety.second, "second_tank_guards", "Guards of the second tank"))
    return tuple(sections)


TANK = Listed(TankSafety, "guarded", "boiling_temperature", "heat_input", "array_input")
PRESSURE = Listed(
    TankPressure,
    "relief_pressure", "limit", "supply", "expansion", "expansion_limit", "after",
    "tank_needed", "expansion_tank",
)  # fmt: skip
LEGIONELLA = Listed(TankSafety, "heat_through", "heat_through_time")


def _tank(safety: TankSafety, key: str, title: str) -> Section:
    """For the plumber."""
    pressure = safety.pressure
    both = ", both tanks" if safety.second is not None else ""
    expands = {"expansion": f"from cold to the hottest{both}"}
    return Section(
        key,
        title,
        "What lets pressure and heat go in time, and what kills legionella?",
        (
            *TANK.rows(safety, without=() if safety.array_input > 0.0 else ("array_input",)),
            *PRESSURE.rows(pressure, why=expands, without=_ways_not_taken(pressure)),
            *LEGIONELLA.rows(safety),
        ),
    )


def _ways_not_taken(pressure: TankPressure) -> tuple[str, ...]:
    """Where the expansion does not go, as far as the file tells; never two ways at once."""
    if pressure.after is not None or pressure.tank_needed is not None:
        return ("expansion_tank",)
    bladder = ("after", "tank_needed")
    return bladder if pressure.expansion_tank is not None else (*bladder, "expansion_tank")


FIRST_ELEMENT = Listed(HeatSafety, "element_voltage", "element_power")
FURTHER_ELEMENT = Listed(FedElement, "element_voltage", "element_power")
ITS_ARRAY = Listed(FedElement, "array")


def _circuit(safety: HeatSafety) -> Section:
    """For the electrician."""
    rows = [*GUARDS.rows(safety.circuit), *FIRST_ELEMENT.rows(safety)]
    return _section("circuit_guards", "Guards of the direct current", rows)


def _other_circuit(fed: FedElement) -> Section:
    """The same of an array that feeds another element."""
    rows = [*ITS_ARRAY.rows(fed), *GUARDS.rows(fed.circuit), *FURTHER_ELEMENT.rows(fed)]
    if fed.wire is not None:
        rows += wire_rows(fed.wire)
    title = f"Guards of the direct current of element {fed.number}"
    return _section(f"circuit_guards_{fed.number}", title, rows)


OTHER_ARRAY = Listed(
    ArrayResult,
    ("working_voltage", lambda found: "in full sun, in the air of the hottest month"
     if found.air_told else "in full sun with cells at 25 °C (77 °F): no air is told"),
    "hot_voltage",
)  # fmt: skip


def array_section(array: ArrayResult, number: int) -> Section:
    """The direct current of a group of modules that heats nothing."""
    rows = [*GUARDS.rows(array.circuit), *OTHER_ARRAY.rows(array)]
    if array.wire is not None:
        rows += wire_rows(array.wire)
    title = f"Direct current of {array.circuit.array}"
    question = "What must switches, fuses and wires behind these modules be made for?"
    return Section(f"circuit_array_{number}", title, question, tuple(rows))


def _section(key: str, title: str, rows: list[Row]) -> Section:
    question = "What must switches, fuses and wires between modules and tank be made for?"
    return Section(key, title, question, tuple(rows))


GUARDS = Listed(
    ArrayCircuit,
    "system_voltage", "current", "conductor_current", "overcurrent_asked", "overcurrent_most",
    "string_fuse",
)  # fmt: skip
