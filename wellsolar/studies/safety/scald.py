"""Whether hot water can scald: times to a burn, mixing valve and its standard, fixtures."""

from __future__ import annotations

import math
from typing import Literal

from wellsolar import kinds
from wellsolar.data import hot_water_tables
from wellsolar.physics.tank import scald
from wellsolar.site.schema import MixingValveTable, WaterHeaterTable
from wellsolar.studies.safety.guarded_tank import TANK, HotResult, temperature
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Place, Rule, Verdict, say

Who = Literal["adult", "child"]
WHO: tuple[Who, Who] = ("adult", "child")

SAFE_OUTLET = (120.0 - 32.0) / 1.8
"""Hottest water at a fixture, 120 degF [degC]; ASSE 1070 and CPSC document 5098."""


MIXING = Rule(
    "mixing valve",
    "is the hot water mixed down?",
    "a tank hotter than 120 degF needs a mixing valve, set to 120 degF or less at fixtures",
    "mixing valve",
    limit_is="at most",
    safety=True,
    place=Place(section="tap"),
)


FIXTURES = Rule(
    "scald protection at fixtures",
    "is there protection where people bathe?",
    "a valve to ASSE 1017 at the tank controls temperature only; fixtures need 1016 or 1070",
    "point of use",
    safety=True,
    place=Place(section="tap"),
)


STANDARD = Rule(
    "mixing-valve standard",
    "is the mixing valve made for its place?",
    "a valve at the tank to ASSE 1017, set within the standard's range",
    "mixing-valve standards",
    safety=True,
    place=Place(section="tap"),
)


BURN = Rule(
    "time to a burn",
    "how fast does the water burn?",
    "time to a full-thickness burn by the published times, before the mixing valve and after it",
    "burn times",
    safety=True,
    place=Place(section="tap"),
)


def scald_verdicts(heater: WaterHeaterTable, result: HotResult) -> list[Verdict]:
    """Whether the tank's water is mixed down, by what valves, and how fast it burns.

    Parameters:
        heater: the heater's table
        result: of its tank
    Returns:
        verdicts, all of them on safety; burn times once, in the verdict that they weigh most in
    """
    mixing = _mixing(heater, result)
    verdicts = [mixing]
    if result.safety.hottest_drawn > SAFE_OUTLET + 0.01:
        if heater.mixing_valve is not None:
            verdicts += _standard(heater.mixing_valve)
        verdicts.append(_fixtures(heater, result))
    if mixing.status == "pass" and verdicts[-1].status == "pass":
        verdicts.append(_burn(heater, result))
    return verdicts


def _mixing(heater: WaterHeaterTable, result: HotResult) -> Verdict:
    """Whether the tank's water is mixed down to what is safe."""
    hottest, safe = temperature(result.safety.hottest_drawn), temperature(SAFE_OUTLET)
    if hottest <= safe + 0.01:
        return MIXING.verdict(
            "pass",
            TANK,
            say("the tank is set to {hottest}, no hotter than {safe}", hottest=hottest, safe=safe),
            quantity=hottest,
            limit=safe,
        )
    if heater.mixing_valve is None:
        return MIXING.verdict(
            "fail",
            TANK,
            say(
                "the tank runs to {hottest} and no mixing valve is named: {burns}",
                hottest=hottest,
                burns=_burns(hottest),
            ),
            quantity=hottest,
            limit=safe,
            remedy=say(
                "a mixing valve to ASSE 1017 at the tank, set to {safe} or less", safe=safe
            ),
        )
    outlet = heater.mixing_valve.outlet
    safe_enough = outlet <= SAFE_OUTLET + 0.01
    template = "a mixing valve brings {hottest} down to {outlet}"
    parts: dict[str, Quantity | str] = {"hottest": hottest, "outlet": outlet}
    if not safe_enough:
        template += ", which still {burns}"
        parts["burns"] = _burns(outlet)
    return MIXING.verdict(
        "pass" if safe_enough else "fail",
        TANK,
        say(template, **parts),
        quantity=outlet,
        limit=safe,
        remedy=None if safe_enough else say("set it to {safe} or less", safe=safe),
    )


def _standard(valve: MixingValveTable) -> list[Verdict]:
    """What the valve's standard covers, and whether that is what stands at a tank."""
    subject = "mixing valve"
    if valve.standard is None:
        return [STANDARD.unknown(subject, "water_heater.mixing_valve.standard")]
    scope = hot_water_tables.mixing_valve_scope(valve.standard)
    covers = say("{standard} covers: {what}", standard=scope.standard, what=scope.covers)
    if scope.place != "source":
        return [
            STANDARD.verdict(
                "caution",
                subject,
                covers,
                remedy=say("a valve to ASSE 1017 at the tank, this one where it belongs"),
            )
        ]
    low, high = temperature(scope.lowest_setting), temperature(scope.highest_setting)
    if valve.outlet > SAFE_OUTLET + 0.01:
        return []  # Too hot a setting is judged as such.
    if valve.outlet < low - 0.01:
        return [
            STANDARD.verdict(
                "caution",
                subject,
                say(
                    "set to {outlet}; {standard} valves are made to hold {low} to {high}",
                    outlet=valve.outlet,
                    standard=scope.standard,
                    low=low,
                    high=high,
                ),
                remedy=say("set it to {low} or more, and mix again at the fixture", low=low),
            )
        ]
    return [STANDARD.verdict("pass", subject, covers)]


def _fixtures(heater: WaterHeaterTable, result: HotResult) -> Verdict:
    """Whether the fixtures have valves of their own."""
    subject = "fixtures"
    if heater.fixture_valves is None:
        return FIXTURES.unknown(subject, "water_heater.fixture_valves")
    if heater.fixture_valves:
        return FIXTURES.verdict("pass", subject, say("the fixtures have valves of their own"))
    valve = heater.mixing_valve
    named = valve.standard if valve and valve.standard else "a valve at the tank"
    hottest = temperature(result.safety.hottest_drawn)
    return FIXTURES.verdict(
        "caution",
        subject,
        say(
            "{named} alone is control at the source and no scald protection: when it sticks, the "
            "tank's {hottest} {burns}",
            named=named,
            hottest=hottest,
            burns=_burns(hottest),
        ),
        remedy=say(
            "valves of their own at the fixtures: ASSE 1016 at showers, 1070 at basins and tubs"
        ),
    )


def _burns(hot: float) -> str:
    """How fast water of a temperature burns, as what a sentence says of it."""
    adult, child = (_time(hot, who) for who in WHO)
    if adult is None or child is None:
        return "burns nobody by the published times"
    return f"burns an adult in {adult}, a child in {child}"


def _time(hot: float, who: Who) -> str | None:
    """Time to a burn in words; None where the water burns nobody."""
    burn = scald.burn_time(hot, who)
    if not math.isfinite(burn.seconds):
        return None
    time = show(burn.seconds, kinds.DURATION, "SI")
    return f"less than {time}" if burn.bound == "at most" else time


def _burn(heater: WaterHeaterTable, result: HotResult) -> Verdict:
    """How fast the water burns before the mixing valve and after it."""
    hottest = temperature(result.safety.hottest_drawn)
    valve = heater.mixing_valve
    template = "{hottest} {burns}"
    parts: dict[str, Quantity | str] = {"hottest": hottest, "burns": _burns(hottest)}
    at_tap: float = hottest
    if valve is not None and valve.outlet < hottest:
        at_tap = valve.outlet
        template = (
            "before the valve {hottest} {burns}; after it {outlet} {mixed}; should it fail, "
            "{hottest} reaches the fixtures and only their own valves hold it back"
        )
        parts |= {"outlet": valve.outlet, "mixed": _burns(at_tap)}
    child = scald.burn_time(at_tap, "child").seconds
    return BURN.verdict(
        "pass",
        TANK,
        say(template, **parts),
        quantity=Quantity(child, kinds.DURATION) if math.isfinite(child) else None,
    )
