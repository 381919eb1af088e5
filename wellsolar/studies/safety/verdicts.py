"""Every verdict on the safety of a heated tank: its water, its guards, its direct current."""

from __future__ import annotations

from wellsolar.results.heat import HeatedTankResult
from wellsolar.results.heat_safety import FedElement
from wellsolar.site.schema import ArrayTable, Site, WaterHeaterTable
from wellsolar.studies.array.circuit import WiredGroup
from wellsolar.studies.array.heater_circuit import OnArray
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.safety.contacts import CONTACTS, HIGH_LIMIT_CONTACTS, Driven
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
    fed_elements,
    high_limit_verdict,
    overheating_verdict,
)
from wellsolar.studies.safety.relief import relief_verdicts, vacuum_verdict
from wellsolar.studies.safety.scald import scald_verdicts
from wellsolar.studies.safety.two_supplies import two_supplies_verdicts
from wellsolar.verdicts import Verdict

GUARDS = (CONTACTS, HIGH_LIMIT_CONTACTS)
"""Rules on what breaks the arrays' current when the tank is hot."""


def hot_water_verdicts(
    site: Site,
    heater: WaterHeaterTable,
    result: HotResult,
) -> list[Verdict]:
    """Scalds, legionella, high limit, relief, siphoning and expansion, of both tanks: verdicts,
    all of them on safety; each hazard once for each tank."""
    tank = heated_tank_of(heater, result.safety)
    second = second_tank_of(heater, result.safety)
    verdicts = [*scald_verdicts(heater, result), storage_verdict(site, heater, result)]
    verdicts.append(high_limit_verdict(tank))
    verdicts += relief_verdicts(site, tank)
    verdicts.append(vacuum_verdict(heater))
    verdicts += expansion_verdicts(site, heater, result.safety)
    verdicts += two_supplies_verdicts(site, heater)
    if second is not None:
        verdicts += [second_storage_verdict(site, second), high_limit_verdict(second)]
        verdicts += relief_verdicts(site, second)
    return verdicts


def safety_verdicts(
    site: Site, heater: WaterHeaterTable, on: OnArray, result: HeatedTankResult
) -> list[Verdict]:
    """Scalds, legionella, overheating, relief and expansion, direct current.

    Parameters:
        on: the element that the tank's days are run for, and its modules
    Returns:
        verdicts, all of them on safety but those on further arrays' cables; each hazard once
    """
    driven = driven_by_sun(result) if result.nobody_home is not None and can_boil(result) else None
    studied = studied_element(result, on.path)
    at = _wired(site, on.group, on.group_path, studied)
    circuit = element_verdicts(on.element, studied, at, Subjects(result.array), driven)
    circuit += dc_verdicts(site, at)
    others = _of_other_arrays(site, heater, on.group.name, result, driven)
    guards = [verdict for verdict in (*circuit, *others) if verdict.rule in GUARDS]
    overheating = overheating_verdict(fed_elements(site, heater), heater, result, guards)
    verdicts = hot_water_verdicts(site, heater, result)
    verdicts += [overheating] if overheating is not None else []
    return verdicts + circuit + others


def _of_other_arrays(
    site: Site,
    heater: WaterHeaterTable,
    first: str,
    result: HeatedTankResult,
    driven: Driven | None,
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
        path, group = groups[fed.array]
        at = _wired(site, group, path, fed)
        verdicts += element_verdicts(element, fed, at, names, driven)
        if new:
            judged.add(fed.array)
            verdicts += dc_verdicts(site, at)
        if new and fed.wire is not None:
            limit = float(site.limits.voltage_drop)
            verdicts += wiring.wire_verdicts(
                fed.wire, fed.array, f"{path}.cable", limit, wiring.AMPACITY_PV
            )
    return verdicts


def _wired(site: Site, group: ArrayTable, path: str, fed: FedElement) -> WiredGroup:
    """The modules of an element, as they are wired."""
    assert site.module is not None
    return WiredGroup(group, path, site.module, fed.circuit, fed.wire)
