"""Every verdict on the safety of a heated tank: its water, its guards, its direct current."""

from __future__ import annotations

from wellsolar.results import HeatedTankResult
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.array.heater_circuit import OnArray
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.safety.direct_current import (
    Subjects,
    dc_verdicts,
    element_verdicts,
    studied_element,
)
from wellsolar.studies.safety.expansion import expansion_verdicts
from wellsolar.studies.safety.guarded_tank import (
    HotResult,
    heated_tank_of,
    second_tank_of,
)
from wellsolar.studies.safety.legionella import second_storage_verdict, storage_verdict
from wellsolar.studies.safety.overheating import (
    can_boil,
    driven_by_sun,
    high_limit_verdict,
    overheating_verdict,
    unnamed_guards,
)
from wellsolar.studies.safety.relief import relief_verdicts, vacuum_verdict
from wellsolar.studies.safety.scald import scald_verdicts
from wellsolar.verdicts import Verdict


def hot_water_verdicts(
    site: Site,
    heater: WaterHeaterTable,
    result: HotResult,
    limit_judged_elsewhere: bool = False,
) -> list[Verdict]:
    """Scalds, legionella, high limit, relief, siphoning and expansion, of both tanks.

    Parameters:
        site: the site
        heater: the heater's table
        result: of its tank
        limit_judged_elsewhere: True where another verdict asks for the high limit
    Returns:
        verdicts, all of them on safety; each hazard once for each tank
    """
    tank = heated_tank_of(heater, result.safety)
    second = second_tank_of(heater, result.safety)
    verdicts = [*scald_verdicts(heater, result), storage_verdict(site, heater, result)]
    if not limit_judged_elsewhere:
        verdicts.append(high_limit_verdict(tank))
    verdicts += relief_verdicts(site, tank)
    verdicts.append(vacuum_verdict(heater))
    verdicts += expansion_verdicts(site, heater, result.safety)
    if second is not None:
        verdicts += [second_storage_verdict(site, second), high_limit_verdict(second)]
        verdicts += relief_verdicts(site, second)
    return verdicts


def safety_verdicts(
    site: Site, heater: WaterHeaterTable, on: OnArray, result: HeatedTankResult
) -> list[Verdict]:
    """Scalds, legionella, overheating, relief and expansion, direct current.

    Parameters:
        site: the site
        heater: the heater's table
        on: the element that the tank's days are run for, and its modules
        result: of the tank
    Returns:
        verdicts, all of them on safety but those on further arrays' cables; each hazard once
    """
    # Of a tank that can boil the verdict on overheating asks for the high limit.
    boils_unlimited = heater.high_limit is None and can_boil(result)
    verdicts = hot_water_verdicts(site, heater, result, limit_judged_elsewhere=boils_unlimited)
    if on.element.thermostat_switches != "AC" or unnamed_guards(on.element, heater):
        verdicts.append(overheating_verdict(on.element, heater, result))
    driven = driven_by_sun(result) if result.nobody_home is not None and can_boil(result) else None
    studied = studied_element(result, on.path)
    verdicts += element_verdicts(on.element, studied, Subjects(result.array), driven)
    verdicts += dc_verdicts(on.group, on.group_path, studied)
    return verdicts + _of_other_arrays(site, heater, on.group.name, result)


def _of_other_arrays(
    site: Site, heater: WaterHeaterTable, first: str, result: HeatedTankResult
) -> list[Verdict]:
    """Direct current of the elements that other arrays feed; of an array that feeds two once."""
    groups = {group.name: (f"array[{place}]", group) for place, group in enumerate(site.array, 1)}
    verdicts: list[Verdict] = []
    judged = {first}
    for fed in result.safety.others:
        element = heater.element[fed.number - 1]
        new = fed.array not in judged
        array = fed.array if new else f"{fed.array}, element {fed.number}"
        names = Subjects(array, f"thermostat of element {fed.number}", f"element {fed.number}")
        verdicts += element_verdicts(element, fed, names)
        path, group = groups[fed.array]
        if new:
            judged.add(fed.array)
            verdicts += dc_verdicts(group, path, fed)
        if new and fed.wire is not None:
            limit = float(site.limits.voltage_drop)
            verdicts += wiring.wire_verdicts(
                fed.wire, fed.array, f"{path}.cable", limit, wiring.AMPACITY_PV
            )
    return verdicts
