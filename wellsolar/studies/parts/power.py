"""The parts between battery, generator and pumps: what runs and starts them without the grid."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics.electric import cable
from wellsolar.results.parts import State
from wellsolar.results.pumps import PumpResult
from wellsolar.site.schema import ArrayTable, PumpTable
from wellsolar.studies.array.cold_voltage import cold_voltages
from wellsolar.studies.electric.motor_guards import OVERLOAD, SHOCK
from wellsolar.studies.electric.sources_apart import APART as SUPPLIES_APART
from wellsolar.studies.electric.sources_apart import NEUTRAL, pairs_of
from wellsolar.studies.electric.starting import GENERATOR, RATING, SURGE
from wellsolar.studies.electric.supplies import needs_three, supplies_of
from wellsolar.studies.house.chain import hangs_in_well
from wellsolar.studies.parts.lines import NOT_PASSED, Lines, Practice, remedy_of, sized
from wellsolar.studies.pump.at_once import WELL as AT_ONCE
from wellsolar.studies.supply.rule_of_thumb import BATTERY
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Verdict, say

CONTROLLER = Practice("its motor does not run without one; many have it built in")
CHARGES = Practice("what charges the battery keeps the modules' voltage and current")
PROTECTED = ("in the motor", "in its box", "in a starter")
"""Where a file may say that the overload protection is."""

SIGHT = Practice("NEC 430.102(A) and the exception of (B), lists of a state's inspectors, read")
SURGES = Practice("lightning finds a deep motor and a field of modules; from memory")
OUTDOORS = Practice("outlets outdoors of dwellings have them", source="outdoor outlets")
ROOM = Practice("cells give off gas, or burn where they are too warm or charged in frost")
ISLAND = "an inverter that feeds the grid too stops by itself when the grid is dead (from memory)"
INLET = Practice("a cord with plugs at both ends has live pins; a licensed electrician's")
PHASE_LOST = "a three-phase motor burns with one phase lost (from memory)"
APART = Practice("well, pipe and supply bear one pump at a time")
CHARGED = Practice("a group of modules charges one, and the file names none")
RUNS = Practice("pumps on alternating current hang on the battery by one, and the file names none")


def power_parts(lines: Lines) -> None:
    """Controllers of the pumps, inverter, battery with its charging, and generator."""
    for table in lines.site.pump:
        _controller(lines, table)
        _protection(lines, table)
        size = say("opens every live conductor, in sight of its switch, controller or drive; can "
                   "be locked, the motor being out of sight")  # fmt: skip
        lines.add("motor disconnect", size, None, of=table.name, state="to check", practice=SIGHT)
    _surges(lines)
    _changeover(lines)
    _inverter(lines)
    _battery(lines)
    for group in lines.site.array:
        if group.feeds == "battery":
            _charging(lines, group)
    _generator(lines)


def _protection(lines: Lines, table: PumpTable) -> None:
    """What stops a motor on alternating current that is overloaded or loses a phase, and what
    trips on a fault in its circuit."""
    verdict = lines.verdict(OVERLOAD, table.name)
    if verdict is None:
        return
    state: State = "in the file" if table.overload in PROTECTED else "to check"
    if verdict.status == "fail":
        state = "to add" if table.overload == "none" else "to change"
    size = sized(
        lines.claim("overload protection {}", table, "overload")
        if state == "in the file"
        else ("overload protection for {}", table.full_load_current or "the current on its plate"),
        lines.claim("set to {}", table, "overload_current")
        if state == "in the file" and table.overload == "in a starter"
        else ("", None),
        ("trips on the loss of a phase", "" if needs_three(table) else None),
    )
    why = [*remedy_of(verdict), *([say(PHASE_LOST)] if needs_three(table) else [])]
    lines.add("motor protection", size, verdict, of=table.name, state=state, why=why)
    size = say("for the protection of people, which pump and drive bear")
    has = lines.claim("trips on a fault to ground in the circuit", table, "ground_fault_breaker")
    lines.add_told(
        "ground-fault breaker", size, lines.verdict(SHOCK, table.name), has, of=table.name
    )


def _surges(lines: Lines) -> None:
    """What leads away lightning's surges, and what guards people at outlets outdoors."""
    if any(hangs_in_well(table) for table in lines.site.pump):
        size = say("at the pump's box, for its voltage, to the ground that bonds the casing")
        lines.add("surge arrester", size, None, of="pumps", state="to check", practice=SURGES)
    for group in lines.site.array:
        size = sized(("for direct current", ""), *circuit_of(lines, group)[:1])
        lines.add("surge arrester", size, None, of=group.name, state="to check", practice=SURGES)
    if any(table.supply == "AC" for table in lines.site.pump):
        size = say("for receptacles outdoors and near water")
        lines.add("ground-fault breaker", size, None, state="to check", practice=OUTDOORS)


def _controller(lines: Lines, table: PumpTable) -> None:
    """What stands between the supply and a motor that does not just hang on the mains."""
    size = sized(
        ("{}", table.rated_power),
        ("for {}", None if table.voltage is None else f"{float(table.voltage):g} V"),
        ("by the pump maker's sheet", ""),
    )
    if table.start == "soft":
        verdict = lines.worst(table.name, SURGE, GENERATOR)
        words, keys = "lets {:down} through at start", ("starting_current", "start")
        limit = lines.claim(words, table, *keys)
        lines.add("soft starter", sized(limit), verdict, of=table.name)
    elif table.start == "variable speed":
        verdict = lines.worst(table.name, SURGE, GENERATOR)
        lines.add("pump controller", size, verdict, of=table.name)
    elif table.supply == "DC":
        lines.add(
            "pump controller", size, None, of=table.name, state="to check", practice=CONTROLLER
        )


def _inverter(lines: Lines) -> None:
    """The inverter that runs and starts the pumps, larger where one asks for it."""
    power = lines.site.power
    if power.inverter_rating is None and power.inverter_surge is None:
        _inverter_to_add(lines)
        return
    names = [pump.name for pump in lines.results.pumps]
    asked = {RATING: power.inverter_rating, SURGE: power.inverter_surge}
    powers: dict[Rule, Quantity | None] = {}
    shown: Verdict | None = None
    failed = False
    for rule, quantity in asked.items():
        verdicts = [each for name in names if (each := lines.verdict(rule, name)) is not None]
        fails = [verdict for verdict in verdicts if verdict.status == "fail"]
        most = max((fail.quantity for fail in fails if fail.quantity is not None), default=None)
        powers[rule] = quantity if most is None else most
        if verdicts and not failed:
            judged = next(
                (verdict for verdict in verdicts if verdict.status in NOT_PASSED), verdicts[0]
            )
            if shown is None or judged.status in NOT_PASSED:
                shown = judged
        if fails:
            shown, failed = max(fails, key=lambda verdict: float(verdict.quantity or 0.0)), True
    size = sized(
        lines.claim("{:up} running", power, "inverter_rating", value=powers[RATING]),
        lines.claim("{:up} for a start", power, "inverter_surge", value=powers[SURGE]),
        lines.claim("{}", power, "inverter_voltage"),
    )
    lines.add("inverter", size, shown, state="to change" if failed else "in the file")


def _on_battery(lines: Lines) -> bool:
    """True where the house has a battery, or modules that charge one."""
    charged = any(array.feeds == "battery" for array in lines.site.array)
    return charged or lines.site.power.battery_energy is not None


def _inverter_to_add(lines: Lines) -> None:
    """An inverter for pumps on alternating current beside a battery."""
    tables = {pump.name: pump for pump in lines.site.pump}
    pumps = [pump for pump in lines.results.pumps if tables[pump.name].supply == "AC"]
    if not pumps or not _on_battery(lines):
        return
    starts = [pump.start for pump in pumps]
    running = max(_running(tables[pump.name], pump) for pump in pumps)
    size = say(
        "at least {running:up} running, for a start by the motor's locked-rotor current",
        running=Quantity(running, kinds.APPARENT_POWER),
    )
    if None not in starts:
        surge = max(start.starting_apparent_power for start in starts if start is not None)
        size = say(
            "at least {running:up} running, {surge:up} for a start",
            running=Quantity(running, kinds.APPARENT_POWER),
            surge=Quantity(surge, kinds.APPARENT_POWER),
        )
    lines.add("inverter", size, None, state="to add", practice=RUNS)


def _running(table: PumpTable, pump: PumpResult) -> float:
    """What a pump takes while it runs [VA]."""
    return max(duty.input_power for duty in pump.duties) / table.power_factor


def _battery(lines: Lines) -> None:
    """The battery, as large as a day of pumping without sun asks."""
    energy = lines.site.power.battery_energy
    verdict = lines.worst_of_all(BATTERY)
    if _on_battery(lines):
        size = say("dry, ventilated, no bedroom, within the temperatures of the cells' sheet")
        lines.add("battery room", size, None, state="to check", practice=ROOM)
    if energy is None:
        if not _on_battery(lines):
            return
        needed = [
            max(month.energy_needed for month in supply.months) for supply in lines.results.supply
        ]
        size = say("by its maker's sheet")
        if needed:
            usable = float(lines.site.power.battery_usable)
            size = say(
                "at least {energy:up}, for a day of pumping without sun",
                energy=Quantity(max(needed) / usable, kinds.ENERGY),
            )
        lines.add("battery", size, verdict, state="to add", practice=CHARGED)
        return
    size = sized(lines.claim("{}", lines.site.power, "battery_energy"))
    state: State = "in the file"
    lasts = None if verdict is None else verdict.quantity
    if verdict is not None and verdict.status in NOT_PASSED and lasts and verdict.limit:
        state = "to change"
        size = say(
            "at least {energy:up}",
            energy=Quantity(energy * verdict.limit / lasts, kinds.ENERGY),
        )
    lines.add("battery", size, verdict, state=state)


def _charging(lines: Lines, group: ArrayTable) -> None:
    """What stands between a group of modules and the battery."""
    module = lines.site.module
    if module is None:
        return
    count = group.series * group.parallel
    size = sized(
        ("for {} of modules", Quantity(count * module.vmp * module.imp, kinds.POWER)),
        *circuit_of(lines, group),
        ("within the inverter or beside it", ""),
    )
    lines.add("charge controller", size, None, of=group.name, state="to check", practice=CHARGES)


def circuit_of(lines: Lines, group: ArrayTable) -> tuple[tuple[str, Quantity | None], ...]:
    """What a device in the direct current of a group must bear: greatest voltage and current, as
    pieces of a size; none without a module's sheet."""
    module = lines.site.module
    if module is None:
        return ()
    volts = [
        cold_voltage
        for cold_voltage in cold_voltages(lines.site, group)
        if cold_voltage is not None
    ]
    current = cable.pv_circuit_current(module.isc, group.parallel)
    record = lines.site.sun.record_low is not None
    words = "{:up} open in the record cold" if record else "{:up} open in the worst cold"
    return (
        (words, Quantity(max(volts), kinds.VOLTAGE)),
        ("{:up} of direct current", Quantity(current, kinds.CURRENT)),
    )


def _generator(lines: Lines) -> None:
    """The generator, and what keeps the sources apart."""
    rating = lines.site.power.generator_rating
    if rating is not None:
        verdict = lines.worst_of_all(GENERATOR)
        needed = [
            verdict.limit
            for verdict in lines.results.verdicts
            if verdict.rule == GENERATOR and verdict.status == "fail" and verdict.limit
        ]
        size = (
            say("at least {needed:up}", needed=max(needed))
            if needed
            else sized(lines.claim("{}", lines.site.power, "generator_rating"))
        )
        state: State = "to change" if needed else "in the file"
        why = remedy_of(verdict) if needed else ()
        lines.add("generator", size, verdict, state=state, why=why)
    _transfer_switch(lines)


def _transfer_switch(lines: Lines) -> None:
    """What keeps the supplies of a house apart, wherever two of them could meet, and where a
    generator's cord is plugged in."""
    sources, power = supplies_of(lines.site), lines.site.power
    verdict = lines.worst_of_all(SUPPLIES_APART)
    if verdict is None:
        return
    size = say(
        "for {sources}, for the whole house or the circuits of the outage, by its breaker; a "
        "licensed electrician's",
        sources=" or ".join(sources),
    )
    state: State = "to add" if verdict.status == "fail" else "to check"
    if verdict.status == "pass":
        state, kept = "in the file", ", ".join(pairs_of(lines.site))
        size = sized(lines.claim("keeps {} apart", power, "kept_apart", value=kept))
    islands = "grid and inverter" in pairs_of(lines.site)
    why = [*remedy_of(verdict), *([say(ISLAND)] if islands else [])]
    lines.add("transfer switch", size, verdict, state=state, why=why)
    if power.generator_rating is not None:
        size = sized(
            ("male pins, behind the transfer switch", ""),
            ("for {}", power.generator_rating),
            ("outdoors, weatherproof", ""),
        )
        neutral = lines.worst_of_all(NEUTRAL)
        lines.add("generator inlet", size, neutral, state="to check", practice=INLET)


def _changeover(lines: Lines) -> None:
    """What lets one of several pumps run at a time; the file says whether it is there."""
    verdict = next(
        (verdict for verdict in lines.results.verdicts if verdict.rule == AT_ONCE), None
    )
    if verdict is None or (verdict.status == "pass" and not lines.site.power.pump_changeover):
        return
    there = lines.site.power.pump_changeover
    state: State = "in the file" if there else "to check" if there is None else "to add"
    words, power = "for one pump at a time: {}", lines.site.power
    piece = lines.claim(words, power, "pump_changeover", value=verdict.subject)
    size = sized(piece if there else (words, verdict.subject))
    lines.add("changeover switch", size, verdict, state=state, practice=APART)
