"""Whether anything of a PV-heated tank can be harmed: direct current, overheating, expansion."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics import overheating
from wellsolar.results import HeatedTankResult
from wellsolar.site.schema import ElementTable, Site, WaterHeaterTable
from wellsolar.studies.heat_verdicts import TANK, temperature
from wellsolar.studies.scald_verdicts import scald_verdicts
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Rule, Verdict, say

DWELLING_VOLTAGE = 600.0
"""Highest direct voltage in a one- or two-family dwelling [V]; NEC 690.7 (from memory)."""


HIGH_LIMIT = Rule(
    "high limit",
    "does a high limit stand between thermostat and relief valve?",
    "thermostat below high limit (hand reset) below relief temperature",
    "high limit",
    limit_is="at most",
    safety=True,
)


CONTACTS = Rule(
    "thermostat on direct current",
    "can the thermostat break the array's current?",
    "contacts rated for direct current at the cold open-circuit voltage, or a relay that is",
    "dc contacts",
    safety=True,
)


COLD_VOLTAGE = Rule(
    "cold open-circuit voltage",
    "is the array's voltage safe in the cold?",
    "open-circuit voltage at the record low within 600 V and within the switch's rating",
    "cold voltage",
    limit_is="at most",
    safety=True,
)


ELEMENT_LOAD = Rule(
    "element load",
    "does the array overload the element?",
    "voltage and power at the element within its plate, in the coldest bright sun",
    "element rating",
    limit_is="at most",
    safety=True,
)


EXPANSION = Rule(
    "thermal expansion",
    "where does the heated water expand to?",
    "open to the pressure tank, or an expansion tank behind a check valve",
    "closed system",
    safety=True,
)


OVERHEATING = Rule(
    "overheating",
    "what stops the tank with nobody home?",
    "a thermostat and a high limit, since insulation alone never does",
    "high limit",
    limit_is="at most",
    safety=True,
)


def safety_verdicts(
    site: Site,
    heater: WaterHeaterTable,
    element: ElementTable,
    path: str,
    result: HeatedTankResult,
) -> list[Verdict]:
    """Scalds, legionella, overheating, direct current and expansion.

    Parameters:
        site: the site
        heater: the heater's table
        element: the element that the array feeds
        path: its key path
        result: its numbers
    Returns:
        verdicts, all of them on safety
    """
    return [
        *scald_verdicts(site, heater, result),
        _high_limit(heater, result),
        _overheating(element, heater, path, result),
        _contacts(element, path, result),
        _cold_voltage(element, path, result),
        _element_load(result),
        _expansion(heater, result),
    ]


def _high_limit(heater: WaterHeaterTable, result: HeatedTankResult) -> Verdict:
    if heater.high_limit is None:
        return HIGH_LIMIT.unknown(TANK, "water_heater.high_limit")
    relief = float(heater.relief_temperature or overheating.RELIEF_TEMPERATURE)
    ordered = result.setpoint < heater.high_limit < relief
    low, high = overheating.HIGH_LIMIT_RANGE
    return HIGH_LIMIT.verdict(
        "pass" if ordered else "fail",
        TANK,
        say(
            "thermostat {setpoint}, high limit {limit}, relief {relief}",
            setpoint=temperature(result.setpoint),
            limit=heater.high_limit,
            relief=temperature(relief),
        ),
        quantity=heater.high_limit,
        limit=temperature(relief),
        remedy=None
        if ordered
        else say(
            "a high limit of {low} to {high}, the thermostat below it, the relief valve above",
            low=temperature(low),
            high=temperature(high),
        ),
    )


def _overheating(
    element: ElementTable, heater: WaterHeaterTable, path: str, result: HeatedTankResult
) -> Verdict:
    if result.stall_temperature is None:
        return OVERHEATING.unknown(TANK, "site.latitude")
    stall = temperature(result.stall_temperature)
    relief = temperature(float(heater.relief_temperature or overheating.RELIEF_TEMPERATURE))
    guards = element.thermostat is not None and heater.high_limit is not None
    if stall <= relief:
        return OVERHEATING.verdict(
            "pass",
            TANK,
            say(
                "even without a thermostat the clearest days bring it to {stall}, below the "
                "relief valve's {relief}",
                stall=stall,
                relief=relief,
            ),
            quantity=stall,
            limit=relief,
        )
    if guards:
        return OVERHEATING.verdict(
            "pass",
            TANK,
            say(
                "the array could drive it past {relief}; thermostat and high limit stop it",
                relief=relief,
            ),
            quantity=temperature(result.setpoint),
            limit=relief,
        )
    missing = [f"{path}.thermostat"] if element.thermostat is None else []
    missing += ["water_heater.high_limit"] if heater.high_limit is None else []
    return OVERHEATING.unknown(
        TANK, *missing, why="the array alone can drive an undrawn tank to its relief valve"
    )


def _contacts(element: ElementTable, path: str, result: HeatedTankResult) -> Verdict:
    subject = "thermostat"
    if element.thermostat_switches is None:
        return CONTACTS.unknown(subject, f"{path}.thermostat_switches")
    volts = Quantity(
        result.cold_open_circuit_voltage_table
        or result.cold_open_circuit_voltage
        or result.reference_points[-1].voltage,
        kinds.VOLTAGE,
    )
    if element.thermostat_switches == "AC":
        return CONTACTS.verdict(
            "fail",
            subject,
            say(
                "contacts rated for alternating current stand in a direct-current string of up to "
                "{volts}: they can weld shut or burn",
                volts=volts,
            ),
            quantity=volts,
            remedy=say(
                "let the thermostat drive a relay or controller rated for {volts:up} direct "
                "current",
                volts=volts,
            ),
        )
    how = (
        "it drives a switch rated for direct current"
        if element.thermostat_switches == "relay"
        else "its contacts are rated for direct current"
    )
    return CONTACTS.verdict("pass", subject, say("{how}", how=how))


def _cold_voltage(element: ElementTable, path: str, result: HeatedTankResult) -> Verdict:
    subject = result.array
    if result.cold_open_circuit_voltage is None or result.cold_temperature is None:
        return COLD_VOLTAGE.unknown(subject, "sun.record_low")
    by_table = result.cold_open_circuit_voltage_table or 0.0
    volts = Quantity(max(result.cold_open_circuit_voltage, by_table), kinds.VOLTAGE)
    switch = element.switch_voltage
    limit = Quantity(min(DWELLING_VOLTAGE, float(switch or DWELLING_VOLTAGE)), kinds.VOLTAGE)
    reason = say(
        "{series} modules in series reach {coefficient} open at {cold} by coefficient, {table} by "
        "the code's table",
        series=f"{result.series}",
        coefficient=Quantity(result.cold_open_circuit_voltage, kinds.VOLTAGE),
        cold=temperature(result.cold_temperature),
        table=Quantity(by_table, kinds.VOLTAGE),
    )
    if volts > limit:
        most = int(result.series * limit / volts)
        return COLD_VOLTAGE.verdict(
            "fail",
            subject,
            reason,
            quantity=volts,
            limit=limit,
            remedy=say(
                "no more than {most} modules in series, or a switch rated for {volts:up}",
                most=f"{most}",
                volts=volts,
            )
            if volts <= DWELLING_VOLTAGE
            else say("no more than {most} modules in series", most=f"{most}"),
        )
    if switch is None:
        return COLD_VOLTAGE.unknown(
            subject,
            f"{path}.switch_voltage",
            why=f"{show(volts, kinds.VOLTAGE, 'SI')} at most, within 600 V; what the switch is "
            "rated for is not told",
        )
    return COLD_VOLTAGE.verdict("pass", subject, reason, quantity=volts, limit=limit)


def _element_load(result: HeatedTankResult) -> Verdict:
    volts = Quantity(result.greatest_voltage, kinds.VOLTAGE)
    plate = Quantity(result.rated_voltage, kinds.VOLTAGE)
    within = volts <= plate
    return ELEMENT_LOAD.verdict(
        "pass" if within else "fail",
        "element",
        say(
            "at most {volts} and {power} at an element for {plate} and {rated}",
            volts=volts,
            power=Quantity(result.greatest_power, kinds.POWER),
            plate=plate,
            rated=Quantity(result.rated_power, kinds.POWER),
        ),
        quantity=volts,
        limit=plate,
        remedy=None
        if within
        else say("fewer modules in series, or an element of a higher resistance and voltage"),
    )


def _expansion(heater: WaterHeaterTable, result: HeatedTankResult) -> Verdict:
    if heater.check_valve is None:
        return EXPANSION.unknown(TANK, "water_heater.check_valve")
    volume = Quantity(result.expansion, kinds.VOLUME)
    if not heater.check_valve:
        return EXPANSION.verdict(
            "pass",
            TANK,
            say("the water grows by {volume} and flows back to the pressure tank", volume=volume),
            quantity=volume,
        )
    if heater.expansion_tank is None:
        return EXPANSION.unknown(TANK, "water_heater.expansion_tank")
    return EXPANSION.verdict(
        "pass" if heater.expansion_tank else "fail",
        TANK,
        say("a check valve closes the cold side and the water grows by {volume}", volume=volume),
        quantity=volume,
        remedy=None
        if heater.expansion_tank
        else say(
            "an expansion tank that takes {volume}, on the heater's side of the check valve",
            volume=volume,
        ),
    )
