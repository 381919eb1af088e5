"""All studies of a site, in the order in which they need each other."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wellsolar.results import PressureTankResult, PumpResult, Results, StudyPart
from wellsolar.site.read import SiteFile
from wellsolar.site.schema import Site
from wellsolar.studies.answers import answers
from wellsolar.studies.casing_bodies import diameters
from wellsolar.studies.casing_fit import study_casing_fit
from wellsolar.studies.hand_pump import study_hand_pump
from wellsolar.studies.module_sheet import study_module_sheet
from wellsolar.studies.motor_cooling import motor_diameter
from wellsolar.studies.pressure_tank import study_pressure_tank
from wellsolar.studies.pumps import study_pumps
from wellsolar.studies.sun_and_supply import SupplyFound, study_sun_and_supply
from wellsolar.studies.well_in_time import study_well
from wellsolar.units import System
from wellsolar.verdicts import Assumption, Verdict

if TYPE_CHECKING:
    from wellsolar.physics.sun_year import HourlyYear

PARTS = ("pump", "supply", "tank", "hand", "heat")
"""The parts a caller may ask for; each may need others, which then stay unsaid."""


@dataclass(frozen=True)
class Options:
    """What a caller may set beside the parts.

    cases: to sample where the file gives ranges; seed: of that sampling
    starters: True to rank the invented pumps too; top: rows of the ranking to print
    progress: is told how much of the ranking is done, and of how much
    """

    cases: int = 256
    seed: int = 1
    starters: bool = False
    top: int = 10
    progress: Callable[[int, int], None] | None = None


def study_site(
    file: SiteFile,
    parts: Collection[str] = PARTS,
    system: System | None = None,
    options: Options = Options(),
) -> Results:
    """Study a site.

    Parameters:
        file: a site file that was read
        parts: which of `PARTS` to report, "ranges" for the pumps over the file's ranges, and
            "ranking" for the smallest arrays of pumps and batteries
        system: units to print in; None for the file's own
        options: of the parts that have some
    Returns:
        the results, with verdicts and assumptions of the parts asked for
    """
    site = file.site
    pumps, pump_part = study_pumps(site)
    casing, casing_part, well, well_part = (None, StudyPart(), None, StudyPart())
    if "pump" in parts:
        casing, casing_part = study_casing_fit(site, pumps)
        well, well_part = study_well(site, pumps)
    tank, tank_part = study_pressure_tank(site, pumps)
    hand, hand_part = study_hand_pump(site, tank) if "hand" in parts else (None, StudyPart())
    found, year = _supply(file, parts, pumps, tank, options)
    heated, heat_part = (None, StudyPart())
    if "heat" in parts and site.water_heater is not None:
        from wellsolar.studies.heated_tank import study_heated_tank

        heated, heat_part = study_heated_tank(site, year)
    sheet_part = study_module_sheet(site) if {"supply", "heat"} & set(parts) else StudyPart()
    ranges, range_part = (None, StudyPart())
    if "ranges" in parts:
        from wellsolar.studies.ranges import study_ranges

        ranges, range_part = study_ranges(site, options.cases, options.seed)
    told = {
        "pump": pump_part.and_of(casing_part).and_of(well_part),
        "supply": found.part,
        "tank": tank_part,
        "hand": hand_part,
        "heat": heat_part,
        "ranges": range_part,
    }
    chosen = [part for name, part in told.items() if name in parts]
    chosen.append(sheet_part)
    verdicts = tuple(_verdicts(chosen))
    shown_pumps = pumps if "pump" in parts else ()
    return Results(
        file=file.path,
        site_name=site.site.name,
        site_note=site.site.note,
        system=system or site.site.print_units,
        pumps=shown_pumps,
        supply=found.hand_rule,
        pressure_tank=tank if "tank" in parts else None,
        hand_pump=hand,
        heated_tank=heated,
        verdicts=verdicts,
        assumptions=tuple(_assumptions(file, chosen, parts)),
        cautions=tuple(dict.fromkeys(key for part in chosen for key in part.cautions)),
        notes=tuple(_notes(file, parts)),
        ranges=ranges,
        answers=answers(shown_pumps, found.hand_rule, heated, hand, verdicts, found.years),
        sun=found.sun,
        supply_years=found.years,
        ranking=found.ranking,
        ledger=found.ledger,
        casing=casing,
        well=well,
    )


def _supply(
    file: SiteFile,
    parts: Collection[str],
    pumps: tuple[PumpResult, ...],
    tank: PressureTankResult | None,
    options: Options,
) -> tuple[SupplyFound, HourlyYear | None]:
    """The supply of water, where it is asked for, and the site's year of hours, from which the
    heated tank takes what the household gets."""
    site = file.site
    solar = "supply" in parts and (site.module is not None or bool(site.array))
    heated = "heat" in parts and site.water_heater is not None
    if not solar and not heated:
        return SupplyFound(), None
    from wellsolar.studies.ranking import RankingAsked
    from wellsolar.studies.sun_of_site import year_of_site

    sun = year_of_site(file)
    found = SupplyFound()
    if solar:
        asked = RankingAsked(options.starters, options.top, options.progress)
        ranked = asked if "ranking" in parts else None
        found = study_sun_and_supply(site, pumps, tank, sun, ranked)
    return found, sun.year


def _verdicts(parts: list[StudyPart]) -> list[Verdict]:
    return [verdict for part in parts for verdict in part.verdicts]


TABLES_OF = {
    "pump": (
        "well",
        "piping",
        "pump",
        "power",
        "limits.velocity",
        "limits.voltage_drop",
        "limits.cut_out_margin",
        "limits.casing_clearance",
        "limits.motor_cooling",
        "site.altitude",
    ),
    "supply": ("power", "sun", "limits.short_days"),
    "tank": ("limits.run_time", "limits.starts_a_day", "site.altitude"),
    "hand": (
        "hand_pump",
        "well",
        "piping",
        "demand.survival_use",
        "limits.handle_force",
        "site.altitude",
    ),
    "heat": (
        "water_heater",
        "module",
        "sun",
        "well.water_temperature",
        "site.altitude",
        "limits.storage_temperature",
        "limits.voltage_drop",
    ),
}
"""The keys whose defaults each part rests on, by the beginning of their path."""


def _assumptions(
    file: SiteFile, chosen: list[StudyPart], parts: Collection[str]
) -> list[Assumption]:
    """Defaults that the parts asked for rest on, then what the studies assumed; each once."""
    begins = tuple(begin for part in parts for begin in TABLES_OF.get(part, ()))
    idle = _idle(file.site)
    found = [
        each
        for each in file.assumptions
        if each.path.startswith(begins) and not each.path.startswith(idle)
    ]
    found += [each for part in chosen for each in part.assumptions]
    return list({each.path: each for each in found}.values())


def _idle(site: Site) -> tuple[str, ...]:
    """Keys that nothing of this site rests on, whatever part is asked for."""
    direct = [index for index, pump in enumerate(site.pump, 1) if pump.supply == "DC"]
    idle = [f"pump[{index}].power_factor" for index in direct]
    if len(direct) == len(site.pump):
        idle.append("power.inverter_efficiency")
    if not site.array and site.module is None:
        idle += [
            "power.array_derate",
            "power.array_losses",
            "power.inverter_idle",
            "limits.short_days",
            "sun.",
        ]
    if site.power.battery_energy is None:
        idle += ["power.battery_usable", "power.battery_efficiency", "power.inverter_idle"]
    if not site.pump and site.pressure_switch is None:
        idle += ["piping.", "limits.velocity", "limits.voltage_drop", "limits.cut_out_margin"]
    if all(motor_diameter(pump) is None for pump in site.pump):
        idle.append("limits.motor_cooling")
    if site.well.casing_bore is None or not diameters(site)[1]:
        idle.append("limits.casing_clearance")
    if site.pressure_tank is None:
        idle += ["limits.run_time", "limits.starts_a_day"]
    if site.hand_pump is None:
        idle += ["limits.handle_force", "demand.survival_use"]
    if site.water_heater is None:
        idle.append("limits.storage_temperature")
    return tuple(idle)


def _notes(file: SiteFile, parts: Collection[str]) -> list[str]:
    """What was asked for and the file has no table for."""
    site = file.site
    missing = {
        "pump": ("[[pump]]", "powered pump", not site.pump),
        "supply": (
            "[module], [sun] and [[array]]",
            "array to size",
            not (site.module or site.array),
        ),
        "hand": ("[hand_pump]", "hand pump", site.hand_pump is None),
        "heat": ("[water_heater]", "water heater", site.water_heater is None),
    }
    return [
        f"no {thing} in the file: add {table} to have it studied"
        for part, (table, thing, absent) in missing.items()
        if absent and part in parts
    ]
