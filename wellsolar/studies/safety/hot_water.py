"""Whether hot water can hurt or sicken anybody, or its tank give, whatever heats it."""

from __future__ import annotations

from wellsolar.physics.tank import overheating
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.safety.expansion import expansion_verdicts
from wellsolar.studies.safety.guarded_tank import GuardedTank, heated_tank_of, second_tank_of
from wellsolar.studies.safety.relief import relief_verdicts, vacuum_verdict
from wellsolar.studies.safety.scald import HotResult, scald_verdicts, second_storage
from wellsolar.studies.safety.words import temperature
from wellsolar.verdicts import Place, Rule, Verdict, say

SPREAD = 5.0
"""Room between thermostat and high limit below which the one trips the other [K], 9 degF: common
practice, no source."""

HIGH_LIMIT = Rule(
    "high limit",
    "does a high limit stand between thermostat and relief valve?",
    "thermostat below high limit (hand reset) below relief temperature",
    "high limit",
    limit_is="at most",
    safety=True,
    place=Place("tank_days", "tank_guards"),
)


def hot_water_verdicts(
    site: Site, heater: WaterHeaterTable, result: HotResult, told_elsewhere: bool = False
) -> list[Verdict]:
    """Scalds, legionella, high limit, relief, siphoning and expansion, of both tanks.

    Parameters:
        site: the site
        heater: the heater's table
        result: its numbers
        told_elsewhere: True where another verdict asks for the high limit
    Returns:
        verdicts, all of them on safety; each hazard once for each tank
    """
    tank = heated_tank_of(heater, result.safety)
    second = second_tank_of(heater, result.safety)
    found = scald_verdicts(site, heater, result)
    if not told_elsewhere:
        found.append(high_limit_verdict(tank))
    found += relief_verdicts(site, tank)
    found.append(vacuum_verdict(heater))
    found += expansion_verdicts(site, heater, result.safety)
    if second is not None:
        found += [second_storage(site, second), high_limit_verdict(second)]
        found += relief_verdicts(site, second)
    return found


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
    hottest, limit = tank.safety.hottest, float(tank.high_limit)
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
