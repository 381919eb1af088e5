"""Whether a powered pump suits its well, its pressure switch and its people, all in order."""

from __future__ import annotations

from wellsolar.results import Duty, PumpResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.pump.for_house import daily_verdict, peak_verdicts, velocity_verdict
from wellsolar.studies.pump.in_well import bottom_verdict, submergence_verdict, yield_verdict
from wellsolar.studies.pump.motor_cooling import cooling_verdicts
from wellsolar.studies.pump.reach import efficiency_verdicts, on_curve_verdict, reach_verdict
from wellsolar.studies.pump.suction_lift import suction_verdicts
from wellsolar.verdicts import Verdict


def verdicts_of(
    site: Site, table: PumpTable, result: PumpResult, best: Duty, path: str
) -> list[Verdict]:
    """All verdicts on one pump but those on inverter, start and cable.

    Parameters:
        site: the site
        table: the pump's table
        result: its numbers
        best: its last duty with the water at rest
        path: the pump's key path, such as `pump[1]`
    Returns:
        verdicts in the order they are best read
    """
    first = result.duties[0]
    if result.intake_depth <= result.static_level:
        # Out of the water it gives nothing, whatever its curve says.
        return [*_suction(site, table, result), *_in_the_water(site, table, result)]
    found = [reach_verdict(site, table, result, best)]
    if first.flow > 0:
        found += [on_curve_verdict(table, first), yield_verdict(site, table, first)]
        found += [velocity_verdict(site, table, result)]
        found += efficiency_verdicts(table, first)
    found += _suction(site, table, result)
    if result.suction is None or table.intake_depth is not None:
        found += _in_the_water(site, table, result)
    if first.flow > 0:
        found += cooling_verdicts(site, table, result.cooling, path)
        found += [daily_verdict(site, table, result), *peak_verdicts(site, table, first)]
    return found


def _suction(site: Site, table: PumpTable, result: PumpResult) -> list[Verdict]:
    return [] if result.suction is None else suction_verdicts(site, table, result.suction)


def _in_the_water(site: Site, table: PumpTable, result: PumpResult) -> list[Verdict]:
    return [
        submergence_verdict(site, table, result, result.duties[0]),
        bottom_verdict(site, table, result),
    ]
