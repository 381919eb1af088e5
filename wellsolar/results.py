"""What the studies found of one site: numbers in SI, verdicts and assumptions.

Every field is in SI (temperatures in degC) and named as the trade names it; None stands where the
site file lacks what the number needs. `wellsolar.reports.table` gives each its label and unit.
"""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.units import System
from wellsolar.verdicts import Assumption, Sentence, Verdict

SCHEMA = "wellsolar.results"
SCHEMA_VERSION = 1


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
    flow: [m3/s]; 0 where the pump cannot deliver
    total_dynamic_head: head the pump works against at that flow [m]
    pieces: what the head is made of
    friction_darcy: the pipe friction, drop pipe and lateral together, by Darcy-Weisbach [m]
    friction_hazen_williams: the pipe friction by the trade's cross-check [m]
    hazen_williams_c: the coefficients used, as text
    state: "on curve", "below shut-off" or "beyond the curve"
    pumping_level: depth of the water while pumping [m]
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


@dataclass(frozen=True)
class SupplyMonth:
    """One month of the hand rule for a pump's array.

    month: 1 to 12; horizontal, plane_of_array: sun a day [J/m2]
    energy_needed: at the array's terminals a day [J]; array_power: modules wanted at 1000 W/m2 [W]
    modules: whole modules
    energy_available: what the groups that feed the pump or the battery give a day [J]; None
        where the site has no such group
    """

    month: int
    horizontal: float
    plane_of_array: float
    energy_needed: float
    array_power: float
    modules: int
    energy_available: float | None


@dataclass(frozen=True)
class SupplyResult:
    """The array for one pump by the hand rule: energy / peak sun hours / derate.

    tilt, azimuth [deg]; derate: fraction; module_power [W]
    months: January to December
    modules_needed: in the worst month; modules_there: in groups that feed pump or battery
    battery_days: days the battery carries the pump alone without sun; None without a battery
    """

    pump: str
    tilt: float
    azimuth: float
    derate: float
    module_power: float
    daily_energy: float
    months: tuple[SupplyMonth, ...]
    worst_month: int
    modules_needed: int
    modules_there: int
    battery_days: float | None


@dataclass(frozen=True)
class TankCycle:
    """The pressure tank with one pump.

    pump_flow: mean of the flows at cut-in and cut-out [m3/s]
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


@dataclass(frozen=True)
class SunPoint:
    """The array on its element at one irradiance.

    irradiance [W/m2], cell_temperature [degC]; at the element: current [A], voltage [V],
    power [W]; maximum_power: of the array [W]; cable_loss [W]
    """

    irradiance: float
    cell_temperature: float
    current: float
    voltage: float
    power: float
    maximum_power: float
    cable_loss: float

    @property
    def share(self) -> float:
        """Power at the element as a fraction of the array's maximum power."""
        return self.power / self.maximum_power if self.maximum_power > 0 else 0.0


@dataclass(frozen=True)
class HeatDay:
    """One kind of day of a month.

    kind: "clear", "typical" or "poor"; plane_of_array: sun on the modules [J/m2]
    element_energy, maximum_energy: at the element, and of the array at its maximum power [J]
    peak_power: greatest at the element [W]
    end_temperature: mean of the tank at the day's end, begun cold, nothing drawn [degC]
    time_to_setpoint: hours of that day's clock from midnight when a tank begun cold reaches the
        setpoint [s]; None if not on the first day
    days_to_setpoint: the day, counted from 1, on which a run of such days first reaches the
        setpoint, nothing drawn; None if it never does
    start_for_one_day: mean temperature at dawn from which one such day reaches the
        setpoint [degC]; None if no start below the setpoint suffices
    """

    month: int
    kind: str
    plane_of_array: float
    element_energy: float
    maximum_energy: float
    peak_power: float
    end_temperature: float
    time_to_setpoint: float | None
    days_to_setpoint: int | None
    start_for_one_day: float | None


@dataclass(frozen=True)
class HeatMonth:
    """A month of days of every clearness with the household's draws, nothing but PV heating.

    All a day: plane_of_array [J/m2], element_energy (offered), accepted_energy (taken by the
    tank), heat_wanted and heat_delivered at the tap, heat_lost [J]
    tap_volume: mixed water at the tap temperature [m3]
    evening_temperature: mean over the month of the top of the tank at 18:00 [degC]
    days_at_setpoint: share of days on which the thermostat is satisfied, a fraction
    """

    month: int
    plane_of_array: float
    element_energy: float
    maximum_energy: float
    accepted_energy: float
    heat_wanted: float
    heat_delivered: float
    heat_lost: float
    tap_volume: float
    evening_temperature: float
    days_at_setpoint: float

    @property
    def share(self) -> float:
        """Share of the hot water's heat that PV gives, a fraction."""
        return self.heat_delivered / self.heat_wanted if self.heat_wanted > 0 else 0.0


@dataclass(frozen=True)
class OneDayDesign:
    """The fewest modules that heat the tank from cold in one clear day of the darkest month.

    series, parallel: how they are wired; rated_power [W], rated_voltage [V]: of the element on
    them, of the ratings that are sold; same_element: True where it is the site's own
    """

    month: int
    series: int
    parallel: int
    rated_power: float
    rated_voltage: float
    same_element: bool


@dataclass(frozen=True)
class HeatedTankResult:
    """The PV-heated tank.

    array, modules, series, parallel; fit: how the five parameters were found
    photocurrent [A], saturation_current [A], series_resistance, shunt_resistance [ohm],
    modified_ideality_voltage [V]: of one module at 1000 W/m2, 25 degC
    element_resistance, cable_resistance, matched_resistance (of the array at 1000 W/m2,
    25 degC) [ohm]; rated_power [W], rated_voltage [V] of the element
    reference_points: cells at 25 degC; working_points: cells as warm as in 20 degC air
    cold_temperature [degC], cold_open_circuit_voltage by coefficient and by the code's table [V];
    None where the file gives no record low
    greatest_voltage [V], greatest_power [W]: at the element in the coldest bright sun
    inlet_temperature, setpoint, tap_temperature, room_temperature [degC]
    heating_energy: from the inlet temperature to the setpoint [J]; heat_loss [W/K]
    standby_loss: at the setpoint [W]; stall_temperature: where the loss equals the mean power of
        the sunniest clear day, nothing drawn and no thermostat [degC]
    mixing_ratio: hot share at the setpoint; tap_volume: mixed water from one full tank [m3]
    burn_adult, burn_child: seconds to a burn at the unmixed temperature; mixed likewise; None
        where no published time exists; burn_bound, mixed_burn_bound: "table", "at most", "none"
    expansion: volume by which the water grows from inlet to setpoint [m3]
    one_day: what would heat it from cold in one clear day of the darkest month; None where the
        site's own array does, where no latitude is given, or where nothing of 24 modules does
    """

    array: str
    modules: int
    series: int
    parallel: int
    tilt: float
    azimuth: float
    fit: str
    module_power: float
    photocurrent: float
    saturation_current: float
    series_resistance: float
    shunt_resistance: float
    modified_ideality_voltage: float
    element_resistance: float
    cable_resistance: float
    matched_resistance: float
    rated_power: float
    rated_voltage: float
    reference_points: tuple[SunPoint, ...]
    working_points: tuple[SunPoint, ...]
    cold_temperature: float | None
    cold_open_circuit_voltage: float | None
    cold_open_circuit_voltage_table: float | None
    greatest_voltage: float
    greatest_power: float
    tank_volume: float
    inlet_temperature: float
    setpoint: float
    tap_temperature: float
    room_temperature: float
    draw_volume: float | None
    heating_energy: float
    heat_loss: float
    standby_loss: float
    stall_temperature: float | None
    mixing_ratio: float
    tap_volume: float
    burn_adult: float | None
    burn_child: float | None
    burn_bound: str
    mixed_burn_adult: float | None
    mixed_burn_child: float | None
    mixed_burn_bound: str
    expansion: float
    wire: WireResult | None
    days: tuple[HeatDay, ...]
    months: tuple[HeatMonth, ...]
    annual_share: float | None
    one_day: OneDayDesign | None


@dataclass(frozen=True)
class Answer:
    """One of the site's questions, and the answer in a sentence."""

    subject: str
    text: Sentence


@dataclass(frozen=True)
class StudyPart:
    """What one study adds besides its numbers.

    verdicts: in the order they are best read; assumptions: made by the study itself
    cautions: keys into `wellsolar.reports.cautions`
    """

    verdicts: tuple[Verdict, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Results:
    """Everything found of one site; a study that was not asked for, or whose table the file
    lacks, is None or empty."""

    file: str
    site_name: str
    site_note: str
    system: System
    pumps: tuple[PumpResult, ...]
    supply: tuple[SupplyResult, ...]
    pressure_tank: PressureTankResult | None
    hand_pump: HandPumpResult | None
    heated_tank: HeatedTankResult | None
    verdicts: tuple[Verdict, ...]
    assumptions: tuple[Assumption, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...] = ()
    answers: tuple[Answer, ...] = ()

    @property
    def fails(self) -> bool:
        """True where any verdict fails."""
        return any(verdict.status == "fail" for verdict in self.verdicts)
