"""The keys of a site file, left out of it, whose values the parts of the answer rest on."""

from __future__ import annotations

from collections.abc import Collection

from wellsolar.results.whole import StudyPart
from wellsolar.site.loading.overrides import SET_BY
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.schema import Site
from wellsolar.studies.casing.bodies import diameters
from wellsolar.studies.house.chain import links
from wellsolar.studies.house.wells import views
from wellsolar.studies.outage.equipment import OUTAGE_ONLY, OUTAGE_TABLES, outage_idle
from wellsolar.verdicts import Assumption

OF_ARRAY = ("losses", "sun")
"""What every array rests on."""

TABLES_OF = {
    "pump": (
        "well",
        "other_well",
        "piping",
        "pump",
        "power",
        "limits.velocity",
        "limits.voltage_drop",
        "limits.cut_out_margin",
        "limits.daily_run",
        "limits.casing_clearance",
        "site.altitude",
    ),
    "supply": (
        "power",
        "losses",
        "sun",
        "limits.short_days",
        "aim.dark_days",
        "aim.spare",
    ),
    "tank": ("site.altitude",),
    "hand": (
        "hand_pump",
        "lift",
        "well",
        "other_well",
        "piping",
        "demand.survival_use",
        "limits.handle_force",
        "site.altitude",
    ),
    "heat": (
        "water_heater",
        "module",
        *OF_ARRAY,
        "well.water_temperature",
        "site.altitude",
        "limits.storage_temperature",
        "limits.voltage_drop",
        "aim.hot_evenings",
        "aim.sun_share",
    ),
    "match": ("module", *OF_ARRAY, "site.altitude", "aim.matched"),
    "outage": OUTAGE_TABLES,
    "heat ranking": (
        "water_heater",
        "module",
        *OF_ARRAY,
        "well.water_temperature",
        "site.altitude",
    ),
}
"""The keys whose defaults each part rests on, by the beginning of their path."""

OF_SURPLUS = ("power.inverter_", "power.battery_", "losses")
"""The same of what a battery leaves for an element on the inverter."""


def assumptions_of(
    file: SiteFile, chosen: list[StudyPart], parts: Collection[str]
) -> list[Assumption]:
    """Defaults that the parts asked for rest on, then what the studies assumed; each once.

    Parameters:
        chosen: what the studies of these parts bring
    Returns:
        the assumptions, the file's first
    """
    begins = tuple(begin for part in parts for begin in TABLES_OF.get(part, ()))
    if "match" in parts and file.site.water_heater and file.site.power.battery_energy:
        begins += OF_SURPLUS
    idle = _idle(file.site) + (() if "outage" in parts else OUTAGE_ONLY)
    assumptions = [
        assumption
        for assumption in file.assumptions
        if assumption.source in SET_BY
        or (assumption.path.startswith(begins) and not assumption.path.startswith(idle))
    ]
    assumptions += [assumption for part in chosen for assumption in part.assumptions]
    return list({assumption.path: assumption for assumption in assumptions}.values())


def _idle(site: Site) -> tuple[str, ...]:
    """Keys that nothing of this site rests on, whatever part is asked for."""
    direct = [index for index, pump in enumerate(site.pump, 1) if pump.supply == "DC"]
    idle = [f"pump[{index}].power_factor" for index in direct]
    if len(direct) == len(site.pump):
        idle.append("power.inverter_efficiency")
    if not site.array and site.module is None:
        idle += [
            "power.array_derate",
            "losses.",
            "power.inverter_idle",
            "limits.short_days",
            "aim.",
            "sun.",
        ]
    if not any(group.feeds in ("pump", "battery") for group in site.array):
        idle.append("losses.controller")
    if all(group.cable is not None for group in site.array):
        idle.append("losses.wiring")
    idle += outage_idle(site)
    if site.power.battery_energy is None:
        idle += ["power.battery_usable", "power.battery_efficiency", "power.inverter_idle"]
        idle.append("aim.dark_days")
    if site.aim.days_short is not None:
        idle.append("limits.short_days")
    if not any(table.to_house for table in links(site)):
        idle.append("limits.daily_run")
    if not site.pump and site.pressure_switch is None:
        idle += ["piping.", "limits.velocity", "limits.voltage_drop", "limits.cut_out_margin"]
    if all(view.well.casing_bore is None or not diameters(view)[1] for view in views(site)):
        idle.append("limits.casing_clearance")
    if site.hand_pump is None:
        idle.append("limits.handle_force")
        if not site.lift:
            idle.append("demand.survival_use")
    heater = site.water_heater
    if heater is None:
        idle.append("limits.storage_temperature")
    elif heater.draw.times is not None and heater.uniform_energy_factor is None:
        idle.append("water_heater.draw.pattern")
    return tuple(idle)
