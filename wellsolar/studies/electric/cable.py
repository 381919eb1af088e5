"""The conductors of a run: voltage drop, ampacity, and the thinnest that meets both."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.data import wiring
from wellsolar.data.wiring import Wire
from wellsolar.errors import OutOfRange
from wellsolar.physics.electric import cable, motor
from wellsolar.results.pumps import WireResult
from wellsolar.site.schema import Cable, Site
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Remedy, Rule, Status, Verdict, remedy, say, set_to

TERMINAL_RATING = 60
"""Ampacity column [degC]: terminals of 100 A or less that are not marked otherwise, NEC 110.14(C)
(second hand)."""

INSULATION_RATING = 75
"""Column of an insulation that the file does not name [degC]; ambient and bundling correct it:
common practice, no source."""

COLUMNS = (60, 75, 90)
"""Of the ampacity table of wire gauges [degC]."""

START_DIP = 0.35
"""Greatest share of the voltage that a submersible motor may lose at start: trade tables of
generators for them keep 65 % of the rated voltage. The 15 % of NFPA 20 are for the controller of a
fire pump, at its line terminals."""

LOCKED_ROTOR_POWER_FACTOR = 0.6
"""Of a small motor at rest: common practice, no source."""

SMALLEST = "the thinnest that meets every requirement"
"""How a remedy calls the thinnest wire of a run."""

DROP = Rule(
    "voltage drop",
    "is the voltage drop of the cable small enough?",
    "voltage drop of the run within the limit, conductors at 75 degC",
    "nec voltage drop",
    limit_is="at most",
    by="electrician",
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
    by="electrician",
    place=Place(section="pump_#|heater_array"),
)
AMPACITY_PV = Rule(
    "pv conductor",
    "does the cable carry the array's current?",
    "before correction at least 1.25 x 1.25 x short-circuit current, at 60 degC terminals; after "
    "correction for ambient and bundling at least 1.25 x, by the insulation that the file names "
    "or else 75 degC",
    "pv circuit",
    limit_is="at least",
    safety=True,
    by="electrician",
    place=Place(section="pump_#|heater_array"),
)


def line_resistance(gauge: str, length: float, phases: int) -> float:
    """Voltage lost in a run of one way's length [m] for each ampere of line current [ohm]."""
    return _drop(wiring.wire(gauge), 1.0, length, phases)


@dataclass(frozen=True)
class Load:
    """What a run of cable carries.

    current: working current [A]; required_ampacity: with the code's factors, at the terminals [A]
    corrected_required: the same after correction for ambient and bundling [A]
    voltage: at the source [V]; phases: 1 (and direct current) or 3
    starting_current: of a motor that starts through this run [A]; None where nothing does
    device: fuse or breaker [A]; None where none is named; device_rule: what it follows from
    small_conductors: True where 240.4(D) limits the device on thin wires; motors are excepted
    """

    current: float
    required_ampacity: float
    corrected_required: float
    voltage: float
    phases: int = 1
    starting_current: float | None = None
    device: float | None = None
    device_rule: str = ""
    small_conductors: bool = False


def in_mm2(site: Site, named: Cable | None) -> bool:
    """Whether a run is wired in mm2: by its cable, or where none is named by any of the site's."""
    cables = [named] if named else [pump.cable for pump in site.pump]
    cables += [] if named else [array.cable for array in site.array]
    return any(cable is not None and wiring.wire(cable.gauge).metric for cable in cables)


def array_load(
    short_circuit: float, current: float, voltage: float, strings: float, metric: bool = False
) -> Load:
    """The load of a photovoltaic array.

    Parameters:
        short_circuit: rated short-circuit current of one string [A]
        current: working current of all strings [A]
        voltage: at the array [V]
        strings: in parallel
        metric: True for devices of a site wired in mm2
    """
    needed = cable.pv_conductor_current(short_circuit, strings)
    most = cable.pv_circuit_current(short_circuit, strings)
    rule = "where one is fitted: 1.25 x 1.25 x short-circuit current, next standard size"
    return Load(
        current,
        needed,
        most,
        voltage,
        device=_next_size(needed, metric),
        device_rule=rule,
        small_conductors=True,
    )


def wire_run(
    named: Cable | None, length: float, load: Load, drop_limit: float, metric: bool = False
) -> WireResult:
    """One run of conductors and the thinnest gauge that would do.

    Parameters:
        length: one way [m]
        drop_limit: fraction of the voltage
        metric: True where the thinnest is sought among wires in mm2
    Returns:
        the run by the file's gauge, or by the thinnest that does where the file names none
    """
    sold = wiring.metric_wires() if metric else wiring.wires()
    smallest = next((wire for wire in sold if _does(wire, named, length, load, drop_limit)), None)
    shown = wiring.wire(named.gauge) if named else smallest or sold[-1]
    drop = _drop(shown, load.current, length, load.phases)
    ohms = shown.resistance_75c_stranded
    ambient = None if named is None else named.ambient
    terminals, corrected = shown.ampacity(TERMINAL_RATING), corrected_ampacity(shown, named)
    needed = load.required_ampacity, load.corrected_required
    # Of the two checks that which has less to spare.
    binds = min(
        ((terminals, needed[0]), (corrected, needed[1])), key=lambda pair: pair[0] - pair[1]
    )
    return WireResult(
        gauge=named.gauge if named else None,
        length=length,
        current=load.current,
        required_ampacity=binds[1],
        voltage_drop=drop,
        drop_fraction=drop / load.voltage,
        power_loss=cable.power_loss(load.current, ohms, length, load.phases),
        ampacity=binds[0],
        smallest_gauge=smallest.gauge if smallest else None,
        overcurrent_device=load.device,
        terminal_ampacity=terminals,
        terminal_required=needed[0],
        corrected_ampacity=corrected,
        corrected_required=needed[1],
        overcurrent_rule=load.device_rule,
        ambient=None if ambient is None else float(ambient),
        conductors=None if named is None else named.conductors,
        insulation=None if named is None else named.insulation,
    )


def ampacity(wire: Wire, named: Cable | None) -> float:
    """Ampacity of a wire in its surroundings, no more than its terminals allow [A]."""
    return min(wire.ampacity(TERMINAL_RATING), corrected_ampacity(wire, named))


def corrected_ampacity(wire: Wire, named: Cable | None) -> float:
    """Ampacity by the wire's insulation after correction [A]; 0 where it is too hot for it."""
    rating: float = wiring.METRIC_CONDUCTOR if wire.metric else INSULATION_RATING
    if named is not None and named.insulation is not None:
        rating = wiring.insulation_rating(named.insulation)
    ambient, conductors = (None, None) if named is None else (named.ambient, named.conductors)
    if wire.metric:
        around = wiring.METRIC_AMBIENT if ambient is None else float(ambient)
        most = wire.ampacity_75 * wiring.metric_factor(around, rating)
        return most * (1.0 if conductors is None else wiring.bundling_factor(conductors))
    rating = max(column for column in COLUMNS if column <= rating)
    try:
        warmth = 1.0 if ambient is None else wiring.ambient_factor(float(ambient), rating)
    except OutOfRange:
        return 0.0
    company = 1.0 if conductors is None else wiring.bundling_factor(conductors)
    return cable.corrected_ampacity(wire.ampacity(rating), warmth, company)


def pv_ampacity(wire: Wire, named: Cable | None) -> float:
    """The greatest 1.25 x 1.25 x short-circuit current that a wire carries, at its terminals and
    in its surroundings [A]."""
    corrected = cable.CONTINUOUS_FACTOR * corrected_ampacity(wire, named)
    return min(wire.ampacity(TERMINAL_RATING), corrected)


def carries(wire: Wire, named: Cable | None, required: float, corrected_required: float) -> bool:
    """Whether a wire carries what is required at its terminals and in its surroundings [A]."""
    return (
        wire.ampacity(TERMINAL_RATING) >= required
        and corrected_ampacity(wire, named) >= corrected_required
    )


def _does(wire: Wire, named: Cable | None, length: float, load: Load, drop_limit: float) -> bool:
    """Whether a wire meets ampacity, drop, device and start."""
    if not carries(wire, named, load.required_ampacity, load.corrected_required):
        return False
    if _drop(wire, load.current, length, load.phases) > drop_limit * load.voltage:
        return False
    limit = wire.small_conductor_limit if load.small_conductors else None
    if limit is not None and (load.device is None or load.device > limit):
        return False  # 240.4(D): such a device wants a thicker wire.
    if load.starting_current is None:
        return True
    ohms = _drop(wire, 1.0, length, load.phases)
    dip = motor.starting_voltage_dip(
        load.starting_current, load.voltage, ohms, LOCKED_ROTOR_POWER_FACTOR
    )
    return dip <= START_DIP


def wire_verdicts(
    run: WireResult, subject: str, path: str, drop_limit: float, rule: Rule
) -> list[Verdict]:
    """Whether a run's gauge carries the current and loses little enough.

    Parameters:
        drop_limit: fraction of the voltage
        rule: AMPACITY_MOTOR or AMPACITY_PV
    Returns:
        two verdicts, unknown where the file names no cable
    """
    if run.gauge is None:
        return [rule.unknown(subject, path), DROP.unknown(subject, path)]
    within = run.drop_fraction <= drop_limit
    loss = Quantity(run.drop_fraction, kinds.FRACTION)
    return [
        _carries(run, subject, path, rule),
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
            remedy=_thicker(run, path),
        ),
    ]


def _carries(run: WireResult, subject: str, path: str, rule: Rule) -> Verdict:
    """Whether a run's gauge carries the current, at its terminals and in its surroundings."""
    fine = (
        run.terminal_ampacity >= run.terminal_required
        and run.corrected_ampacity >= run.corrected_required
    )
    template = "{gauge} carries {ampacity}; {needed} is required"
    parts: dict[str, Quantity | str] = {"gauge": run.gauge or ""}
    if run.ambient is not None or run.conductors is not None or run.insulation is not None:
        template = "{gauge} carries {terminals} at its terminals, where {first} is required, and "
        template += "{corrected} in its surroundings, where {needed} is"
        parts["terminals"] = Quantity(run.terminal_ampacity, kinds.CURRENT)
        parts["first"] = Quantity(run.terminal_required, kinds.CURRENT)
        parts["corrected"] = Quantity(run.corrected_ampacity, kinds.CURRENT)
        parts["needed"] = Quantity(run.corrected_required, kinds.CURRENT)
    else:
        parts["ampacity"] = Quantity(run.ampacity, kinds.CURRENT)
        parts["needed"] = Quantity(run.required_ampacity, kinds.CURRENT)
    status: Status = "pass" if fine else "fail"
    if run.gauge is not None and wiring.wire(run.gauge).metric:
        template += ", by IEC 60364-5-52: three loaded conductors in conduit"
        if not fine and _carries_without_margin(run):
            status = "caution"
            template += "; it carries the current itself, without the quarter more of NFPA 70"
    return rule.verdict(
        status,
        subject,
        say(template, **parts),
        quantity=Quantity(run.ampacity, kinds.CURRENT),
        limit=Quantity(run.required_ampacity, kinds.CURRENT),
        remedy=_thicker(run, path),
    )


def _carries_without_margin(run: WireResult) -> bool:
    """Whether a run carries what its rule asks but for the quarter that NFPA 70 adds to it, which
    the international standards do not."""
    return all(
        carried * cable.CONTINUOUS_FACTOR >= required
        for carried, required in (
            (run.terminal_ampacity, run.terminal_required),
            (run.corrected_ampacity, run.corrected_required),
        )
    )


def _thicker(run: WireResult, path: str) -> Remedy:
    """The thinnest gauge that does."""
    if run.smallest_gauge is None:
        cooler = run.corrected_ampacity < run.corrected_required
        return remedy(
            "no gauge in the table will do: shorten the run"
            + (", keep it cooler" if cooler else "")
            + " or raise the voltage",
            "where the wire runs and what voltage it has hang on the whole design",
        )
    return remedy(
        "use {gauge}, " + SMALLEST,
        [set_to(f"{path}.gauge", run.smallest_gauge)],
        gauge=run.smallest_gauge,
    )


def _drop(wire: Wire, current: float, length: float, phases: int) -> float:
    return cable.voltage_drop(current, wire.resistance_75c_stranded, length, phases)


def motor_device(
    code_current: float, direct_current: bool, metric: bool = False
) -> tuple[float | None, str]:
    """The largest breaker of a motor's branch circuit, with its rule.

    Parameters:
        code_current: full-load current by the code's table [A]
        direct_current: True for a direct-current motor
        metric: True for devices of a site wired in mm2
    Returns:
        rating of the breaker [A], None above the table, and what it follows from
    """
    if direct_current:
        device = _next_size(cable.direct_current_breaker_current(code_current), metric)
        return device, "at most 150 % of full-load current, next standard size"
    device = _next_size(cable.motor_breaker_current(code_current), metric)
    return device, "at most 250 % of full-load current, next standard size (inverse-time breaker)"


def _next_size(current: float, metric: bool) -> float | None:
    try:
        return wiring.next_overcurrent_size(current, metric)
    except OutOfRange:
        return None
