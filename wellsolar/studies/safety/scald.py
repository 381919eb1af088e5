"""Whether anybody can be scalded or made ill by the water of a PV-heated tank."""

from __future__ import annotations

import math
from typing import Literal

from wellsolar import kinds
from wellsolar.data import hot_water_tables
from wellsolar.physics.tank import scald
from wellsolar.results import DivertedTankResult, HeatedTankResult
from wellsolar.site.schema import MixingValveTable, Site, WaterHeaterTable
from wellsolar.studies.safety.guarded_tank import GuardedTank
from wellsolar.studies.safety.words import TANK, temperature
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Place, Rule, Sentence, Verdict, say

HotResult = HeatedTankResult | DivertedTankResult
"""A tank heated by modules wired to it, or by a battery's surplus alone."""

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


MOST_EVENINGS = 0.5
"""Share of the evenings on which the sun alone must bring the tank to its setting: our choice."""


LEGIONELLA = Rule(
    "storage temperature",
    "is the stored water hot enough against legionella?",
    "stored at 140 degF (60 degC) or more, on most evenings by the sun or always by the grid",
    "legionella",
    limit_is="at least",
    safety=True,
    place=Place("tank_days", "heated_tank|tank_guards"),
)


def scald_verdicts(site: Site, heater: WaterHeaterTable, result: HotResult) -> list[Verdict]:
    """Scalds and legionella.

    Parameters:
        site: the site
        heater: the heater's table
        result: its numbers
    Returns:
        verdicts, all of them on safety; burn times once, in the verdict that they weigh most in
    """
    mixing = _mixing(heater, result)
    found = [mixing]
    if result.safety.hottest_drawn > SAFE_OUTLET + 0.01:
        if heater.mixing_valve is not None:
            found += _standard(heater.mixing_valve)
        found.append(_fixtures(heater, result))
    if mixing.status == "pass" and found[-1].status == "pass":
        found.append(_burn(heater, result))
    return [*found, _legionella(site, heater, result)]


def _mixing(heater: WaterHeaterTable, result: HotResult) -> Verdict:
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
    found = scald.burn_time(hot, who)
    if not math.isfinite(found.seconds):
        return None
    time = show(found.seconds, kinds.DURATION, "SI")
    return f"less than {time}" if found.bound == "at most" else time


def _burn(heater: WaterHeaterTable, result: HotResult) -> Verdict:
    hottest = temperature(result.safety.hottest_drawn)
    valve = heater.mixing_valve
    template = "{hottest} {burns}"
    parts: dict[str, Quantity | str] = {"hottest": hottest, "burns": _burns(hottest)}
    at_tap = float(hottest)
    if valve is not None and valve.outlet < hottest:
        at_tap = float(valve.outlet)
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


def _legionella(site: Site, heater: WaterHeaterTable, result: HotResult) -> Verdict:
    safety = result.safety
    setpoint, limit = temperature(result.setpoint), site.limits.storage_temperature
    high = result.setpoint >= limit - 0.01
    template = "set to {setpoint}, " + ("at or above" if high else "below") + " {limit}: "
    parts: dict[str, Quantity | str] = {"setpoint": setpoint, "limit": limit}
    if safety.kill_time is None:
        template += "legionella outlives it"
    else:
        template += "it leaves a tenth of legionella in {tenth}, a thousandth in {thousandth}"
        parts["tenth"] = Quantity(safety.kill_time, kinds.DURATION)
        parts["thousandth"] = Quantity(3 * safety.kill_time, kinds.DURATION)
    kept = high and (_kept_by_grid(heater, float(limit)) or not _mostly_cooler(result))
    found = setpoint
    if high and not kept:
        year = result.households[0].year
        template += (
            ". {heats} alone brings it there on {hot} of {all} evenings, on the mean to {mean}"
        )
        found = temperature(year.evening_temperature)
        surplus = isinstance(result, DivertedTankResult)
        parts["heats"] = "The battery's surplus" if surplus else "The sun"
        parts |= {"hot": f"{year.evenings_at_setpoint}", "all": f"{year.days}", "mean": found}
    if result.dark_days:
        last = result.dark_days[-1]
        template += ". After {days} days without sun and with nothing drawn it stands at {cool}"
        parts |= {"days": f"{last.day}", "cool": temperature(last.idle_temperature)}
    template += "; before use after days without sun hold all of it at {through} for {time}"
    parts["through"] = temperature(safety.heat_through)
    parts["time"] = Quantity(safety.heat_through_time, kinds.DURATION)
    return LEGIONELLA.verdict(
        "pass" if kept else "caution",
        TANK,
        say(template, **parts),
        quantity=found,
        limit=limit,
        remedy=None if kept else _hotter_storage(heater, limit, high),
    )


def second_storage(site: Site, tank: GuardedTank) -> Verdict:
    """Whether a tank downstream stores its water hot enough, by its own thermostat.

    Parameters:
        site: the site
        tank: the tank downstream, which the grid heats
    Returns:
        a verdict
    """
    setpoint, limit = temperature(tank.safety.hottest), site.limits.storage_temperature
    high = setpoint >= limit - 0.01
    return LEGIONELLA.verdict(
        "pass" if high else "caution",
        tank.subject,
        say(
            "the taps draw from it, and its thermostat holds {setpoint}, "
            + ("at or above {limit}" if high else "below {limit}"),
            setpoint=setpoint,
            limit=limit,
        ),
        quantity=setpoint,
        limit=limit,
        remedy=None
        if high
        else say("set its thermostat to {limit} or more, behind a mixing valve", limit=limit),
    )


def _grid_thermostats(heater: WaterHeaterTable) -> list[float | None]:
    """Settings of what heats from the grid; None for one that the file does not tell."""
    found = [
        None if element.thermostat is None else float(element.thermostat)
        for element in heater.element
        if element.fed_by == "grid"
    ]
    if heater.second_tank is not None:
        found.append(float(heater.second_tank.thermostat))
    return found


def _kept_by_grid(heater: WaterHeaterTable, limit: float) -> bool:
    """True where something on the grid holds what the taps draw at the storage temperature."""
    return any(each is not None and each >= limit - 0.01 for each in _grid_thermostats(heater))


def _mostly_cooler(result: HotResult) -> bool:
    """True where the sun alone leaves the tank below its setting on most evenings."""
    if not result.households:
        return False
    year = result.households[0].year
    return year.evenings_at_setpoint < MOST_EVENINGS * year.days


def _hotter_storage(heater: WaterHeaterTable, limit: Quantity, high: bool) -> Sentence:
    if not high:
        return say("set the thermostat to {limit} or more, behind a mixing valve", limit=limit)
    if _grid_thermostats(heater):
        return say("set what heats from the grid to {limit} or more as well", limit=limit)
    return say(
        "an upper element on the grid set to {limit} or more, or modules enough for every other "
        "evening",
        limit=limit,
    )
