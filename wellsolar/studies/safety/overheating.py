"""What keeps a tank from running too hot: its high limit, and with nobody home its guards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.physics.tank import overheating
from wellsolar.results.heat import HeatedTankResult
from wellsolar.site.schema import ElementTable, Site, WaterHeaterTable
from wellsolar.studies.safety.contacts import breaks_of
from wellsolar.studies.safety.direct_current import studied_element
from wellsolar.studies.safety.guarded_tank import (
    SPREAD,
    TANK,
    GuardedTank,
    dial_down,
    heated_tank_of,
    temperature,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Change,
    Place,
    Remedy,
    Rule,
    Status,
    Verdict,
    at_least,
    at_most,
    remedy,
    say,
    set_to,
)

DIFFERENT = 1.0
"""Temperatures closer than this are one to a reader [K]."""

HIGH_LIMIT = Rule(
    "high limit",
    "does a high limit stand between thermostat and relief valve?",
    "thermostat below high limit (hand reset), which is no more than 180 degF and than the tank's "
    "plate, and below the relief temperature",
    "high limit",
    limit_is="at most",
    safety=True,
    by="electrician",
    place=Place("tank_days", "tank_guards"),
)

OVERHEATING = Rule(
    "overheating",
    "what stops the tank with nobody home?",
    "a thermostat and a high limit that break direct current; heat loss alone seldom does",
    "high limit",
    limit_is="at most",
    safety=True,
    by="electrician",
    place=Place("tank_days", "tank_guards"),
)


def high_limit_verdict(tank: GuardedTank) -> Verdict:
    """Whether a high limit stands between thermostat and relief valve."""
    limit = tank.table.high_limit
    if limit is None:
        return HIGH_LIMIT.unknown(tank.subject, f"{tank.path}.high_limit")
    relief, hottest = tank.safety.pressure.relief_temperature, tank.safety.hottest
    upper, plate = overheating.HIGH_LIMIT_RANGE[1], tank.table.greatest_temperature
    reason = "thermostat {setpoint}, high limit {limit}, relief {relief}"
    parts: dict[str, Quantity | str] = {
        "setpoint": temperature(hottest),
        "limit": limit,
        "relief": temperature(relief),
    }
    least = temperature(limit - SPREAD)
    judged, mark = temperature(hottest), limit
    status: Status = "pass"
    if at_least(limit, relief):
        judged, mark, status = limit, temperature(relief), "fail"
    elif plate is not None and not at_most(limit, plate):
        reason += "; the tank is made for no more than {plate}"
        parts["plate"] = plate
        judged, mark, status = limit, plate, "fail"
    elif not at_most(limit, upper):
        reason += "; high limits of tanks like this open at {upper} or below"
        parts["upper"] = temperature(upper)
        judged, mark, status = limit, temperature(upper), "caution"
    elif not at_most(temperature(hottest), least):
        mended = tank.thermostats_below(limit)
        return HIGH_LIMIT.verdict(
            "fail" if at_least(temperature(hottest), limit) else "caution",
            tank.subject,
            say(reason, **parts),
            quantity=judged,
            limit=mark,
            remedy=remedy(
                "set the thermostat to no more than {most:down}, or it trips the high limit, "
                "which then waits for a hand",
                mended,
                most=least,
            ),
        )
    fits, changes = tank.cooler()
    return HIGH_LIMIT.verdict(
        status,
        tank.subject,
        say(reason, **parts),
        quantity=judged,
        limit=mark,
        remedy=remedy(
            "a high limit of {fits:down} with hand reset, the thermostat below it",
            changes,
            fits=fits,
        ),
    )


@dataclass(frozen=True)
class OnSun:
    """An element that an array feeds: its table, key path, number in the file, and the array."""

    element: ElementTable
    path: str
    number: int
    array: str


def fed_elements(site: Site, heater: WaterHeaterTable) -> list[OnSun]:
    """Every element that modules feed: the elements in the order of the file."""
    arrays = {group.name for group in site.array}
    return [
        OnSun(element, f"water_heater.element[{number}]", number, element.fed_by)
        for number, element in enumerate(heater.element, 1)
        if element.fed_by in arrays
    ]


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
    fed: Sequence[OnSun],
    heater: WaterHeaterTable,
    result: HeatedTankResult,
    guards: Sequence[Verdict],
) -> Verdict | None:
    """Whether something stops a tank that the sun heats with nobody home.

    Parameters:
        fed: every element that modules feed
        guards: the verdicts on what breaks the arrays' current
    Returns:
        a verdict on safety; None where guards are named that do not break it, which the verdict
        on their contacts tells with how far the sun drives the tank
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
    missing = _missing(fed, heater)
    if missing:
        reason += ", and no {missing} is named to stop it"
        parts["missing"] = " and no ".join(missing)
        return OVERHEATING.verdict(
            "fail", TANK, say(reason, **parts), quantity=stall, limit=relief,
            remedy=_guards(fed, heater, result),
        )  # fmt: skip
    if any(verdict.status == "fail" for verdict in guards):
        return None
    needs = [key for verdict in guards if verdict.status == "unknown" for key in verdict.needs]
    if needs:
        return OVERHEATING.unknown(
            TANK, *dict.fromkeys(needs[:2]), why="guards are named, not what they can break"
        )
    reason += "; {guards} stop it before"
    parts["guards"] = "thermostats and high limit" if len(fed) > 1 else "thermostat and high limit"
    quantity = temperature(result.safety.guarded)
    return OVERHEATING.verdict("pass", TANK, say(reason, **parts), quantity=quantity, limit=relief)


def _missing(fed: Sequence[OnSun], heater: WaterHeaterTable) -> list[str]:
    """What the file does not name of that which stops a tank, each element by itself."""
    missing = [
        "thermostat"
        if len(fed) == 1
        else f"thermostat of element {circuit.number} on {circuit.array}"
        for circuit in fed
        if circuit.element.thermostat is None
    ]
    return missing + (["high limit"] if heater.high_limit is None else [])


def _guards(fed: Sequence[OnSun], heater: WaterHeaterTable, result: HeatedTankResult) -> Remedy:
    """What stops the tank, and what it must break."""
    ways: list[str] = []
    tank = heated_tank_of(heater, result.safety)
    limit = dial_down(tank.most)
    below = dial_down((limit if heater.high_limit is None else heater.high_limit) - SPREAD)
    parts: dict[str, Quantity | str] = {"below": below}
    changes: list[Change] = []
    for circuit in fed:
        if circuit.element.thermostat is None:
            setting = min(below, dial_down(result.setpoint))
            changes.append(set_to(f"{circuit.path}.thermostat", setting))
            ways = ["a thermostat for each array's element, set to no more than {below:down}"]
    if heater.high_limit is None:
        low, high = overheating.HIGH_LIMIT_RANGE
        parts |= {"low": temperature(low), "high": temperature(high)}
        changes += tank.cooler()[1]
        ways.append("a high limit with hand reset of {low} to {high}")
    breaks, switched = breaks_of(studied_element(result))
    return remedy(" and ".join(ways) + ", " + breaks, changes, **parts, **switched)
