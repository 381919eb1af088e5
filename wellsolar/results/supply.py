"""The array for a pump. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass


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
