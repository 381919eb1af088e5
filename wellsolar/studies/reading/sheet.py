"""The commissioning sheet: readings in the order they are taken, with what each should be."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.physics.sun.year import HourlyYear
from wellsolar.results import (
    HandPumpResult,
    LiftResult,
    PumpResult,
    Results,
    WellResult,
)
from wellsolar.results.readings import SheetResult
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.schema import Site
from wellsolar.studies.hand.other_lifts import study_lifts
from wellsolar.studies.hand.study import study_hand_pump
from wellsolar.studies.pump.pressure_tank import study_pressure_tank
from wellsolar.studies.pump.study import study_pumps
from wellsolar.studies.reading.sheet_heat import array_steps, hot_steps
from wellsolar.studies.reading.sheet_well import (
    clean_step,
    hand_steps,
    night_step,
    pump_steps,
    tank_step,
    well_step,
)
from wellsolar.studies.reading.sun import array_at_reading
from wellsolar.studies.well.study import study_well
from wellsolar.units import System


@dataclass(frozen=True)
class Studied:
    """What the sheet takes from the other studies of a site; year None where there is none."""

    pumps: tuple[PumpResult, ...] = ()
    well: WellResult | None = None
    hand: HandPumpResult | None = None
    lifts: tuple[LiftResult, ...] = ()
    year: HourlyYear | None = None


def sheet_of(file: SiteFile, studied: Studied) -> SheetResult:
    """The sheet of a site that was studied.

    Parameters:
        file: a site file that was read
        studied: results of its pumps, well, hand pump and lifts, and its year of hours
    Returns:
        the steps in their order
    """
    site = file.site
    steps = [
        tank_step(site),
        well_step(site),
        *pump_steps(site, studied.pumps, studied.well),
        *hand_steps(site, studied.hand, studied.lifts),
        clean_step(site),
        *array_steps(site, array_at_reading(file, studied.year)),
        *hot_steps(site),
        night_step(site),
    ]
    return SheetResult(tuple(each for each in steps if each.lines))


def study_sheet(file: SiteFile, system: System | None = None) -> Results:
    """The sheet of a site by itself.

    Parameters:
        file: a site file that was read
        system: units to print in; None for the file's own
    Returns:
        results that hold only the sheet
    """
    site = file.site
    pumps, _ = study_pumps(site)
    tank, _ = study_pressure_tank(site, pumps)
    studied = Studied(
        pumps,
        study_well(site, pumps)[0],
        study_hand_pump(site, tank)[0],
        study_lifts(site)[0],
    )
    return Results(
        file=file.path,
        site_name=site.site.name,
        site_note=site.site.note,
        system=system or site.site.print_units,
        cautions=_cautions(site),
        sheet=sheet_of(file, studied),
    )


def _cautions(site: Site) -> tuple[str, ...]:
    dc_pump = any(each.supply == "DC" for each in site.pump)
    there = {
        "direct current": bool(site.array) or dc_pump,
        "mains": bool(site.pump),
        "pressure": site.pressure_tank is not None or site.water_heater is not None,
        "drinking water": True,
        "pumps together": bool(site.pump) and site.hand_pump is not None,
        "scald": site.water_heater is not None,
    }
    return tuple(key for key, told in there.items() if told)
