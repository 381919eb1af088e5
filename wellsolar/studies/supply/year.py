"""A pump's water through the hours of a year: the days short, and what makes them fewer.

The array is the one that stands; the remedy is more modules, a larger store, or both.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.sun.year import HOUR, HourlyYear
from wellsolar.physics.supply import ranking
from wellsolar.physics.supply.year import SupplyYear, days_are_short
from wellsolar.results.pumps import PressureTankResult, PumpResult
from wellsolar.results.supply import SupplyYearResult, YearMonth
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import Site
from wellsolar.studies.house.chain import link_of
from wellsolar.studies.house.demand import short_days
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.sun.module_sheet import parameters_of
from wellsolar.studies.sun.refused import why_refused
from wellsolar.studies.sun.year import SUN_KEYS, YearOfSite, losses_of
from wellsolar.studies.supply.system import (
    FeedingArray,
    PumpSupply,
    backups,
    feeders,
    feeding_array,
    is_direct,
    lifts,
    more_rows,
    pump_supply,
    rounded_battery,
    storage_of,
    table_of,
    taken_below_table,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Place, Remedy, Rule, Verdict, remedy, say, set_to

MOST_ADDED = 400
"""Modules up to which a remedy is looked for: our choice."""

BATTERIES = (1.25, 1.5, 2.0, 3.0, 4.0, 6.0, 10.0)
"""How many times the battery a remedy tries: our choice."""

MOST_STORED = 10.0
"""Days of water up to which the storage of a remedy is looked for: our choice."""

DAYS_SHORT = Rule(
    "days short",
    "does the water last through the year?",
    "days a year on which water is wanted and missing, hour by hour",
    "hourly supply",
    limit_is="at most",
    by="electrician",
    read_by="owner",
    place=Place("supply_months_#", "supply_year_#"),
)


def study_supply_year(
    site: Site,
    pumps: tuple[PumpResult, ...],
    tank: PressureTankResult | None,
    sun: YearOfSite,
) -> tuple[tuple[SupplyYearResult, ...], StudyPart]:
    """The year of each backup pump, or of every pump where none is named a backup.

    What the rule of thumb's verdicts already ask for is not asked for again.

    Returns:
        a result for each pump that the file tells enough of, and what they bring
    """
    results: list[SupplyYearResult] = []
    verdicts: list[Verdict] = []
    assumptions: list[Assumption] = []
    for pump in backups(pumps):
        link = link_of(site, table_of(site, pump))
        # What fills the storage tank or draws from it is followed with the tank.
        if link.into_tank or link.from_tank or not _is_described(site, pump):
            continue
        if sun.year is None:
            why = sun.why
            verdicts += [DAYS_SHORT.unknown(pump.name, *SUN_KEYS, why=why)] if why else []
            continue
        storage = storage_of(site, tank)
        if storage is None and is_direct(site):
            verdicts.append(DAYS_SHORT.unknown(pump.name, "storage_tank.volume"))
            continue
        try:
            result, verdict = _year(site, pump, storage or 0.0, sun.year)
        except OutOfRange as error:
            keys = ("module.vmp", "module.imp")
            verdicts.append(DAYS_SHORT.unknown(pump.name, *keys, why=why_refused(error)))
            continue
        results.append(result)
        verdicts.append(verdict)
        if is_direct(site):
            assumptions += taken_below_table(site, table_of(site, pump), pump)
    if results:
        shares = "5 % from 0 to 5 h, 39 % to 11 h, 28 % to 18 h, 27 % to 23 h, 1 % to 24 h"
        spread = "how a household's water is spread over the day; no key of the file changes it"
        assumptions.append(Assumption("demand by the hour", shares, spread, "daily pattern"))
    return tuple(results), StudyPart(tuple(verdicts), tuple(assumptions))


def _is_described(site: Site, pump: PumpResult) -> bool:
    """True where the file has an array for this pump and says what it needs."""
    has_array = site.module is not None and bool(feeders(site)) and site.site.latitude is not None
    battery = is_direct(site) or site.power.battery_energy is not None
    return has_array and battery and lifts(pump) and pump.daily_volume is not None


def _year(
    site: Site, pump: PumpResult, storage: float, year: HourlyYear
) -> tuple[SupplyYearResult, Verdict]:
    """The result of one pump, and its verdict."""
    supply, array, run = supply_run(site, pump, storage, year)
    result = _result(site, supply, array, run, year)
    return result, _verdict(site, supply, array, result)


def supply_run(
    site: Site, pump: PumpResult, storage: float, year: HourlyYear
) -> tuple[PumpSupply, FeedingArray, SupplyYear]:
    """The year of one pump's water with the array as it stands.

    Parameters:
        site: the site, with a module
        pump: results of the pump, which lifts water and whose day's water is known
        storage: water between full and empty [m3]
    Returns:
        supply, array, and its year
    Raises:
        OutOfRange: the module's sheet does not hold together
    """
    assert site.module is not None
    parameters = parameters_of(site.module)
    array = feeding_array(site, year, parameters)
    supply = pump_supply(
        site,
        table_of(site, pump),
        pump,
        storage,
        array.total.size,
        direct=array.direct,
        rated_energy=float(site.power.battery_energy or 0.0),
    )
    return supply, array, supply.run(array.total)


def _result(
    site: Site, supply: PumpSupply, array: FeedingArray, run: SupplyYear, year: HourlyYear
) -> SupplyYearResult:
    """Every number of the year."""
    system = supply.system
    other = None
    if site.module is not None and site.module.on_hand is not None:
        other = [
            supply.run(np.maximum(array.total + sign * array.first, 0.0)).days_short
            for sign in (-1, 1)
        ]
    used = run.energy_array - run.energy_spilled
    return SupplyYearResult(
        pump=supply.name,
        modules=array.modules,
        direct=array.direct,
        flow=supply.flow,
        power=supply.power,
        daily_volume=run.volume_wanted / (supply.demand.size / 24),
        storage=supply.storage,
        usable_battery=None if system is None else system.usable_capacity,
        losses=losses_of(site),
        standing_load=standing_load(supply),
        limit=short_days(site),
        days_short=run.days_short,
        longest_short_run=run.longest_short_run,
        volume_unmet=run.volume_unmet,
        energy_made=run.energy_array,
        energy_used=used,
        energy_spilled=run.energy_spilled,
        energy_pump=run.energy_pump,
        other_unmet=run.energy_other_unmet,
        least_charge=_least_charge(run, system.usable_capacity) if system else None,
        months=_months(supply, array, run, year),
        fewer_days_short=other[0] if other else None,
        more_days_short=other[1] if other else None,
    )


def standing_load(supply: PumpSupply) -> float:
    """Idle draw and other use of a supply, mean, as the battery sees them [W]."""
    system = supply.system
    if system is None:
        return 0.0
    return system.inverter_idle_power + float(system.other_load) / system.inverter_efficiency


def load_of_day(supply: PumpSupply) -> float:
    """What the modules must bring on a day for the pump and all that stands on [J]."""
    return _wanted(supply, float(supply.demand[:24].sum()), 24)


def _wanted(supply: PumpSupply, volume: float, hours: int) -> float:
    """Energy that so much water [m3] and the other loads of so many hours take [J]."""
    through = supply.efficiency if supply.system is None else supply.system.inverter_efficiency
    pumping = volume / supply.flow * supply.power / through
    return pumping + standing_load(supply) * hours * HOUR


def _least_charge(run: SupplyYear, usable: float) -> float:
    """Least charge of the battery over what is usable of it."""
    return float(run.state_of_charge.min()) / usable if usable > 0.0 else 0.0


def _months(
    supply: PumpSupply, array: FeedingArray, run: SupplyYear, year: HourlyYear
) -> tuple[YearMonth, ...]:
    """The year month by month."""
    month_of_hour = year.hours.month
    month_of_day = month_of_hour[::24]
    short = days_are_short(run.unmet, supply.demand.reshape(-1, 24).sum(axis=1))
    months = []
    for month in range(1, 13):
        hours, days = month_of_hour == month, month_of_day == month
        produced = float(array.total[hours].sum()) * HOUR
        spilled = float(run.spilled[hours].sum())
        least = None
        if supply.system is not None and supply.system.usable_capacity > 0.0:
            least = float(run.state_of_charge[hours].min()) / supply.system.usable_capacity
        months.append(
            YearMonth(
                month=month,
                wanted=_wanted(supply, float(supply.demand[hours].sum()), int(hours.sum())),
                made=produced,
                used=produced - spilled,
                spilled=spilled,
                pumped=float(run.pumped[hours].sum()),
                unmet=float(run.unmet[days].sum()),
                days_short=int(short[days].sum()),
                least_charge=least,
            )
        )
    return tuple(months)


def _verdict(
    site: Site, supply: PumpSupply, array: FeedingArray, result: SupplyYearResult
) -> Verdict:
    """Whether water is short on no more days than the file puts up with."""
    days = Quantity(result.days_short, kinds.DAYS)
    limit = Quantity(result.limit, kinds.DAYS)
    fine = result.days_short <= result.limit
    template = "water is short on {days} of the year with {modules}"
    parts: dict[str, Quantity | str] = {
        "days": days,
        "modules": Quantity(result.modules, kinds.MODULES),
    }
    if result.days_short:
        template += ", at most {run} in a row; {unmet} are missing in all"
        parts["run"] = Quantity(result.longest_short_run, kinds.COUNT)
        parts["unmet"] = Quantity(result.volume_unmet, kinds.SUMMED_VOLUME)
    return DAYS_SHORT.verdict(
        "pass" if fine else "fail",
        supply.name,
        say(template, **parts),
        quantity=days,
        limit=limit,
        remedy=None if fine else _supply_remedy(site, supply, array, result.limit),
    )


def _supply_remedy(site: Site, supply: PumpSupply, array: FeedingArray, limit: int) -> Remedy:
    """What keeps a supply within its short days."""
    group = feeders(site)[0][1].name
    added = _more_modules(supply, array, limit)
    if added is not None:
        return remedy(
            "{added} more on {group}, {total} in all",
            more_rows(site, added),
            total=Quantity(array.modules + added, kinds.COUNT),
            **_added(added, group),
        )
    larger = list(_larger(site, supply))
    for larger_pump in larger:
        if larger_pump.supply.run(array.total).days_short <= limit:
            return remedy(
                larger_pump.template,
                [set_to(larger_pump.path, larger_pump.store)],
                store=larger_pump.store,
            )
    for larger_pump in larger:
        added = _more_modules(larger_pump.supply, array, limit)
        if added is not None:
            template = f"{larger_pump.template} and {{added}} more on {{group}}"
            changes = (set_to(larger_pump.path, larger_pump.store), *more_rows(site, added))
            return remedy(template, changes, store=larger_pump.store, **_added(added, group))
    return remedy(
        "a pump that gives more water, or less use of water: no store or array is enough",
        "another pump has another curve, and use is the household's choice",
    )


@dataclass(frozen=True, eq=False)
class _Larger:
    """A supply with a larger store, how its reader is told of it, and its key."""

    supply: PumpSupply
    template: str
    path: str
    store: Quantity


def _larger(site: Site, supply: PumpSupply) -> Iterator[_Larger]:
    """The supply with larger batteries, then with more water stored."""
    if supply.system is not None:
        for times in BATTERIES:
            usable = supply.system.usable_capacity * times
            rated = rounded_battery(usable / site.power.battery_usable)
            usable = rated * site.power.battery_usable
            grown = replace(supply, system=replace(supply.system, usable_capacity=usable))
            yield _Larger(grown, "a battery of {store:up}", "power.battery_energy", rated)
    day = float(supply.demand[:24].sum())
    for volume in sizes("storage tank", kinds.VOLUME, site.site.print_units):
        if supply.storage < volume <= MOST_STORED * day:
            grown = replace(supply, storage=float(volume))
            template = "a storage tank of {store:up} that the pump fills"
            yield _Larger(grown, template, "storage_tank.volume", volume)


def _added(added: int, group: str) -> dict[str, Quantity | str]:
    """Modules and group, for a remedy."""
    return {"added": Quantity(added, kinds.MODULES), "group": group}


def _more_modules(supply: PumpSupply, array: FeedingArray, limit: int) -> int | None:
    """The fewest modules to add."""
    (needed,) = ranking.smallest_array(
        lambda count: supply.run(array.total + count * array.first).days_short,
        MOST_ADDED,
        (limit,),
    )
    return needed
