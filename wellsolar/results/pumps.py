"""Where a powered pump works and what it takes. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.verdicts import Sentence


@dataclass(frozen=True)
class HeadPiece:
    """One piece of a total dynamic head.

    key: short name, the same at every duty of a pump
    label: what it is called
    head: [m]
    why: where it comes from
    """

    key: str
    label: str
    head: float
    why: Sentence


@dataclass(frozen=True)
class Duty:
    """A pump at work against one pressure at the tank.

    label: "at cut-in", "at cut-out" or "into an open tank"
    pressure: gauge pressure at the tank [Pa]
    flow: [m3/s]; 0 where the pump cannot deliver, and what the well gives at the intake where
        the pump draws the water down to it
    pump_flow: what the pump would give from a well without a bottom [m3/s]
    total_dynamic_head: head the pump works against at that flow [m]
    pieces: what the head is made of
    friction_darcy: the pipe friction, drop pipe and lateral together, by Darcy-Weisbach [m]
    friction_hazen_williams: the pipe friction by the trade's cross-check [m]
    hazen_williams_c: the coefficients used, as text
    state: "on curve", "below shut-off", "beyond the curve" or "pumps the well off"
    pumping_level: depth of the water while pumping, no deeper than the intake [m]
    settled_level: where it would settle at the pump's own flow in a deeper well [m]
    pipe_velocity: the greatest velocity in a pipe [m/s]
    water_power: [W]
    input_power: electrical power taken [W]
    """

    label: str
    pressure: float
    flow: float
    total_dynamic_head: float
    pieces: tuple[HeadPiece, ...]
    friction_darcy: float
    friction_hazen_williams: float
    hazen_williams_c: str
    state: str
    pumping_level: float
    settled_level: float
    pump_flow: float
    pipe_velocity: float
    water_power: float
    input_power: float

    @property
    def overall_efficiency(self) -> float:
        """Wire to water, a fraction."""
        return self.water_power / self.input_power if self.input_power > 0 else 0.0


@dataclass(frozen=True)
class StartResult:
    """What a pump asks of the inverter in the moment of starting.

    running_current [A], starting_current [A], starting_apparent_power [VA]
    how: where the starting current comes from
    """

    running_current: float
    starting_current: float
    starting_apparent_power: float
    how: str


@dataclass(frozen=True)
class WireResult:
    """A run of two conductors, and the smallest gauge that would do.

    gauge: as in the file; None where the file names none
    length: one way [m]
    current: the working current [A]; required_ampacity: with the code's factors [A]
    voltage_drop [V], drop_fraction, power_loss [W], ampacity [A]: of the gauge in the file, or
        else of the smallest that does
    smallest_gauge: the thinnest that meets both the drop and the ampacity; None if none does
    overcurrent_device: next standard size [A]; None where the run needs none or none is made
    """

    gauge: str | None
    length: float
    current: float
    required_ampacity: float
    voltage_drop: float
    drop_fraction: float
    power_loss: float
    ampacity: float
    smallest_gauge: str | None
    overcurrent_device: float | None


@dataclass(frozen=True)
class PumpResult:
    """One powered pump on this well.

    duties: at cut-in and at cut-out, or into an open tank
    level_known: False where the drawdown is unknown and the water was taken down to the intake
    intake_depth [m], static_level [m]
    shut_off_pressure: the greatest gauge pressure at the tank the pump can hold [Pa]
    daily_volume: water a day [m3]; None where the file tells neither use nor people
    daily_run_time [s], daily_energy [J]: to pump that
    energy_per_volume: electrical energy per volume of water [J/m3]
    start, wire: None where the file lacks what they need
    """

    name: str
    role: str
    duties: tuple[Duty, ...]
    level_known: bool
    intake_depth: float
    static_level: float
    shut_off_pressure: float
    shut_off_head: float
    daily_volume: float | None
    daily_run_time: float | None
    daily_energy: float | None
    energy_per_volume: float | None
    power_from: str
    start: StartResult | None
    wire: WireResult | None
