"""What keeps a tank from running too hot: its high limit, and with nobody home its guards."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.physics.tank import overheating
from wellsolar.results import HeatedTankResult
from wellsolar.site.schema import ElementTable, WaterHeaterTable
from wellsolar.studies.safety.direct_current import (
    breaks_of,
    studied_element,
)
from wellsolar.studies.safety.guarded_tank import (
    TANK,
    GuardedTank,
    temperature,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Sentence, Verdict, say

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
    place=Place("tank_days", "tank_guards"),
)

OVERHEATING = Rule(
    "overheating",
    "what stops the tank with nobody home?",
    "a thermostat and a high limit that break direct current; heat loss alone seldom does",
    "high limit",
    limit_is="at most",
    safety=True,
    place=Place("tank_days", "tank_guards"),
)


def high_limit_verdict(tank: GuardedTank) -> Verdict:
    """Whether a high limit stands between thermostat and relief valve.

    Parameters:
        tank: the heater's own, or one downstream
    Returns:
        a verdict on safety
    """
    if tank.high_limit is None:
        return HIGH_LIMIT.unknown(tank.subject, f"{tank.path}.high_limit")
    relief = tank.safety.pressure.relief_temperature
    hottest, limit = tank.safety.hottest, tank.high_limit
    reason = say(
        "thermostat {setpoint}, high limit {limit}, relief {relief}",
        setpoint=temperature(hottest),
        limit=tank.high_limit,
        relief=temperature(relief),
    )
    low, high = overheating.HIGH_LIMIT_RANGE
    if limit >= relief:
        return HIGH_LIMIT.verdict(
            "fail",
            tank.subject,
            reason,
            quantity=tank.high_limit,
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
        tank.subject,
        reason,
        quantity=temperature(hottest),
        limit=tank.high_limit,
        remedy=None
        if apart
        else say(
            "set the thermostat to no more than {most:down}, or it trips the high limit, which "
            "then waits for a hand",
            most=temperature(limit - SPREAD),
        ),
    )


def unnamed_guards(element: ElementTable, heater: WaterHeaterTable) -> list[str]:
    """What the file does not name of that which stops a tank."""
    missing = ["thermostat"] if element.thermostat is None else []
    return missing + (["high limit"] if heater.high_limit is None else [])


def can_boil(result: HeatedTankResult) -> bool:
    """Whether sun alone could drive the tank to its relief valve, as far as is known.

    The empty house's days count the first array alone, so that a further one leaves it open.
    """
    alone = result.nobody_home
    return alone is None or bool(result.safety.others) or alone.hottest >= _relief(result)


def _relief(result: HeatedTankResult) -> float:
    """Where the relief valve opens or the water boils, whichever comes first [degC]."""
    return min(result.safety.pressure.relief_temperature, result.safety.boiling_temperature)


def driven_by_sun(result: HeatedTankResult) -> tuple[str, dict[str, Quantity | str]]:
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


def overheating_verdict(
    element: ElementTable, heater: WaterHeaterTable, result: HeatedTankResult
) -> Verdict:
    """Whether something stops a tank that the sun heats with nobody home.

    Parameters:
        element: on the array
        heater: the heater's table
        result: of the tank
    Returns:
        a verdict on safety
    """
    alone = result.nobody_home
    if alone is None:
        needs = ["site.latitude"]
        needs += ["water_heater.high_limit"] if heater.high_limit is None else []
        return OVERHEATING.unknown(TANK, *needs)
    stall, relief = temperature(alone.hottest), temperature(_relief(result))
    if not can_boil(result):
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
    driven, parts = driven_by_sun(result)
    arrays = "the arrays together can drive" if result.safety.others else "the array alone drives"
    reason = f"with nobody home {arrays} it from its setting {driven}"
    missing = unnamed_guards(element, heater)
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
    guards = {
        "thermostat": "a thermostat set below the high limit",
        "high limit": "a high limit with hand reset of {low} to {high}",
    }
    parts: dict[str, Quantity | str] = {}
    if "high limit" in missing:
        parts = {"low": temperature(low), "high": temperature(high)}
    breaks, switched = breaks_of(studied_element(result))
    return say(
        " and ".join(guards[guard] for guard in missing) + ", " + breaks, **parts, **switched
    )
