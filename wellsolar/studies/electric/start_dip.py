"""The voltage that a pump's motor keeps in the moment of start: through its cable, and behind a
generator."""

from __future__ import annotations

import math
from dataclasses import replace

from wellsolar import kinds
from wellsolar.data.wiring import gauges
from wellsolar.physics.electric import motor
from wellsolar.physics.hydraulics import cooling
from wellsolar.results import StartResult, WireResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.electric.cable import SMALLEST, resistance
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Sentence, Status, Verdict, say

USUAL_DIP = wiring.START_DIP
"""Greatest share of the voltage to lose at start: NFPA 20 9.4.1 and NEC 695.7, written for fire
pumps, taken here as good practice for any."""

GREATEST_DIP = 0.35
"""Share of the voltage at which a submersible motor may not start: trade tables of generators for
them keep 65 % of the rated voltage."""

GENERATOR_REACTANCE = 0.25
"""Transient reactance of a small generator on its own rating: common practice, no source."""

LOCKED_ROTOR_POWER_FACTOR = 0.6
"""Of a small motor at rest: common practice, no source."""

DIP = Rule(
    "voltage at start",
    "does the motor keep its voltage as it starts?",
    "dip through the cable at the starting current no more than 15 %, and never above 35 %",
    "start dip",
    limit_is="at most",
    place=Place(section="pump_#"),
)
GENERATOR = Rule(
    "generator start",
    "does the generator start the pump?",
    "rating that runs the motor and leaves it 65 % of its voltage at start, with a reactance of "
    "25 % and nothing else on the generator",
    "generator start",
    limit_is="at least",
    place=Place(section="pump_#"),
)


def with_dips(
    site: Site, pump: PumpTable, start: StartResult | None, wire: WireResult | None
) -> StartResult | None:
    """A start with the dips in the cable and behind the site's generator.

    Parameters:
        site: the site
        pump: the pump's table
        start: from `starting.start_of`
        wire: the pump's run of cable
    Returns:
        the start; None where there was none
    """
    if start is None or wire is None or pump.voltage is None or start.starting_current <= 0.0:
        return start
    voltage, ohms = float(pump.voltage), _line_resistance(pump, wire)
    dip = None
    if wire.gauge is not None and pump.start != "variable speed":
        dip = float(motor.starting_voltage_dip(start.starting_current, voltage, ohms))
    rating = site.power.generator_rating
    behind = None
    if rating is not None and pump.start != "variable speed":
        reactance = cooling.source_reactance(
            float(rating), voltage, GENERATOR_REACTANCE, pump.phases
        )
        moment = cooling.start_through_supply(
            start.starting_current,
            voltage,
            LOCKED_ROTOR_POWER_FACTOR,
            ohms,
            0.0,
            reactance,
        )
        behind = float(moment.motor_dip)
    return replace(
        start,
        cable_dip=dip,
        generator_dip=behind,
        generator_needed=_generator_needed(pump, start, voltage, ohms),
    )


def dip_verdicts(
    site: Site, pump: PumpTable, start: StartResult | None, wire: WireResult | None, path: str
) -> list[Verdict]:
    """Whether the motor keeps its voltage at start.

    Parameters:
        site: the site
        pump: the pump's table
        start: from `with_dips`
        wire: the pump's run of cable
        path: the pump's key path, such as `pump[1]`
    Returns:
        verdicts; none where the file names neither cable nor generator, or the pump runs on
        direct current from its own controller
    """
    if pump.supply == "DC" or (start is not None and start.starting_current <= 0.0):
        return []  # Its own controller, or a pump that gives no water here.
    verdicts = []
    if start is not None and start.cable_dip is not None and wire is not None:
        verdicts.append(_through_cable(pump, start, wire, start.cable_dip))
    if site.power.generator_rating is not None:
        verdicts.append(_behind_generator(site, pump, start, path))
    return verdicts


def _line_resistance(pump: PumpTable, wire: WireResult) -> float:
    """Voltage lost in the cable for each ampere of line current [ohm]."""
    gauge = wire.gauge or wire.smallest_gauge or gauges()[-1]
    conductors = math.sqrt(3.0) if pump.phases == 3 else 2.0
    return conductors * wire.length * resistance(gauge)


def _generator_needed(
    pump: PumpTable, start: StartResult, voltage: float, ohms: float
) -> float | None:
    """Least rating that runs the pump and keeps the voltage its start needs [VA]; None where the
    cable alone takes too much."""
    running = start.running_current * start.starting_apparent_power / start.starting_current
    if pump.start == "variable speed":
        return running
    size = voltage / start.starting_current
    real = size * LOCKED_ROTOR_POWER_FACTOR + ohms
    imaginary = size * math.sqrt(1.0 - LOCKED_ROTOR_POWER_FACTOR**2)
    inside = (size / (1.0 - GREATEST_DIP)) ** 2 - real**2
    reactance = math.sqrt(max(inside, 0.0)) - imaginary
    if reactance <= 0.0:
        return None
    of_one = float(cooling.source_reactance(1.0, voltage, GENERATOR_REACTANCE, pump.phases))
    return max(running, of_one / reactance)


def _through_cable(pump: PumpTable, start: StartResult, wire: WireResult, lost: float) -> Verdict:
    dip, limit = Quantity(lost, kinds.FRACTION), Quantity(USUAL_DIP, kinds.FRACTION)
    status: Status = "pass" if lost <= USUAL_DIP else "caution" if lost <= GREATEST_DIP else "fail"
    return DIP.verdict(
        status,
        pump.name,
        say(
            "{current} at start in {length} of {gauge} take {dip} of the voltage",
            current=Quantity(start.starting_current, kinds.CURRENT),
            length=Quantity(wire.length, kinds.LENGTH),
            gauge=wire.gauge or "",
            dip=dip,
        ),
        quantity=dip,
        limit=limit,
        remedy=None if status == "pass" else _gentler(pump, wire),
    )


def _gentler(pump: PumpTable, wire: WireResult) -> Sentence:
    assert pump.voltage is not None
    # A share d of the voltage lost in the cable alone leaves 1 / (1 + d): see the physics.
    allowed = USUAL_DIP / (1.0 - USUAL_DIP) * pump.voltage / _line_resistance(pump, wire)
    current = Quantity(allowed, kinds.CURRENT)
    if wire.smallest_gauge is None:
        return say("a starter that holds the current to {current:down}", current=current)
    return say(
        f"use {{gauge}}, {SMALLEST}, or a starter that holds the current to {{current:down}}",
        gauge=wire.smallest_gauge,
        current=current,
    )


def _behind_generator(
    site: Site, pump: PumpTable, start: StartResult | None, path: str
) -> Verdict:
    rating = site.power.generator_rating
    assert rating is not None
    if start is None:
        return GENERATOR.unknown(pump.name, f"{path}.locked_rotor_current")
    has = Quantity(rating, kinds.APPARENT_POWER)
    parts: dict[str, Quantity | str] = {"has": has}
    reason = "a variable-speed drive starts within its running current, of {has}"
    if start.generator_dip is not None:
        reason = "{current} at start take {dip} of the voltage of a generator of {has}"
        parts["current"] = Quantity(start.starting_current, kinds.CURRENT)
        parts["dip"] = Quantity(start.generator_dip, kinds.FRACTION)
    if start.generator_needed is None:
        remedy = say("a thicker cable or a gentler start: no generator mends what the cable takes")
        return GENERATOR.verdict("fail", pump.name, say(reason, **parts), remedy=remedy)
    needed = Quantity(start.generator_needed, kinds.APPARENT_POWER)
    enough = has >= needed
    return GENERATOR.verdict(
        "pass" if enough else "fail",
        pump.name,
        say(reason, **parts),
        quantity=has,
        limit=needed,
        remedy=None
        if enough
        else say("a generator of {needed:up} or more, or a soft start", needed=needed),
    )
