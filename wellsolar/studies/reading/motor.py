"""Current of a pump's motor: what it should be, the power it tells, why it is off."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from wellsolar import kinds
from wellsolar.physics.hydraulics import pump
from wellsolar.results.readings import Band, Cause, Implied, ReadingResult
from wellsolar.studies.electric.starting import current_of
from wellsolar.studies.pump.study import PumpOnWell
from wellsolar.studies.pump.variable_speed import speeds_of
from wellsolar.studies.reading.causes import Candidate, is_off, ranked
from wellsolar.studies.reading.pumps import ReadPump, standing
from wellsolar.units import Quantity

AMPS = 0.1
"""How far a pump's current may lie from its sheet's [-]: common practice, no source."""

STILL = 0.05
"""Share of the current below which a motor is taken to stand still [-]; our choice."""

BOUND = 6.0
"""Current of a motor that can't turn over its running current [-]: 3 to 6 times, US Army TM
5-3820-256-24-6, table 4-1, of a submersible pump (read)."""

UNLOADED = (0.25, 0.65)
"""Current of a motor that lifts no water over its running current [-]: common practice, no
source."""

CURVE_APART = 0.03
"""Difference of power along the curve below which it tells nothing [-]; our choice."""


def expected_amps(at: ReadPump) -> Quantity | None:
    """Running current over the file's levels and pressures [A].

    Parameters:
        at: the pump
    Returns:
        the current with its ends; None where voltage or power is not known
    """
    table = at.on_well.table
    if table.voltage is None or (table.power is None and table.efficiency is None):
        return None
    amps = sorted(current_of(table, each) for each in _powers(at))
    own = [current_of(table, at.power(at.likeliest, each)) for each in at.pressures]
    return Quantity(
        sum(own) / len(own), kinds.CURRENT, amps[0] * (1 - AMPS), amps[-1] * (1 + AMPS)
    )


def _powers(at: ReadPump) -> list[float]:
    """Electrical powers that the pump may take [W]: at each level and pressure, from the start
    with the water at rest on; slowed, where it holds its pressure by its speed."""
    found = [at.power(each, pressure) for each in at.at_work for pressure in at.pressures]
    if "pumping_level" not in at.given.values:
        # The most flow: at the start, with the water at rest as high as the file says.
        highest = at.at_levels[0]
        rested = replace(highest, level=standing(highest.level.static_level))
        found += [at.power(rested, pressure) for pressure in at.pressures]
    on_well = at.on_well
    speeds = speeds_of(
        on_well.table,
        on_well.curve,
        lambda flow, pressure: on_well.line.total(on_well.level, flow, pressure),
        on_well.input_power,
        on_well.line.density,
    )
    return found + ([] if speeds is None else [each.input_power for each in speeds.points])


def _amps(on_well: PumpOnWell, pressure: float) -> float:
    return current_of(on_well.table, on_well.duty("running", pressure).input_power)


def read_amps(at: ReadPump) -> ReadingResult:
    """The current of a running pump.

    Parameters:
        at: the pump
    Returns:
        the result
    """
    read, table = at.given.values["pump_amps"], at.on_well.table
    name, label, when = at.table.name, "current of the pump", "the pump on"
    if table.voltage is None:
        needs = (f"{at.path}.voltage",)
        return ReadingResult("pump_amps", label, name, when, read, None, needs=needs)
    per_watt = current_of(table, 1.0)
    power = Quantity(
        float(read) / per_watt, kinds.POWER, read.low / per_watt, read.high / per_watt
    )
    why = "by its voltage"
    if table.supply == "AC":
        why = "by its voltage, phases and power factor as the file has them"
    implied = (Implied("implied_input_power", "input power", power, why),)
    expected = expected_amps(at)
    if expected is None:
        return ReadingResult("pump_amps", label, name, when, read, None, implied,
                             needs=(f"{at.path}.power",))  # fmt: skip
    rests = f"the sheet's power over {at.levels_told}, {at.at_pressures}"
    if table.power is None:
        rests = f"the file's efficiency over {at.levels_told}, {at.at_pressures}"
    causes: tuple[Cause, ...] = ()
    if is_off(read, expected):
        causes = _causes(at, read, expected)
    return ReadingResult("pump_amps", label, name, when, read, Band(expected, rests), implied,
                         causes)  # fmt: skip


def _causes(at: ReadPump, read: Quantity, expected: Quantity) -> tuple[Cause, ...]:
    if read.high < STILL * float(expected):
        return (
            Cause("no supply: breaker, switch or its contacts; measure the volts", None, 0.5),
            Cause("the overload has tripped, or a wire or winding is open", None, 0.4),
        )
    high = float(read) > float(expected)
    usual = np.array([float(expected)])
    tried = _of_curve(at, high) + _of_level(at, high)
    if high:
        tried += [
            Candidate("a bound pump or worn bearings: sand, scale or a bent shaft",
                      np.concatenate([1.15 * usual, BOUND * usual]), 0.8),
            Candidate("a supply voltage below the plate's: measure it while the pump runs",
                      np.concatenate([usual / 0.98, usual / 0.8]), 0.8),
        ]  # fmt: skip
        table = at.on_well.table
        if table.supply == "AC" and table.phases == 1 and table.start == "direct":
            stays = "a start winding that stays in: relay, switch or capacitor"
            tried.append(Candidate(stays, np.concatenate([1.3 * usual, 2.5 * usual]), 0.4))
    else:
        idle = np.concatenate([share * usual for share in UNLOADED])
        tried += [
            Candidate("a pump that draws air, or a broken shaft or coupling: switch it off",
                      idle, 1.0),
            Candidate("a supply voltage above the plate's: measure it",
                      np.concatenate([usual / 1.15, usual / 1.02]), 0.3),
        ]  # fmt: skip
    return ranked(read, tried)


def _of_curve(at: ReadPump, high: bool) -> list[Candidate]:
    """The pump at either end of its curve, where its power differs from that of its duty."""
    curve, usual = at.on_well.curve, _amps(at.on_well, at.pressures[0])
    made = []
    for flow, text, weight in (
        (curve.first_flow, "a closed valve or a blocked pipe: the pump is throttled", 0.8),
        (
            curve.greatest_flow,
            "more flow than thought: a broken pipe or an open outlet (upthrust)",
            0.7,
        ),
    ):
        head = float(curve.head_at(flow))
        water = float(pump.water_power(flow, head, at.on_well.line.density))
        power = at.on_well.input_power(flow, water)
        end = current_of(at.on_well.table, power)
        apart = end - usual if high else usual - end
        if power > 0.0 and apart > CURVE_APART * usual:
            made.append(Candidate(text, np.array([usual, end]), weight))
    return made


def _of_level(at: ReadPump, high: bool) -> list[Candidate]:
    """Water at the ground, or down at the intake."""
    on_well, pressure = at.on_well, at.pressures[-1]
    usual = _amps(on_well, pressure)
    made = []
    for depth, text in (
        (0.0, "water that stands higher than the file says: measure it"),
        (on_well.intake_depth, "water that stands deeper than the file says: measure it"),
    ):
        duty = on_well.duty("another level", pressure, standing(depth))
        end = current_of(on_well.table, duty.input_power)
        apart = end - usual if high else usual - end
        if duty.flow > 0.0 and apart > CURVE_APART * usual:
            made.append(Candidate(text, np.array([usual, end]), 0.6))
    return made
