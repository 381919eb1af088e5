"""Every pump with every battery: the fewest modules for so many short days a year."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module_fit
from wellsolar.physics.sun import rule_of_thumb
from wellsolar.physics.sun.rule_of_thumb import peak_sun_hours
from wellsolar.physics.sun.year import HourlyYear
from wellsolar.physics.supply import ranking
from wellsolar.physics.supply.ranking import ALLOWED_SHORT_DAYS, PumpChoice
from wellsolar.physics.types import Progress
from wellsolar.results.pumps import PressureTankResult, PumpResult
from wellsolar.results.supply import RankedPump, RankingResult
from wellsolar.site.loading.stock import NO_STOCK, Stock
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.pump.study import study_pumps
from wellsolar.studies.sun.module_sheet import rating_of
from wellsolar.studies.supply.ranking_asked import RankingAsked
from wellsolar.studies.supply.rule_of_thumb import LEAST_SUN
from wellsolar.studies.supply.system import (
    FeedingArray,
    PumpSupply,
    backups,
    feeding_array,
    lifts,
    pump_supply,
    storage_of,
)
from wellsolar.studies.supply.year import load_of_day

DAYS_OF_BATTERY = (0.5, 1.0, 2.0, 4.0)
"""Days of the loads that the batteries looked at carry without sun: our choice."""

BY = 1
"""Which of `ALLOWED_SHORT_DAYS` the order goes by: 3 short days, our choice."""

LEAST_LOOKED_AT, MOST_LOOKED_AT = 24, 400
"""Modules up to which is looked, at least and at most: our choice."""


@dataclass(frozen=True, eq=False)
class _Candidate:
    """A pump that lifts the water, ready for the year with a battery of no size yet."""

    table: PumpTable
    result: PumpResult
    of_stock: bool
    supply: PumpSupply


def study_ranking(
    site: Site,
    pumps: tuple[PumpResult, ...],
    tank: PressureTankResult | None,
    year: HourlyYear | None,
    worst_sun: float | None,
    asked: RankingAsked,
) -> RankingResult | None:
    """The pumps of a site ranked by the modules and the battery that they want.

    Parameters:
        worst_sun: on the modules in the darkest month, a day [J/m2], for the rule of thumb
    Returns:
        the ranking; None where the file tells too little of sun, modules or use
    """
    if site.module is None or year is None or all(pump.daily_volume is None for pump in pumps):
        return None
    try:
        parameters = module_fit.fit_five_parameters(rating_of(site.module))
        array = feeding_array(site, year, parameters)
    except OutOfRange:
        return None
    storage = storage_of(site, tank)
    if storage is None and array.direct:
        return None
    candidates, left_out = _candidates(site, pumps, storage or 0.0, array, asked.stock or NO_STOCK)
    if not candidates:
        return None
    most = _most(site, array, candidates, worst_sun)
    rows = _ranked(site, candidates, array, worst_sun, most, asked.progress)
    rows.sort(key=lambda row: _place(row))
    own = {pump.name for pump in backups(pumps)}
    return RankingResult(
        allowed=ALLOWED_SHORT_DAYS,
        by=ALLOWED_SHORT_DAYS[BY],
        most=most,
        shown=min(asked.top, len(rows)),
        module_power=site.module.vmp * site.module.imp,
        rows=tuple(rows),
        site_rows=tuple(
            row
            for row in rows
            if row.pump in own and not row.of_stock and (row.own_battery or array.direct)
        ),
        left_out=left_out,
    )


def _place(row: RankedPump) -> tuple[float, float, float]:
    """Fewest modules first, then the smallest battery, then the least energy."""
    modules = row.modules[BY]
    return (math.inf if modules is None else modules, row.battery or 0.0, row.daily_energy)


def _candidates(
    site: Site,
    pumps: tuple[PumpResult, ...],
    storage: float,
    array: FeedingArray,
    stock: Stock,
) -> tuple[list[_Candidate], tuple[str, ...]]:
    """The pumps that lift the water, and the names of those that do not."""
    asked = [(table, result, False) for table, result in zip(site.pump, pumps, strict=True)]
    listed = listed_pumps(site, stock)
    if listed:
        results, _ = study_pumps(site.model_copy(update={"pump": listed}))
        asked += [(table, result, True) for table, result in zip(listed, results, strict=True)]
    candidates: list[_Candidate] = []
    left_out: list[str] = []
    for table, result, of_stock in asked:
        try:
            if not lifts(result):
                raise OutOfRange("lifts no water")
            supply = pump_supply(
                site, table, result, storage, array.total.size, direct=array.direct
            )
        except OutOfRange:
            left_out.append(result.name)
            continue
        candidates.append(_Candidate(table, result, of_stock, supply))
    return candidates, tuple(left_out)


def listed_pumps(site: Site, stock: Stock) -> tuple[PumpTable, ...]:
    """The pumps of a stock, hung where the site's backup pump hangs: tables as the site file would
    have them."""
    hung = [pump for pump in site.pump if pump.role == "backup"] or list(site.pump)
    model = hung[0] if hung else None
    return tuple(
        PumpTable.model_validate(
            {
                "power_factor": "75 %",
                "minimum_submergence": "10 ft",
                **item.values,
                "name": item.name,
                "intake_depth": None if model is None else model.intake_depth,
                "drop_pipe": None if model is None else model.drop_pipe,
            }
        )
        for item in stock.of("pumps")
    )


def _by_rule_of_thumb(
    site: Site, load: float, worst_sun: float | None, running: float = 0.0
) -> int | None:
    """Modules by the rule of thumb for a day's energy [J], and without a battery for the running
    pump [W]; None without the month's sun."""
    if worst_sun is None or worst_sun < LEAST_SUN or site.module is None:
        return None
    derate, module = float(site.power.array_derate), site.module.vmp * site.module.imp
    by_day = rule_of_thumb.rule_of_thumb_array(load, peak_sun_hours(worst_sun), derate, module)
    return max(by_day, math.ceil(running / derate / module - 1e-9))


def _most(
    site: Site, array: FeedingArray, candidates: Iterable[_Candidate], worst_sun: float | None
) -> int:
    """Modules up to which is looked: some times the rule of thumb's."""
    rules = [
        _by_rule_of_thumb(site, load_of_day(candidate.supply), worst_sun)
        for candidate in candidates
    ]
    some = [4 * rule for rule in rules if rule is not None]
    return min(MOST_LOOKED_AT, max(LEAST_LOOKED_AT, 2 * array.modules, *some))


def _ranked(
    site: Site,
    candidates: list[_Candidate],
    array: FeedingArray,
    worst_sun: float | None,
    most: int,
    progress: Progress | None,
) -> list[RankedPump]:
    if array.direct:
        return _direct(site, candidates, array, worst_sun, most, progress)
    batteries = _batteries(site, candidates)
    rows: list[RankedPump] = []
    kinds_of_supply = [
        kind for kind in ("AC", "DC") if any(c.table.supply == kind for c in candidates)
    ]
    for part, kind in enumerate(kinds_of_supply):
        # Both kinds of current stand behind different inverters, so each has a run of its own.
        these = [candidate for candidate in candidates if candidate.table.supply == kind]
        supplies = [candidate.supply for candidate in these]
        system = supplies[0].system
        assert system is not None
        needed = ranking.smallest_arrays_of(
            [
                PumpChoice(supply.name, supply.flow, supply.power, supply.well_volume)
                for supply in supplies
            ],
            [energy * site.power.battery_usable for energy in batteries],
            most,
            array.mean,
            supplies[0].demand,
            system,
            supplies[0].storage,
            progress=_part_of(progress, part, len(kinds_of_supply)),
        )
        pairs = [(candidate, energy) for candidate in these for energy in batteries]
        rows += [
            _row(site, candidate, energy, modules, worst_sun)
            for (candidate, energy), modules in zip(pairs, needed, strict=True)
        ]
    return rows


def _part_of(progress: Progress | None, part: int, parts: int) -> Progress | None:
    """Progress of one of several parts, told as that of the whole."""
    if progress is None:
        return None
    return lambda done, of: progress(part * of + min(done, of), parts * of)


def _direct(
    site: Site,
    candidates: list[_Candidate],
    array: FeedingArray,
    worst_sun: float | None,
    most: int,
    progress: Progress | None,
) -> list[RankedPump]:
    rows = []
    for number, candidate in enumerate(candidates, 1):

        def days_short(count: int, supply: PumpSupply = candidate.supply) -> int:
            return supply.run(array.mean * count).days_short

        modules = ranking.smallest_array(days_short, most)
        rows.append(_row(site, candidate, None, modules, worst_sun))
        if progress is not None:
            progress(number, len(candidates))
    return rows


def _batteries(site: Site, candidates: list[_Candidate]) -> list[float]:
    """Rated energies to look at [J]: the site's own, and some days of the pumps' mean load."""
    load = float(np.mean([load_of_day(candidate.supply) for candidate in candidates]))
    usable = float(site.power.battery_usable)
    sizes = {_round(days * load / usable) for days in DAYS_OF_BATTERY}
    if site.power.battery_energy is not None:
        sizes.add(float(site.power.battery_energy))
    return sorted(sizes)


def _round(energy: float) -> float:
    """An energy [J] to two digits of a kilowatt hour."""
    unit = 3.6e6
    return float(f"{energy / unit:.2g}") * unit


def _row(
    site: Site,
    candidate: _Candidate,
    battery: float | None,
    modules: tuple[int | None, ...],
    worst_sun: float | None,
) -> RankedPump:
    volume = float(candidate.supply.demand[:24].sum())
    energy = volume * candidate.supply.power / candidate.supply.flow
    own = site.power.battery_energy
    standing = load_of_day(candidate.supply)
    through = 1.0 if candidate.table.supply == "DC" else float(site.power.inverter_efficiency)
    # Without a battery the modules carry the running pump, as in the rule of thumb of `supply`.
    running = max(duty.input_power for duty in candidate.result.duties) if battery is None else 0.0
    return RankedPump(
        pump=candidate.result.name,
        of_stock=candidate.of_stock,
        battery=battery,
        own_battery=battery is not None and own is not None and battery == own,
        modules=modules,
        hand_rule=_by_rule_of_thumb(site, energy / through, worst_sun, running),
        hand_rule_loaded=_by_rule_of_thumb(site, standing, worst_sun, running),
        daily_energy=energy,
    )
