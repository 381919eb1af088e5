"""The direct current of groups of modules that heat nothing: those of pumps and batteries."""

from __future__ import annotations

from wellsolar.results import ArrayResult, StudyPart
from wellsolar.site.schema import Site
from wellsolar.studies.array.circuit import WiredGroup, array_circuit, plain_wire
from wellsolar.studies.array.cold_voltage import cold_assumed, cold_voltage_verdict
from wellsolar.studies.array.operating_voltage import (
    behind_drive,
    operating_voltage_verdict,
    working_voltages,
)
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.safety.direct_current import dc_verdicts
from wellsolar.verdicts import Verdict


def study_arrays(site: Site) -> tuple[tuple[ArrayResult, ...], StudyPart]:
    """Every group of modules that feeds no element of the heater.

    Returns:
        a result for each, and the verdicts and assumptions that they bring
    """
    module = site.module
    heating = () if site.water_heater is None else site.water_heater.element
    fed = {each.fed_by for each in heating}
    results: list[ArrayResult] = []
    verdicts: list[Verdict] = []
    for number, own in enumerate(site.array, 1):
        if module is None or own.name in fed:
            continue
        group = behind_drive(site, own)
        path, circuit = f"array[{number}]", array_circuit(site, group)
        working, hot = working_voltages(site, group) or (None, None)
        told = site.sun.temperature is not None
        found = ArrayResult(path, circuit, plain_wire(site, group), working, hot, told)
        results.append(found)
        at = WiredGroup(group, path, module, circuit, found.wire)
        cold = cold_voltage_verdict(module, group, path, circuit, group.name, working)
        verdicts.append(cold)
        if group.feeds in ("pump", "battery") or group.least_input_voltage is not None:
            verdicts.append(operating_voltage_verdict(site, group, found))
        verdicts += dc_verdicts(site, at)
        if found.wire is not None:
            limit = float(site.limits.voltage_drop)
            cable = f"{path}.cable"
            verdicts += wiring.wire_verdicts(
                found.wire, group.name, cable, limit, wiring.AMPACITY_PV
            )
    if not results:
        return (), StudyPart()
    return tuple(results), StudyPart(tuple(verdicts), cold_assumed(site))
