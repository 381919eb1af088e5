"""Whether a PV-heated tank can run too hot, or its element and switch bear too much."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics import overheating
from wellsolar.physics.constants import DAY
from wellsolar.results import HeatedTankResult
from wellsolar.site.schema import ArrayTable, ElementTable, Site, WaterHeaterTable
from wellsolar.studies.dc_verdicts import dc_verdicts
from wellsolar.studies.expansion_verdicts import expansion_verdicts
from wellsolar.studies.heat_verdicts import TANK, temperature
from wellsolar.studies.relief_verdicts import relief_verdicts
from wellsolar.studies.scald_verdicts import scald_verdicts
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Rule, Sentence, Verdict, say

DWELLING_VOLTAGE = 600.0
"""Highest direct voltage in a one- or two-family dwelling [V]; NEC 690.7 (from memory)."""


SPREAD = 5.0
"""Room between thermostat and high limit below which the one trips the other [K], 9 degF: common
practice, no source."""

DIFFERENT = 1.0
"""Temperatures closer than this are one to a reader [K]."""

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


OVERHEATING = Rule(
    "overheating",
    "what stops the tank with nobody home?",
    "a thermostat and a high limit that break direct current; heat loss alone seldom does",
    "high limit",
    limit_is="at most",
    safety=True,
)


def safety_verdicts(
    site: Site,
    heater: WaterHeaterTable,
    element: ElementTable,
    path: str,
    group: ArrayTable,
    group_path: str,
    result: HeatedTankResult,
) -> list[Verdict]:
    """Scalds, legionella, overheating, relief and expansion, direct current.

    Parameters:
        site: the site
        heater: the heater's table
        element: the element that the array feeds
        path: its key path
        group: the modules that feed it
        group_path: their key path
        result: its numbers
    Returns:
        verdicts, all of them on safety; each hazard once
    """
    found = scald_verdicts(site, heater, result)
    if element.thermostat_switches != "AC" or _unguarded(element, heater):
        found.append(_overheating(element, heater, result))
    if heater.high_limit is not None or not _boils(result):
        found.append(_high_limit(heater, result))
    found += relief_verdicts(site, heater, result)
    found += expansion_verdicts(site, heater, result)
    found += [
        _contacts(element, path, result),
        _cold_voltage(element, path, result),
        _element_load(element, result),
    ]
    return found + dc_verdicts(group, group_path, result)


def _unguarded(element: ElementTable, heater: WaterHeaterTable) -> list[str]:
    """What the file does not name of that which stops a tank."""
    missing = ["thermostat"] if element.thermostat is None else []
    return missing + (["high limit"] if heater.high_limit is None else [])


def _relief(result: HeatedTankResult) -> float:
    """Where the relief valve opens or the water boils, whichever comes first [degC]."""
    return min(result.safety.pressure.relief_temperature, result.safety.boiling_temperature)


def _boils(result: HeatedTankResult) -> bool:
    """Whether sun alone could drive the tank to its relief valve, as far as is known."""
    return result.nobody_home is None or result.nobody_home.hottest >= _relief(result)


def _driven(result: HeatedTankResult) -> tuple[str, dict[str, Quantity | str]]:
    """How far and how soon sun alone drives a tank that nothing stops, for a sentence."""
    boiling = result.safety.boiling_temperature
    relief = result.safety.pressure.relief_temperature
    template = "to the relief valve's {relief}"
    parts: dict[str, Quantity | str] = {"relief": temperature(relief)}
    if boiling < relief - DIFFERENT:
        template += " (without pressure it boils at {boils})"
        parts["boils"] = temperature(boiling)
    alone = result.nobody_home
    if alone is not None and alone.days_to_relief is not None:
        template += ", within {time} of clear weather"
        parts["time"] = Quantity(alone.days_to_relief * DAY, kinds.DURATION)
    return template, parts


def _high_limit(heater: WaterHeaterTable, result: HeatedTankResult) -> Verdict:
    if heater.high_limit is None:
        return HIGH_LIMIT.unknown(TANK, "water_heater.high_limit")
    relief = result.safety.pressure.relief_temperature
    hottest, limit = result.safety.hottest, float(heater.high_limit)
    reason = say(
        "thermostat {setpoint}, high limit {limit}, relief {relief}",
        setpoint=temperature(hottest),
        limit=heater.high_limit,
        relief=temperature(relief),
    )
    low, high = overheating.HIGH_LIMIT_RANGE
    if limit >= relief:
        return HIGH_LIMIT.verdict(
            "fail",
            TANK,
            reason,
            quantity=heater.high_limit,
            limit=temperature(relief),
            remedy=say(
                "a high limit of {low} to {high}, the thermostat below it",
                low=temperature(low),
                high=temperature(high),
            ),
        )
    apart = limit - hottest >= SPREAD - 0.01
    return HIGH_LIMIT.verdict(
        "fail" if hottest >= limit else "pass" if apart else "caution",
        TANK,
        reason,
        quantity=temperature(hottest),
        limit=heater.high_limit,
        remedy=None
        if apart
        else say(
            "set the thermostat to no more than {most:down}, or it trips the high limit, which "
            "then waits for a hand",
            most=temperature(limit - SPREAD),
        ),
    )


def _overheating(
    element: ElementTable, heater: WaterHeaterTable, result: HeatedTankResult
) -> Verdict:
    alone = result.nobody_home
    if alone is None:
        needs = ["site.latitude"]
        needs += ["water_heater.high_limit"] if heater.high_limit is None else []
        return OVERHEATING.unknown(TANK, *needs)
    stall, relief = temperature(alone.hottest), temperature(_relief(result))
    if not _boils(result):
        return OVERHEATING.verdict(
            "pass",
            TANK,
            say(
                "even without a thermostat the clearest days bring it to no more than {stall}, "
                "below relief valve and boiling",
                stall=stall,
            ),
            quantity=stall,
            limit=relief,
        )
    driven, parts = _driven(result)
    reason = "with nobody home the array alone drives it from its setting " + driven
    missing = _unguarded(element, heater)
    if not missing:
        reason += "; thermostat and high limit stop it before"
        quantity = temperature(result.safety.guarded)
        return OVERHEATING.verdict(
            "pass", TANK, say(reason, **parts), quantity=quantity, limit=relief
        )
    reason += ", and no {missing} is named to stop it"
    parts["missing"] = " and no ".join(missing)
    return OVERHEATING.verdict(
        "fail", TANK, say(reason, **parts), quantity=stall, limit=relief,
        remedy=_guards(missing, result),
    )  # fmt: skip


def _guards(missing: list[str], result: HeatedTankResult) -> Sentence:
    """What stops the tank, and what it must break."""
    low, high = overheating.HIGH_LIMIT_RANGE
    told = {
        "thermostat": "a thermostat set below the high limit",
        "high limit": "a high limit with hand reset of {low} to {high}",
    }
    parts: dict[str, Quantity | str] = {}
    if "high limit" in missing:
        parts = {"low": temperature(low), "high": temperature(high)}
    breaks, switched = _breaks(result)
    return say(" and ".join(told[each] for each in missing) + ", " + breaks, **parts, **switched)


def _breaks(result: HeatedTankResult) -> tuple[str, dict[str, Quantity | str]]:
    """What contacts in the array's circuit must break, for the end of a sentence."""
    circuit = result.safety.circuit
    volts = circuit.system_voltage or result.reference_points[-1].voltage
    return (
        "made for {volts:up} and {amperes:up} of direct current",
        {
            "volts": Quantity(volts, kinds.VOLTAGE),
            "amperes": Quantity(circuit.current, kinds.CURRENT),
        },
    )


def _contacts(element: ElementTable, path: str, result: HeatedTankResult) -> Verdict:
    subject = "thermostat"
    if element.thermostat_switches is None:
        return CONTACTS.unknown(subject, f"{path}.thermostat_switches")
    if element.thermostat_switches == "AC":
        return _welds(subject, result)
    how = (
        "it drives a switch rated for direct current"
        if element.thermostat_switches == "relay"
        else "its contacts are rated for direct current"
    )
    return CONTACTS.verdict("pass", subject, say("{how}", how=how))


def _welds(subject: str, result: HeatedTankResult) -> Verdict:
    circuit = result.safety.circuit
    volts = circuit.system_voltage or result.reference_points[-1].voltage
    reason = (
        "contacts rated for alternating current in a circuit of up to {volts} of direct current: "
        "the arc does not go out, they weld shut or burn"
    )
    parts: dict[str, Quantity | str] = {"volts": Quantity(volts, kinds.VOLTAGE)}
    if result.nobody_home is not None and _boils(result):
        driven, more = _driven(result)
        reason += ", and with nobody home the array drives the tank " + driven
        parts |= more
    breaks, switched = _breaks(result)
    return CONTACTS.verdict(
        "fail",
        subject,
        say(reason, **parts),
        quantity=Quantity(volts, kinds.VOLTAGE),
        remedy=say(
            "let thermostat and high limit drive a relay or controller " + breaks, **switched
        ),
    )


def _cold_voltage(element: ElementTable, path: str, result: HeatedTankResult) -> Verdict:
    subject = result.array
    volts_or_none = result.safety.circuit.system_voltage
    if volts_or_none is None or result.cold_temperature is None:
        return COLD_VOLTAGE.unknown(subject, "sun.record_low")
    volts = Quantity(volts_or_none, kinds.VOLTAGE)
    # Contacts made for alternating current are judged as such: their volts say nothing.
    switch = None if element.thermostat_switches == "AC" else element.switch_voltage
    limit = Quantity(min(DWELLING_VOLTAGE, float(switch or DWELLING_VOLTAGE)), kinds.VOLTAGE)
    reason = _cold_reason(result)
    if volts > limit:
        most = int(result.series * limit / volts)
        template, parts = "no more than {most} modules in series", {}
        if volts <= DWELLING_VOLTAGE:
            template += ", or a switch rated for {volts:up}"
            parts["volts"] = volts
        return COLD_VOLTAGE.verdict(
            "fail",
            subject,
            reason,
            quantity=volts,
            limit=limit,
            remedy=say(template, most=f"{most}", **parts),
        )
    if switch is None and element.thermostat_switches != "AC":
        return COLD_VOLTAGE.unknown(
            subject,
            f"{path}.switch_voltage",
            why=f"{show(volts, kinds.VOLTAGE, 'SI')} at most, within 600 V; what the switch is "
            "rated for is not told",
        )
    return COLD_VOLTAGE.verdict("pass", subject, reason, quantity=volts, limit=limit)


def _cold_reason(result: HeatedTankResult) -> Sentence:
    parts: dict[str, Quantity | str] = {"series": f"{result.series}"}
    parts["coefficient"] = Quantity(result.cold_open_circuit_voltage or 0.0, kinds.VOLTAGE)
    parts["cold"] = temperature(result.cold_temperature or 0.0)
    template = "{series} modules in series reach {coefficient} open at {cold} by coefficient"
    if result.cold_open_circuit_voltage_table is not None:
        template += ", {table} by the code's table"
        parts["table"] = Quantity(result.cold_open_circuit_voltage_table, kinds.VOLTAGE)
    return say(template, **parts)


def _element_load(element: ElementTable, result: HeatedTankResult) -> Verdict:
    safety = result.safety
    volts = Quantity(safety.element_voltage, kinds.VOLTAGE)
    plate = element.rated_voltage
    within = volts <= plate
    each = "each of the elements" if element.count > 1 else "an element"
    return ELEMENT_LOAD.verdict(
        "pass" if within else "fail",
        "element",
        say(
            "at most {volts} and {power} at {each} made for {plate} and {rated}",
            volts=volts,
            power=Quantity(safety.element_power, kinds.POWER),
            each=each,
            plate=plate,
            rated=element.rated_power,
        ),
        quantity=volts,
        limit=plate,
        remedy=None if within else _gentler(element, result),
    )


def _gentler(element: ElementTable, result: HeatedTankResult) -> Sentence:
    safety = result.safety
    resistance = Quantity(element.rated_voltage**2 / element.rated_power, kinds.RESISTANCE)
    other = "an element of the same {resistance} rated for {volts:up} or more"
    parts: dict[str, Quantity | str] = {
        "resistance": resistance,
        "volts": Quantity(safety.element_voltage, kinds.VOLTAGE),
    }
    if not safety.most_series:
        return say(other, **parts)
    return say(
        "no more than {most} modules in series, or " + other, most=f"{safety.most_series}", **parts
    )
