"""The sun, the supply of water and the ranking of pumps through a year of hours.

Every field is in SI, temperatures in degC; months run from January to December.
"""

from __future__ import annotations

from dataclasses import dataclass


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

    source: str
    horizontal: tuple[float, ...]
    temperatures: tuple[float, ...]
    planes: tuple[PlaneMonths, ...]
    shading: bool
    horizon: bool


@dataclass(frozen=True)
class YearMonth:
    """One month of a supply.

    wanted: for the month's water and the other loads, at the battery or the modules, without what
        the battery itself loses; made, used, spilled: of the array, in the whole month [J]
    pumped, unmet: water in the whole month [m3]
    days_short: of the month; least_charge: part of the usable battery; None without a battery
    """

    month: int
    wanted: float
    made: float
    used: float
    spilled: float
    pumped: float
    unmet: float
    days_short: int
    least_charge: float | None


@dataclass(frozen=True)
class SupplyYearResult:
    """The supply of one pump through the year, with the array as it stands.

    modules: in the groups that feed pump or battery; direct: True without a battery between
    flow [m3/s], power [W]: of the running pump, means of its duties; in full sun if direct
    daily_volume: wanted [m3]; storage: between full and empty [m3]
    usable_battery [J]: None if direct; losses: fraction of the modules' power
    standing_load: idle draw and other use, mean, at the battery [W]
    limit: days short that are put up with
    volume_unmet [m3], energies of the year [J]; other_unmet: of the other use
    fewer_days_short, more_days_short: with one module less and more; None where nobody asked
    """

    pump: str
    modules: int
    direct: bool
    flow: float
    power: float
    daily_volume: float
    storage: float
    usable_battery: float | None
    losses: float
    standing_load: float
    limit: int
    days_short: int
    longest_short_run: int
    volume_unmet: float
    energy_made: float
    energy_used: float
    energy_spilled: float
    energy_pump: float
    other_unmet: float
    least_charge: float | None
    months: tuple[YearMonth, ...]
    fewer_days_short: int | None = None
    more_days_short: int | None = None


@dataclass(frozen=True)
class RankedPump:
    """A pump with a battery, and the fewest modules that keep its water coming.

    invented: True for one of the starter pumps, which are no pumps of the site
    battery: rated energy [J]; None straight off the modules
    modules: for each of the allowed numbers of short days; None where the most are too few
    hand_rule: modules by the hand rule for the pump alone; None where that lacks its sun
    hand_rule_loaded: with idle draw and other use
    daily_energy: of the pump, electrical [J]
    """

    pump: str
    invented: bool
    battery: float | None
    own_battery: bool
    modules: tuple[int | None, ...]
    hand_rule: int | None
    hand_rule_loaded: int | None
    daily_energy: float


@dataclass(frozen=True)
class RankingResult:
    """Every pump that suits with every battery, the best first.

    allowed: short days a year; by: the one of them that the order goes by
    most: modules that were looked at; shown: so many rows are printed
    tilt, azimuth: of the modules [deg]; module_power: rated [W]
    site_rows: the backup pumps with the site's own battery, or straight off the modules
    left_out: pumps that do not lift the water
    """

    allowed: tuple[int, ...]
    by: int
    most: int
    shown: int
    module_power: float
    rows: tuple[RankedPump, ...]
    site_rows: tuple[RankedPump, ...]
    left_out: tuple[str, ...]


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
    running_power: that a group without a battery must carry in good sun [W]; 0 with a battery
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
class LedgerResult:
    """The modules on hand and the groups that share them.

    spare: on hand less used, negative where more are used; pump: whose short days moves tell
    """

    on_hand: int
    used: int
    spare: int
    pump: str
    groups: tuple[GroupShare, ...]
    moves: tuple[Move, ...]
