"""What the bladder tank gives between two starts. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class TankCycle:
    """The pressure tank with one pump.

    pump_flow: mean over the time from cut-in to cut-out [m3/s]
    run_time: from cut-in to cut-out with no tap open [s]
    greatest_starts: starts per second at the worst demand, half the pump's flow [1/s]
    starts_a_day: for the day's water, with no tap open while it fills [1/s]; None without a use
    volume_needed: of the tank for the least run time [m3]
    """

    pump: str
    pump_flow: float
    run_time: float
    greatest_starts: float
    starts_a_day: float | None
    volume_needed: float


@dataclass(frozen=True)
class PressureTankResult:
    """The bladder tank. volume, drawdown, stored_at_cut_out, stored_at_cut_in [m3], pressures
    gauge [Pa] but `atmospheric_pressure` absolute; best_drawdown: with the precharge set right."""

    volume: float
    count: int
    precharge: float
    cut_in: float
    cut_out: float
    atmospheric_pressure: float
    acceptance_factor: float
    stored_at_cut_in: float
    stored_at_cut_out: float
    drawdown: float
    best_precharge: float
    best_drawdown: float
    cycles: tuple[TankCycle, ...]
