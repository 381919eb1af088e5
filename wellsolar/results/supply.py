"""The sun, the supply of water and the ranking of pumps through a year of hours.

Every field is in SI, temperatures in degC; months run from January to December.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from wellsolar import kinds
from wellsolar.results.entries import A_DAY, DAYS, MONTH, Entry, month_name


@dataclass(frozen=True)
class PlaneMonths:
    """The sun on one group's plane.

    tilt, azimuth [deg]; totals: mean a day in each month [J/m2]; year: mean a day [J/m2]
    """

    group: str
    tilt: float
    azimuth: float
    totals: tuple[float, ...]
    year: float


@dataclass(frozen=True)
class SunYearResult:
    """The one year of hours of a site.

    source: where it comes from; horizontal: mean a day on the level in each month [J/m2]
    temperatures: mean of the air in each month [degC]
    shading, horizon: True where the file gives them, and the planes have them
    """

    source: Annotated[str, Entry("year of hours")]
    horizontal: tuple[float, ...]
    temperatures: tuple[float, ...]
    planes: tuple[PlaneMonths, ...]
    shading: bool
    horizon: bool


@dataclass(frozen=True)
class YearMonth:
    """One month of a supply; volumes and the array's energies are those of the whole month.

    wanted: for the month's water and the other loads, at the battery or the modules, without what
        the battery itself loses
    least_charge: of the usable battery; None without one
    """

    month: Annotated[int, MONTH]
    wanted: Annotated[float, Entry("wanted", kinds.ENERGY)]
    made: Annotated[float, Entry("made", kinds.ENERGY)]
    used: Annotated[float, Entry("used", kinds.ENERGY)]
    spilled: Annotated[float, Entry("not taken", kinds.ENERGY)]
    pumped: Annotated[float, Entry("pumped", kinds.SUMMED_VOLUME)]
    unmet: Annotated[float, Entry("missing", kinds.SUMMED_VOLUME)]
    days_short: Annotated[int, Entry("days short", kinds.COUNT)]
    least_charge: Annotated[float | None, Entry("lowest charge", kinds.FRACTION)]


@dataclass(frozen=True)
class SupplyYearResult:
    """The supply of one pump through the year, with the array as it stands.

    direct: True without a battery between; usable_battery, least_charge: then None
    flow, power: of the running pump, means of its duties; in full sun if direct
    losses: of the modules' power; limit: days short that are put up with
    fewer_days_short, more_days_short: with one module less and more; None where nobody asked
    """

    pump: Annotated[str, Entry("pump")]
    modules: Annotated[int, Entry("modules", kinds.COUNT, "in groups that feed pump or battery")]
    direct: bool
    flow: Annotated[float, Entry("flow of the pump", kinds.FLOW)]
    power: Annotated[float, Entry("power of the pump", kinds.COMPUTED_POWER)]
    daily_volume: Annotated[float, Entry("water a day", kinds.VOLUME)]
    storage: Annotated[float, Entry("water stored", kinds.VOLUME,
        "between full and empty, storage and pressure tank")]  # fmt: skip
    usable_battery: Annotated[float | None, Entry("usable battery", kinds.ENERGY, nothing="none")]
    losses: Annotated[float, Entry("losses", kinds.FRACTION,
        "dirt, age, wiring, controller and the like; heat and glass by the hour")]  # fmt: skip
    standing_load: Annotated[float, Entry("other load", kinds.POWER,
        "idle draw and other use, mean, from the battery")]  # fmt: skip
    limit: int
    days_short: Annotated[int, Entry("days short", kinds.COUNT, "a year")]
    longest_short_run: Annotated[int, Entry("longest run of them", kinds.COUNT, "days in a row")]
    volume_unmet: Annotated[float, Entry("water missing", kinds.SUMMED_VOLUME, "in the year")]
    energy_made: Annotated[float, Entry("energy made", kinds.ENERGY,
        "by the modules in the year, less losses")]  # fmt: skip
    energy_used: Annotated[float, Entry("energy used", kinds.ENERGY,
        "by pump, other loads and the losses of battery and inverter")]  # fmt: skip
    energy_spilled: Annotated[float, Entry("surplus not taken", kinds.ENERGY,
        "nothing had room for it")]  # fmt: skip
    energy_pump: Annotated[float, Entry("energy of the pump", kinds.ENERGY)]
    other_unmet: Annotated[float, Entry("other use not met", kinds.ENERGY)]
    least_charge: Annotated[float | None, Entry("lowest charge", kinds.FRACTION,
        "of the usable battery")]  # fmt: skip
    months: tuple[YearMonth, ...]
    fewer_days_short: int | None = None
    more_days_short: int | None = None


PumpPower = Literal["sun", "grid", "battery"]
"""What a pump of the chain runs on in an ordinary year; the sun is modules straight."""


@dataclass(frozen=True)
class ChainMonth:
    """One month of a chain by way of the storage tank; unmet: of the whole month
    sun_a_day: what the sun could pump if the tank had room and the well bore it; None of a filling
        pump on another supply
    least_stored: above empty, or where the booster is stopped"""

    month: Annotated[int, MONTH]
    sun_a_day: Annotated[float | None, Entry("the sun can pump a day", A_DAY)]
    pumped_a_day: Annotated[float, Entry("pumped a day", A_DAY)]
    wanted_a_day: Annotated[float, Entry("wanted a day", A_DAY)]
    unmet: Annotated[float, Entry("missing", kinds.SUMMED_VOLUME)]
    days_short: Annotated[int, Entry("days short", kinds.COUNT)]
    least_stored: Annotated[float, Entry("least in the tank", kinds.SUMMED_VOLUME)]


@dataclass(frozen=True)
class TankLevels:
    """Water in a storage tank through the year [m3].

    full, starts, stops: where its pump stops, where it starts, and where the draw is stopped
    least, most: of each day, from the first of January on
    emptiest: hour by hour from a day before the day of the least water to a day after it
    day: of the year, from 1, on which that begins
    """

    full: float
    starts: float
    stops: float
    least: tuple[float, ...]
    most: tuple[float, ...]
    emptiest: tuple[float, ...]
    day: int


@dataclass(frozen=True)
class ChainYearResult:
    """The storage tank between well and house through the year.

    filler: names of the pumps that fill it; filler_power: what drives them, each supply once
    fill_flow: of all that run at once; starts: of each on average
    booster: a pump's name, or how the water comes without one
    booster_power, booster_flow: None without a booster
    well_flow: None where the file tells too little of the well
    night: None but for filling pumps on the sun alone
    peak_time: None where the file has no peak, or well and pump bear it
    limit: days short that are put up with
    levels: water in the tank through the year, as figures show it
    """

    filler: Annotated[str, Entry("filled by")]
    filler_power: tuple[PumpPower, ...]
    booster: Annotated[str, Entry("to the house by")]
    booster_power: PumpPower | None
    storage: Annotated[float, Entry("water stored", kinds.VOLUME,
        "between full and empty by its floats")]  # fmt: skip
    fill_flow: Annotated[float, Entry("flow of the filling pump", kinds.FLOW, "at most")]
    well_flow: Annotated[float | None, Entry("the well bears", kinds.FLOW,
        "with the water held where the pump stops", optional=True)]  # fmt: skip
    booster_flow: Annotated[float | None, Entry("flow of the booster", kinds.FLOW,
        optional=True)]  # fmt: skip
    daily_volume: Annotated[float, Entry("water a day", kinds.VOLUME)]
    daily_pumped: Annotated[float, Entry("pumped a day", A_DAY, "mean of the year")]
    limit: int
    days_short: Annotated[int, Entry("days short", kinds.COUNT, "a year")]
    longest_short_run: Annotated[int, Entry("longest run of them", kinds.COUNT, "days in a row")]
    volume_unmet: Annotated[float, Entry("water missing", kinds.SUMMED_VOLUME, "in the year")]
    least_stored: Annotated[float, Entry("least in the tank", kinds.SUMMED_VOLUME,
        "above empty, or where a float stops the booster")]  # fmt: skip
    turnover: Annotated[float, Entry("days of water in it", DAYS, "mean of the year")]
    starts: Annotated[float, Entry("starts of the filling pump", kinds.RATIO, "a day")]
    peak_time: Annotated[float | None, Entry("lasts at peak flow", kinds.DURATION,
        "from where the filling pump starts, with what comes in", optional=True)]  # fmt: skip
    night: Annotated[float | None, Entry("drawn in the longest night", kinds.SUMMED_VOLUME,
        "between two days' sun on the pump", optional=True)]  # fmt: skip
    months: tuple[ChainMonth, ...]
    levels: TankLevels


@dataclass(frozen=True)
class RankedPump:
    """A pump with a battery, and the fewest modules that keep its water coming.

    of_stock: True for one of the user's stock, which is no pump of the site
    battery: rated; None straight off the modules
    modules: for each of the allowed numbers of short days; None where the most are too few
    hand_rule, hand_rule_loaded: None where the rule lacks its sun
    """

    pump: Annotated[str, Entry("pump")]
    of_stock: bool
    battery: Annotated[float | None, Entry("battery", kinds.ENERGY)]
    own_battery: bool
    modules: tuple[int | None, ...]
    hand_rule: Annotated[int | None, Entry("rule of thumb, pump alone", kinds.COUNT)]
    hand_rule_loaded: Annotated[int | None, Entry("rule of thumb, all loads", kinds.COUNT)]
    daily_energy: Annotated[float, Entry("pump a day", kinds.ENERGY)]


@dataclass(frozen=True)
class RankingResult:
    """Every pump that suits with every battery, the best first.

    allowed: short days a year; by: the one of them that the order goes by
    shown: so many rows are printed
    site_rows: the backup pumps with the site's own battery, or straight off the modules
    left_out: pumps that do not lift the water
    """

    allowed: tuple[int, ...]
    by: int
    most: Annotated[int, Entry("modules looked at", kinds.COUNT, "up to")]
    shown: int
    module_power: Annotated[float, Entry("one module", kinds.POWER, "by its datasheet")]
    rows: tuple[RankedPump, ...]
    site_rows: tuple[RankedPump, ...]
    left_out: tuple[str, ...]

    @property
    def candidates(
        self,
    ) -> Annotated[int, Entry("pumps and batteries", kinds.COUNT, "pairs that were looked at")]:
        """How many pairs of a pump and a battery suit."""
        return len(self.rows)


@dataclass(frozen=True)
class SupplyMonth:
    """One month of the rule of thumb for a pump's array; sun and energies are a day's.

    energy_needed: at the array's terminals; array_power: of modules, rated at 1000 W/m2
    energy_available: by the groups that feed the pump or the battery; None without such a group
    """

    month: Annotated[int, MONTH]
    horizontal: Annotated[float, Entry("sun, level", kinds.IRRADIATION)]
    plane_of_array: Annotated[float, Entry("sun on modules", kinds.IRRADIATION)]
    energy_needed: Annotated[float, Entry("needed a day", kinds.ENERGY)]
    array_power: Annotated[float, Entry("array wanted", kinds.POWER)]
    modules: Annotated[int, Entry("modules wanted", kinds.COUNT)]
    energy_available: Annotated[float | None, Entry("there a day", kinds.ENERGY)]


@dataclass(frozen=True)
class SupplyResult:
    """The array for one pump by the rule of thumb: energy / peak sun hours / derate.

    battery_days: None without a battery
    running_power: that a group without a battery must carry in good sun [W]; 0 with a battery
    """

    pump: Annotated[str, Entry("pump")]
    tilt: Annotated[float, Entry("tilt", kinds.ANGLE, "from level")]
    azimuth: Annotated[float, Entry("azimuth", kinds.ANGLE, "compass: 180 is south")]
    derate: Annotated[float, Entry("derate", kinds.FRACTION,
        "dirt, heat, wiring and mismatch together")]  # fmt: skip
    module_power: Annotated[float, Entry("one module", kinds.POWER, "by its datasheet")]
    daily_energy: Annotated[float, Entry("pump's energy a day", kinds.ENERGY)]
    months: tuple[SupplyMonth, ...]
    worst_month: Annotated[int, Entry("worst month", words=month_name)]
    modules_needed: Annotated[int, Entry("modules wanted", kinds.COUNT, "in the worst month")]
    modules_there: Annotated[int, Entry("modules there", kinds.COUNT,
        "in groups that feed pump or battery")]  # fmt: skip
    battery_days: Annotated[float | None, Entry("days on the battery", DAYS,
        "the pump alone, no sun", lacking="the file has no battery")]  # fmt: skip
    running_power: float


@dataclass(frozen=True)
class GroupShare:
    """One group's part of the modules on hand.

    energy: what reaches what the group feeds, in each month [J]; empty where the sun is unknown
    lost: of that with one module fewer, gained: with one more [J]
    where: where the energy is counted
    """

    name: str
    feeds: str
    modules: int
    where: str
    energy: tuple[float, ...]
    lost: tuple[float, ...]
    gained: tuple[float, ...]


@dataclass(frozen=True)
class Move:
    """One module moved from a group to another; energies of the year [J].

    days_short: of the first backup pump before and after; None where no move touches it
    """

    giver: str
    taker: str
    lost: float
    gained: float
    days_short: tuple[int, int] | None


@dataclass(frozen=True)
class AllocationResult:
    """The modules on hand and the groups that share them.

    spare: on hand less used, negative where more are used; pump: whose short days moves tell
    """

    on_hand: Annotated[int, Entry("on hand", kinds.COUNT)]
    used: Annotated[int, Entry("used", kinds.COUNT, "by all groups")]
    spare: int
    pump: str
    groups: tuple[GroupShare, ...]
    moves: tuple[Move, ...]
