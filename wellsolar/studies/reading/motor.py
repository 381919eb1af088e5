"""Current of a pump's motor: what it should be, the power it tells, why it is off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from wellsolar import kinds
from wellsolar.physics.hydraulics import pump
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Band, Cause, Implied, SheetLine
from wellsolar.studies.electric.starting import current_of
from wellsolar.studies.pump.held_pressure import speeds_of
from wellsolar.studies.pump.study import PumpOnWell
from wellsolar.studies.reading.pumps import ReadPump, standing
from wellsolar.studies.reading.reading import (
    DEEPER,
    HIGHER,
    Candidate,
    Lacking,
    PumpReading,
    ends_of,
    fixed,
)
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


def _expected_amps(at: ReadPump) -> Quantity | None:
    """Running current over the file's levels and pressures [A]; None where voltage or power is
    not known."""
    table = at.on_well.table
    if table.voltage is None or (table.power is None and table.efficiency is None):
        return None
    amps = sorted(current_of(table, power) for power in _powers(at))
    likely = [current_of(table, at.power(at.likeliest, pressure)) for pressure in at.pressures]
    low, high = amps[0] * (1 - AMPS), amps[-1] * (1 + AMPS)
    return Quantity(sum(likely) / len(likely), kinds.CURRENT, low, high)


def _powers(at: ReadPump) -> list[float]:
    """Electrical powers that the pump may take [W]: at each level and pressure, from the start
    with the water at rest on; slowed, where it holds its pressure by its speed, and
    behind a valve that lets least through."""
    powers = [at.power(on_well, pressure) for on_well in at.at_work for pressure in at.pressures]
    if "pumping_level" not in at.given.values:
        # The most flow: at the start, with the water at rest as high as the file says.
        highest = at.at_levels[0]
        rested = replace(highest, level=standing(highest.level.static_level))
        powers += [at.power(rested, pressure) for pressure in at.pressures]
    on_well = at.on_well
    speeds = speeds_of(
        on_well.table,
        on_well.curve,
        lambda flow, pressure: on_well.line.total(on_well.level, flow, pressure),
        on_well.input_power,
        on_well.line.density,
    )
    valve = on_well.link.valve
    if valve is not None and valve.least_flow:
        least, held = float(valve.least_flow), float(valve.set_pressure)
        powers.append(on_well.throttled(least, held).input_power)
    return powers + ([] if speeds is None else [point.input_power for point in speeds.points])


def _amps(on_well: PumpOnWell, pressure: float) -> float:
    """Current at the file's level and a pressure [A]."""
    return current_of(on_well.table, on_well.duty("running", pressure).input_power)


class PumpAmps(PumpReading):
    """The current of a running pump."""

    reads = ("pump_amps",)
    key = "pump_amps"
    label = "current of the pump"
    when = "the pump on"

    def expected(self) -> Band | Lacking:
        """The sheet's power over the levels and pressures there may be."""
        at, table = self.at, self.at.on_well.table
        if table.voltage is None:
            return Lacking((f"{at.path}.voltage",))
        amps = _expected_amps(at)
        if amps is None:
            return Lacking((f"{at.path}.power",))
        what = "the file's efficiency" if table.power is None else "the sheet's power"
        return Band(amps, f"{what} over {at.levels_told}, {at.at_pressures}")

    def implied(self) -> list[Implied]:
        """The power it takes."""
        read, table = self.measured, self.at.on_well.table
        if table.voltage is None:
            return []
        per_watt = current_of(table, 1.0)
        low, middle, high = (amps / per_watt for amps in ends_of(read))
        why = "by its voltage"
        if table.supply == "AC":
            why = "by its voltage, phases and power factor as the file has them"
        power = Quantity(middle, kinds.COMPUTED_POWER, low, high)
        return [Implied("implied_input_power", "input power", power, why)]

    def explained(self, band: Quantity, low: bool) -> Sequence[Candidate] | tuple[Cause, ...]:
        """Supply, well, or what wears and blocks a pump."""
        at, usual = self.at, np.array([float(band)])
        if self.measured.high < STILL * band:
            return fixed(
                ("no supply: breaker, switch or its contacts; volts by rated probes, an "
                 "electrician's work", 0.5),
                ("the overload has tripped, or a wire or winding is open: breaker locked off "
                 "before a cover", 0.4),
            )  # fmt: skip
        candidates = _of_curve(at, not low) + _of_level(at, not low)
        candidates += _too_little(usual) if low else _too_much(at, usual)
        return candidates

    def boxes(self) -> list[SheetLine]:
        """The same band."""
        amps = _expected_amps(self.at)
        return [] if amps is None else [SheetLine("running current", amps, reads=self.reads)]


def _too_much(at: ReadPump, usual: FloatArray) -> list[Candidate]:
    """Ways of a motor or its supply to take more than its usual current [A]."""
    candidates = [
        Candidate("a bound pump or worn bearings: sand, scale or a bent shaft",
                  np.concatenate([1.15 * usual, BOUND * usual]), 0.8),
        Candidate("a supply voltage below the plate's: by rated probes while the pump runs, an "
                  "electrician's work",
                  np.concatenate([usual / 0.98, usual / 0.8]), 0.8),
    ]  # fmt: skip
    table = at.on_well.table
    if table.supply == "AC" and table.phases == 1 and table.start == "direct":
        stays = "a start winding that stays in: relay, switch or capacitor, which holds its charge"
        candidates.append(Candidate(stays, np.concatenate([1.3 * usual, 2.5 * usual]), 0.4))
    return candidates


def _too_little(usual: FloatArray) -> list[Candidate]:
    """Ways of a motor or its supply to take less than its usual current [A]."""
    idle = np.concatenate([share * usual for share in UNLOADED])
    return [
        Candidate("a pump that draws air, or a broken shaft or coupling: switch it off",
                  idle, 1.0),
        Candidate("a supply voltage above the plate's: by rated probes, an electrician's work",
                  np.concatenate([usual / 1.15, usual / 1.02]), 0.3),
    ]  # fmt: skip


def _of_curve(at: ReadPump, high: bool) -> list[Candidate]:
    """The pump at either end of its curve, where its power differs from that of its duty."""
    curve, usual = at.on_well.curve, _amps(at.on_well, at.pressures[0])
    candidates = []
    for flow, text, weight in (
        (curve.first_flow, "a closed valve or a blocked pipe: the pump is throttled", 0.8),
        (
            curve.greatest_flow,
            "more flow than thought: a broken pipe or an open outlet (upthrust)",
            0.7,
        ),
    ):
        head = curve.head_at(flow)
        water = pump.water_power(flow, head, at.on_well.line.density)
        power = at.on_well.input_power(flow, water)
        end = current_of(at.on_well.table, power)
        apart = end - usual if high else usual - end
        if power > 0.0 and apart > CURVE_APART * usual:
            candidates.append(Candidate(text, np.array([usual, end]), weight))
    return candidates


def _of_level(at: ReadPump, high: bool) -> list[Candidate]:
    """Water at the ground, or down at the intake."""
    on_well, pressure = at.on_well, at.pressures[-1]
    usual = _amps(on_well, pressure)
    candidates = []
    for depth, of, text in (
        (0.0, (HIGHER,), "water that stands higher than the file says: measure it"),
        (on_well.intake_depth, DEEPER, "water that stands deeper than the file says: measure it"),
    ):
        duty = on_well.duty("another level", pressure, standing(depth))
        end = current_of(on_well.table, duty.input_power)
        apart = end - usual if high else usual - end
        if duty.flow > 0.0 and apart > CURVE_APART * usual:
            candidates.append(Candidate(text, np.array([usual, end]), 0.6, of=of))
    return candidates
