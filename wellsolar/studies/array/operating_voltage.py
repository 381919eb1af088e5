"""Whether a group's voltage at work is enough for what it feeds, in heat too."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module, resistive
from wellsolar.physics.sun import tilted_plane
from wellsolar.results import ArrayResult
from wellsolar.site.schema import ArrayTable, PumpTable, Site
from wellsolar.studies.array.cold_voltage import greatest_allowed
from wellsolar.studies.array.heater_circuit import LIGHT_WIND
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.sun.module_sheet import REFERENCE_CELL, parameters_of
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Place,
    Remedy,
    Rule,
    Verdict,
    at_least,
    at_most,
    remedy,
    say,
    set_to,
)

FULL_SUN = 1000.0
"""At which a module's sheet is made [W/m2]."""

HOT_CELL = 70.0
"""Cells on a hot roof in full sun [degC]: common practice, no source."""

OPERATING_VOLTAGE = Rule(
    "operating voltage",
    "is the array's voltage at work enough for what it feeds?",
    "voltage at maximum power in full sun, in the air of the hottest month, no less than the "
    "controller, drive or motor works from; a motor's speed goes with its voltage and its head "
    "with the square of it",
    "voltage window",
    limit_is="at least",
    by="electrician",
    place=Place(section="circuit_guards"),
)


def behind_drive(site: Site, group: ArrayTable) -> ArrayTable:
    """A group with the voltages of the solar drives that it feeds, where these are tighter.

    Returns:
        the group, its greatest and least input voltage those of group and drives together
    """
    if group.feeds != "pump":
        return group
    most = [group.greatest_input_voltage, *(each.greatest_voltage for each in site.pump)]
    least = [group.least_input_voltage, *(each.least_voltage for each in site.pump)]
    return group.model_copy(
        update={
            "greatest_input_voltage": min(filter(None, most), default=None),
            "least_input_voltage": max(filter(None, least), default=None),
        }
    )


def working_voltages(site: Site, group: ArrayTable) -> tuple[float, float] | None:
    """Voltage of a group at its maximum power in full sun, in the hottest month's air, or with
    cells as its sheet has them where the file tells no air, and with hot cells [V]; None where the
    module's sheet does not hold together."""
    assert site.module is not None
    try:
        parameters = parameters_of(site.module)
    except OutOfRange:
        return None
    air = site.sun.temperature
    cell = REFERENCE_CELL
    if air is not None:
        cell = float(tilted_plane.cell_temperature(FULL_SUN, max(map(float, air)), LIGHT_WIND))

    def at(temperature: float) -> float:
        one = module.at_conditions(parameters, FULL_SUN, temperature)
        array = module.array_of(one, group.series, group.parallel)
        return float(resistive.maximum_power_point(array).voltage)

    return at(cell), at(max(cell, HOT_CELL))


def operating_voltage_verdict(site: Site, group: ArrayTable, found: ArrayResult) -> Verdict:
    """Whether a group's voltage at work is enough for the pump or the battery that it feeds."""
    if found.working_voltage is None or found.hot_voltage is None:
        return OPERATING_VOLTAGE.unknown(group.name, "module.vmp", "module.imp")
    volts = Quantity(found.working_voltage, kinds.VOLTAGE)
    hot = Quantity(found.hot_voltage, kinds.VOLTAGE)
    least = group.least_input_voltage
    if least is None:
        return _without_a_least(site, group, found, volts)
    works, works_hot = at_least(volts, least), at_least(hot, least)
    told = "{volts} at work in full sun, {hot} on a hot roof; it works from {least} on"
    if site.sun.temperature is None:
        if works and not works_hot:
            # Between cells at 25 degC and at 70 degC the air decides.
            why = say(told.replace("full sun", "full sun with cells at 25 °C (77 °F)"),
                      volts=volts, hot=hot, least=least)  # fmt: skip
            return OPERATING_VOLTAGE.unknown(group.name, "sun.temperature", why=why)
        told = told.replace("full sun", "full sun even with cells at 25 °C (77 °F)")
    return OPERATING_VOLTAGE.verdict(
        "pass" if works_hot else "caution" if works else "fail",
        group.name,
        say(told, volts=volts, hot=hot, least=least),
        quantity=hot if works else volts,
        limit=least,
        remedy=_longer(site, group, found, least),
    )


def _without_a_least(
    site: Site, group: ArrayTable, found: ArrayResult, volts: Quantity
) -> Verdict:
    """Where the file does not tell from which voltage what is fed works: only a motor that could
    lift no water at that voltage is known to fail."""
    key = f"{found.path}.least_input_voltage"
    pumps = [each for each in site.pump if each.voltage is not None and each.kind == "submersible"]
    if group.feeds != "pump" or not pumps or len(pumps) < len(site.pump):
        return OPERATING_VOLTAGE.unknown(group.name, key)
    seen = [at_well(site, each) for each in pumps]
    lift = max(0.0, min(each.well.static_level + each.piping.tank_elevation for each in seen))
    best = max(pumps, key=lambda each: _head_at(each, volts))
    head = _head_at(best, volts)
    if head >= lift:
        return OPERATING_VOLTAGE.unknown(group.name, key)
    enough = _full_voltage(best) * math.sqrt(lift / max(map(float, best.head)))
    return OPERATING_VOLTAGE.verdict(
        "fail",
        group.name,
        say(
            "{volts} at work in full sun: a motor made for {rated} turns too slowly on it to lift "
            "water {lift}; its pump comes to {head}",
            volts=volts,
            rated=best.voltage or "",
            lift=Quantity(lift, kinds.LENGTH),
            head=Quantity(head, kinds.HEAD),
        ),
        quantity=volts,
        limit=Quantity(enough, kinds.VOLTAGE),
        remedy=_longer(site, group, found, _full_voltage(best), key),
    )


def _full_voltage(pump: PumpTable) -> float:
    """Direct voltage at which a drive gives a motor all that it is made for [V]: the peak of an
    alternating one."""
    assert pump.voltage is not None
    return float(pump.voltage) * (1.0 if pump.supply == "DC" else math.sqrt(2.0))


def _head_at(pump: PumpTable, volts: float) -> float:
    """The greatest head of a pump whose drive gets so many volts, by the affinity laws [m]."""
    speed = min(1.0, volts / _full_voltage(pump))
    return speed**2 * max(map(float, pump.head))


def _longer(
    site: Site, group: ArrayTable, found: ArrayResult, least: float, key: str = ""
) -> Remedy:
    """More modules in series, with what is fed told where the file does not."""
    assert found.hot_voltage is not None
    needed = math.ceil(least / (found.hot_voltage / group.series) - 1e-9)
    circuit, most = found.circuit, greatest_allowed(site.module, group)
    cold = circuit.system_voltage if circuit.cold_told else circuit.mild_voltage
    if not at_most(Quantity(cold * needed / group.series, kinds.VOLTAGE), most):
        return remedy(
            "a drive or controller of a wider window: the {needed} modules in series that it "
            "starts on are open too high for the {most} that are allowed",
            "no number of these modules in series suits both ends of the window",
            needed=f"{needed}",
            most=most,
        )
    changes = [set_to(f"{found.path}.series", needed)]
    if key:
        told = Quantity(float(math.floor(least)), kinds.VOLTAGE)
        changes.append(set_to(key, told))
    return remedy(
        "{needed} modules in series, as far as the cold allows",
        changes,
        needed=f"{needed}",
    )
