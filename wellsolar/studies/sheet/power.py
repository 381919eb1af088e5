"""Sources and pumps under power, each guard of theirs proven before."""

from __future__ import annotations

from collections.abc import Sequence

from wellsolar import kinds
from wellsolar.results.moves import (
    ALL_HEAT,
    ALL_PUMPS,
    FULL,
    GENERATOR,
    HEATER_WATER,
    HOT_TAP,
    OFF,
    ON,
    OPEN,
    SHUT,
    TAP,
    TRANSFER,
    Move,
    pump_switch,
)
from wellsolar.results.readings import SheetLine, SheetStep
from wellsolar.site.part_names import COLD, HEATER_DRAIN
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.electric.supplies import supplies_of
from wellsolar.studies.house.chain import link_of
from wellsolar.studies.plumbing.layout import hand_off_the_tank, stand_of
from wellsolar.studies.pump.verdicts import never_stops
from wellsolar.studies.reading.pressure import GAUGE_OFF
from wellsolar.studies.reading.reading import near
from wellsolar.studies.reading.table import boxes_of
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.units import Quantity
from wellsolar.verdicts import listed

FILLING = (Move(HEATER_DRAIN, SHUT), Move(COLD, OPEN))
"""Valves as the heater is filled."""


def filling() -> tuple[Move, ...]:
    """The heater filled, seen at a hot tap: its moves, the tap shut at the end."""
    return (*FILLING, Move(HOT_TAP, OPEN), Move(HEATER_WATER, FULL), Move(HOT_TAP, SHUT))


def heater_supplies(site: Site) -> list[str]:
    """Switches that cut off what feeds the heater's elements, such as "the isolator of the modules
    (hot water)"; none without a heater."""
    heater = site.water_heater
    if heater is None:
        return []
    feeders = {element.fed_by for element in heater.element}
    groups = [group.name for group in site.array if group.name in feeders]
    switches = [f"the isolator of the modules ({name})" for name in groups]
    for name in ("grid", "inverter"):
        if name in feeders:
            switches.append(f"the heater's breaker ({name})")
    if heater.second_tank is not None:
        switches.append("the second tank's breaker")
    return switches


def power_sources(site: Site) -> list[str]:
    """What can feed the house's wires: of "grid", "inverter" and "generator" those that it has."""
    there = supplies_of(site)
    return [name for name in ("grid", "inverter", "generator") if name in there]


def standing(moves: Sequence[Move]) -> str:
    """How valves stand, as a sentence begins with it, such as "Hand pump line valve shut, spout
    valve open"; empty for none."""
    stand = stand_of(moves)
    return f"{stand[:1].upper()}{stand[1:]}"


def pump_off(site: Site, table: PumpTable) -> str:
    """How a pump is cut off from what feeds it while its wires are touched, such as "breaker off
    and locked"."""
    if table.supply == "AC":
        return "breaker off and locked"
    if any(group.feeds == "pump" for group in site.array):
        return "isolator and breaker open and locked, modules covered"
    return "breaker and the battery's disconnect open and locked"


SUPPLY = 0.10
"""How far a motor's supply may lie from its plate [-]: NEMA MG 1, from memory."""

INVERTER = 0.05
"""How far an inverter's voltage may lie from its rating [-]: common practice, no source."""

LEGS = "no leg further than 5 % from the mean of the three"
"""Unbalance of a three-phase submersible motor: tables of its makers, from memory."""


def power_steps(job: Job) -> list[SheetStep]:
    """The sources, then every powered pump by itself."""
    pumps = [_pump(job, number, table) for number, table in enumerate(job.site.pump, 1)]
    return [*_sources(job.site), *pumps]


def _sources(site: Site) -> list[SheetStep]:
    """What feeds the house, where it is not the grid alone."""
    sources = power_sources(site)
    if not set(sources) - {"grid"}:
        return []
    lines = []
    volts = site.power.inverter_voltage
    if volts is not None:
        lines.append(SheetLine("voltage of the inverter",
                               near(float(volts), kinds.VOLTAGE, INVERTER * volts)))  # fmt: skip
    for name in sources:
        others = [other for other in sources if other not in (name, "generator")]
        others += ["generator"] if "generator" in sources and name != "generator" else []
        if name != "grid" and others:
            text = f"with the {name} on, voltage toward the {listed(others)}"
            lines.append(SheetLine(text, None, "none, wire to wire and wire to ground"))
    outdoors = ""
    if GENERATOR in sources:
        outdoors = " The generator outdoors, off before the next comes on."
    before = (
        "Breakers of all loads off. One source at a time, the others off and locked."
        f"{outdoors} By rated probes, covers on where the terminals allow it. A licensed "
        "electrician's work."
    )
    moves, after = _one_by_one(sources)
    moves = (Move(ALL_PUMPS, OFF), Move(ALL_HEAT, OFF), *moves)
    title = "Sources, one at a time"
    return [SheetStep("sources", title, before, tuple(lines), "power", moves, after)]


def _one_by_one(sources: list[str]) -> tuple[tuple[Move, ...], tuple[Move, ...]]:
    """Each source of the house's own alone, the first of all at the end."""
    if len(sources) < 2:
        return (), ()
    moves: list[Move] = []
    for name in sources:
        moves.append(Move(TRANSFER, name))
        if name == GENERATOR:
            moves += [Move(GENERATOR, ON), Move(GENERATOR, OFF)]
    return tuple(moves), (Move(TRANSFER, sources[0]),)


def _pump(job: Job, number: int, table: PumpTable) -> SheetStep:
    """A powered pump at work."""
    lines = []
    if table.supply == "AC" and table.voltage is not None:
        lines.append(SheetLine("voltage of its supply, before the first start",
                               near(float(table.voltage), kinds.VOLTAGE,
                                    SUPPLY * table.voltage)))  # fmt: skip
    if table.supply == "DC":
        words = "within its plate, plus on plus"
        lines.append(SheetLine("voltage at its controller, the pump off", None, words))
    if table.phases == 3:
        words = "of the two orders of its legs, the one that gives more pressure and flow"
        lines.append(SheetLine("rotation", None, words))
        lines.append(SheetLine("current of each leg", None, LEGS))
    lines += boxes_of("pump", Visit(job, Readings("sheet", {}, pump=table.name)))
    if not link_of(job.site, table).into_tank:
        lines += _holds(job.site, last=table is job.site.pump[-1])
    if not lines:
        lines.append(SheetLine("water at a tap", None, "comes steadily, no air in it"))
    title = f"{table.name} at work"
    own = pump_switch(table.name)
    others = [Move(pump_switch(pump.name), OFF) for pump in job.site.pump if pump is not table]
    moves = (Move(own, OFF), *others, *hand_off_the_tank(job.site), Move(TAP, OPEN), Move(own, ON))
    before, off, shut = _before(job.site, table), Move(own, OFF), Move(TAP, SHUT)
    if never_stops(job.case.said("pumps").verdicts, table.name):
        before += " It does not reach what would stop it: a tap stays open as long as it runs."
        after: tuple[Move, ...] = (off, shut)
    else:
        moves, after = (*moves, shut), (off,)
    return SheetStep(f"pump_{number}", title, before, tuple(lines), "power", moves, after)


def _holds(site: Site, last: bool) -> list[SheetLine]:
    """What a pump leaves behind it: its check valve, and the house's pressure after the last."""
    if site.pressure_tank is None:
        return []
    lost = Quantity(0.0, kinds.PRESSURE_LOSS, 0.0, GAUGE_OFF)
    lines = [SheetLine("its check valve: pressure lost in 10 min, pump off, taps shut", lost)]
    valve = site.piping.reducing_valve
    if last and valve is not None:
        behind = near(float(valve), kinds.PRESSURE, GAUGE_OFF)
        path = "piping.reducing_valve"
        lines.append(SheetLine("behind the reducing valve, no tap open", behind, proves=path))
    return lines


def _before(site: Site, table: PumpTable) -> str:
    """What to isolate before a pump's readings."""
    others = [other.name for other in site.pump if other is not table]
    alone = f" Off at the breaker: {listed(others)}." if others else ""
    stand = standing(hand_off_the_tank(site))
    valve = f" {stand}." if stand else ""
    start = (
        "First start with a tap open and a hand at the switch: off at once if it hums, trips, "
        "draws no water or runs past cut-out."
    )
    if link_of(site, table).into_tank:
        start = "First start with a hand at the switch: off at once if it hums, trips or no water "
        start += "comes into the storage tank."
    return (
        f"{pump_off(site, table).capitalize()} while its leads go back on and covers are closed; "
        f"the current by a clamp on insulated wire.{alone}{valve} {start}"
    )
