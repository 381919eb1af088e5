"""The PV-heated tank. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from wellsolar import kinds
from wellsolar.results.entries import (
    CLOCK,
    DAYS,
    MONTH,
    SATURATION_CURRENT,
    SMALL_VOLTAGE,
    Entry,
    month_name,
    month_or_year,
)
from wellsolar.results.heat_safety import HeatSafety, TankSafety, TapWater
from wellsolar.results.pumps import WireResult


@dataclass(frozen=True)
class SunPoint:
    """The array on its element at one irradiance.

    current, voltage, power: at the element; maximum_power: of the array
    """

    irradiance: Annotated[float, Entry("sun", kinds.IRRADIANCE)]
    cell_temperature: Annotated[float, Entry("cells", kinds.TEMPERATURE)]
    current: Annotated[float, Entry("current", kinds.CURRENT)]
    voltage: Annotated[float, Entry("voltage", kinds.VOLTAGE)]
    power: Annotated[float, Entry("power", kinds.COMPUTED_POWER)]
    maximum_power: Annotated[float, Entry("at its best", kinds.COMPUTED_POWER)]
    cable_loss: Annotated[float, Entry("lost in cable", kinds.COMPUTED_POWER)]

    @property
    def share(self) -> Annotated[float, Entry("share of it", kinds.FRACTION)]:
        """Power at the element as a fraction of the array's maximum power."""
        return self.power / self.maximum_power if self.maximum_power > 0 else 0.0


@dataclass(frozen=True)
class HeatDay:
    """One kind of day of a month.

    kind: "clear", "typical" or "poor"
    maximum_energy: of the array at its maximum power [J]; peak_power: greatest at the element [W]
    end_temperature: mean of the tank, begun cold, nothing drawn
    time_to_setpoint: by that day's clock; None if not on the first day
    days_to_setpoint: counted from 1, in a run of such days, nothing drawn; None if never
    start_for_one_day: mean temperature at dawn from which one such day reaches the setpoint; None
        if no start below the setpoint suffices
    starts: hours of the day at which it is at its setpoint from other starts than cold
    """

    month: Annotated[int, MONTH]
    kind: str
    plane_of_array: Annotated[float, Entry("sun on modules", kinds.IRRADIATION)]
    element_energy: Annotated[float, Entry("into water", kinds.ENERGY)]
    maximum_energy: float
    peak_power: float
    end_temperature: Annotated[float, Entry("tank at day's end", kinds.TEMPERATURE)]
    time_to_setpoint: Annotated[float | None, Entry("from cold at setpoint by", CLOCK)]
    days_to_setpoint: Annotated[int | None, Entry("from cold on day", kinds.COUNT)]
    start_for_one_day: Annotated[float | None, Entry("start for one day", kinds.TEMPERATURE)]
    starts: tuple[HeatStart, ...] = ()


@dataclass(frozen=True)
class HeatMonth:
    """A month of the site's year with the household's draws, nothing but PV heating: all a day."""

    month: Annotated[int, MONTH]
    plane_of_array: Annotated[float, Entry("sun on modules", kinds.IRRADIATION)]
    element_energy: Annotated[float, Entry("offered", kinds.ENERGY)]
    maximum_energy: Annotated[float, Entry("array's best", kinds.ENERGY)]
    accepted_energy: Annotated[float, Entry("taken by tank", kinds.ENERGY)]
    heat_wanted: Annotated[float, Entry("wanted at tap", kinds.ENERGY)]
    heat_delivered: Annotated[float, Entry("given at tap", kinds.ENERGY)]
    heat_lost: Annotated[float, Entry("lost", kinds.ENERGY)]
    pv_at_tap: Annotated[float, Entry("of it from PV", kinds.ENERGY)]

    @property
    def share(self) -> float:
        """Share of the hot water's heat that PV gives, a fraction; a warm room gives some too."""
        return self.pv_at_tap / self.heat_wanted if self.heat_wanted > 0 else 0.0


@dataclass(frozen=True)
class OneDayDesign:
    """The fewest modules that heat the tank from cold in one clear day of the darkest month.

    rated_power, rated_voltage: of those that are sold; same_element: True where it is the site's
    gauge: the thinnest wire that suits; None where the site's does or it names none
    """

    month: Annotated[int, Entry("darkest month",
        why="one clear day of it would heat the tank from cold with the four below",
        key="one_day_month", words=month_name)]  # fmt: skip
    series: Annotated[int, Entry("modules in series", kinds.COUNT, key="one_day_series")]
    parallel: Annotated[int, Entry("rows in parallel", kinds.COUNT, key="one_day_parallel")]
    rated_power: Annotated[float, Entry("element for them", kinds.POWER,
        key="one_day_rated_power")]  # fmt: skip
    rated_voltage: Annotated[float, Entry("rated at", kinds.VOLTAGE, key="one_day_rated_voltage")]
    same_element: bool
    gauge: str | None


@dataclass(frozen=True, kw_only=True)
class HeaterArray:
    """The modules on the element that the tank is studied with.

    fit: how the five parameters were found, of one module at 1000 W/m2, 25 degC
    reference_points: cells at 25 degC; working_points: cells as warm as in 20 degC air
    cold_open_circuit_voltage, cold_open_circuit_voltage_table: in the record low or, without one,
        in the coldest of the code's table
    """

    array: Annotated[str, Entry("array")]
    modules: Annotated[int, Entry("modules", kinds.COUNT)]
    series: Annotated[int, Entry("in series", kinds.COUNT)]
    parallel: Annotated[int, Entry("in parallel", kinds.COUNT)]
    tilt: Annotated[float, Entry("tilt", kinds.ANGLE, "from level")]
    azimuth: Annotated[float, Entry("azimuth", kinds.ANGLE, "compass: 180 is south")]
    fit: Annotated[str, Entry("module's parameters")]
    module_power: Annotated[float, Entry("one module", kinds.POWER, "by its datasheet")]
    photocurrent: Annotated[float, Entry("photocurrent", kinds.CURRENT, "one module")]
    saturation_current: Annotated[float, Entry("saturation current", SATURATION_CURRENT)]
    series_resistance: Annotated[float, Entry("series resistance", kinds.RESISTANCE)]
    shunt_resistance: Annotated[float, Entry("shunt resistance", kinds.RESISTANCE)]
    modified_ideality_voltage: Annotated[float, Entry("modified ideality", SMALL_VOLTAGE)]
    element_resistance: Annotated[float, Entry("element resistance", kinds.RESISTANCE,
        "rated voltage squared over rated power")]  # fmt: skip
    cable_resistance: Annotated[float, Entry("cable resistance", kinds.RESISTANCE, "out and back")]
    matched_resistance: Annotated[float, Entry("matched in full sun", kinds.RESISTANCE,
        "takes the array's maximum power in full sun, cells at 25 °C")]  # fmt: skip
    rated_power: Annotated[float, Entry("element, rated", kinds.POWER)]
    rated_voltage: Annotated[float, Entry("at", kinds.VOLTAGE)]
    reference_points: tuple[SunPoint, ...]
    working_points: tuple[SunPoint, ...]
    cold_temperature: Annotated[float | None, Entry("record low", kinds.TEMPERATURE,
        lacking="the file has no sun.record_low")]  # fmt: skip
    cold_open_circuit_voltage: Annotated[float | None, Entry("cold open-circuit voltage",
        kinds.VOLTAGE, "by the module's coefficient")]  # fmt: skip
    cold_open_circuit_voltage_table: Annotated[float | None, Entry("the same by table",
        kinds.VOLTAGE, "by the electrical code's factors")]  # fmt: skip
    greatest_voltage: Annotated[float, Entry("greatest voltage", kinds.VOLTAGE,
        "at the element, coldest bright sun")]  # fmt: skip
    greatest_power: Annotated[float, Entry("greatest power", kinds.COMPUTED_POWER,
        "at the element, coldest bright sun")]  # fmt: skip
    wire: WireResult | None


@dataclass(frozen=True, kw_only=True)
class TankInRoom:
    """The tank with the water in it and the room round it.

    stall_temperature: where the loss equals the mean power of the sunniest clear day
    expansion: volume by which the water grows from inlet to setpoint [m3]
    nobody_home: None without a known sun; dark_days: a week without any
    """

    tank_volume: Annotated[float, Entry("tank volume", kinds.VOLUME)]
    inlet_temperature: Annotated[float, Entry("cold water", kinds.TEMPERATURE)]
    setpoint: Annotated[float, Entry("setpoint", kinds.TEMPERATURE, "of the thermostat")]
    room_temperature: Annotated[float, Entry("room", kinds.TEMPERATURE)]
    draw_volume: Annotated[float | None, Entry("hot water wanted a day", kinds.VOLUME,
        "mixed, at the tap", lacking="the file names neither draw nor people")]  # fmt: skip
    heating_energy: Annotated[float, Entry("heat for one tank", kinds.ENERGY,
        "from cold water to the setpoint")]  # fmt: skip
    heat_loss: Annotated[float, Entry("heat loss", kinds.HEAT_LOSS, "per degree above the room")]
    standby_loss: Annotated[float, Entry("loss at the setpoint", kinds.COMPUTED_POWER)]
    stall_temperature: Annotated[float | None, Entry("stall temperature", kinds.TEMPERATURE,
        "where heat loss alone would hold it on sunny days, nobody home and no thermostat; "
        "not followed above 100 °C (212 °F), where water boils at sea level")]  # fmt: skip
    tap: TapWater
    expansion: float
    nobody_home: NobodyHome | None = None
    dark_days: tuple[DarkDay, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Household:
    """The household's year with a heated tank, and what would improve it.

    households: its year on PV alone, then with what heats beside it; empty without sun or draw
    share_draw: mixed water a day of which PV gives the share that the file aims at [m3]; None
        where it gives that already or not even of a tenth of the draw
    evening_draw: mixed water a day [m3], evening_thermostat: of an upper element on the grid
        [degC], with which the evening's draw comes warm often enough; None where it does already
        or where nothing of the kind would help
    sun_evening_draw: mixed water a day with which the sun alone makes as many evenings hot as are
        aimed at [m3]; None likewise
    """

    months: tuple[HeatMonth, ...] = ()
    households: tuple[HouseholdYear, ...] = ()
    annual_share: Annotated[float | None, Entry("hot water from PV", kinds.FRACTION,
        "of the heat in the hot water", lacking="needs the sun and the draw")] = None  # fmt: skip
    share_draw: float | None = None
    evening_draw: float | None = None
    evening_thermostat: float | None = None
    sun_evening_draw: float | None = None


@dataclass(frozen=True, kw_only=True)
class HeatedTankResult(HeaterArray, TankInRoom, Household):
    """The PV-heated tank: its array, the tank itself, the household's year, and its clear days.

    one_day_volume: the largest; None where the site's own is heated, or not even a litre
    one_day: what would heat it from cold in one clear day of the darkest month; None where the
        site's own array does, where no latitude is given, or where nothing of 24 modules does
    """

    days: tuple[HeatDay, ...]
    one_day_volume: Annotated[float | None, Entry("tank for one clear day", kinds.VOLUME,
        "of the darkest month, from cold, on the modules there are",
        lacking="the tank itself, or none at all")]  # fmt: skip
    one_day: OneDayDesign | None
    safety: HeatSafety


@dataclass(frozen=True)
class HouseholdMonth:
    """A month of a household's hot water; energies and volumes are the month's own sums.

    pv_heat, grid_heat: taken by the water; heat_lost: to the room [J]
    heat_wanted, heat_delivered: at the tap, above the cold inlet [J]
    tap_volume, short_volume: of mixed water at the tap
    evening_temperature: mean, just before the evening's draw, of the tank the taps draw from
    evenings_at_setpoint: days on which that top is no more than the thermostat's differential
        below its setpoint
    evenings_hot: days on which the whole of the evening's draw comes as warm as wanted
    """

    month: Annotated[int, Entry("month", words=month_or_year)]
    days: int
    pv_heat: Annotated[float, Entry("from PV", kinds.ENERGY)]
    grid_heat: Annotated[float, Entry("from grid", kinds.ENERGY)]
    heat_lost: float
    heat_wanted: float
    heat_delivered: float
    tap_volume: Annotated[float, Entry("hot enough", kinds.SUMMED_VOLUME)]
    short_volume: Annotated[float, Entry("too cool", kinds.SUMMED_VOLUME)]
    evening_temperature: Annotated[float, Entry("top in the evening", kinds.TEMPERATURE)]
    evenings_at_setpoint: Annotated[int, Entry("evenings at setpoint", kinds.COUNT)]
    evenings_hot: Annotated[int, Entry("evenings hot", kinds.COUNT)]

    @property
    def pv_evenings_hot(self) -> Annotated[int, Entry("evenings hot by PV alone", kinds.COUNT)]:
        """The evenings that are hot, of a year on PV alone."""
        return self.evenings_hot

    @property
    def evenings_hot_with_grid(
        self,
    ) -> Annotated[int, Entry("evenings hot with it", kinds.COUNT, key="evenings_hot")]:
        """The evenings that are hot, of a year with the grid beside PV."""
        return self.evenings_hot

    @property
    def wanted_volume(self) -> Annotated[float, Entry("hot water wanted", kinds.SUMMED_VOLUME,
            "in the year, mixed at the tap")]:  # fmt: skip
        """Mixed water that was asked for."""
        return self.tap_volume + self.short_volume

    @property
    def pv_share(self) -> Annotated[float, Entry("PV's part", kinds.FRACTION)]:
        """Share of the heat put in that came from the modules; 0 where nothing heats."""
        taken = self.pv_heat + self.grid_heat
        return self.pv_heat / taken if taken > 0 else 0.0


@dataclass(frozen=True)
class HouseholdYear:
    """A year of a household's hot water.

    heated_by: "PV", "upper element" or "second tank", whatever heats beside the modules
    other_evenings: hot evenings in other years made from the same months, in which bright and
        dark days follow each other otherwise; empty where a weather file gives the one year
    """

    heated_by: str
    evening: Annotated[float, Entry("evening's draw", CLOCK,
        "when it begins: the first after 17:00, or the day's last")]  # fmt: skip
    months: tuple[HouseholdMonth, ...]
    other_evenings: tuple[int, ...] = ()

    @property
    def fewest_evenings(self) -> int:
        """Hot evenings in the worst of the years that were looked at."""
        return min(self.year.evenings_hot, *self.other_evenings, 366)

    @property
    def most_evenings(self) -> int:
        """Hot evenings in the best of them."""
        return max(self.year.evenings_hot, *self.other_evenings, 0)

    @property
    def year(self) -> HouseholdMonth:
        """The sums of the year, with the mean of the evenings, as month 0."""
        days = sum(month.days for month in self.months)
        warmth = sum(month.evening_temperature * month.days for month in self.months) / days
        return HouseholdMonth(
            0,
            days,
            sum(month.pv_heat for month in self.months),
            sum(month.grid_heat for month in self.months),
            sum(month.heat_lost for month in self.months),
            sum(month.heat_wanted for month in self.months),
            sum(month.heat_delivered for month in self.months),
            sum(month.tap_volume for month in self.months),
            sum(month.short_volume for month in self.months),
            warmth,
            sum(month.evenings_at_setpoint for month in self.months),
            sum(month.evenings_hot for month in self.months),
        )


@dataclass(frozen=True)
class HeatStart:
    """From some warmth of the whole tank at midnight, a day's sun and nothing drawn.

    start_temperature: mean of the tank [degC]; time_to_setpoint: hours of that day's sun time
        from midnight until the thermostat is satisfied [s]; None where it is not on that day
    """

    start: str
    start_temperature: float
    time_to_setpoint: float | None


@dataclass(frozen=True)
class NobodyHome:
    """Clear days in a row in the sunniest month, nobody home, from the setpoint.

    hottest: no more than 100 degC
    high_limit: of the file [degC], or None; days_to_high_limit: from midnight; None also where
        there is no high limit
    relief: of the file, or usual [degC]
    """

    month: Annotated[int, Entry("sunniest month",
        why="clear days without shade or dirt, nobody home, thermostat stuck on at its setpoint",
        words=month_name)]  # fmt: skip
    hottest: Annotated[float, Entry("hottest", kinds.TEMPERATURE,
        "where the file's array would drive it in 60 clear days, with nothing "
        "to stop it")]  # fmt: skip
    high_limit: float | None
    days_to_high_limit: Annotated[float | None, Entry("high limit opens after", DAYS,
        nothing="never")]  # fmt: skip
    relief: float
    days_to_relief: Annotated[float | None, Entry("relief valve opens after", DAYS,
        "the high limit failed too", nothing="never")]  # fmt: skip


@dataclass(frozen=True)
class DarkDay:
    """A tank after some days without sun, begun at its setpoint.

    mean_temperature, top_temperature, tap_volume: None where the household's draws are not known
    tap_volume, idle_tap_volume: mixed water as warm as wanted that is left in it
    idle_temperature: of the whole tank, which then cools alike
    """

    day: Annotated[int, Entry("day", kinds.COUNT)]
    mean_temperature: Annotated[float | None, Entry("mean, water drawn", kinds.TEMPERATURE)]
    top_temperature: Annotated[float | None, Entry("top, water drawn", kinds.TEMPERATURE)]
    tap_volume: Annotated[float | None, Entry("left, water drawn", kinds.VOLUME)]
    idle_temperature: Annotated[float, Entry("nothing drawn", kinds.TEMPERATURE)]
    idle_tap_volume: Annotated[float, Entry("left, nothing drawn", kinds.VOLUME)]


@dataclass(frozen=True)
class DivertedTankResult:
    """A tank that only an element on the inverter heats, with a battery's surplus.

    draw_volume: mixed water a day [m3], None where not known; setpoint [degC]
    annual_share: of the heat wanted at the tap that the surplus alone gives; None where surplus or
        draws are not known, or the draws are no household's
    households: its year on the surplus alone, then with what heats beside it; empty where
        annual_share is None
    dark_days: a week in which nothing heats it
    """

    draw_volume: float | None
    setpoint: float
    tap: TapWater
    annual_share: float | None
    households: tuple[HouseholdYear, ...]
    safety: TankSafety
    dark_days: tuple[DarkDay, ...]
