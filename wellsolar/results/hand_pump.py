"""What the hand pump can do. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class HandDuty:
    """The hand pump at work to one place.

    label: "to the spout", "into the tank at cut-in", "into the tank at cut-out"
    head: total head the piston lifts against [m]
    rod_pull: upstroke [N]; handle_force: at the hand [N]; power: by the person at the full stroke
        rate [W]
    full_flow: at the full stroke rate [m3/s]; sustained_flow: at the power one person keeps up
    stroke_rate: at the sustained flow [1/s]
    """

    label: str
    head: float
    rod_pull: float
    handle_force: float
    power: float
    full_flow: float
    sustained_flow: float
    stroke_rate: float


@dataclass(frozen=True)
class HandTask:
    """A job for the hand pump: water wanted [m3], time for one person [s], strokes."""

    label: str
    volume: float
    time: float
    strokes: float


@dataclass(frozen=True)
class HandPumpResult:
    """The hand pump. swept_volume [m3]; pumping_level [m]; rod_weight in water [N];
    suction_limit: greatest lift by suction at this altitude and temperature [m], for a suction
    pump only; greatest_head: by the comfortable handle force [m]."""

    kind: str
    swept_volume: float
    pumping_level: float
    level_known: bool
    rod_weight: float
    suction_limit: float | None
    suction_lift: float | None
    greatest_head: float
    duties: tuple[HandDuty, ...]
    tasks: tuple[HandTask, ...]
