"""The parts about the pressure tank and the storage tank."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics.hydraulics import air, pressure_tank
from wellsolar.results import PumpResult
from wellsolar.results.parts import State
from wellsolar.studies.parts.lines import NOT_PASSED, Lines, Practice, remedy_of, sized
from wellsolar.studies.pump.motor_cycle import motor_cycle
from wellsolar.studies.pump.pressure_tank import HOURLY, PRECHARGE, RUN_TIME, STARTS
from wellsolar.studies.pump.verdicts import CUT_OUT
from wellsolar.studies.safety.expansion import EXPANSION
from wellsolar.studies.well.verdicts import BRIDGES
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, Verdict, say

TANK = "pressure tank"
GAUGE = Practice("the switch is set and every fill is judged by it")
DRAIN = Practice("the precharge is read on a drained tank")
RELIEF = Practice("a switch that sticks leaves the pump running against shut taps")
LEVEL = Practice("an open tank has no pressure that could stop the pump")

GAUGE_SCALE = 1.5
"""Full scale of a gauge over the greatest pressure: common practice, no source."""


def tank_parts(lines: Lines) -> None:
    """The switch, the tank at its pressure and what guards it, and the storage tank.

    Parameters:
        lines: of the well, to which the parts are added
    """
    _pressure(lines)
    _storage(lines)


def _pressure(lines: Lines) -> None:
    """The switch and the tank at its pressure."""
    switch = lines.site.pressure_switch
    pumps = [each for each in lines.results.pumps if each.fill is not None]
    if switch is None:
        return
    verdict = lines.worst(pumps[0].name, CUT_OUT) if pumps else None
    size = sized(
        lines.claim("cut-in {}", switch, "cut_in"), lines.claim("cut-out {}", switch, "cut_out")
    )
    lines.add("pressure switch", size, verdict)
    _pressure_tank(lines, pumps)
    _beside_the_tank(lines, float(switch.cut_out))


def _pressure_tank(lines: Lines, pumps: list[PumpResult]) -> None:
    site, result = lines.site, lines.results.pressure_tank
    if result is None or site.pressure_tank is None:
        _tank_to_add(lines, pumps)
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
    if expands is not None and expands.status == "fail" and heated is not None:
        more = heated.safety.pressure.tank_needed
        if more is not None and more > need:
            need, shown = more, expands
    precharge = lines.verdict(PRECHARGE, TANK)
    wrong = precharge is not None and precharge.status in NOT_PASSED
    best = Quantity(result.best_precharge, kinds.PRESSURE)
    told = best if need or wrong else Quantity(result.precharge, kinds.PRESSURE)
    if need:
        size = _tank_size(need, told)
    elif wrong:
        size = sized(("{}", site.pressure_tank.volume), ("precharge {}", told))
    else:
        words = "{} each" if result.count > 1 else "{}"
        size = sized(
            lines.claim(words, site.pressure_tank, "volume"),
            lines.claim("precharge {}", site.pressure_tank, "precharge", value=told),
        )
    if shown is None or (wrong and not need):
        shown = precharge
    state: State = "to change" if need or wrong else "in the file"
    count = 1 if need else result.count
    lines.add(TANK, size, shown, state=state, count=count, why=remedy_of(shown) if need else ())


def _beside_the_tank(lines: Lines, cut_out: float) -> None:
    """Gauge, drain and the valve that opens when the switch does not."""
    held = [
        float(each.held_pressure) for each in lines.site.pump if each.held_pressure is not None
    ]
    highest = max([cut_out, *held])
    scale = Quantity(GAUGE_SCALE * highest, kinds.PRESSURE)
    lines.add(
        "pressure gauge", say("to {scale:up} or the next scale above", scale=scale), None,
        state="to check", practice=GAUGE,
    )  # fmt: skip
    lines.add("drain valve", say("at the tank"), None, state="to check", practice=DRAIN)
    if not lines.results.pumps:
        return
    strongest = max(lines.results.pumps, key=lambda each: each.shut_off_pressure)
    flow = max(duty.flow for each in lines.results.pumps for duty in each.duties)
    size = say(
        "opens above {highest}, by the pressure the tank is made for; lets {flow:up} through",
        highest=Quantity(highest, kinds.PRESSURE),
        flow=Quantity(flow, kinds.FLOW),
    )
    why = say(
        "{pump} can hold {pressure}",
        pump=strongest.name,
        pressure=Quantity(max(0.0, strongest.shut_off_pressure), kinds.PRESSURE),
    )
    lines.add("tank relief valve", size, None, state="to check", practice=RELIEF, why=[why])


def _storage(lines: Lines) -> None:
    """The open tank, and what stops the pump when it is full."""
    storage = lines.site.storage_tank
    if storage is None:
        return
    verdict = lines.worst_of_all(BRIDGES)
    bad = verdict is not None and verdict.status == "fail"
    state: State = "to change" if bad else "in the file"
    size = sized(lines.claim("{}", storage, "volume"), ("covered, for drinking water", ""))
    why = remedy_of(verdict) if bad else ()
    lines.add("storage tank", size, verdict, state=state, why=why)
    if lines.results.pumps:
        size = say("stops the pump at the full tank and starts it below")
        lines.add("level switch", size, None, state="to check", practice=LEVEL)


def _tank_size(volume: float, precharge: Quantity) -> Sentence:
    return say(
        "at least {volume:up}, or several alike of as much in all, precharge {precharge}",
        volume=Quantity(volume, kinds.VOLUME),
        precharge=precharge,
    )


def _tank_to_add(lines: Lines, pumps: list[PumpResult]) -> None:
    """A tank for a switch whose file has none: for the least run of the pump that fills most."""
    switch = lines.site.pressure_switch
    if switch is None or not pumps:
        return
    filling = [each for each in pumps if each.fill is not None]
    tables = {each.name: each for each in lines.site.pump}

    def water_of_a_run(pump: PumpResult) -> float:
        run = motor_cycle(lines.site, tables[pump.name]).wanted_run
        return 0.0 if pump.fill is None else pump.fill.mean_flow * run

    most = max(filling, key=water_of_a_run)
    assert most.fill is not None
    best = float(pressure_tank.recommended_precharge(float(switch.cut_in)))
    outside = float(air.atmospheric_pressure(float(lines.site.site.altitude)))
    of_one = float(
        pressure_tank.drawdown_volume(
            1.0, best, float(switch.cut_in), float(switch.cut_out), outside
        )
    )
    run = motor_cycle(lines.site, tables[most.name]).wanted_run
    why = say(
        "{run} of running at {flow} from cut-in to cut-out",
        run=Quantity(run, kinds.DURATION),
        flow=Quantity(most.fill.mean_flow, kinds.FLOW),
    )
    size = _tank_size(water_of_a_run(most) / of_one, Quantity(best, kinds.PRESSURE))
    lines.add(TANK, size, lines.verdict(RUN_TIME, TANK), state="to add", why=[why])
