"""The array for a pump by the rule of thumb: energy / peak sun hours / derate, by the month."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.constants import DAY, TEST_IRRADIANCE
from wellsolar.physics.sun.year import HourlyYear, monthly_horizontal_totals, monthly_totals
from wellsolar.results.pumps import PumpResult
from wellsolar.results.supply import SupplyMonth, SupplyResult
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import Site
from wellsolar.studies.electric.supplies import on_the_sun
from wellsolar.studies.house.chain import has_cistern
from wellsolar.studies.house.demand import DAILY_KEYS, ours
from wellsolar.studies.sun.days import MONTHS, air_temperatures, orientation
from wellsolar.studies.sun.year import SUN_KEYS, has_sun, plane_of_group
from wellsolar.studies.supply import system
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Place, Remedy, Rule, Verdict, remedy, say, set_to

LEAST_SUN = 1.0
"""Sun on the modules of a day [J/m2] that stands for none, so that no month divides by it."""

ARRAY = Rule(
    "array for the pump",
    "is the array large enough for the pump?",
    "modules for the day's pumping energy in the darkest month, by the rule of thumb, and what "
    "the file aims to have to spare",
    "peak sun hours",
    limit_is="at least",
    by="electrician",
    read_by="owner",
    place=Place("supply_months_#", "supply_#"),
)
BATTERY = Rule(
    "battery for the pump",
    "does the battery carry the pump through a day without sun?",
    "usable energy of the battery for the days of pumping without sun that the file aims at, one "
    "by wellsolar's mark, with nothing else on it",
    "common practice",
    limit_is="at least",
    by="electrician",
    read_by="owner",
    place=Place("supply_months_#", "supply_#"),
)


RUNNING_REASON = (
    "without a battery the array must carry the running pump: {running} derated to {derate} takes "
    "{power}, {needed} of {module}"
)
"""Why of an array that feeds a pump directly and is sized by its running power."""


def study_supply(
    site: Site, pumps: tuple[PumpResult, ...], year: HourlyYear | None = None
) -> tuple[tuple[SupplyResult, ...], StudyPart]:
    """The array for each backup pump, or for every pump where none is named a backup.

    Parameters:
        year: the site's year of hours, whose sun on the plane is taken; None without one
    Returns:
        a result for each pump that the file tells enough of, and what they bring
    """
    wanted = [pump for pump in system.backups(pumps) if not _beside_the_sun(site, pump)]
    assumptions: tuple[Assumption, ...] = ()
    if wanted:
        assumptions = air_temperatures(site)[1]
    results: list[SupplyResult] = []
    verdicts: list[Verdict] = []
    for pump in wanted:
        if pump.duties[0].flow <= 0 or (site.module is None and not site.array):
            continue  # No water to lift, or a file that does not speak of solar power.
        missing = _missing(site, pump, year)
        if missing:
            verdicts.append(ARRAY.unknown(pump.name, *missing))
            continue
        assert year is not None
        result, of_array = _size(site, pump, year)
        assumptions += of_array
        results.append(result)
        verdicts += _verdicts(site, result)
    return tuple(results), StudyPart(tuple(verdicts), assumptions)


def _beside_the_sun(site: Site, pump: PumpResult) -> bool:
    """True of a pump on the grid whose chain has another that modules drive straight: no module
    and no battery is meant for it."""
    straight = [table.name for table in site.pump if on_the_sun(site, table)]
    own = system.table_of(site, pump)
    on_grid = site.power.grid and own.supply == "AC" and site.power.battery_energy is None
    return has_cistern(site) and bool(straight) and pump.name not in straight and bool(on_grid)


def _missing(site: Site, pump: PumpResult, year: HourlyYear | None) -> list[str]:
    """The keys that would settle the question, one or two at a time, the first ones first."""
    missing = list(DAILY_KEYS) if pump.daily_energy is None else []
    placed = site.site.latitude is not None
    missing += [] if placed else ["site.latitude"]
    missing += [*SUN_KEYS] if year is None and (placed or not has_sun(site)) else []
    missing += ["module"] if site.module is None else []
    return missing[:2]


def _size(
    site: Site, pump: PumpResult, year: HourlyYear
) -> tuple[SupplyResult, tuple[Assumption, ...]]:
    """The array of one pump, and what its plane rests on."""
    assert site.module is not None
    assert pump.daily_energy is not None
    groups = system.feeders(site)
    index, group = groups[0] if groups else (len(site.array), None)
    path = f"array[{index + 1}]"
    tilt, azimuth, assumptions = orientation(site, group, path)
    planes = monthly_totals(plane_of_group(site, year, group, path))
    levels = monthly_horizontal_totals(year)
    module_power = site.module.vmp * site.module.imp
    derate = float(site.power.array_derate)
    needed = pump.daily_energy / system.conversion_of(site, system.table_of(site, pump))
    spared = needed * (1.0 + site.aim.spare)
    there = sum(feeder.series * feeder.parallel for _, feeder in groups)
    # Without a battery between, the array itself must carry the running pump.
    running = max(duty.input_power for duty in pump.duties) if system.is_direct(site) else 0.0
    months = tuple(
        _month(month, float(level), float(plane), spared, derate, module_power, there, running)
        for month, level, plane in zip(MONTHS, levels, planes, strict=True)
    )
    worst = max(months, key=lambda month: month.array_power)
    carried = None
    if site.power.battery_energy is not None:
        carried = site.power.battery_energy * site.power.battery_usable / needed
    result = SupplyResult(
        pump=pump.name,
        tilt=tilt,
        azimuth=azimuth,
        derate=derate,
        module_power=module_power,
        daily_energy=pump.daily_energy,
        months=months,
        worst_month=worst.month,
        modules_needed=worst.modules,
        modules_there=there,
        battery_days=carried,
        running_power=running,
    )
    return result, assumptions


def _month(
    month: int,
    level: float,
    plane: float,
    needed: float,
    derate: float,
    module_power: float,
    there: int,
    running: float,
) -> SupplyMonth:
    """The array that one month wants."""
    peak_sun = max(plane, LEAST_SUN) / TEST_IRRADIANCE
    power = max(needed / peak_sun, running) / derate
    return SupplyMonth(
        month=month,
        horizontal=level,
        plane_of_array=plane,
        energy_needed=needed,
        array_power=power,
        modules=max(1, math.ceil(power / module_power - 1e-9)),
        energy_available=there * module_power * peak_sun * derate if there else None,
    )


def _no_sun(result: SupplyResult) -> Verdict:
    """Polar night: no number of modules does."""
    worst = result.months[result.worst_month - 1]
    return ARRAY.verdict(
        "fail",
        result.pump,
        say(
            "in a month of the year no sun falls on the modules: no array brings {energy} a day",
            energy=Quantity(worst.energy_needed, kinds.ENERGY),
        ),
        remedy=remedy(
            "a generator, or water carried by hand, for the months without sun",
            "no array brings anything in a month without sun",
        ),
    )


def _verdicts(site: Site, result: SupplyResult) -> list[Verdict]:
    """Whether array and battery are large enough."""
    worst = result.months[result.worst_month - 1]
    if worst.plane_of_array < LEAST_SUN:
        return [_no_sun(result), *_battery_verdicts(site, result)]
    needed = Quantity(result.modules_needed, kinds.MODULES)
    by_running = result.running_power > worst.energy_needed / (
        worst.plane_of_array / TEST_IRRADIANCE
    )
    reason = say(
        RUNNING_REASON
        if by_running
        else "{energy} a day over {sun} in the darkest month, derated to {derate}, take {power}: "
        "{needed} of {module}",
        running=Quantity(result.running_power, kinds.POWER),
        energy=Quantity(worst.energy_needed, kinds.ENERGY),
        sun=Quantity(worst.plane_of_array, kinds.IRRADIATION),
        derate=Quantity(result.derate, kinds.FRACTION),
        power=Quantity(worst.array_power, kinds.POWER),
        needed=needed,
        module=Quantity(result.module_power, kinds.POWER),
    )
    there = Quantity(result.modules_there, kinds.MODULES)
    verdicts: list[Verdict] = []
    if result.modules_there == 0:
        verdicts.append(
            ARRAY.unknown(result.pump, "array", why=reason.text(site.site.print_units))
        )
    else:
        enough = result.modules_there >= result.modules_needed
        verdicts.append(
            ARRAY.verdict(
                "pass" if enough else "fail",
                result.pump,
                reason,
                quantity=there,
                limit=needed,
                remedy=None
                if enough
                else remedy(
                    "{needed} or more on groups that feed pump or battery, in whole rows",
                    system.more_rows(site, result.modules_needed - result.modules_there),
                    needed=needed,
                ),
            )
        )
    return [*verdicts, *_battery_verdicts(site, result)]


def _battery_verdicts(site: Site, result: SupplyResult) -> list[Verdict]:
    """The battery's, where there is one or one is needed."""
    stands_between = result.running_power == 0.0 or result.battery_days is not None
    return [_battery(site, result)] if stands_between else []


def _battery(site: Site, result: SupplyResult) -> Verdict:
    """Whether the battery carries the pump through the days without sun aimed at."""
    if result.battery_days is None:
        return BATTERY.unknown(result.pump, "power.battery_energy")
    days = Quantity(result.battery_days * DAY, kinds.DURATION)
    aim = site.aim.dark_days
    enough = days >= aim
    return BATTERY.verdict(
        "pass" if enough else "caution",
        result.pump,
        say(
            "it carries the pump alone for {days}; {aim} is aimed at" + ours(aim, "dark_days"),
            days=days,
            aim=aim,
        ),
        quantity=days,
        limit=aim,
        remedy=None
        if enough
        else _larger_battery((site.power.battery_energy or 0.0) / result.battery_days * aim / DAY),
    )


def _larger_battery(needed: float) -> Remedy:
    """A battery that carries the pump as long as is aimed at [J]."""
    energy = system.rounded_battery(needed)
    return remedy(
        "a battery of {energy:up}; or pump while the sun shines",
        [set_to("power.battery_energy", energy)],
        energy=energy,
    )
