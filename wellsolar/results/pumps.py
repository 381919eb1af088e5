"""Where a powered pump works and what it takes. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from wellsolar import kinds
from wellsolar.results.entries import ENERGY_PER_VOLUME, SMALL_VOLTAGE, Entry
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
    flow: 0 where the pump cannot deliver, and what the well gives at the intake where the pump
        draws the water down to it
    pump_flow: what the pump would give from a well without a bottom [m3/s]
    total_dynamic_head: at that flow; pieces: what it is made of
    friction_darcy, friction_hazen_williams: of drop pipe and lateral together, by Darcy-Weisbach
        and by the trade's cross-check [m]; hazen_williams_c: its coefficients, as text
    state: "on curve", "below shut-off", "beyond the curve", "pumps the well off" or "held back by
        the valve"
    pumping_level: no deeper than the intake
    settled_level: where it would settle at the pump's own flow in a deeper well [m]
    pipe_velocity: the greatest of any pipe; input_power: electrical
    """

    label: Annotated[str, Entry("duty", key="duty")]
    pressure: Annotated[float, Entry("tank pressure", kinds.PRESSURE)]
    flow: Annotated[float, Entry("flow", kinds.FLOW)]
    total_dynamic_head: Annotated[float, Entry("total head", kinds.HEAD)]
    pieces: tuple[HeadPiece, ...]
    friction_darcy: float
    friction_hazen_williams: float
    hazen_williams_c: str
    state: Annotated[str, Entry("on its curve?")]
    pumping_level: Annotated[float, Entry("pumping level", kinds.LENGTH)]
    settled_level: float
    pump_flow: float
    pipe_velocity: Annotated[float, Entry("pipe velocity", kinds.SPEED)]
    water_power: Annotated[float, Entry("water power", kinds.COMPUTED_POWER)]
    input_power: Annotated[float, Entry("input power", kinds.COMPUTED_POWER)]

    @property
    def overall_efficiency(
        self,
    ) -> Annotated[float, Entry("wire to water", kinds.FRACTION)]:
        """Wire to water, a fraction."""
        return self.water_power / self.input_power if self.input_power > 0 else 0.0


@dataclass(frozen=True)
class StartResult:
    """What a pump asks of the inverter in the moment of starting.

    how: where the starting current comes from
    cable_dip: None where the file names no cable; generator_dip: None without a generator
    """

    running_current: Annotated[float, Entry("running current", kinds.CURRENT)]
    starting_current: Annotated[float, Entry("starting current", kinds.CURRENT)]
    starting_apparent_power: Annotated[float, Entry("power at start", kinds.APPARENT_POWER,
        "what the inverter must carry for a moment")]  # fmt: skip
    how: str
    cable_dip: Annotated[float | None, Entry("voltage lost at start", kinds.FRACTION,
        "in the cable, from a supply that does not give way", key="start_cable_dip",
        optional=True)] = None  # fmt: skip
    generator_dip: Annotated[float | None, Entry("the same on the generator", kinds.FRACTION,
        "in generator and cable together", key="start_generator_dip",
        optional=True)] = None  # fmt: skip
    generator_needed: Annotated[float | None, Entry("smallest generator", kinds.APPARENT_POWER,
        "leaves the motor 65 % of its voltage at start", optional=True)] = None  # fmt: skip


@dataclass(frozen=True)
class WireResult:
    """A run of two conductors, and the smallest gauge that would do.

    voltage_drop, drop_fraction, power_loss, ampacity: of the gauge in the file, or else of the
        smallest that does
    smallest_gauge: None if none does
    overcurrent_device: next standard size; None where the run needs none or none is made
    overcurrent_rule: what the device follows from
    required_ampacity, ampacity: at the terminals or in its surroundings, where there is less to
        spare
    terminal_ampacity, terminal_required: at the terminals, without correction [A]
    corrected_ampacity, corrected_required: in its surroundings, by its insulation [A]
    ambient: temperature round the wire [degC], conductors: that carry current side by side; None
        where the file has none, and the table's 30 degC and up to three stand
    insulation: as printed on it; None where the file has none
    """

    gauge: Annotated[str | None, Entry("wire in the file", nothing="none named")]
    length: Annotated[float, Entry("length of the run", kinds.LENGTH, "one way")]
    current: Annotated[float, Entry("current in the wire", kinds.CURRENT)]
    required_ampacity: Annotated[float, Entry("ampacity needed", kinds.CURRENT,
        "that the wire must carry for good, with the electrical code's factors")]  # fmt: skip
    voltage_drop: Annotated[float, Entry("voltage drop", SMALL_VOLTAGE)]
    drop_fraction: Annotated[float, Entry("share of the voltage", kinds.FRACTION,
        "lost in the wire")]  # fmt: skip
    power_loss: Annotated[float, Entry("power lost in the wire", kinds.COMPUTED_POWER)]
    ampacity: Annotated[float, Entry("ampacity of the wire", kinds.CURRENT)]
    smallest_gauge: Annotated[str | None, Entry("smallest wire that does",
        why="meets drop, ampacity and start", nothing="none")]  # fmt: skip
    overcurrent_device: Annotated[float | None, Entry("fuse or breaker", kinds.CURRENT,
        nothing="none")]  # fmt: skip
    terminal_ampacity: float
    terminal_required: float
    corrected_ampacity: float
    corrected_required: float
    overcurrent_rule: str = ""
    ambient: float | None = None
    conductors: int | None = None
    insulation: str | None = None


@dataclass(frozen=True)
class SuctionResult:
    """What a suction pump asks of the air, at its greatest flow.

    flow: the greatest [m3/s]; required: None where the file has none
    """

    flow: float
    lift: Annotated[float, Entry("suction lift", kinds.LENGTH,
        "from the water up to the pump, at its greatest flow", key="suction_lift")]  # fmt: skip
    limit: Annotated[float, Entry("greatest in theory", kinds.LENGTH,
        "at this altitude and water temperature", key="suction_limit")]  # fmt: skip
    friction: Annotated[float, Entry("lost in the suction pipe", kinds.HEAD,
        key="suction_friction")]  # fmt: skip
    available: Annotated[float, Entry("suction head available", kinds.HEAD,
        "net positive: above the vapour pressure of the water", key="suction_head")]  # fmt: skip
    required: Annotated[float | None, Entry("suction head required", kinds.HEAD,
        "by the pump's sheet", key="required_suction_head")]  # fmt: skip


@dataclass(frozen=True)
class FillPoint:
    """A pump on the way from cut-in to cut-out; water, time: None where the tank is not known."""

    pressure: Annotated[float, Entry("tank pressure", kinds.PRESSURE)]
    flow: Annotated[float, Entry("flow", kinds.FLOW)]
    head: Annotated[float, Entry("total head", kinds.HEAD)]
    input_power: Annotated[float, Entry("input power", kinds.COMPUTED_POWER)]
    water: Annotated[float | None, Entry("water in", kinds.VOLUME)]
    time: Annotated[float | None, Entry("after", kinds.DURATION)]


@dataclass(frozen=True)
class FillResult:
    """A fill of the pressure tank with no tap open.

    mean_flow: the same for a tank of any volume
    energy_per_volume: electrical, over the fill [J/m3]
    duration: from cut-in to cut-out [s]; None where the tank is not known
    best_duration: the same with the precharge set right [s]
    """

    points: tuple[FillPoint, ...]
    mean_flow: Annotated[float, Entry("mean flow of a fill", kinds.FLOW,
        "over the time from cut-in to cut-out, no tap open")]  # fmt: skip
    energy_per_volume: float
    duration: float | None
    best_duration: float | None


@dataclass(frozen=True)
class SpeedPoint:
    """A variable-speed pump that holds its pressure at one flow; speed: over the datasheet's."""

    flow: Annotated[float, Entry("flow", kinds.FLOW)]
    speed: Annotated[float, Entry("speed", kinds.FRACTION)]
    head: Annotated[float, Entry("total head", kinds.HEAD)]
    input_power: Annotated[float, Entry("input power", kinds.COMPUTED_POWER)]


@dataclass(frozen=True)
class SpeedResult:
    """The speeds at which a variable-speed pump holds its pressure; points: by rising flow."""

    pressure: Annotated[float, Entry("pressure it holds", kinds.PRESSURE, key="held_pressure")]
    least_speed: Annotated[float, Entry("least speed", kinds.FRACTION,
        "of full speed: below it no water comes, and the drive must stop")]  # fmt: skip
    points: tuple[SpeedPoint, ...]


@dataclass(frozen=True)
class ThrottlePoint:
    """A pump behind a constant-pressure valve at one flow; upstream: gauge, before the valve."""

    flow: Annotated[float, Entry("flow", kinds.FLOW)]
    upstream: Annotated[float, Entry("before the valve", kinds.PRESSURE)]
    head: Annotated[float, Entry("total head", kinds.HEAD)]
    input_power: Annotated[float, Entry("input power", kinds.COMPUTED_POWER)]
    energy_per_volume: Annotated[float, Entry("energy for the water", ENERGY_PER_VOLUME)]


@dataclass(frozen=True)
class ThrottleResult:
    """A pump that a constant-pressure valve throttles.

    pressure: at the tank while water is drawn; draw_flow: at which taps draw
    energy_per_volume: electrical, at that flow [J/m3]; points: by rising flow
    """

    pressure: Annotated[float, Entry("pressure the valve holds", kinds.PRESSURE,
        "at the tank, while water is drawn", key="valve_pressure")]  # fmt: skip
    draw_flow: Annotated[float, Entry("usual draw", kinds.FLOW,
        "one tap, or the busiest hour of the day: run time and energy are for it")]  # fmt: skip
    energy_per_volume: float
    points: tuple[ThrottlePoint, ...]


@dataclass(frozen=True)
class CoolingResult:
    """The water past a submersible motor.

    flow: the least of the pump at work [m3/s]; motor_diameter [m]
    limit: the least velocity wanted [m/s], 0 where none is asked of so small a motor
    least_flow, shroud_bore: None where none is asked; shroud: True where there is one
    """

    flow: float
    motor_diameter: float
    velocity: Annotated[float, Entry("water past the motor", kinds.SPEED,
        "in the casing alone, at the pump's least flow here", key="motor_velocity")]  # fmt: skip
    limit: float
    least_flow: Annotated[float | None, Entry("flow that cools it", kinds.FLOW,
        "in the casing alone", nothing="none asked", key="motor_least_flow")]  # fmt: skip
    shroud_bore: Annotated[float | None, Entry("widest shroud that does", kinds.BORE,
        nothing="none asked")]  # fmt: skip
    shroud: bool


@dataclass(frozen=True)
class PumpResult:
    """One powered pump on this well.

    duties: at cut-in and at cut-out, at the pressure it holds, or into an open tank
    level_known: False where the drawdown is unknown and the water was taken down to the intake
    daily_volume: None where the file tells neither use nor people, as then are daily_run_time and
        daily_energy, which it takes to pump that
    energy_per_volume: electrical, as the daily energy with what the pump's cable loses
    start, wire: None where the file lacks what they need
    suction: of a suction pump; fill: from cut-in to cut-out; speeds: of a pump that holds a
        pressure by its drive; throttle: of one behind a constant-pressure valve; cooling: of a
        submersible motor; each None where it does not apply
    from_tank: True of a booster; its levels are then those of the storage tank, as depths below
        the ground at the well
    from_other_wells: of the day's water, what pumps in other wells bring into the tank that it
        fills [m3]
    """

    name: Annotated[str, Entry("pump")]
    role: Annotated[str, Entry("role")]
    duties: tuple[Duty, ...]
    level_known: bool
    intake_depth: Annotated[float, Entry("intake depth", kinds.LENGTH, "below the ground")]
    static_level: Annotated[float, Entry("static level", kinds.LENGTH)]
    shut_off_pressure: Annotated[float, Entry("greatest tank pressure", kinds.PRESSURE,
        "what it can hold at the tank, at no flow")]  # fmt: skip
    shut_off_head: Annotated[float, Entry("shut-off head", kinds.HEAD,
        "the pump's greatest head, at no flow")]  # fmt: skip
    daily_volume: Annotated[float | None, Entry("water a day", kinds.VOLUME,
        lacking="the file names neither use nor people")]  # fmt: skip
    daily_run_time: Annotated[float | None, Entry("run time a day", kinds.DURATION)]
    daily_energy: Annotated[float | None, Entry("energy a day", kinds.ENERGY)]
    energy_per_volume: Annotated[float | None, Entry("energy for the water", ENERGY_PER_VOLUME)]
    power_from: str
    start: StartResult | None
    wire: WireResult | None
    suction: SuctionResult | None = None
    fill: FillResult | None = None
    speeds: SpeedResult | None = None
    throttle: ThrottleResult | None = None
    cooling: CoolingResult | None = None
    from_tank: bool = False
    from_other_wells: float = 0.0

    @property
    def own_volume(self) -> float:
        """What is left of the day's water for it to pump [m3]; nothing where that is not told."""
        return max(0.0, (self.daily_volume or 0.0) - self.from_other_wells)

    @property
    def flow_at_first_duty(self) -> Annotated[float, Entry("flow at cut-in", kinds.FLOW)]:
        """Flow at the first of its duties."""
        return self.duties[0].flow

    @property
    def flow_at_last_duty(self) -> Annotated[float, Entry("flow at cut-out", kinds.FLOW)]:
        """Flow at the last of its duties."""
        return self.duties[-1].flow

    @property
    def input_power(self) -> Annotated[float, Entry("power at cut-in", kinds.COMPUTED_POWER)]:
        """Power taken at the first of its duties."""
        return self.duties[0].input_power

    @property
    def starting_apparent_power(
        self,
    ) -> Annotated[float | None, Entry("power at start", kinds.APPARENT_POWER)]:
        """What the inverter must carry for a moment; None where the start is not known."""
        return None if self.start is None else self.start.starting_apparent_power


@dataclass(frozen=True)
class TankCycle:
    """The pressure tank with one pump.

    pump_flow: mean over the time from cut-in to cut-out; run_time: between them, no tap open
    greatest_starts: at the worst demand, half the pump's flow, or what starts it most often where
        a constant-pressure valve holds it back
    starts_a_day: with no tap open while it fills; None without a use
    volume_needed: of the tank for the run and the starts that its motor bears
    """

    pump: Annotated[str, Entry("pump")]
    pump_flow: Annotated[float, Entry("pump flow", kinds.FLOW)]
    run_time: Annotated[float, Entry("run time", kinds.DURATION)]
    greatest_starts: Annotated[float, Entry("starts at worst", kinds.STARTS_AN_HOUR)]
    starts_a_day: Annotated[float | None, Entry("starts on a usual day", kinds.STARTS_A_DAY)]
    volume_needed: Annotated[float, Entry("tank wanted", kinds.VOLUME)]


@dataclass(frozen=True)
class PressureTankResult:
    """The bladder tank. Pressures are gauge but `atmospheric_pressure`."""

    volume: Annotated[float, Entry("tank volume", kinds.VOLUME, "all tanks together")]
    count: Annotated[int, Entry("tanks", kinds.COUNT)]
    precharge: Annotated[float, Entry("precharge", kinds.PRESSURE, "air, with no water in")]
    cut_in: Annotated[float, Entry("cut-in", kinds.PRESSURE, "the pump starts")]
    cut_out: Annotated[float, Entry("cut-out", kinds.PRESSURE, "the pump stops")]
    atmospheric_pressure: Annotated[float, Entry("air pressure", kinds.ABSOLUTE_PRESSURE,
        "at this altitude")]  # fmt: skip
    acceptance_factor: Annotated[float, Entry("acceptance factor", kinds.RATIO,
        "share of the tank that is usable")]  # fmt: skip
    stored_at_cut_in: Annotated[float, Entry("water at cut-in", kinds.VOLUME)]
    stored_at_cut_out: Annotated[float, Entry("water at cut-out", kinds.VOLUME)]
    drawdown: Annotated[float, Entry("drawdown", kinds.VOLUME,
        "usable water between cut-out and cut-in")]  # fmt: skip
    best_precharge: Annotated[float, Entry("right precharge", kinds.PRESSURE)]
    best_drawdown: Annotated[float, Entry("drawdown with it", kinds.VOLUME)]
    cycles: tuple[TankCycle, ...]
