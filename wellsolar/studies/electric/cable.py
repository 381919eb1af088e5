"""The conductors of a run: voltage drop, ampacity, and the thinnest that meets both."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.data import wiring
from wellsolar.data.wiring import Wire
from wellsolar.errors import OutOfRange
from wellsolar.physics.electric import cable, motor
from wellsolar.results import WireResult
from wellsolar.site.schema import Cable
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Verdict, say

TERMINAL_RATING = 60
"""Ampacity column [degC]: terminals of 100 A or less that are not marked otherwise, NEC 110.14(C)
(second hand)."""

INSULATION_RATING = 75
"""Column of the insulation [degC] that ambient and bundling correct: common practice, no
source."""

START_DIP = 0.15
"""Greatest share of the voltage to lose at start: NFPA 20 9.4.1 and NEC 695.7, written for fire
pumps, taken here as good practice for any."""

SMALLEST = "the thinnest that meets every requirement"
"""How a remedy calls the thinnest wire of a run."""

DROP = Rule(
    "voltage drop",
    "is the voltage drop of the cable small enough?",
    "voltage drop of the run within the limit, conductors at 75 degC",
    "nec voltage drop",
    limit_is="at most",
    place=Place(section="pump_#|heater_array"),
)
AMPACITY_MOTOR = Rule(
    "motor conductor",
    "does the cable carry the motor's current?",
    "ampacity at least 125 % of full-load current; 60 degC terminals, 75 degC insulation "
    "corrected for ambient and bundling where the file gives them",
    "motor conductor",
    limit_is="at least",
    safety=True,
    place=Place(section="pump_#|heater_array"),
)
AMPACITY_PV = Rule(
    "pv conductor",
    "does the cable carry the array's current?",
    "ampacity at least 1.25 x 1.25 x short-circuit current; 60 degC terminals, 75 degC insulation "
    "corrected for ambient and bundling where the file gives them",
    "pv circuit",
    limit_is="at least",
    safety=True,
    place=Place(section="pump_#|heater_array"),
)


def line_resistance(gauge: str, length: float, phases: int) -> float:
    """Voltage lost in a run of one way's length [m] for each ampere of line current [ohm]."""
    return _drop(wiring.wire(gauge), 1.0, length, phases)


@dataclass(frozen=True)
class Load:
    """What a run of cable carries.

    current: working current [A]; required_ampacity: with the code's factors [A]
    voltage: at the source [V]; phases: 1 (and direct current) or 3
    starting_current: of a motor that starts through this run [A]; None where nothing does
    device: fuse or breaker [A]; None where none is named; device_rule: what it follows from
    small_conductors: True where 240.4(D) limits the device on thin wires; motors are excepted
    """

    current: float
    required_ampacity: float
    voltage: float
    phases: int = 1
    starting_current: float | None = None
    device: float | None = None
    device_rule: str = ""
    small_conductors: bool = False


def array_load(short_circuit: float, current: float, voltage: float, strings: float) -> Load:
    """The load of a photovoltaic array.

    Parameters:
        short_circuit: rated short-circuit current of one string [A]
        current: working current of all strings [A]
        voltage: at the array [V]
        strings: in parallel
    Returns:
        the load with its fuse or breaker
    """
    needed = float(cable.pv_conductor_current(short_circuit, strings))
    rule = "where one is fitted: 1.25 x 1.25 x short-circuit current, next standard size"
    return Load(
        current,
        needed,
        voltage,
        device=_next_size(needed),
        device_rule=rule,
        small_conductors=True,
    )


def wire_run(named: Cable | None, length: float, load: Load, drop_limit: float) -> WireResult:
    """One run of conductors and the thinnest gauge that would do.

    Parameters:
        named: the cable in the file, or None
        length: one way [m]
        load: what it carries
        drop_limit: fraction of the voltage
    Returns:
        the run by the file's gauge, or by the thinnest that does where the file names none
    """
    smallest = next(
        (wire for wire in wiring.wires() if _does(wire, named, length, load, drop_limit)), None
    )
    shown = wiring.wire(named.gauge) if named else smallest or wiring.wires()[-1]
    drop = _drop(shown, load.current, length, load.phases)
    ohms = shown.resistance_75c_stranded
    ambient = None if named is None else named.ambient
    return WireResult(
        gauge=named.gauge if named else None,
        length=length,
        current=load.current,
        required_ampacity=load.required_ampacity,
        voltage_drop=drop,
        drop_fraction=drop / load.voltage,
        power_loss=float(cable.power_loss(load.current, ohms, length, load.phases)),
        ampacity=ampacity(shown, named),
        smallest_gauge=smallest.gauge if smallest else None,
        overcurrent_device=load.device,
        overcurrent_rule=load.device_rule,
        ambient=None if ambient is None else float(ambient),
        conductors=None if named is None else named.conductors,
    )


def ampacity(wire: Wire, named: Cable | None) -> float:
    """Ampacity of a wire in its surroundings, no more than its terminals allow [A]."""
    at_terminals = wire.ampacity(TERMINAL_RATING)
    if named is None:
        return at_terminals
    ambient, conductors = named.ambient, named.conductors
    warmth = 1.0 if ambient is None else wiring.ambient_factor(float(ambient), INSULATION_RATING)
    company = 1.0 if conductors is None else wiring.bundling_factor(conductors)
    corrected = cable.corrected_ampacity(wire.ampacity(INSULATION_RATING), warmth, company)
    return min(at_terminals, float(corrected))


def _does(wire: Wire, named: Cable | None, length: float, load: Load, drop_limit: float) -> bool:
    """Whether a wire meets ampacity, drop, device and start."""
    if ampacity(wire, named) < load.required_ampacity:
        return False
    if _drop(wire, load.current, length, load.phases) > drop_limit * load.voltage:
        return False
    limit = wire.small_conductor_limit if load.small_conductors else None
    if limit is not None and (load.device is None or load.device > limit):
        return False  # 240.4(D): such a device wants a thicker wire.
    if load.starting_current is None:
        return True
    ohms = _drop(wire, 1.0, length, load.phases)
    return (
        float(motor.starting_voltage_dip(load.starting_current, load.voltage, ohms)) <= START_DIP
    )


def wire_verdicts(run: WireResult, subject: str, drop_limit: float, rule: Rule) -> list[Verdict]:
    """Whether a run's gauge carries the current and loses little enough.

    Parameters:
        run: from `wire_run`
        subject: whose run it is
        drop_limit: fraction of the voltage
        rule: AMPACITY_MOTOR or AMPACITY_PV
    Returns:
        two verdicts; none where the file names no gauge
    """
    if run.gauge is None:
        return []
    remedy = (
        say("use {gauge}, " + SMALLEST, gauge=run.smallest_gauge)
        if run.smallest_gauge
        else say("no gauge in the table will do: shorten the run or raise the voltage")
    )
    carries = run.ampacity >= run.required_ampacity
    within = run.drop_fraction <= drop_limit
    loss = Quantity(run.drop_fraction, kinds.FRACTION)
    return [
        rule.verdict(
            "pass" if carries else "fail",
            subject,
            say(
                "{gauge} carries {ampacity}; {needed} is required",
                gauge=run.gauge,
                ampacity=Quantity(run.ampacity, kinds.CURRENT),
                needed=Quantity(run.required_ampacity, kinds.CURRENT),
            ),
            quantity=Quantity(run.ampacity, kinds.CURRENT),
            limit=Quantity(run.required_ampacity, kinds.CURRENT),
            remedy=remedy,
        ),
        DROP.verdict(
            "pass" if within else "caution",
            subject,
            say(
                "{gauge} over {length} one way loses {drop} at {current}, {share}",
                gauge=run.gauge,
                length=Quantity(run.length, kinds.LENGTH),
                drop=Quantity(run.voltage_drop, kinds.VOLTAGE),
                current=Quantity(run.current, kinds.CURRENT),
                share=loss,
            ),
            quantity=loss,
            limit=Quantity(drop_limit, kinds.FRACTION),
            remedy=remedy,
        ),
    ]


def _drop(wire: Wire, current: float, length: float, phases: int) -> float:
    return float(cable.voltage_drop(current, wire.resistance_75c_stranded, length, phases))


def motor_device(code_current: float, direct_current: bool) -> tuple[float | None, str]:
    """The largest breaker of a motor's branch circuit, with its rule.

    Parameters:
        code_current: full-load current by the code's table [A]
        direct_current: True for a direct-current motor
    Returns:
        rating of the breaker [A], None above the table, and what it follows from
    """
    if direct_current:
        device = _next_size(float(cable.direct_current_breaker_current(code_current)))
        return device, "at most 150 % of full-load current, next standard size"
    device = _next_size(float(cable.motor_breaker_current(code_current)))
    return device, "at most 250 % of full-load current, next standard size (inverse-time breaker)"


def _next_size(current: float) -> float | None:
    try:
        return wiring.next_overcurrent_size(current)
    except OutOfRange:
        return None
