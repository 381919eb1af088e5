"""The conductors of a run: voltage drop, ampacity, and the thinnest that meets both."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.data import wiring
from wellsolar.data.wiring import Wire
from wellsolar.errors import OutOfRange
from wellsolar.physics import cable
from wellsolar.results import WireResult
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Verdict, say

TERMINAL_RATING = 60
"""Ampacity column [degC]: terminals of 100 A or less that are not marked otherwise, NEC 110.14(C)
(from memory)."""

DROP = Rule(
    "voltage drop",
    "does the cable lose little enough?",
    "voltage drop of the run within the limit, conductors at 75 degC",
    "nec voltage drop",
    limit_is="at most",
)
AMPACITY_MOTOR = Rule(
    "motor conductor",
    "does the cable carry the motor?",
    "ampacity (60 degC terminals, 30 degC ambient) at least 125 % of full-load current",
    "motor conductor",
    limit_is="at least",
    safety=True,
)
AMPACITY_PV = Rule(
    "pv conductor",
    "does the cable carry the array?",
    "ampacity (60 degC terminals, 30 degC ambient) at least 1.25 x 1.25 x short-circuit current",
    "pv circuit",
    limit_is="at least",
    safety=True,
)


def resistance(gauge: str) -> float:
    """Resistance of a stranded conductor at 75 degC [ohm/m]."""
    return wiring.wire(gauge).resistance_75c_stranded


def wire_run(
    gauge: str | None,
    length: float,
    current: float,
    required_ampacity: float,
    voltage: float,
    drop_limit: float,
    *,
    phases: int = 1,
    photovoltaic: bool = False,
) -> WireResult:
    """One run of conductors and the thinnest gauge that would do.

    Parameters:
        gauge: the gauge in the file, or None
        length: one way [m]
        current: working current [A]
        required_ampacity: with the code's factors [A]
        voltage: at the source [V]
        drop_limit: fraction of that voltage
        phases: 1 (and direct current) or 3
        photovoltaic: True for an array's run, whose overcurrent device follows the ampacity
    Returns:
        the run by the file's gauge, or by the thinnest that does where the file names none
    """
    smallest = next(
        (
            each
            for each in wiring.wires()
            if each.ampacity(TERMINAL_RATING) >= required_ampacity
            and _drop(each, current, length, phases) <= drop_limit * voltage
        ),
        None,
    )
    shown = wiring.wire(gauge) if gauge else smallest or wiring.wires()[-1]
    drop = _drop(shown, current, length, phases)
    return WireResult(
        gauge=gauge,
        length=length,
        current=current,
        required_ampacity=required_ampacity,
        voltage_drop=drop,
        drop_fraction=drop / voltage,
        power_loss=float(cable.power_loss(current, shown.resistance_75c_stranded, length, phases)),
        ampacity=shown.ampacity(TERMINAL_RATING),
        smallest_gauge=smallest.gauge if smallest else None,
        overcurrent_device=_next_size(required_ampacity) if photovoltaic else None,
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
        say("use {gauge}, the thinnest that meets drop and ampacity", gauge=run.smallest_gauge)
        if run.smallest_gauge
        else say("no gauge of the table does: shorten the run or raise the voltage")
    )
    carries = run.ampacity >= run.required_ampacity
    thrifty = run.drop_fraction <= drop_limit
    loss = Quantity(run.drop_fraction, kinds.FRACTION)
    return [
        rule.verdict(
            "pass" if carries else "fail",
            subject,
            say(
                "{gauge} carries {ampacity}, {needed} is asked",
                gauge=run.gauge,
                ampacity=Quantity(run.ampacity, kinds.CURRENT),
                needed=Quantity(run.required_ampacity, kinds.CURRENT),
            ),
            quantity=Quantity(run.ampacity, kinds.CURRENT),
            limit=Quantity(run.required_ampacity, kinds.CURRENT),
            remedy=None if carries else remedy,
        ),
        DROP.verdict(
            "pass" if thrifty else "caution",
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
            remedy=None if thrifty else remedy,
        ),
    ]


def _drop(wire: Wire, current: float, length: float, phases: int) -> float:
    return float(cable.voltage_drop(current, wire.resistance_75c_stranded, length, phases))


def _next_size(current: float) -> float | None:
    try:
        return wiring.next_overcurrent_size(current)
    except OutOfRange:
        return None
