"""The PV-heated tank. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.results.heat_safety import HeatSafety, TapWater
from wellsolar.results.heat_year import DarkDay, HeatStart, HouseholdYear, NobodyHome
from wellsolar.results.pumps import WireResult


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
    starts: hours of the day at which it is at its setpoint from other starts than cold
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
    starts: tuple[HeatStart, ...] = ()


@dataclass(frozen=True)
class HeatMonth:
    """A month of the site's year with the household's draws, nothing but PV heating.

    All a day: plane_of_array [J/m2], element_energy (offered), accepted_energy (taken by the
    tank), heat_wanted and heat_delivered at the tap, heat_lost [J]
    """

    month: int
    plane_of_array: float
    element_energy: float
    maximum_energy: float
    accepted_energy: float
    heat_wanted: float
    heat_delivered: float
    heat_lost: float

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
    inlet_temperature, setpoint, room_temperature [degC]
    heating_energy: from the inlet temperature to the setpoint [J]; heat_loss [W/K]
    standby_loss: at the setpoint [W]; stall_temperature: where the loss equals the mean power of
        the sunniest clear day, nothing drawn and no thermostat; 100 where it would boil [degC]
    expansion: volume by which the water grows from inlet to setpoint [m3]
    half_share_draw: mixed water a day of which PV gives half the heat [m3]; None where it gives
        half already or not even of a tenth of the draw
    one_day_volume: the largest tank that one clear day of the darkest month heats from cold [m3];
        None where the site's own is heated, or not even a litre
    one_day: what would heat it from cold in one clear day of the darkest month; None where the
        site's own array does, where no latitude is given, or where nothing of 24 modules does
    households: its year on PV alone, then with what heats beside it; empty without sun or draw
    evening_draw: mixed water a day [m3], evening_thermostat: of an upper element on the grid
        [degC], with which the evening's draw comes warm often enough; None where it does already
        or where nothing of the kind would help
    nobody_home: None without a known sun; dark_days: a week without any
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
    room_temperature: float
    draw_volume: float | None
    heating_energy: float
    heat_loss: float
    standby_loss: float
    stall_temperature: float | None
    tap: TapWater
    expansion: float
    wire: WireResult | None
    days: tuple[HeatDay, ...]
    months: tuple[HeatMonth, ...]
    annual_share: float | None
    half_share_draw: float | None
    one_day_volume: float | None
    one_day: OneDayDesign | None
    safety: HeatSafety
    households: tuple[HouseholdYear, ...] = ()
    evening_draw: float | None = None
    evening_thermostat: float | None = None
    nobody_home: NobodyHome | None = None
    dark_days: tuple[DarkDay, ...] = ()
