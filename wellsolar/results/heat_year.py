"""A household's year with a PV-heated tank, and the tank without household or sun. All in SI."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from wellsolar.results.entries import Entry, month_name
from wellsolar.results.heat_safety import TankSafety, TapWater


@dataclass(frozen=True)
class HouseholdMonth:
    """A month of a household's hot water; energies and volumes are the month's own sums.

    pv_heat, grid_heat: taken by the water from the modules and from the grid [J]; heat_lost: to
        the room [J]; heat_wanted, heat_delivered: at the tap, above the cold inlet [J]
    tap_volume: mixed water that came as warm as wanted; short_volume: that came cooler [m3]
    evening_temperature: mean of the top just before the evening's draw of the tank that the taps
        draw from [degC]
    evenings_at_setpoint: days on which that top is no more than the thermostat's differential
        below its setpoint; evenings_hot: days on which the whole of the evening's draw comes as
        warm as wanted
    """

    month: int
    days: int
    pv_heat: float
    grid_heat: float
    heat_lost: float
    heat_wanted: float
    heat_delivered: float
    tap_volume: float
    short_volume: float
    evening_temperature: float
    evenings_at_setpoint: int
    evenings_hot: int

    @property
    def pv_share(self) -> float:
        """Share of the heat put in that came from the modules; 0 where nothing heats."""
        taken = self.pv_heat + self.grid_heat
        return self.pv_heat / taken if taken > 0 else 0.0


@dataclass(frozen=True)
class HouseholdYear:
    """A year of a household's hot water.

    heated_by: "PV", "upper element" or "second tank", whatever heats beside the modules
    evening: clock time at which the evening's draw begins [s]
    """

    heated_by: str
    evening: float
    months: tuple[HouseholdMonth, ...]

    @property
    def year(self) -> HouseholdMonth:
        """The sums of the year, with the mean of the evenings, as month 0."""
        days = sum(each.days for each in self.months)
        warmth = sum(each.evening_temperature * each.days for each in self.months) / days
        return HouseholdMonth(
            0,
            days,
            sum(each.pv_heat for each in self.months),
            sum(each.grid_heat for each in self.months),
            sum(each.heat_lost for each in self.months),
            sum(each.heat_wanted for each in self.months),
            sum(each.heat_delivered for each in self.months),
            sum(each.tap_volume for each in self.months),
            sum(each.short_volume for each in self.months),
            warmth,
            sum(each.evenings_at_setpoint for each in self.months),
            sum(each.evenings_hot for each in self.months),
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

    month: the sunniest; hottest: of the tank with its thermostat failed closed and nothing else
        to stop it, in 60 days [degC], no more than 100
    high_limit: of the file [degC], or None; days_to_high_limit: from midnight until it opens
        where the thermostat has failed closed; None where it never does or there is none
    relief: of the file, or usual [degC]; days_to_relief: until its valve opens where the high
        limit has failed too; None where it never does
    """

    month: Annotated[int, Entry("sunniest month",
        why="clear days in a row, nobody home, thermostat failed closed at its setpoint",
        words=month_name)]  # fmt: skip
    hottest: float
    high_limit: float | None
    days_to_high_limit: float | None
    relief: float
    days_to_relief: float | None


@dataclass(frozen=True)
class DarkDay:
    """A tank after some days without sun, begun at its setpoint; temperatures in degC.

    mean_temperature, top_temperature, tap_volume: with the household's draws, None where they
        are not known; tap_volume: mixed water as warm as wanted that is left in it [m3]
    idle_temperature, idle_tap_volume: with nothing drawn, when the whole tank cools alike
    """

    day: int
    mean_temperature: float | None
    top_temperature: float | None
    tap_volume: float | None
    idle_temperature: float
    idle_tap_volume: float


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
