"""Whether anybody can be scalded or made ill by the water of a PV-heated tank."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.data import hot_water_tables
from wellsolar.results import HeatedTankResult
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.heat_verdicts import TANK, temperature
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Rule, Verdict, say

SAFE_OUTLET = (120.0 - 32.0) / 1.8
"""Hottest water at a fixture, 120 degF [degC]; ASSE 1070 and CPSC document 5098."""


MIXING = Rule(
    "mixing valve",
    "is the hot water mixed down?",
    "a tank hotter than 120 degF needs a mixing valve, set to 120 degF or less at fixtures",
    "mixing valve",
    limit_is="at most",
    safety=True,
)


FIXTURES = Rule(
    "scald protection at fixtures",
    "is there protection where people bathe?",
    "a valve to ASSE 1017 at the tank controls temperature only; fixtures need 1016 or 1070",
    "point of use",
    safety=True,
)


BURN = Rule(
    "time to a burn",
    "how fast does the unmixed water burn?",
    "seconds to a full-thickness burn, should the mixing valve fail",
    "burn times",
    safety=True,
)


LEGIONELLA = Rule(
    "storage temperature",
    "is the stored water hot enough against legionella?",
    "stored at 140 degF (60 degC) or more",
    "legionella",
    limit_is="at least",
    safety=True,
)


def scald_verdicts(
    site: Site, heater: WaterHeaterTable, result: HeatedTankResult
) -> list[Verdict]:
    """Scalds and legionella.

    Parameters:
        site: the site
        heater: the heater's table
        result: its numbers
    Returns:
        verdicts, all of them on safety
    """
    found = [_mixing(heater, result)]
    if result.setpoint > SAFE_OUTLET + 0.01:
        found += [_fixtures(heater), _burn(heater, result)]
    return [*found, _legionella(site, result)]


def _mixing(heater: WaterHeaterTable, result: HeatedTankResult) -> Verdict:
    setpoint, safe = temperature(result.setpoint), temperature(SAFE_OUTLET)
    if result.setpoint <= SAFE_OUTLET + 0.01:
        return MIXING.verdict(
            "pass",
            TANK,
            say(
                "the tank is set to {setpoint}, no hotter than {safe}",
                setpoint=setpoint,
                safe=safe,
            ),
            quantity=setpoint,
            limit=safe,
        )
    if heater.mixing_valve is None:
        return MIXING.verdict(
            "fail",
            TANK,
            say(
                "the tank runs to {setpoint} and no mixing valve is named: {adult} burn an adult, "
                "{child} a child",
                setpoint=setpoint,
                adult=_burn_text(result.burn_adult, result.burn_bound),
                child=_burn_text(result.burn_child, result.burn_bound),
            ),
            quantity=setpoint,
            limit=safe,
            remedy=say(
                "a mixing valve to ASSE 1017 at the tank, set to {safe} or less", safe=safe
            ),
        )
    outlet = heater.mixing_valve.outlet
    safe_enough = outlet <= SAFE_OUTLET + 0.01
    return MIXING.verdict(
        "pass" if safe_enough else "fail",
        TANK,
        say("a mixing valve brings {setpoint} down to {outlet}", setpoint=setpoint, outlet=outlet),
        quantity=outlet,
        limit=safe,
        remedy=None if safe_enough else say("set it to {safe} or less", safe=safe),
    )


def _fixtures(heater: WaterHeaterTable) -> Verdict:
    subject = "fixtures"
    valve = heater.mixing_valve
    if heater.fixture_valves is None:
        return FIXTURES.unknown(subject, "water_heater.fixture_valves")
    protects = bool(
        valve
        and valve.standard
        and hot_water_tables.mixing_valve_scope(valve.standard).limits_scald
    )
    named = valve.standard if valve and valve.standard else "the valve at the tank"
    if heater.fixture_valves:
        return FIXTURES.verdict("pass", subject, say("the fixtures have valves of their own"))
    if protects:
        return FIXTURES.verdict(
            "pass", subject, say("{named} limits scalds by its standard", named=str(named))
        )
    return FIXTURES.verdict(
        "caution",
        subject,
        say("{named} is temperature control at the source, no scald protection", named=str(named)),
        remedy=say("valves to ASSE 1016 at showers and 1070 at basins and tubs"),
    )


def _burn_text(seconds: float | None, bound: str) -> str:
    if seconds is None:
        return "no published time would"
    time = show(seconds, kinds.DURATION, "SI")
    return f"less than {time}" if bound == "at most" else time


def _burn(heater: WaterHeaterTable, result: HeatedTankResult) -> Verdict:
    reason = say(
        "unmixed at {setpoint}: {adult} for an adult, {child} for a child; mixed: {mixed}",
        setpoint=temperature(result.setpoint),
        adult=_burn_text(result.burn_adult, result.burn_bound),
        child=_burn_text(result.burn_child, result.burn_bound),
        mixed=_burn_text(result.mixed_burn_adult, result.mixed_burn_bound),
    )
    protected = bool(
        heater.mixing_valve
        and heater.mixing_valve.outlet <= SAFE_OUTLET + 0.01
        and heater.fixture_valves
    )
    return BURN.verdict(
        "pass" if protected else "caution",
        TANK,
        reason,
        quantity=None
        if result.burn_adult is None
        else Quantity(result.burn_adult, kinds.DURATION),
        remedy=None
        if protected
        else say(
            "a mixing valve at {safe} or less and scald-limiting valves at the fixtures; test the "
            "mixed water with a thermometer",
            safe=temperature(SAFE_OUTLET),
        ),
    )


def _legionella(site: Site, result: HeatedTankResult) -> Verdict:
    setpoint, limit = temperature(result.setpoint), site.limits.storage_temperature
    hot = result.setpoint >= limit - 0.01
    return LEGIONELLA.verdict(
        "pass" if hot else "caution",
        TANK,
        say(
            "set to {setpoint}, {where} {limit}; after days without sun the tank stands cooler: "
            "heat it through before use",
            setpoint=setpoint,
            limit=limit,
            where="at or above" if hot else "below",
        ),
        quantity=setpoint,
        limit=limit,
        remedy=None
        if hot
        else say("set the thermostat to {limit} or more, behind a mixing valve", limit=limit),
    )
