"""What stands between sun and tap for one pump: modules, battery and inverter, or a controller.

With a battery the pump runs at the mean of its duties whenever the storage has room. Straight off
the modules its speed follows the sun. The rating of the inverter is left to the pump's own
verdicts: here it carries whatever it is asked for.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.physics.array.module import FiveParameters
from wellsolar.physics.hydraulics import demand, pump
from wellsolar.physics.hydraulics.pump import HeadCurve
from wellsolar.physics.sun.year import HOUR, HourlyYear
from wellsolar.physics.supply import battery
from wellsolar.physics.supply import storage as storage_year
from wellsolar.physics.supply.battery import BatterySystem
from wellsolar.physics.supply.storage import PowerCurve
from wellsolar.physics.supply.year import SupplyYear
from wellsolar.physics.types import FloatArray
from wellsolar.results.pumps import PressureTankResult, PumpResult
from wellsolar.site.schema import ArrayTable, PumpTable, Site
from wellsolar.studies.house.chain import link_of
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.pump.study import USUAL_EFFICIENCY, pump_on_well
from wellsolar.studies.sun.year import module_power, plane_of_group
from wellsolar.studies.well.total_head import Line
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Change, set_to

LEAST_LOAD = 0.1
"""Part of the greatest flow below which a pump of known efficiency takes no less power: common
practice, no source."""

SLOWEST = 0.2
"""Least speed of a helical-rotor pump over its datasheet's: common practice, no source."""


@dataclass(frozen=True, eq=False)
class FeedingArray:
    """The modules that feed pump or battery, less their losses.

    modules: how many; total: their power [W], one value an hour
    first, mean: of one module, on the plane of the first group and on average [W]
    direct: True where no battery stands between
    """

    modules: int
    total: FloatArray
    first: FloatArray
    mean: FloatArray
    direct: bool


def feeders(site: Site) -> list[tuple[int, ArrayTable]]:
    """The groups that feed pump or battery, with their positions in the file."""
    return [(i, group) for i, group in enumerate(site.array) if group.feeds in ("pump", "battery")]


def more_rows(site: Site, added: int) -> tuple[Change, ...]:
    """The changes of the file that put modules more on the first group that feeds.

    Parameters:
        site: a site with such a group
        added: modules to add, rounded up to whole rows
    Returns:
        more rows on the group, and modules on hand where the file counts them
    """
    index, group = feeders(site)[0]
    rows = group.parallel + math.ceil(added / group.series)
    changes = [set_to(f"array[{index + 1}].parallel", rows)]
    used = sum(array.series * array.parallel for array in site.array)
    used += (rows - group.parallel) * group.series
    on_hand = None if site.module is None else site.module.on_hand
    if on_hand is not None and used > on_hand:
        changes.append(set_to("module.on_hand", used))
    return tuple(changes)


def is_direct(site: Site) -> bool:
    """True where every group of them feeds the pump, so that no battery stands between."""
    groups = feeders(site)
    return bool(groups) and all(group.feeds == "pump" for _, group in groups)


def feeding_array(site: Site, year: HourlyYear, parameters: FiveParameters) -> FeedingArray:
    """The modules of a site that feed pump or battery, hour by hour.

    Parameters:
        site: the site; without such a group one module is looked at where a group would stand
    """
    groups = feeders(site)
    places: list[tuple[int, ArrayTable | None]] = [*groups] or [(len(site.array), None)]
    placed = [
        module_power(site, parameters, plane_of_group(site, year, group, f"array[{i + 1}]"), group)
        for i, group in places
    ]
    counts = [group.series * group.parallel for _, group in groups] or [0]
    total = np.asarray(np.tensordot(np.array(counts, dtype=float), np.array(placed), 1))
    modules = sum(counts)
    mean = total / modules if modules else placed[0]
    return FeedingArray(modules, total, placed[0], mean, is_direct(site))


@dataclass(frozen=True, eq=False)
class PumpSupply:
    """One pump with all that its water takes but for the modules.

    flow [m3/s], power [W]: of the running pump; demand: in each hour of the year [m3]
    storage: between full and empty [m3]; well_volume: the most the well gives in an hour [m3]
    system: battery and inverter; curve: flow against power, efficiency of the controller and
        threshold of its power [W], of a pump straight off the modules
    """

    name: str
    flow: float
    power: float
    demand: FloatArray
    storage: float
    well_volume: float
    system: BatterySystem | None
    curve: PowerCurve | None
    efficiency: float
    threshold: float = 0.0

    def run(self, array_power: FloatArray) -> SupplyYear:
        """The year with an array that gives so much [W], one value an hour."""
        if self.system is None:
            assert self.curve is not None
            return storage_year.run_direct_year(
                array_power,
                self.demand,
                self.curve,
                self.storage,
                self.efficiency,
                self.threshold,
                well_volume_per_step=self.well_volume,
            )
        return battery.run_battery_year(
            array_power,
            self.demand,
            self.flow,
            self.power,
            self.system,
            self.storage,
            well_volume_per_step=self.well_volume,
        )


def rounded_battery(energy: float) -> Quantity:
    """The next tenth of a kilowatt hour above a battery's energy [J], as its plate names it."""
    tenth = 3.6e5
    return Quantity(math.ceil(energy / tenth * (1.0 - 1e-9)) * tenth, kinds.ENERGY)


def battery_system(site: Site, supply: str, rated_energy: float) -> BatterySystem:
    """Battery and inverter of a site before a pump on alternating or direct current.

    A pump on direct current hangs on the battery itself; the inverter then draws only where the
    house has another use for it.

    Parameters:
        supply: "AC" or "DC", what the pump wants
        rated_energy: of the battery [J]
    Returns:
        the system, its efficiency parted evenly between charging and discharging
    """
    power = site.power
    other = (power.other_use or 0.0) / DAY
    one_way = math.sqrt(power.battery_efficiency)
    usable = rated_energy * power.battery_usable
    idle, inverter = float(power.inverter_idle), float(power.inverter_efficiency)
    if supply == "AC":
        return BatterySystem(usable, one_way, one_way, inverter, idle, other_load=other)
    idle = idle if other > 0.0 else 0.0
    return BatterySystem(usable, one_way, one_way, 1.0, idle, other_load=other / inverter)


def table_of(site: Site, pump: PumpResult) -> PumpTable:
    """The table of the file that a pump's result is of."""
    return next(table for table in site.pump if table.name == pump.name)


def conversion_of(site: Site, table: PumpTable) -> float:
    """Efficiency between array and pump: the inverter's for alternating current; what a maker's
    table of powers has within it already."""
    own = table.supply == "DC" or bool(table.solar_table)
    return 1.0 if own else float(site.power.inverter_efficiency)


def storage_of(site: Site, tank: PressureTankResult | None) -> float | None:
    """Water between full and empty, storage tank and pressure tank together [m3]; None where the
    file has neither."""
    if site.storage_tank is None and tank is None:
        return None
    own = 0.0 if site.storage_tank is None else site.storage_tank.volume
    return own + (0.0 if tank is None else tank.drawdown)


def pump_supply(
    site: Site,
    table: PumpTable,
    result: PumpResult,
    storage: float,
    hours: int,
    direct: bool = False,
    rated_energy: float = 0.0,
) -> PumpSupply:
    """One pump ready for the hours of a year.

    Parameters:
        result: its results, with a flow and a day's water
        storage: water between full and empty [m3]
        direct: True straight off the modules
        rated_energy: of the battery [J]
    Raises:
        OutOfRange: straight off the modules, a pump that lifts no water there
    """
    assert result.daily_volume is not None
    assert result.energy_per_volume is not None
    flow = running_flow(result)
    well = at_well(site, table).well
    tested = None if link_of(site, table).from_tank else well.tested_yield
    curve = power_curve_of(site, table, result) if direct else None
    return PumpSupply(
        name=result.name,
        flow=flow if curve is None else curve.flow[-1],
        power=result.energy_per_volume * flow if curve is None else curve.power[-1],
        demand=np.tile(demand.hourly_volumes(result.daily_volume), hours // 24),
        storage=storage,
        well_volume=math.inf if tested is None else tested * HOUR,
        system=None if direct else battery_system(site, table.supply, rated_energy),
        curve=curve,
        efficiency=conversion_of(site, table),
        threshold=(table.start_power or 0.0) * conversion_of(site, table),
    )


def running_flow(result: PumpResult) -> float:
    """Flow of the running pump [m3/s]: the taps' own behind a constant-pressure valve, else the
    mean over a fill of the tank or of its duties."""
    if result.throttle is not None:
        return result.throttle.draw_flow
    if result.fill is not None:
        return result.fill.mean_flow
    return sum(duty.flow for duty in result.duties) / len(result.duties)


def lifts(result: PumpResult) -> bool:
    """True for a pump that gives water at every duty and knows what that takes."""
    return all(duty.flow > 0 for duty in result.duties) and result.energy_per_volume is not None


def _asked_of(
    site: Site, table: PumpTable, result: PumpResult
) -> tuple[Line, Callable[[float], float]]:
    """A pump's line, and the head [m] at the mean of its pressures against its flow [m3/s]."""
    on_well = pump_on_well(site, table, link_of(site, table).path)
    pressure = sum(duty.pressure for duty in result.duties) / len(result.duties)
    return on_well.line, lambda flow: on_well.line.total(on_well.level, flow, pressure)


def taken_below_table(site: Site, table: PumpTable, result: PumpResult) -> tuple[Assumption, ...]:
    """What is taken of a pump that lifts less high than the least head of its maker's table."""
    if not table.solar_table:
        return ()
    least = table.solar_table[0].head
    if _asked_of(site, table, result)[1](0.0) >= least:
        return ()
    path = f"{link_of(site, table).path}.solar_table"
    why = "the water is lifted less high than the maker's table begins; its flow is taken as there"
    return (Assumption(path, Quantity(least, kinds.HEAD), why, "common practice"),)


def power_curve_of(site: Site, table: PumpTable, result: PumpResult) -> PowerCurve:
    """Flow against power of a pump whose speed follows the sun, at the mean of its pressures: by
    the maker's table where the file has one, else by the affinity laws.

    Returns:
        the curve, up to the datasheet's speed or the table's greatest power
    Raises:
        OutOfRange: the pump lifts no water there, or higher than the maker's table reaches
    """
    line, system_head = _asked_of(site, table, result)
    if table.solar_table:
        blocks = table.solar_table
        return storage_year.table_curve(
            tuple(float(block.head) for block in blocks),
            tuple(tuple(map(float, block.power)) for block in blocks),
            tuple(tuple(map(float, block.flow)) for block in blocks),
            system_head,
        )
    flows = tuple(map(float, table.flow))
    heads = tuple(map(float, table.head))
    if table.power is not None:
        powers = tuple(map(float, table.power))
    else:
        efficiency = USUAL_EFFICIENCY if table.efficiency is None else table.efficiency
        least = LEAST_LOAD * flows[-1]
        powers = tuple(
            pump.water_power(max(flow, least), head, line.density) / efficiency
            for flow, head in zip(flows, heads, strict=True)
        )
    curve = HeadCurve(flows, heads)
    if table.kind != "helical rotor":
        return storage_year.power_curve(curve, flows, powers, system_head, line.density)
    flow = pump.operating_point(curve, system_head).flow
    full = pump.interpolate_curve(flows, powers, max(flow, flows[0]))
    # Each turn moves the same water against the same head: power goes with the speed.
    return PowerCurve((SLOWEST * full, full), (SLOWEST * flow, flow))


def backups(pumps: tuple[PumpResult, ...]) -> list[PumpResult]:
    """The backup pumps, or every pump where none is named a backup."""
    return [pump for pump in pumps if pump.role == "backup"] or list(pumps)
