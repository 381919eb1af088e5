"""Whether the water that a heated tank pushes out has a place to go."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results import TankPressure, TankSafety
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.safety.guarded_tank import TANK, temperature
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Place, Rule, Sentence, Verdict, say

ROUNDING = 1.005
"""What a remedy's volume leaves for the rounding of the precharge beside it: our choice."""

EXPANSION = Rule(
    "thermal expansion",
    "where does the heated water expand to?",
    "from cold to the high limit the pressure stays 10 % below the relief valve's setting: back "
    "into the pressure tank, or behind a check valve into an expansion tank; the relief valve is "
    "no place to expand to",
    "closed system",
    limit_is="at most",
    safety=True,
    place=Place(section="tank_guards"),
)


def expansion_verdicts(site: Site, heater: WaterHeaterTable, safety: TankSafety) -> list[Verdict]:
    """The expansion, into the house's pressure tank or an expansion tank.

    Parameters:
        site: the site
        heater: the heater's table
        safety: of its tank
    Returns:
        one verdict, or none where the supply pressure leaves no room, which is judged elsewhere
    """
    pressure = safety.pressure
    if heater.check_valve is None:
        return [EXPANSION.unknown(TANK, "water_heater.check_valve")]
    if heater.check_valve and heater.expansion_tank is None:
        return [EXPANSION.unknown(TANK, "water_heater.expansion_tank")]
    if heater.check_valve and not heater.expansion_tank:
        return [_nowhere(safety)]
    missing = _missing(site, heater, pressure)
    if missing:
        return [EXPANSION.unknown(TANK, *missing, why=_enough(heater, pressure))]
    assert pressure.supply is not None
    within = pressure.supply <= safety.expansion_limit
    return [_into_a_tank(heater, safety)] if within else []


def _missing(site: Site, heater: WaterHeaterTable, pressure: TankPressure) -> list[str]:
    """The one or two keys without which the pressure after the expansion can't be told."""
    if heater.check_valve:
        values = {
            "water_heater.expansion_tank_volume": heater.expansion_tank_volume,
            "water_heater.expansion_tank_precharge": heater.expansion_tank_precharge,
        }
        missing = [key for key, value in values.items() if value is None]
    else:
        missing = ["pressure_tank.volume"] if site.pressure_tank is None else []
    if pressure.supply is None:
        missing = [*missing[:1], "pressure_switch.cut_out"]
    return missing


def _enough(heater: WaterHeaterTable, pressure: TankPressure) -> str:
    """How large an expansion tank would do, as far as that is known."""
    if not heater.check_valve or pressure.expansion_tank is None or pressure.supply is None:
        return ""
    volume, supply = (
        " or ".join(show(value, kind, system, toward="up") for system in ("US", "SI"))
        for value, kind in (
            (pressure.expansion_tank, kinds.VOLUME),
            (pressure.supply, kinds.PRESSURE),
        )
    )
    return f"{volume} is enough at a precharge of {supply}"


def _grows(safety: TankSafety) -> dict[str, Quantity | str]:
    """How hot, what grows and by how much; both tanks' water where there are two."""
    parts: dict[str, Quantity | str] = {
        "grown": Quantity(safety.pressure.expansion, kinds.VOLUME),
        "hot": temperature(safety.guarded),
        "water": "the water",
    }
    if safety.second is not None:
        parts["water"] = "the water of both tanks"
        parts["hot"] = temperature(max(safety.guarded, safety.second.guarded))
    return parts


def _nowhere(safety: TankSafety) -> Verdict:
    """Of a check valve without an expansion tank."""
    return EXPANSION.verdict(
        "fail",
        TANK,
        say(
            "a check valve closes the cold side, and up to {hot} {water} grows by {grown} with "
            "nowhere to go but out of the relief valve, at each heating",
            **_grows(safety),
        ),
        remedy=_expansion_tank(safety.pressure),
    )


def _expansion_tank(pressure: TankPressure) -> Sentence:
    """The tank to put in, with its precharge; without a supply pressure only where it goes."""
    if pressure.expansion_tank is None or pressure.supply is None:
        return say("an expansion tank between the check valve and the heater")
    return say(
        "an expansion tank of at least {volume:up}, precharged to {supply}, between the check "
        "valve and the heater",
        volume=Quantity(ROUNDING * pressure.expansion_tank, kinds.VOLUME),
        supply=Quantity(pressure.supply, kinds.PRESSURE),
    )


def _into_a_tank(heater: WaterHeaterTable, safety: TankSafety) -> Verdict:
    """To what pressure the expansion lifts the tank that takes it."""
    pressure = safety.pressure
    assert pressure.supply is not None
    limit = Quantity(safety.expansion_limit, kinds.PRESSURE)
    parts = _grows(safety) | {"supply": Quantity(pressure.supply, kinds.PRESSURE)}
    into = "into the expansion tank" if heater.check_valve else "back into the pressure tank"
    reason = f"up to {{hot}} {{water}} grows by {{grown}} and goes {into}, "
    after = None
    if pressure.after is None:
        reason += "which has no room for it at {supply}"
    else:
        after = Quantity(pressure.after, kinds.PRESSURE)
        reason += "where it lifts the pressure from {supply} to {after}"
        parts["after"] = after
    within = after is not None and after <= limit * (1 + 1e-9)
    return EXPANSION.verdict(
        "pass" if within else "fail",
        TANK,
        say(reason, **parts),
        quantity=after,
        limit=limit,
        remedy=None if within else _larger(heater, pressure),
    )


def _larger(heater: WaterHeaterTable, pressure: TankPressure) -> Sentence:
    """A larger tank, or a lower precharge."""
    if heater.check_valve:
        return _expansion_tank(pressure)
    if pressure.tank_needed is None:
        return say(
            "a precharge of the pressure tank below {limit:down}",
            limit=Quantity(pressure.supply or 0.0, kinds.PRESSURE),
        )
    return say(
        "pressure tanks of at least {needed:up} in all",
        needed=Quantity(pressure.tank_needed, kinds.VOLUME),
    )
