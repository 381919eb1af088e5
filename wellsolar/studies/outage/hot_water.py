"""The hot water in an outage, by what the heater's own studies found."""

from __future__ import annotations

from wellsolar.results import DivertedTankResult, HeatedTankResult, HotWater, HouseholdYear, Outage
from wellsolar.site.schema import Site
from wellsolar.studies.array.heater_circuit import element_on_array
from wellsolar.studies.outage.equipment import Equipment
from wellsolar.studies.outage.events import Event
from wellsolar.studies.supply.diversion import element_on_inverter

NO_PRESSURE = "there is no pressure at the taps"


def hot_water(has: Equipment, event: Event, outage: Outage) -> HotWater | None:
    """The hot water in one outage; None of a site without a water heater."""
    if has.site.water_heater is None:
        return None
    hot = _hot(has, event)
    if outage.pressure == "no" and hot.state != "none":
        return HotWater(hot.state, hot.days, hot.end_temperature, NO_PRESSURE)
    return hot


def _hot(has: Equipment, event: Event) -> HotWater:
    site, failed, days = has.site, event.failed, event.days
    heater, heated, diverted = site.water_heater, has.heated, has.diverted
    assert heater is not None
    if "water heater" in failed:
        return HotWater("none", 0.0, None, "the water heater has failed")
    on_grid = heater.second_tank is not None or any(e.fed_by == "grid" for e in heater.element)
    if on_grid and site.power.grid and "grid" not in failed:
        return HotWater("hot", float(days), None, "nothing: the grid heats it")
    if heated is not None and not event.dark and heated.array not in failed:
        return _sunny(heated.households, days, "sun on its own array")
    surplus = {"inverter", "battery"} & failed or event.dark
    if diverted is not None and diverted.households and not surplus:
        return _sunny(diverted.households, days, "the battery's surplus")
    return _cooling(site, heated or diverted, event)


def _sunny(households: tuple[HouseholdYear, ...], days: int, limit: str) -> HotWater:
    """Days with a hot evening by the sun alone, as often as in the year."""
    if not households:
        return HotWater("on sunny days", None, None, limit)
    first = households[0]
    hot = days * first.fewest_evenings / first.year.days
    return HotWater("on sunny days", hot, None, limit)


def _cooling(
    site: Site, heated: HeatedTankResult | DivertedTankResult | None, event: Event
) -> HotWater:
    """Nothing heats: as long as what is in the tank is warm enough."""
    why = "nothing heats it"
    if event.dark and (element_on_array(site) or element_on_inverter(site)):
        why = "no sun heats it"
    if heated is None or not heated.dark_days:
        return HotWater("cooling", None, None, why)
    warm = 0
    for day in heated.dark_days[: event.days]:
        drawn = day.top_temperature
        if (day.idle_temperature if drawn is None else drawn) < heated.tap.temperature:
            break
        warm += 1
    last = heated.dark_days[min(event.days, len(heated.dark_days)) - 1]
    end = last.idle_temperature if last.top_temperature is None else last.top_temperature
    shown = end if event.days <= len(heated.dark_days) else None
    return HotWater("cooling", float(warm), shown, why)
