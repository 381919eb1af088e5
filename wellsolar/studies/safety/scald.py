"""Whether hot water can scald: times to a burn, mixing valve and its standard, fixtures."""

from __future__ import annotations

import math
from typing import Literal

from wellsolar import kinds
from wellsolar.data import hot_water_tables
from wellsolar.physics.tank import scald
from wellsolar.results.heat_safety import TankSafety
from wellsolar.site.schema import MixingValveTable, WaterHeaterTable
from wellsolar.studies.safety.guarded_tank import (
    SPREAD,
    TANK,
    HotResult,
    dial_down,
    dial_up,
    greatest_supply,
    heated_tank_of,
    second_tank_of,
    temperature,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import Change, Place, Rule, Verdict, at_least, at_most, remedy, say, set_to

Who = Literal["adult", "child"]
WHO: tuple[Who, Who] = ("adult", "child")

SAFE_OUTLET = (120.0 - 32.0) / 1.8
"""Hottest water at a fixture, 120 degF [degC]; UPC 408.3, IPC 412.5, CPSC document 5098."""

VALVE, SOURCE_STANDARD = "water_heater.mixing_valve", "ASSE 1017"
"""Key path of the valve at the tank, and the standard for it."""


MIXING = Rule(
    "mixing valve",
    "is the hot water mixed down?",
    "a tank that can get hotter than 120 degF needs a mixing valve, set to 120 degF or less; its "
    "thermostat is no control, as it may stick and let the tank come to the high limit",
    "mixing valve",
    limit_is="at most",
    safety=True,
    by="plumber",
    place=Place(section="tap"),
    claims=("fixture_valves",),
)


FIXTURES = Rule(
    "scald protection at fixtures",
    "is there protection where people bathe?",
    "a valve to ASSE 1017 at the tank controls temperature only; fixtures need 1016 or 1070",
    "point of use",
    safety=True,
    by="plumber",
    place=Place(section="tap"),
    claims=("fixture_valves",),
)


STANDARD = Rule(
    "mixing-valve standard",
    "is the mixing valve made for its place?",
    "a valve at the tank to ASSE 1017, set within the standard's range",
    "mixing-valve standards",
    safety=True,
    by="plumber",
    place=Place(section="tap"),
)


SUPPLY = Rule(
    "mixing-valve supply",
    "is the tank's water such as the mixing valve can mix?",
    "the hottest that the tank may get within what the valve's maker or standard allows (ASSE "
    "1017-2023: 180 degF); the tank set to 125 degF or more, and 20 degF above the valve",
    "mixing-valve standards",
    safety=True,
    by="plumber",
    place=Place(section="tap"),
)


BURN = Rule(
    "time to a burn",
    "how fast does the water burn?",
    "time to a full-thickness burn by the published times, before the mixing valve and after it",
    "burn times",
    safety=True,
    by="plumber",
    place=Place(section="tap"),
)


def scald_verdicts(heater: WaterHeaterTable, result: HotResult) -> list[Verdict]:
    """Whether the tank's water is mixed down, by what valves, and how fast it burns: verdicts, all
    of them on safety; burn times once, in the verdict that they weigh most in."""
    safety, valve = result.safety, heater.mixing_valve
    fixtures = _fixtures(heater, safety)
    if valve is None:
        return [_unmixed(heater, safety), fixtures]
    mixing = _mixed(heater, valve, safety)
    verdicts = [mixing, _supply(heater, valve, safety), *_standard(valve), fixtures]
    if mixing.status == "pass" and fixtures.status == "pass":
        verdicts.append(_burn(valve, safety))
    return verdicts


def _mixed(heater: WaterHeaterTable, valve: MixingValveTable, safety: TankSafety) -> Verdict:
    """Whether the mixing valve brings the water down to what is safe."""
    outlet, safe = valve.outlet, temperature(SAFE_OUTLET)
    safe_enough = at_most(outlet, SAFE_OUTLET)
    template = "a mixing valve brings what may come to {hottest} down to {outlet}"
    parts = {"hottest": temperature(safety.hottest_drawn), "outlet": outlet}
    return MIXING.verdict(
        "pass" if safe_enough else "fail",
        TANK,
        say(template, **parts)
        if safe_enough
        else say(template + ", which still {burns}", **parts, burns=_burns(outlet)),
        quantity=outlet,
        limit=safe,
        remedy=remedy("set it to {safe} or less", _set_to_safe(heater), safe=safe),
    )


def _set_to_safe(heater: WaterHeaterTable) -> list[Change]:
    """The valve's setting, and the water wanted at the tap where that was hotter."""
    safe = dial_down(SAFE_OUTLET)
    changes = [set_to(f"{VALVE}.outlet", safe)]
    if heater.draw.temperature > SAFE_OUTLET:
        changes.append(set_to("water_heater.draw.temperature", safe))
    return changes


def _unmixed(heater: WaterHeaterTable, safety: TankSafety) -> Verdict:
    """Of a tank without a mixing valve: a caution only where it is set cool and every fixture has
    a valve of its own."""
    setting, hottest = temperature(safety.hottest_set), temperature(safety.hottest_drawn)
    cool = at_most(setting, SAFE_OUTLET)
    held_back = cool and bool(heater.fixture_valves)
    reason = "the tank is set to {setting} and no mixing valve is named: "
    if cool:
        reason += "a thermostat is no control, and when it sticks the water comes to {hottest}, "
        reason += "which {burns}"
        reason += "; only the fixtures' own valves hold it back" if held_back else ""
    else:
        reason += "that {burns}, and when its thermostat sticks the water comes to {hottest}"
    changes = [*_set_to_safe(heater), set_to(f"{VALVE}.standard", SOURCE_STANDARD)]
    scope = hot_water_tables.mixing_valve_scope(SOURCE_STANDARD)
    changes += _hot_enough(heater, safety, scope.least_drop + SAFE_OUTLET)
    return MIXING.verdict(
        "caution" if held_back else "fail",
        TANK,
        say(
            reason,
            setting=setting,
            hottest=hottest,
            burns=_burns(hottest if cool else setting),
        ),
        quantity=hottest,
        limit=temperature(SAFE_OUTLET),
        remedy=remedy(
            "a mixing valve to ASSE 1017 at the tank, set to {safe} or less"
            + (", and the tank set {drop} hotter, as it needs" if cool else ""),
            changes,
            safe=temperature(SAFE_OUTLET),
            drop=Quantity(scope.least_drop, kinds.TEMPERATURE_DIFFERENCE),
        ),
        claims=["water_heater.fixture_valves"] if held_back else [],
    )


def _hot_enough(heater: WaterHeaterTable, safety: TankSafety, needed: float) -> list[Change]:
    """The hottest thermostat set to so much [degC]; nothing where it is, or where its high limit
    leaves no room for it."""
    tank = second_tank_of(heater, safety) or heated_tank_of(heater, safety)
    setting = dial_up(needed)
    limit = tank.table.high_limit
    enough = at_least(temperature(safety.hottest_set), needed)
    if enough or (limit is not None and setting > limit - SPREAD):
        return []
    path, _ = max(tank.thermostats, key=lambda thermostat: thermostat[1])
    return [set_to(path, setting)]


def _supply(heater: WaterHeaterTable, valve: MixingValveTable, safety: TankSafety) -> Verdict:
    """Whether the tank's water is no hotter and no cooler than the valve is made for."""
    subject, most = "mixing valve", greatest_supply(valve)
    hottest, setting = temperature(safety.hottest_drawn), temperature(safety.hottest_set)
    if math.isinf(most):
        key = "standard" if valve.standard is None else "greatest_supply"
        return SUPPLY.unknown(subject, f"{VALVE}.{key}")
    if not at_most(hottest, most):
        return _too_hot(heater, valve, safety)
    parts: dict[str, Quantity | str] = {"hottest": hottest, "most": temperature(most)}
    if valve.standard is not None:
        scope = hot_water_tables.mixing_valve_scope(valve.standard)
        needed = max(scope.lowest_supply, valve.outlet + scope.least_drop)
        if not at_least(setting, needed):
            changes = _hot_enough(heater, safety, needed)
            return SUPPLY.verdict(
                "caution",
                subject,
                say(
                    "the tank is set to {setting}; set to {outlet} the valve holds its "
                    "temperature from {needed} up",
                    setting=setting,
                    outlet=valve.outlet,
                    needed=temperature(needed),
                ),
                quantity=setting,
                limit=temperature(needed),
                remedy=remedy(
                    "set the tank to {needed:up} or more",
                    changes or "the high limit leaves its thermostat no room for that",
                    needed=temperature(needed),
                ),
            )
    return SUPPLY.verdict(
        "pass",
        subject,
        say("it may be given {hottest}, and is made for up to {most}", **parts),
        quantity=hottest,
        limit=temperature(most),
    )


def _too_hot(heater: WaterHeaterTable, valve: MixingValveTable, safety: TankSafety) -> Verdict:
    """Of a tank that may get hotter than the valve is made for: unknown where only a high limit
    that the file does not name leaves it open."""
    subject, most = "mixing valve", greatest_supply(valve)
    own, second = heated_tank_of(heater, safety), second_tank_of(heater, safety)
    both = [tank for tank in (own, second) if tank is not None]
    hot = [tank for tank in both if not at_most(temperature(tank.safety.guarded), most)]
    if all(tank.table.high_limit is None and tank.safety.hottest <= most for tank in hot):
        return SUPPLY.unknown(subject, *(f"{tank.path}.high_limit" for tank in hot))
    has_limit = valve.greatest_supply is not None
    return SUPPLY.verdict(
        "fail" if has_limit else "caution",
        subject,
        say(
            "it may be given {hottest}, and {whose} allows no more than {most}",
            hottest=temperature(safety.hottest_drawn),
            whose="its maker" if has_limit else "its standard",
            most=temperature(most),
        ),
        quantity=temperature(safety.hottest_drawn),
        limit=temperature(most),
        remedy=remedy(
            "a high limit of no more than {limit:down}, the thermostat below it; or a valve made "
            "for hotter water",
            [change for tank in hot for change in tank.cooler()[1]],
            limit=min(tank.cooler()[0] for tank in hot),
        ),
    )


def _standard(valve: MixingValveTable) -> list[Verdict]:
    """What the valve's standard covers, and whether that is what stands at a tank."""
    subject = "mixing valve"
    if valve.standard is None:
        return [STANDARD.unknown(subject, f"{VALVE}.standard")]
    scope = hot_water_tables.mixing_valve_scope(valve.standard)
    compliance = "made" if scope.place == "source" else "not made"
    covers = say(
        f"{{standard}} is {compliance} for a tank: {{what}}",
        standard=scope.standard,
        what=scope.covers,
    )
    if scope.place != "source":
        return [
            STANDARD.verdict(
                "caution",
                subject,
                covers,
                remedy=remedy(
                    "a valve to ASSE 1017 at the tank, this one where it belongs",
                    [set_to(f"{VALVE}.standard", SOURCE_STANDARD)],
                ),
            )
        ]
    low, high = temperature(scope.lowest_setting), temperature(scope.highest_setting)
    if not at_most(valve.outlet, SAFE_OUTLET):
        return []  # Too hot a setting is judged as such.
    if not at_least(valve.outlet, low):
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
                remedy=remedy(
                    "set it to {low} or more, and mix again at the fixture",
                    [set_to(f"{VALVE}.outlet", dial_up(low))],
                    low=low,
                ),
            )
        ]
    return [STANDARD.verdict("pass", subject, covers)]


def _fixtures(heater: WaterHeaterTable, safety: TankSafety) -> Verdict:
    """Whether the fixtures have valves of their own."""
    subject, key = "fixtures", "water_heater.fixture_valves"
    if heater.fixture_valves is None:
        return FIXTURES.unknown(subject, key)
    if heater.fixture_valves:
        reason = say("the fixtures have valves of their own")
        return FIXTURES.verdict("pass", subject, reason, claims=[key])
    valve = heater.mixing_valve
    named = valve.standard if valve and valve.standard else "a valve at the tank"
    hottest = temperature(safety.hottest_drawn)
    return FIXTURES.verdict(
        "caution",
        subject,
        say(
            "{named} alone is control at the source and no scald protection: when it sticks, the "
            "tank's water, up to {hottest}, {burns}",
            named=named,
            hottest=hottest,
            burns=_burns(hottest),
        ),
        remedy=remedy(
            "valves of their own at the fixtures: ASSE 1016 at showers, 1070 at basins and tubs",
            [set_to(key, True)],
        ),
    )


def _burns(hot: float) -> str:
    """How fast water of a temperature burns, as what a sentence says of it."""
    adult, child = (_time(hot, who) for who in WHO)
    if adult is None or child is None:
        return "burns nobody by the published times"
    return f"burns an adult in {adult}, a child in {child}"


def _time(hot: float, who: Who) -> str | None:
    """Time to a burn in words, rounded to the safe side; None where the water burns nobody."""
    burn = scald.burn_time(hot, who)
    if not math.isfinite(burn.seconds):
        return None
    if burn.seconds < 1.0 or burn.bound == "at most":
        return f"less than {max(1, math.floor(burn.seconds))} s"
    if burn.seconds < 60.0:
        return f"{math.floor(burn.seconds + 1e-6)} s"
    return f"{math.floor(burn.seconds / 60.0 + 1e-6)} min"


def _burn(valve: MixingValveTable, safety: TankSafety) -> Verdict:
    """How fast the water burns before the mixing valve and after it."""
    hottest, setting = temperature(safety.hottest_drawn), temperature(safety.hottest_set)
    after = min(valve.outlet, setting)
    child = scald.burn_time(after, "child").seconds
    return BURN.verdict(
        "pass",
        TANK,
        say(
            "before the valve {setting} {burns}; after it {outlet} {mixed}; should valve and "
            "thermostat fail, {hottest} reaches the fixtures and only their own valves hold it "
            "back",
            setting=setting,
            burns=_burns(setting),
            outlet=temperature(after),
            mixed=_burns(after),
            hottest=hottest,
        ),
        quantity=Quantity(child, kinds.DURATION) if math.isfinite(child) else None,
    )
