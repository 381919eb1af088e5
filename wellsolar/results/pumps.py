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

    label: "at cut-in", "at cut-out", "at its pressure" or "into an open tank"
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
    cable_dip: share of the voltage lost in the cable; None where the file names no cable
    generator_dip: share lost at the motor behind the site's generator; None without one
    generator_needed: rating of a generator that keeps the voltage the motor needs [VA]
    """

    running_current: float
    starting_current: float
    starting_apparent_power: float
    how: str
    cable_dip: float | None = None
    generator_dip: float | None = None
    generator_needed: float | None = None


@dataclass(frozen=True)
class WireResult:
    """A run of two conductors, and the smallest gauge that would do.

    gauge: as in the file; None where the file names none
    length: one way [m]
    current: the working current [A]; required_ampacity: with the code's factors [A]
    voltage_drop [V], drop_fraction, power_loss [W], ampacity [A]: of the gauge in the file, or
        else of the smallest that does
    smallest_gauge: the thinnest that meets drop, ampacity and start; None if none does
    overcurrent_device: next standard size [A]; None where the run needs none or none is made
    overcurrent_rule: what the device follows from
    ambient: temperature round the wire [degC], conductors: that carry current side by side; None
        where the file has none, and the table's 30 degC and up to three stand
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
    overcurrent_rule: str = ""
    ambient: float | None = None
    conductors: int | None = None


@dataclass(frozen=True)
class SuctionResult:
    """What a suction pump asks of the air, at its greatest flow.

    flow: [m3/s]; lift: from the water up to the pump [m]; limit: greatest in theory [m]
    friction: in the suction pipe [m]
    available, required: net positive suction head [m]; required is None where the file has none
    """

    flow: float
    lift: float
    limit: float
    friction: float
    available: float
    required: float | None


@dataclass(frozen=True)
class FillPoint:
    """A pump on the way from cut-in to cut-out.

    pressure: gauge, at the tank [Pa]; flow [m3/s]; head [m]; input_power [W]
    water: taken in since cut-in [m3]; time: since cut-in [s]; None where the tank is not known
    """

    pressure: float
    flow: float
    head: float
    input_power: float
    water: float | None
    time: float | None


@dataclass(frozen=True)
class FillResult:
    """A fill of the pressure tank with no tap open.

    mean_flow: over the time, the same for a tank of any volume [m3/s]
    energy_per_volume: electrical, over the fill [J/m3]
    duration: from cut-in to cut-out [s]; None where the tank is not known
    best_duration: the same with the precharge set right [s]
    """

    points: tuple[FillPoint, ...]
    mean_flow: float
    energy_per_volume: float
    duration: float | None
    best_duration: float | None


@dataclass(frozen=True)
class SpeedPoint:
    """A variable-speed pump that holds its pressure at one flow.

    flow [m3/s], speed: over the datasheet's; head [m], input_power [W]
    """

    flow: float
    speed: float
    head: float
    input_power: float


@dataclass(frozen=True)
class SpeedResult:
    """The speeds at which a variable-speed pump holds its pressure.

    pressure: gauge, at the tank [Pa]; least_speed: without flow, over the datasheet's
    points: from a little flow to the greatest
    """

    pressure: float
    least_speed: float
    points: tuple[SpeedPoint, ...]


@dataclass(frozen=True)
class CoolingResult:
    """The water past a submersible motor.

    flow: the least of the pump at work [m3/s]; motor_diameter [m]
    velocity: past the motor in the casing alone [m/s]; limit: the least wanted [m/s]
    least_flow: at which the casing alone does [m3/s]
    shroud_bore: greatest that keeps the velocity [m]; shroud: True where there is one
    """

    flow: float
    motor_diameter: float
    velocity: float
    limit: float
    least_flow: float
    shroud_bore: float
    shroud: bool


@dataclass(frozen=True)
class PumpResult:
    """One powered pump on this well.

    duties: at cut-in and at cut-out, at the pressure it holds, or into an open tank
    level_known: False where the drawdown is unknown and the water was taken down to the intake
    intake_depth [m], static_level [m]
    shut_off_pressure: the greatest gauge pressure at the tank the pump can hold [Pa]
    daily_volume: water a day [m3]; None where the file tells neither use nor people
    daily_run_time [s], daily_energy [J]: to pump that
    energy_per_volume: electrical energy per volume of water [J/m3], as the daily energy with what
        the pump's cable loses
    start, wire: None where the file lacks what they need
    suction: of a suction pump; fill: from cut-in to cut-out; speeds: of a pump that holds a
        pressure; cooling: of a submersible motor; each None where it does not apply
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
    suction: SuctionResult | None = None
    fill: FillResult | None = None
    speeds: SpeedResult | None = None
    cooling: CoolingResult | None = None


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
