"""All studies of a site, in the order in which they need each other."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from wellsolar.results import Results, StudyPart, SupplyResult
from wellsolar.site.read import SiteFile
from wellsolar.site.schema import Site
from wellsolar.studies.answers import answers
from wellsolar.studies.hand_pump import study_hand_pump
from wellsolar.studies.pressure_tank import study_pressure_tank
from wellsolar.studies.pumps import study_pumps
from wellsolar.units import System
from wellsolar.verdicts import Assumption, Verdict

PARTS = ("pump", "supply", "tank", "hand", "heat")
"""The parts a caller may ask for; each may need others, which then stay unsaid."""


@dataclass(frozen=True)
class Options:
    """What a caller may set beside the parts.

    cases: to sample where the file gives ranges; seed: of that sampling
    """

    cases: int = 256
    seed: int = 1


def study_site(
    file: SiteFile,
    parts: Collection[str] = PARTS,
    system: System | None = None,
    options: Options = Options(),
) -> Results:
    """Study a site.

    Parameters:
        file: a site file that was read
        parts: which of `PARTS` to report, and "ranges" for the pumps over the file's ranges
        system: units to print in; None for the file's own
        options: of the parts that have some
    Returns:
        the results, with verdicts and assumptions of the parts asked for
    """
    site = file.site
    pumps, pump_part = study_pumps(site)
    tank, tank_part = study_pressure_tank(site, pumps)
    hand, hand_part = (None, StudyPart())
    if "hand" in parts:
        hand, hand_part = study_hand_pump(site, tank)
    supply: tuple[SupplyResult, ...] = ()
    supply_part = StudyPart()
    if "supply" in parts:
        from wellsolar.studies.supply import study_supply

        supply, supply_part = study_supply(site, pumps)
    heated, heat_part = (None, StudyPart())
    if "heat" in parts and site.water_heater is not None:
        from wellsolar.studies.heated_tank import study_heated_tank

        heated, heat_part = study_heated_tank(site)
    ranges, range_part = (None, StudyPart())
    if "ranges" in parts:
        from wellsolar.studies.ranges import study_ranges

        ranges, range_part = study_ranges(site, options.cases, options.seed)
    told = {
        "pump": pump_part,
        "supply": supply_part,
        "tank": tank_part,
        "hand": hand_part,
        "heat": heat_part,
        "ranges": range_part,
    }
    chosen = [part for name, part in told.items() if name in parts]
    verdicts = tuple(_verdicts(chosen))
    shown_pumps = pumps if "pump" in parts else ()
    return Results(
        file=file.path,
        site_name=site.site.name,
        site_note=site.site.note,
        system=system or site.site.print_units,
        pumps=shown_pumps,
        supply=supply,
        pressure_tank=tank if "tank" in parts else None,
        hand_pump=hand,
        heated_tank=heated,
        verdicts=verdicts,
        assumptions=tuple(_assumptions(file, chosen, parts)),
        cautions=tuple(dict.fromkeys(key for part in chosen for key in part.cautions)),
        notes=tuple(_notes(file, parts)),
        ranges=ranges,
        answers=answers(shown_pumps, supply, heated, hand, verdicts),
    )


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
        "site.altitude",
    ),
    "supply": ("power", "sun"),
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
        idle += ["power.array_derate", "sun."]
    if site.power.battery_energy is None:
        idle.append("power.battery_usable")
    if not site.pump and site.pressure_switch is None:
        idle += ["piping.", "limits.velocity", "limits.voltage_drop", "limits.cut_out_margin"]
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
