"""Whether the water that a heated tank pushes out has a place to go."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results.heat_safety import TankPressure, TankSafety
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.safety.guarded_tank import TANK, temperature
from wellsolar.studies.safety.numbers import HOUSE_PRESSURE, RELIEF_MARGIN
from wellsolar.studies.sold.standard_sizes import next_up
from wellsolar.units import Quantity, System, show
from wellsolar.verdicts import Place, Remedy, Rule, Status, Verdict, at_most, remedy, say, set_to

ROUNDING = 1.005
"""What a remedy's volume leaves for the rounding of the precharge beside it: our choice."""

EXPANSION = Rule(
    "thermal expansion",
    "where does the heated water expand to?",
    "from cold to the high limit the pressure stays below the relief valve's setting, by 10 % by "
    "wellsolar's mark, back into the pressure tank; behind a check valve, into an expansion tank, "
    "it stays within 80 psi too; the relief valve is no place to expand to",
    "closed system",
    limit_is="at most",
    safety=True,
    by="plumber",
    place=Place(section="tank_guards"),
    claims=("expansion_tank",),
)


def expansion_verdicts(site: Site, heater: WaterHeaterTable, safety: TankSafety) -> list[Verdict]:
    """The expansion, into the house's pressure tank or an expansion tank."""
    pressure = safety.pressure
    if heater.check_valve is None:
        return [EXPANSION.unknown(TANK, "water_heater.check_valve")]
    if heater.check_valve and heater.expansion_tank is None:
        return [EXPANSION.unknown(TANK, "water_heater.expansion_tank")]
    if heater.check_valve and not heater.expansion_tank:
        return [_nowhere(safety, site.site.print_units)]
    missing = _missing(site, heater, pressure)
    if missing:
        return [EXPANSION.unknown(TANK, *missing, why=_enough(heater, pressure))]
    assert pressure.supply is not None
    if not at_most(Quantity(pressure.supply, kinds.PRESSURE), pressure.expansion_limit):
        return [_no_room(heater, pressure)]
    tanks = 1 if site.pressure_tank is None else site.pressure_tank.count
    verdict = _into_a_tank(heater, safety, tanks, site.site.print_units)
    if verdict.status != "pass" and heater.high_limit is None:
        return [EXPANSION.unknown(TANK, "water_heater.high_limit")]
    return [verdict]


def _past(heater: WaterHeaterTable, pressure: TankPressure) -> Status:
    """How a pressure above the limit stands: a fail where the valve opens, or where the code ends
    behind a check valve; short of both only our own margin is used up."""
    if pressure.after is None:
        return "fail"
    ends = pressure.expansion_limit / (1.0 - RELIEF_MARGIN)
    if heater.check_valve:
        ends = min(ends, HOUSE_PRESSURE)
    return "caution" if at_most(Quantity(pressure.after, kinds.PRESSURE), ends) else "fail"


def _no_room(heater: WaterHeaterTable, pressure: TankPressure) -> Verdict:
    """Where the pumps' pressure alone is more than the expansion may come to."""
    supply, limit = pressure.supply or 0.0, Quantity(pressure.expansion_limit, kinds.PRESSURE)
    return EXPANSION.verdict(
        _past(heater, pressure),
        TANK,
        say(
            "the pumps stop at {supply}, above the {limit} that the heated water may lift it to",
            supply=Quantity(supply, kinds.PRESSURE),
            limit=limit,
        ),
        quantity=Quantity(supply, kinds.PRESSURE),
        limit=limit,
        remedy=remedy(
            "pumps that stop below {limit:down}, or a pressure-reducing valve before the heater",
            "the verdict on that pressure has the change, as cut-in and precharge follow it",
            limit=limit,
        ),
    )


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


def _nowhere(safety: TankSafety, system: System) -> Verdict:
    """Of a check valve without an expansion tank."""
    return EXPANSION.verdict(
        "fail",
        TANK,
        say(
            "a check valve closes the cold side, and up to {hot} {water} grows by {grown} with "
            "nowhere to go but out of the relief valve, at each heating",
            **_grows(safety),
        ),
        remedy=_expansion_tank(safety.pressure, system),
    )


def _expansion_tank(pressure: TankPressure, system: System) -> Remedy:
    """The tank to put in, with its precharge; without a supply pressure only where it goes."""
    where = "between the check valve and the heater"
    if pressure.expansion_tank is None or pressure.supply is None:
        why = "its volume follows from the pressure at which the pumps stop"
        if pressure.supply is not None:
            why = "at that pressure no tank has room: the pumps stop lower first"
        return remedy(f"an expansion tank {where}", why)
    needed = Quantity(ROUNDING * pressure.expansion_tank, kinds.VOLUME)
    sold = next_up("expansion tank", needed, kinds.VOLUME, system)
    supply = Quantity(pressure.supply, kinds.PRESSURE)
    changes = [
        set_to("water_heater.expansion_tank", True),
        set_to("water_heater.expansion_tank_volume", sold or needed),
        set_to("water_heater.expansion_tank_precharge", supply),
    ]
    if sold is None:
        template = "expansion tanks of at least {needed:up} in all"
        return remedy(f"{template}, precharged to {{supply}}, {where}", changes,
                      needed=needed, supply=supply)  # fmt: skip
    return remedy(
        f"an expansion tank of {{sold:up}} (at least {{needed:up}} is needed), precharged to "
        f"{{supply}}, {where}",
        changes,
        sold=sold,
        needed=needed,
        supply=supply,
    )


def _into_a_tank(
    heater: WaterHeaterTable, safety: TankSafety, tanks: int, system: System
) -> Verdict:
    """To what pressure the expansion lifts the tank that takes it."""
    pressure = safety.pressure
    assert pressure.supply is not None
    limit = Quantity(pressure.expansion_limit, kinds.PRESSURE)
    parts = _grows(safety) | {"supply": Quantity(pressure.supply, kinds.PRESSURE)}
    into = "into the expansion tank" if heater.check_valve else "back into the pressure tank"
    reason = f"up to {{hot}} {{water}} grows by {{grown}} and goes {into}"
    after = None
    if pressure.after is None:
        reason += ", which has no room for it at {supply}"
    else:
        after = Quantity(pressure.after, kinds.PRESSURE)
        reason += "; there it lifts the pressure from {supply} to {after}"
        parts["after"] = after
    within = after is not None and at_most(after, limit)
    return EXPANSION.verdict(
        "pass" if within else _past(heater, pressure),
        TANK,
        say(reason, **parts),
        quantity=after,
        limit=limit,
        remedy=None if within else _larger(heater, pressure, tanks, system),
        claims=["water_heater.expansion_tank"] if heater.check_valve else [],
    )


def _larger(
    heater: WaterHeaterTable, pressure: TankPressure, tanks: int, system: System
) -> Remedy:
    """A larger tank, or a lower precharge; of so many tanks alike."""
    if heater.check_valve:
        return _expansion_tank(pressure, system)
    supply = Quantity(pressure.supply or 0.0, kinds.PRESSURE)
    if pressure.tank_needed is None:
        return remedy(
            "a precharge of the pressure tank below {supply:down}",
            "the verdict on the precharge has the change",
            supply=supply,
        )
    needed = Quantity(pressure.tank_needed, kinds.VOLUME)
    sold = next_up("pressure tank", needed / tanks, kinds.VOLUME, system)
    each = sold or Quantity(ROUNDING * needed / tanks, kinds.VOLUME)
    return remedy(
        "pressure tanks of at least {needed:up} in all, such as {count} of {each:up}",
        [set_to("pressure_tank.volume", each)],
        needed=needed,
        count=f"{tanks}",
        each=each,
    )
