"""Tests of what guards people and equipment, before anything that it guards is switched on.

A flag of the file that a verdict takes on trust has its test in `GUARDS`: for every table of the
site where the flag is true the sheet has a line that proves it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from wellsolar import kinds
from wellsolar.constants import PSI
from wellsolar.results.moves import ALL_HEAT, ALL_PUMPS, OFF, OPEN, SHUT, Move
from wellsolar.results.readings import SheetLine, SheetStep
from wellsolar.site.part_names import (
    COLD,
    HAND_RELIEF,
    HEATER_DRAIN,
    HEATER_RELIEF,
    SECOND_RELIEF,
    TANK_RELIEF,
)
from wellsolar.site.schema import Site
from wellsolar.site.table import Table
from wellsolar.studies.plumbing.layout import into_tank, layout_of, stand_of
from wellsolar.studies.reading.reading import near
from wellsolar.studies.sheet.power import (
    FILLING,
    filling,
    heater_supplies,
    power_sources,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, listed

LIFTED = "flows when lifted, shuts tight"
"""What a relief valve does."""

DISCHARGE = (
    "full size, by gravity, open over a drain in sight with an air gap, 6 in or less above the "
    "floor; no thread, trap, tee or valve"
)
"""What the pipe of a relief valve is: IPC 504.6, in a city's print."""

NO_VALVE = "as its plate says; no valve between it and what it guards"


TRANSFER_TESTED = "transfer between the supplies of the house"
NEVER_TWO = "dead, by ohmmeter: no position, nor any on the way, joins two of them"
"""The test of equipment that keeps supplies apart; NEC 702.5(A), read."""


class Guard(NamedTuple):
    """The test of something that the file says is there.

    flag: of the file; table: that has it; text: what is tested, with {name} where the table has
        one; words: what should be seen
    """

    flag: str
    table: str
    text: str
    words: str


GUARDS = (
    Guard("dry_run_protection", "pump", "dry-run protection of the {name}",
          "its contactor opens within the time set, probes out of the water or by its test; one "
          "that reads the motor's current, at the first start, valve throttled, a hand at the "
          "breaker"),
    Guard("foot_valve", "pump", "prime of the {name}",
          "holds an hour at rest: it draws at once when it starts again"),
    Guard("ground_fault_breaker", "pump", "ground-fault breaker of the {name}",
          "trips by its test, the motor's leads off; stays off until reset"),
    Guard("pump_changeover", "power", "changeover between the pumps",
          "dead, by ohmmeter: in no position, nor on the way, two pumps joined to the supply"),
    Guard("pumps_run", "power", "changeover or alternator between the pumps",
          "as the file has it: never two on the supply at once, or each by its own switch"),
    Guard("kept_apart", "power", TRANSFER_TESTED, NEVER_TWO),
    # Read among the dead tests, where its line has the ohms.
    Guard("bonded", "well", "metal casing and cap of the well, to the panel's ground",
          "1 ohm or less"),
    Guard("ground_fault_protection", "array", "ground-fault protection of the modules ({name})",
          "trips by its test, what the modules feed off; stays off until reset"),
    Guard("arc_fault_protection", "array", "arc-fault protection of the modules ({name})",
          "passes its self-test, what the modules feed off"),
    Guard("rapid_shutdown", "array", "rapid shutdown of the modules ({name})",
          "30 V or less on the wires in the building within {seconds} of its switch, by a rated "
          "meter"),
    Guard("enclosed", "array", "wires of the modules ({name})",
          "in the ground, in metal raceway or metal-clad all the way, seen from end to end"),
    Guard("vacuum_relief", "water_heater", "vacuum relief of the water heater",
          "it lets air in as the drain runs, tight under pressure; of a dip tube, its hole seen"),
    Guard("supplies_apart", "water_heater", "wiring space of the water heater",
          "direct and alternating current in boxes of their own, or a partition between; the "
          "factory's interlock of the two thermostats taken out"),
    Guard("fixture_valves", "water_heater", "scald-limiting valve of each shower, tub and basin",
          "no hotter than 120 °F (49 °C); cold shut off, the hot stops within 5 s"),
    Guard("frost_drain", "hand_pump", "frost drain of the hand pump",
          "a quarter of an hour after pumping, head and line above the frost are empty"),
    Guard("expansion_tank", "water_heater", "expansion tank of the water heater",
          "water side let off: air, and no water, at its air valve"),
)  # fmt: skip
"""Flags that verdicts take on trust. Rapid shutdown: NEC 690.12, 2014 and 2017, second hand. A
valve at the fixture: ASSE 1016 and 1070, from memory."""

TESTED = {guard.flag for guard in GUARDS} | {
    "needs_priming", "overload", "covered", "overflow", "stops_below", "surplus_switch",
}  # fmt: skip
"""Flags with a line of the sheet: those above, one that strokes after a rest prove, what stops a
motor, read off its plate, what is looked at on the storage tank, and what is tried with the
heater on."""


def refuse_unproven(rules: Iterable[Rule]) -> None:
    """Raise ValueError where a rule takes a flag on trust that no line of the sheet proves."""
    for rule in rules:
        for flag in rule.claims:
            if flag not in TESTED:
                raise ValueError(f"{rule.key!r} trusts {flag}, which no line of the sheet proves")


def flag_lines(site: Site, *flags: str) -> list[SheetLine]:
    """The tests of flags that the file says are true.

    Parameters:
        flags: of `GUARDS`
    """
    lines = []
    for guard in GUARDS:
        if guard.flag not in flags:
            continue
        for path, table in _tables(site, guard.table):
            if getattr(table, guard.flag):
                text = guard.text.format(name=getattr(table, "name", ""))
                words = guard.words.format(seconds=_seconds(site))
                lines.append(SheetLine(text, None, words, f"{path}.{guard.flag}"))
    return lines


def _seconds(site: Site) -> str:
    """Within which rapid shutdown takes the voltage off, by the edition in force."""
    edition = site.site.code_edition
    if edition is None:
        return "30 s, 10 s by the code of 2014,"
    return "10 s" if edition == 2014 else "30 s"


def _tables(site: Site, name: str) -> Iterator[tuple[str, Table]]:
    """The tables of a name that the site has, with their key paths."""
    tables = getattr(site, name)
    if isinstance(tables, tuple):
        yield from ((f"{name}[{number}]", table) for number, table in enumerate(tables, 1))
    elif tables is not None:
        yield name, tables


def guard_steps(site: Site) -> list[SheetStep]:
    """The guards that can be proven before any supply is on the thing they guard: high limits,
    relief valves, then the guards of currents: those that the site has."""
    return [*_high_limits(site), *_relief(site), *_electric(site)]


def _high_limits(site: Site) -> list[SheetStep]:
    """What opens an element's circuit when its thermostat sticks."""
    heater = site.water_heater
    if heater is None:
        return []
    lines = []
    for number, element in enumerate(heater.element, 1):
        direct = element.fed_by in {group.name for group in site.array}
        opened = "both conductors" if direct else "every live conductor"
        lines.append(
            SheetLine(
                f"high limit of the {element.position} element ({element.fed_by})",
                None,
                f"opens {opened} by its test, on a contact that is not the thermostat's; stays "
                "open until reset",
                f"water_heater.element[{number}].high_limit_switches",
            )
        )
    if heater.second_tank is not None:
        words = "opens every live conductor by its test; stays open until reset"
        path = "water_heater.second_tank.high_limit"
        lines.append(SheetLine("high limit of the second tank", None, words, path))
    before = (
        f"Still off, locked and measured dead: {listed(heater_supplies(site))}. An ohmmeter "
        "across the contacts, one wire off. A relay's coil gets its own test supply, its contacts "
        "none. A licensed electrician's work."
    )
    off, title = (Move(ALL_HEAT, OFF),), "High limits, heater dead"
    return [SheetStep("high_limits", title, before, tuple(lines), "guards", off)]


def _relief(site: Site) -> list[SheetStep]:
    """Relief valves, room for water that expands, and what lets air in."""
    lines = [*_cold_relief(site), *_hot_relief(site)]
    if not lines:
        return []
    supplies = [name for name, there in (("pumps", site.pump), ("heater", site.water_heater))
                if there]  # fmt: skip
    off = f"{listed(supplies).capitalize()} off and locked. " if supplies else ""
    before = (
        f"{off}Water pressure from a filling hose or a test pump, no more than cut-in: no pump of "
        "the house runs before these are in order. Nobody stands at the outlets."
    )
    moves = (Move(ALL_PUMPS, OFF), Move(ALL_HEAT, OFF))
    steps = [SheetStep("relief", "Relief valves", before, tuple(lines), "guards", moves)]
    return steps + _vacuum(site)


def _vacuum(site: Site) -> list[SheetStep]:
    """What lets air into the heater before it is siphoned empty, tried by draining a little."""
    lines = flag_lines(site, "vacuum_relief")
    if not lines:
        return []
    moves = (Move(ALL_HEAT, OFF), Move(COLD, SHUT), Move(HEATER_DRAIN, OPEN))
    before = (
        f"Still off and locked: {listed(heater_supplies(site))}. Taps shut, "
        f"{stand_of(moves[1:])}, a hose on the drain. No more than a bucket is let out. After it "
        f"the heater is filled again: {stand_of(FILLING)}, a hot tap open until it runs without "
        "air."
    )
    return [SheetStep("vacuum", "Vacuum relief", before, tuple(lines), "guards", moves, filling())]


def _cold_relief(site: Site) -> list[SheetLine]:
    """At the pressure tank, and between a hand pump and its first valve: that one is lifted where
    the hand pump is worked."""
    lines = []
    if any(fitting.name == TANK_RELIEF for fitting in layout_of(site)):
        tank = site.pressure_tank
        setting = None if tank is None else tank.relief_pressure
        lines += _valve(TANK_RELIEF, setting, "pressure_tank.relief_pressure")
    if into_tank(site) is not None:
        lines += hand_relief(site)[:-1]
    return lines


def hand_relief(site: Site) -> list[SheetLine]:
    """The relief valve of a hand pump that presses into the tank, by its plate and lifted.

    Parameters:
        site: a site with a hand pump
    Returns:
        its lines, the last where it is lifted
    """
    assert site.hand_pump is not None
    path = "hand_pump.relief_pressure"
    return _valve(HAND_RELIEF, site.hand_pump.relief_pressure, path)


def _hot_relief(site: Site) -> list[SheetLine]:
    """At the heater and a second tank, with the air of the expansion tank."""
    heater = site.water_heater
    if heater is None:
        return []
    path = "water_heater.relief_pressure"
    lines = [*_valve(HEATER_RELIEF, heater.relief_pressure, path)]
    lines.append(SheetLine("discharge pipe of each relief valve", None, DISCHARGE))
    if heater.second_tank is not None:
        path = "water_heater.second_tank.relief_pressure"
        lines += _valve(SECOND_RELIEF, heater.second_tank.relief_pressure, path)
    if heater.expansion_tank_precharge is not None:
        air = near(heater.expansion_tank_precharge, kinds.PRESSURE, PSI)
        path = "water_heater.expansion_tank"
        return [*lines, SheetLine("air of the expansion tank, drained", air, proves=path)]
    return lines + flag_lines(site, "expansion_tank")


def _valve(text: str, setting: Quantity | None, path: str) -> list[SheetLine]:
    """A relief valve by its name, its plate, and lifted."""
    lines = []
    if setting is not None:
        same = Quantity(setting, kinds.PRESSURE)
        lines.append(SheetLine(f"{text}, opening pressure on its plate", same))
    words = LIFTED if setting is not None else f"{NO_VALVE}; {LIFTED}"
    lines.append(SheetLine(text, None, words, path))
    return lines


def _electric(site: Site) -> list[SheetStep]:
    """What switches and breaks currents, by its stamps, then what is tested on it: guards of
    currents and of sources that must not meet."""
    lines = flag_lines(site, "ground_fault_breaker", "pump_changeover", "pumps_run")
    lines += _transfer(site)
    lines += flag_lines(site, "supplies_apart")
    lines += flag_lines(site, "ground_fault_protection", "arc_fault_protection", "enclosed",
                        "rapid_shutdown")  # fmt: skip
    lines += flag_lines(site, "dry_run_protection")
    guarded = (
        ("switches", "Breakers, fuses and isolators", _switches(site)),
        ("guards", "Guards of currents and supplies", lines),
    )
    off = ["motors' leads"] if site.pump else []
    off += ["both wires of each element"] if site.water_heater is not None else []
    loads = f"What they guard stays off: {listed(off)} still off the terminals. " if off else ""
    before = (
        f"{loads}A guard whose test needs a supply gets it alone, one at a time, a person at its "
        "switch, and is locked off again. A licensed electrician's work."
    )
    moves = (Move(ALL_PUMPS, OFF), Move(ALL_HEAT, OFF))
    return [
        SheetStep(key, title, before, tuple(sheet_lines), "guards", moves)
        for key, title, sheet_lines in guarded
        if sheet_lines
    ]


def _transfer(site: Site) -> list[SheetLine]:
    """That no two supplies meet, and where the neutral is bonded while the generator runs."""
    supplies = power_sources(site)
    lines = flag_lines(site, "kept_apart")
    if not lines and len(supplies) > 1:
        lines = [SheetLine(TRANSFER_TESTED, None, NEVER_TWO, "power.kept_apart")]
    if "generator" in supplies and len(supplies) > 1:
        words = "joined where the service has the bond, open where the generator has it"
        text = "neutral to ground, transfer at the generator, its cord unplugged"
        lines.append(SheetLine(text, None, words, "power.transfer_neutral"))
    return lines


def _overloads(site: Site) -> list[SheetLine]:
    """What stops a motor that draws too much, and what guards people at outlets outdoors."""
    lines = []
    for number, table in enumerate(site.pump, 1):
        if table.supply == "DC" or table.overload == "none":
            continue
        path, text = f"pump[{number}].overload", f"overload protection of the {table.name}"
        if table.overload == "in a starter" and table.overload_current is not None:
            same = Quantity(table.overload_current, kinds.CURRENT)
            lines.append(SheetLine(f"{text}, as it is set", same))
        words = "by the plate of motor, control box or drive; a relay trips by its test"
        lines.append(SheetLine(text, None, words, path))
    if lines:
        words = "each trips by its own test, where the local code asks one"
        lines.append(
            SheetLine("ground-fault breakers of outlets outdoors, near water", None, words)
        )
    return lines


def _switches(site: Site) -> list[SheetLine]:
    """Breakers, fuses and isolators by what is stamped on them."""
    lines = [
        SheetLine(f"breaker of the {table.name}", None,
                  "opens every live conductor, rated as the list of parts says; can be locked")
        for table in site.pump
    ]  # fmt: skip
    for table in site.pump:
        if table.breaker is not None:
            rating = float(table.breaker)
            stamped = Quantity(rating, kinds.CURRENT, rating, rating)
            lines.append(SheetLine(f"breaker of the {table.name}, stamped", stamped))
    lines += _overloads(site)
    words = (
        "opens both conductors; stamped for direct current and for the highest open-circuit "
        "voltage above; can be locked"
    )
    for number, group in enumerate(site.array, 1):
        fuses = {
            f"fuse or breaker of the modules ({group.name}), stamped": group.overcurrent,
            f"fuse of each string ({group.name}), stamped": group.string_fuse,
        }
        for text, fuse in fuses.items():
            if fuse is not None:
                same = Quantity(fuse, kinds.CURRENT)
                lines.append(SheetLine(text, same))
        path = f"array[{number}].isolator_voltage"
        lines.append(SheetLine(f"isolator of the modules ({group.name})", None, words, path))
    return lines
