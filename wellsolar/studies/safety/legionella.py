"""Whether stored water is hot enough against legionella, in each of the tanks."""

from __future__ import annotations

from wellsolar.results.heat import DivertedTankResult
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.safety.guarded_tank import (
    TANK,
    GuardedTank,
    HotResult,
    dial_up,
    temperature,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Remedy, Rule, Verdict, at_least, remedy, say, set_to

MOST_EVENINGS = 0.5
"""Share of the evenings on which the sun alone must bring the tank to its setting: our choice."""


LEGIONELLA = Rule(
    "storage temperature",
    "is the stored water hot enough against legionella?",
    "stored at 140 degF (60 degC) or more, as WHO has it at a heater's outlet, on most evenings "
    "by the sun or always by the grid; no code that was seen asks it of homes",
    "legionella",
    limit_is="at least",
    safety=True,
    by="electrician",
    place=Place("tank_days", "heated_tank|tank_guards"),
)


def storage_verdict(site: Site, heater: WaterHeaterTable, result: HotResult) -> Verdict:
    """Whether the heater's own tank stores its water hot enough."""
    safety = result.safety
    setpoint, limit = temperature(result.setpoint), site.limits.storage_temperature
    high = at_least(setpoint, limit)
    template = "set to {setpoint}, " + ("at or above" if high else "below") + " {limit}"
    parts: dict[str, Quantity | str] = {"setpoint": setpoint, "limit": limit}
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
    template += (
        ". Before people shower after days without sun, hold all of it at {through} or more for "
        "an hour, as published guides have it. Then run every tap at its hottest, out of the spray"
    )
    parts["through"] = temperature(safety.heat_through)
    return LEGIONELLA.verdict(
        "pass" if kept else "caution",
        TANK,
        say(template, **parts),
        quantity=judged,
        limit=limit,
        remedy=_hotter_storage(heater, result, limit),
    )


def second_storage_verdict(site: Site, tank: GuardedTank) -> Verdict:
    """Whether a tank downstream stores its water hot enough, by its own thermostat.

    Parameters:
        tank: the tank downstream, which the grid heats
    """
    setpoint, limit = temperature(tank.safety.hottest), site.limits.storage_temperature
    high = at_least(setpoint, limit)
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
        remedy=remedy(
            "set its thermostat to {limit:up} or more, behind a mixing valve",
            [set_to("water_heater.second_tank.thermostat", dial_up(limit))],
            limit=limit,
        ),
    )


def _grid_thermostats(heater: WaterHeaterTable) -> dict[str, float | None]:
    """Settings of what heats from the grid by key path; None for one that the file lacks."""
    settings: dict[str, float | None] = {
        f"water_heater.element[{number}].thermostat": element.thermostat
        for number, element in enumerate(heater.element, 1)
        if element.fed_by == "grid"
    }
    if heater.second_tank is not None:
        settings["water_heater.second_tank.thermostat"] = heater.second_tank.thermostat
    return settings


def _kept_by_grid(heater: WaterHeaterTable, limit: float) -> bool:
    """True where something on the grid holds what the taps draw at the storage temperature."""
    settings = _grid_thermostats(heater).values()
    return any(
        setting is not None and at_least(temperature(setting), limit) for setting in settings
    )


def _mostly_cooler(result: HotResult) -> bool:
    """True where the sun alone leaves the tank below its setting on most evenings."""
    if not result.households:
        return False
    year = result.households[0].year
    return year.evenings_at_setpoint < MOST_EVENINGS * year.days


def _hotter_storage(heater: WaterHeaterTable, result: HotResult, limit: Quantity) -> Remedy:
    """A hotter thermostat, on the modules' element and, where the sun does not do it, on the
    grid."""
    setting = dial_up(limit)
    mixed = "" if heater.mixing_valve else ", behind a mixing valve"
    changes = []
    if not at_least(temperature(result.setpoint), limit):
        fed_by = "inverter" if isinstance(result, DivertedTankResult) else result.array
        feeders = [element.fed_by for element in heater.element]
        path = f"water_heater.element[{feeders.index(fed_by) + 1}].thermostat"
        changes = [set_to(path, setting)]
    if not result.households and changes:
        return remedy("set the thermostat to {limit:up} or more" + mixed, changes, limit=limit)
    on_grid = [set_to(path, setting) for path in _grid_thermostats(heater)]
    if not on_grid:
        return remedy(
            "an upper element on the grid set to {limit:up} or more, or modules enough for every "
            "other evening",
            "a new element is a table of its own, which no single key makes",
            limit=limit,
        )
    which = "every thermostat" if changes else "what heats from the grid"
    return remedy(
        "set {which} to {limit:up} or more{well}" + mixed,
        [*changes, *on_grid],
        which=which,
        well="" if changes else " as well",
        limit=limit,
    )
