"""Whether stored water is hot enough against legionella, in each of the tanks."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results import DivertedTankResult
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.safety.guarded_tank import TANK, GuardedTank, HotResult, temperature
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Sentence, Verdict, say

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


def storage_verdict(site: Site, heater: WaterHeaterTable, result: HotResult) -> Verdict:
    """Whether the heater's own tank stores its water hot enough.

    Parameters:
        site: the site
        heater: the heater's table
        result: of its tank
    Returns:
        a verdict on safety
    """
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
    kept = high and (_kept_by_grid(heater, limit) or not _mostly_cooler(result))
    judged = setpoint
    if high and not kept:
        year = result.households[0].year
        template += (
            ". {heats} alone brings it there on {hot} of {all} evenings, to {mean} on average"
        )
        judged = temperature(year.evening_temperature)
        surplus = isinstance(result, DivertedTankResult)
        parts["heats"] = "The battery's surplus" if surplus else "The sun"
        parts |= {"hot": f"{year.evenings_at_setpoint}", "all": f"{year.days}", "mean": judged}
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
        quantity=judged,
        limit=limit,
        remedy=None if kept else _hotter_storage(heater, limit, high),
    )


def second_storage_verdict(site: Site, tank: GuardedTank) -> Verdict:
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
    settings: list[float | None] = [
        element.thermostat for element in heater.element if element.fed_by == "grid"
    ]
    if heater.second_tank is not None:
        settings.append(heater.second_tank.thermostat)
    return settings


def _kept_by_grid(heater: WaterHeaterTable, limit: float) -> bool:
    """True where something on the grid holds what the taps draw at the storage temperature."""
    settings = _grid_thermostats(heater)
    return any(setting is not None and setting >= limit - 0.01 for setting in settings)


def _mostly_cooler(result: HotResult) -> bool:
    """True where the sun alone leaves the tank below its setting on most evenings."""
    if not result.households:
        return False
    year = result.households[0].year
    return year.evenings_at_setpoint < MOST_EVENINGS * year.days


def _hotter_storage(heater: WaterHeaterTable, limit: Quantity, high: bool) -> Sentence:
    """A hotter thermostat, on the modules' element or on the grid."""
    if not high:
        return say("set the thermostat to {limit} or more, behind a mixing valve", limit=limit)
    if _grid_thermostats(heater):
        return say("set what heats from the grid to {limit} or more as well", limit=limit)
    return say(
        "an upper element on the grid set to {limit} or more, or modules enough for every other "
        "evening",
        limit=limit,
    )
