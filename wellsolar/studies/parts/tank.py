"""The parts about the pressure tank and the storage tank."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.physics.hydraulics import pressure_tank, suction
from wellsolar.results.parts import State
from wellsolar.results.pumps import PumpResult
from wellsolar.site.part_names import HOUSE_MAIN, TANK_DRAIN, TANK_RELIEF
from wellsolar.site.schema import PressureTankTable
from wellsolar.studies.electric.motor_guards import motor_cycle
from wellsolar.studies.house.chain import boosters, fillers, link_of
from wellsolar.studies.parts.lines import (
    NOT_PASSED,
    ORDER,
    Lines,
    Piece,
    Practice,
    remedy_of,
    sized,
    valves,
)
from wellsolar.studies.pump.held_pressure import LEAST, SETTING, UPSTREAM, VALVE
from wellsolar.studies.pump.pressure_tank import (
    HELD_PRECHARGE,
    HELD_SHARE,
    HOURLY,
    PRECHARGE,
    RUN_TIME,
    STARTS,
    held_by_all,
    tanks_of,
)
from wellsolar.studies.pump.shut_off import (
    RELIEF,
    TANK,
    relief_sold,
    tank_pressure,
    working_pressure,
)
from wellsolar.studies.pump.storage_tank import AIR_GAP, COVER, OVERFLOW, RUNS_EMPTY
from wellsolar.studies.pump.storage_tank import TANK as STORAGE
from wellsolar.studies.pump.verdicts import CUT_OUT
from wellsolar.studies.safety.expansion import EXPANSION
from wellsolar.studies.supply.chain_year import NIGHT, SHORT
from wellsolar.studies.well.peak import PEAK
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Sentence, Verdict, changes_of, say

GAUGE = Practice("the switch is set and every fill is judged by it")
STUCK = Practice("a switch that sticks leaves the pump running against shut taps")
LEVEL = Practice("an open tank has no pressure that could stop the pump")

DISCHARGES = Practice(
    "what a relief valve lets out scalds or floods, and a plugged pipe bursts the tank",
    source="discharge pipe",
)
STAND = Practice("a full tank crushes a weak floor, and topples where the ground shakes")
CLEAN = Practice("dust, insects and what is drawn back foul it", source="stored drinking water")
WATER = 1000.0
"""Density of water [kg/m3], near enough for a weight."""

GAUGE_SCALE = 1.5
"""Full scale of a gauge over the greatest pressure: common practice, no source."""


def tank_parts(lines: Lines) -> None:
    """The switch, the tank at its pressure and what guards it, and the storage tank."""
    _pressure(lines)
    _storage(lines)


def discharge_pipe(lines: Lines, of: str) -> None:
    """The pipe of a relief valve."""
    size = say(
        "as wide as the valve's outlet, one valve a pipe, downhill, ending in sight 6 in (15 cm) "
        "or less above the floor, with an air gap over a drain or outside; rated for what comes "
        "out, free of frost; no thread at its end, no trap, tee or valve"
    )
    lines.add("discharge pipe", size, None, of=of, state="to check", practice=DISCHARGES)


def tank_stand(lines: Lines, of: str, volume: float) -> None:
    """What a tank stands on.

    Parameters:
        volume: of the tank [m3]
    """
    weight = Quantity(volume * WATER * STANDARD_GRAVITY, kinds.FORCE)
    size = say(
        "level and dry, bears {weight:up} of water and the tank; straps where the local code "
        "asks them for earthquakes",
        weight=weight,
    )
    lines.add("tank stand", size, None, of=of, state="to check", practice=STAND)


def _pressure(lines: Lines) -> None:
    """The switch and the tank at its pressure."""
    switch, highest = lines.site.pressure_switch, working_pressure(lines.site)
    pumps = [pump for pump in lines.results.pumps if pump.fill is not None]
    if highest is None:
        return
    if switch is not None and held_by_all(lines.site) is None:
        verdict = lines.worst(pumps[0].name, CUT_OUT) if pumps else None
        size = sized(
            lines.claim("cut-in {}", switch, "cut_in"),
            lines.claim("cut-out {}", switch, "cut_out"),
        )
        lines.add("pressure switch", size, verdict)
        _valve(lines)
    _pressure_tank(lines, pumps)
    _beside_the_tank(lines, highest)


def _valve(lines: Lines) -> None:
    """The valve that throttles the pumps to one pressure."""
    valve = lines.site.constant_pressure_valve
    if valve is None:
        return
    judged = [lines.worst_of_all(rule) for rule in (SETTING, UPSTREAM, LEAST)]
    verdicts = [verdict for verdict in judged if verdict is not None]
    shown = min(verdicts, key=lambda verdict: ORDER.index(verdict.status), default=None)
    size = sized(
        lines.claim("holds {}", valve, "set_pressure"),
        lines.claim("lets {} through at the least", valve, "least_flow"),
        lines.claim("bears {} before it", valve, "greatest_pressure"),
        ("for drinking water", ""),
    )
    wrong = shown is not None and shown.status in NOT_PASSED
    state: State = "to change" if wrong else "in the file"
    lines.add(VALVE, size, shown, state=state, why=remedy_of(shown) if wrong else ())


def _pressure_tank(lines: Lines, pumps: list[PumpResult]) -> None:
    site, result = lines.site, lines.results.pressure_tank
    if site.pressure_tank is None:
        _tank_to_add(lines, pumps)
        return
    tank_stand(lines, TANK, float(site.pressure_tank.volume))
    held = held_by_all(site)
    if result is None or held is not None:
        if held is not None:
            _tank_of_drive(lines, site.pressure_tank, held)
        return
    judged = [
        (verdict, cycle.volume_needed)
        for cycle in result.cycles
        for rule in (RUN_TIME, STARTS, HOURLY)
        if (verdict := lines.verdict(rule, cycle.pump)) is not None
    ]
    need = 0.0
    shown: Verdict | None = judged[0][0] if judged else None
    for verdict, volume in judged:
        if verdict.status in NOT_PASSED and volume > need:
            need, shown = volume, verdict
    expands = lines.verdict(EXPANSION, "water heater")
    heated = lines.results.heated_tank
    if expands is not None and expands.status in NOT_PASSED and heated is not None:
        more = heated.safety.pressure.tank_needed
        if more is not None and more > need:
            need, shown = more, expands
    precharge = lines.verdict(PRECHARGE, TANK)
    wrong = precharge is not None and precharge.status in NOT_PASSED
    best = Quantity(result.best_precharge, kinds.PRESSURE)
    quantity = best if need or wrong else Quantity(result.precharge, kinds.PRESSURE)
    count = result.count
    if need:
        size, count = _tank_size(need, quantity, lines.site.site.print_units)
    else:
        size = _as_in_file(lines, site.pressure_tank, quantity)
    if shown is None or (wrong and not need):
        shown = precharge
    state: State = "to change" if need or wrong else "in the file"
    lines.add(TANK, size, shown, state=state, count=count, why=remedy_of(shown) if need else ())


def _tank_of_drive(lines: Lines, tank: PressureTankTable, held: float) -> None:
    """The small tank beside a pump that holds its pressure."""
    verdict = lines.verdict(HELD_PRECHARGE, TANK)
    wrong = verdict is not None and verdict.status in NOT_PASSED
    right = tank.precharge
    if right is None or wrong:
        right = Quantity(HELD_SHARE * held, kinds.PRESSURE)
    state: State = "to change" if wrong else "in the file"
    lines.add(TANK, _as_in_file(lines, tank, right), verdict, state=state, count=tank.count)


def _as_in_file(lines: Lines, tank: PressureTankTable, precharge: Quantity) -> Sentence:
    """A tank of the file with a precharge."""
    words = "{} each" if tank.count > 1 else "{}"
    return sized(
        lines.claim(words, tank, "volume"),
        lines.claim("precharge {}", tank, "precharge", value=precharge),
        lines.claim("made for {}", tank, "greatest_pressure"),
    )


def _beside_the_tank(lines: Lines, highest: float) -> None:
    """Gauge, drain and the valve that opens when the switch does not."""
    scale = Quantity(GAUGE_SCALE * highest, kinds.PRESSURE)
    lines.add(
        "pressure gauge", say("to {scale:up} or the next scale above", scale=scale), None,
        state="to check", practice=GAUGE,
    )  # fmt: skip
    valves(lines, TANK_DRAIN, HOUSE_MAIN)
    if not lines.results.pumps:
        return
    _relief(lines, highest)


def _relief(lines: Lines, highest: float) -> None:
    """The relief valve of the file, or what one has to be."""
    tank, verdict = lines.site.pressure_tank, lines.verdict(RELIEF, TANK)
    opens = None if tank is None else tank.relief_pressure
    size: Sentence
    both = zip(lines.site.pump, lines.results.pumps, strict=True)
    pressing = [pump for pump in both if link_of(lines.site, pump[0]).to_house]
    if not pressing:
        return  # Nothing presses into the tank: what there is fills the storage tank.
    flow = Quantity(max(duty.flow for _, pump in pressing for duty in pump.duties), kinds.FLOW)
    state: State = "to check"
    if verdict is not None and verdict.status == "fail":
        state = "to add" if opens is None else "to change"
        opens = relief_sold(lines.site, math.inf)
    elif verdict is not None and verdict.status == "pass" and opens is not None:
        state = "in the file"
    if opens is not None:
        key = () if tank is None else (lines.key(tank, "relief_pressure"),)
        through = None if state == "in the file" else flow
        size = sized(Piece("opens at {}", opens, key), ("lets {:up} through", through))
    else:
        size = say(
            "opens above {highest}, by the pressure the tank is made for; lets {flow:up} through",
            highest=Quantity(highest, kinds.PRESSURE),
            flow=flow,
        )
    at_stuck = [(tank_pressure(lines.site, *pump), pump[0].name) for pump in pressing]
    pressure, pump = max(at_stuck)
    why = say("{pump} can hold {pressure}", pump=pump, pressure=Quantity(pressure, kinds.PRESSURE))
    lines.add(TANK_RELIEF, size, verdict, state=state, practice=STUCK, why=[why])
    discharge_pipe(lines, TANK)


def _storage(lines: Lines) -> None:
    """The open tank, and what stops the pump when it is full."""
    storage = lines.site.storage_tank
    if storage is None:
        return
    verdict = lines.verdict(PEAK, STORAGE) or lines.worst_of_all(PEAK)
    bad = verdict is not None and verdict.status in NOT_PASSED
    for rule in (SHORT, NIGHT):
        year = lines.verdict(rule, STORAGE)
        larger = {change.path for change in changes_of(year.remedy)} if year is not None else {}
        if not bad and "storage_tank.volume" in larger:
            verdict, bad = year, True
    state: State = "to change" if bad else "in the file"
    size = sized(lines.claim("{}", storage, "volume"), ("covered, for drinking water", ""))
    why = remedy_of(verdict) if bad else ()
    lines.add(STORAGE, size, verdict, state=state, why=why)
    tank_stand(lines, STORAGE, float(storage.volume))
    size = say(
        "screened, pointing down, 12 in (30 cm) or more above the ground; an air gap below the "
        "overflow; the inlet ends two of its own diameters above the highest water; cleaned and "
        "chlorinated before its first use"
    )
    judged = lines.worst(STORAGE, AIR_GAP, OVERFLOW, COVER)
    wrong = judged is not None and judged.status in NOT_PASSED
    lines.add(
        "vent and overflow", size, judged, of=STORAGE, practice=CLEAN,
        state="to change" if wrong else "to check", why=remedy_of(judged) if wrong else (),
    )  # fmt: skip
    filling = [filler.table.name for filler in fillers(lines.site)]
    drawing = [booster.table.name for booster in boosters(lines.site)]
    for name in filling or (["pump"] if lines.results.pumps else []):
        size = say("stops the {name} at the full tank and starts it below", name=name)
        lines.add("level switch", size, None, state="to check", practice=LEVEL)
    for name in drawing:
        if storage.stops_below:
            words = "float that stops the " + name + " at {} of the tank"
            sentence = sized(lines.claim(words, storage, "stops_below"))
            lines.add("level switch", sentence, lines.verdict(RUNS_EMPTY, name), of=name)


def _tank_size(volume: float, precharge: Quantity, system: System) -> tuple[Sentence, int]:
    """Tanks as they are sold for a volume in all, and how many."""
    one, count = tanks_of(volume, system)
    needed = Quantity(volume, kinds.VOLUME)
    template = "{one}" + (" each" if count > 1 else "") + " (needs {needed:up} in all), precharge "
    return say(template + "{precharge}", one=one, needed=needed, precharge=precharge), count


def _tank_to_add(lines: Lines, pumps: list[PumpResult]) -> None:
    """A tank for a switch whose file has none: for the least run of the pump that fills most."""
    switch = lines.site.pressure_switch
    if switch is None or not pumps:
        return
    filling = [pump for pump in pumps if pump.fill is not None]
    tables = {pump.name: pump for pump in lines.site.pump}

    def water_of_a_run(pump: PumpResult) -> float:
        run = motor_cycle(lines.site, tables[pump.name]).wanted_run
        return 0.0 if pump.fill is None else pump.fill.mean_flow * run

    most = max(filling, key=water_of_a_run)
    assert most.fill is not None
    best = pressure_tank.recommended_precharge(switch.cut_in)
    outside = suction.atmospheric_pressure(lines.site.site.altitude)
    of_one = pressure_tank.drawdown_volume(1.0, best, switch.cut_in, switch.cut_out, outside)
    run = motor_cycle(lines.site, tables[most.name]).wanted_run
    why = say(
        "{run} of running at {flow} from cut-in to cut-out",
        run=Quantity(run, kinds.DURATION),
        flow=Quantity(most.fill.mean_flow, kinds.FLOW),
    )
    needed = water_of_a_run(most) / of_one
    size, count = _tank_size(needed, Quantity(best, kinds.PRESSURE), lines.site.site.print_units)
    verdict = lines.verdict(RUN_TIME, TANK)
    lines.add(TANK, size, verdict, state="to add", count=count, why=[why])
