"""Whether a PV-heated tank can run too hot, or its element and switch bear too much."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.physics.tank import overheating
from wellsolar.results import HeatedTankResult
from wellsolar.site.schema import ArrayTable, ElementTable, Site, WaterHeaterTable
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.safety.dc import dc_verdicts
from wellsolar.studies.safety.element import Subjects, breaks_of, element_verdicts, studied_element
from wellsolar.studies.safety.hot_water import hot_water_verdicts
from wellsolar.studies.safety.words import TANK, temperature
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Sentence, Verdict, say

DIFFERENT = 1.0
"""Temperatures closer than this are one to a reader [K]."""

OVERHEATING = Rule(
    "overheating",
    "what stops the tank with nobody home?",
    "a thermostat and a high limit that break direct current; heat loss alone seldom does",
    "high limit",
    limit_is="at most",
    safety=True,
    place=Place("tank_days", "tank_guards"),
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
        verdicts, all of them on safety but those on further arrays' cables; each hazard once
    """
    # Of a tank that can boil the verdict on overheating asks for the high limit.
    asked = heater.high_limit is None and _boils(result)
    found = hot_water_verdicts(site, heater, result, told_elsewhere=asked)
    if element.thermostat_switches != "AC" or _unguarded(element, heater):
        found.append(_overheating(element, heater, result))
    driven = _driven(result) if result.nobody_home is not None and _boils(result) else None
    studied = studied_element(result, path)
    found += element_verdicts(element, studied, Subjects(result.array), driven)
    found += dc_verdicts(group, group_path, studied)
    return found + _of_other_arrays(site, heater, group, result)


def _of_other_arrays(
    site: Site, heater: WaterHeaterTable, group: ArrayTable, result: HeatedTankResult
) -> list[Verdict]:
    """Direct current of the elements that other arrays feed; of an array that feeds two once."""
    found: list[Verdict] = []
    judged = {group.name}
    for fed in result.safety.others:
        element = heater.element[fed.number - 1]
        new = fed.array not in judged
        array = fed.array if new else f"{fed.array}, element {fed.number}"
        names = Subjects(array, f"thermostat of element {fed.number}", f"element {fed.number}")
        found += element_verdicts(element, fed, names)
        if new:
            judged.add(fed.array)
            place, table = next(
                (place, each) for place, each in enumerate(site.array, 1) if each.name == fed.array
            )
            found += dc_verdicts(table, f"array[{place}]", fed)
        if new and fed.wire is not None:
            limit = float(site.limits.voltage_drop)
            found += wiring.wire_verdicts(fed.wire, fed.array, limit, wiring.AMPACITY_PV)
    return found


def _unguarded(element: ElementTable, heater: WaterHeaterTable) -> list[str]:
    """What the file does not name of that which stops a tank."""
    missing = ["thermostat"] if element.thermostat is None else []
    return missing + (["high limit"] if heater.high_limit is None else [])


def _relief(result: HeatedTankResult) -> float:
    """Where the relief valve opens or the water boils, whichever comes first [degC]."""
    return min(result.safety.pressure.relief_temperature, result.safety.boiling_temperature)


def _boils(result: HeatedTankResult) -> bool:
    """Whether sun alone could drive the tank to its relief valve, as far as is known.

    The empty house's days count the first array alone, so that a further one leaves it open.
    """
    alone = result.nobody_home
    return alone is None or bool(result.safety.others) or alone.hottest >= _relief(result)


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
    arrays = "the arrays together can drive" if result.safety.others else "the array alone drives"
    reason = f"with nobody home {arrays} it from its setting {driven}"
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
    breaks, switched = breaks_of(studied_element(result))
    return say(" and ".join(told[each] for each in missing) + ", " + breaks, **parts, **switched)
