"""A tank that no array heats, only an element on the inverter while the battery is full."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics.sun.year import HourlyYear
from wellsolar.results import DivertedTankResult, StudyPart
from wellsolar.site.schema import Site
from wellsolar.studies.heat.at_work import draw_volume_of, setpoint_of, work_of
from wellsolar.studies.heat.household import NO_HOUSEHOLD, Helpers, study_household
from wellsolar.studies.heat.nobody_home import dark_days
from wellsolar.studies.heat.tank import grid_element_of, heat_loss_of, second_tank_of
from wellsolar.studies.heat.tap_water import tap_water
from wellsolar.studies.heat.verdicts import HALF, SHARE, TOO_MUCH
from wellsolar.studies.heat.year import HeatedYear
from wellsolar.studies.house.draws import draws_of_day
from wellsolar.studies.safety.hot_water import hot_water_verdicts
from wellsolar.studies.safety.tank import tank_safety
from wellsolar.studies.safety.words import TANK, temperature
from wellsolar.studies.sun.year import plane_of_group
from wellsolar.studies.supply.diversion import DivertedHeat, element_on_inverter
from wellsolar.studies.supply.system import feeders
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Sentence, Verdict, say

CAUTIONS = ("scald", "legionella", "overheating", "pressure")


def study_diverted_tank(
    site: Site, year: HourlyYear | None, diverted: DivertedHeat
) -> tuple[DivertedTankResult, StudyPart]:
    """A tank that only the battery's surplus heats: the household's year, and who it could harm.

    Days of a month mean nothing to it, and no direct current reaches it.

    Parameters:
        site: a site with an element on the inverter
        year: the site's year of hours
        diverted: heat of that element
    Returns:
        the result, without a year where surplus or draws are not known, and what it brings
    """
    heater, found = site.water_heater, element_on_inverter(site)
    assert heater is not None
    assert found is not None
    element, path = found
    made: list[Assumption] = []
    draw = draw_volume_of(site, heater, made)
    setpoint = setpoint_of(heater, element, path, made)
    loss = heat_loss_of(heater)[1]
    made += [] if loss is None else [loss]
    work = work_of(site, heater, element, setpoint)
    draws = None if draw is None else draws_of_day(heater.draw, draw)
    household = NO_HOUSEHOLD
    if diverted.power is not None and year is not None and draws is not None:
        index, group = feeders(site)[0]
        plane = plane_of_group(site, year, group, f"array[{index + 1}]")
        driven = HeatedYear(plane, diverted.power, diverted.power, draws, work.tank.volume)
        helpers = Helpers(grid_element_of(heater), second_tank_of(heater))
        household = study_household(work, driven, helpers)
    result = DivertedTankResult(
        draw_volume=draw,
        setpoint=setpoint,
        tap=tap_water(heater, work, setpoint),
        annual_share=household.annual_share,
        households=household.households,
        safety=tank_safety(site, heater, setpoint),
        dark_days=dark_days(work, draws),
    )
    verdicts: list[Verdict] = []
    if diverted.power is not None and year is not None:
        verdicts.append(_share(result, household.half_share_draw))
    verdicts += hot_water_verdicts(site, heater, result)
    return result, StudyPart(tuple(verdicts), tuple(made), CAUTIONS)


def _share(result: DivertedTankResult, small_draw: float | None) -> Verdict:
    if result.draw_volume is None:
        return SHARE.unknown(TANK, "water_heater.draw.volume")
    if result.annual_share is None:
        return TOO_MUCH
    share, half = Quantity(result.annual_share, kinds.FRACTION), Quantity(HALF, kinds.FRACTION)
    enough = share >= half
    return SHARE.verdict(
        "pass" if enough else "caution",
        TANK,
        say(
            "of {draw} a day at {tap} the battery's surplus alone heats {share} over the year",
            draw=Quantity(result.draw_volume, kinds.VOLUME),
            tap=temperature(result.tap.temperature),
            share=share,
        ),
        quantity=share,
        limit=half,
        remedy=None if enough else _more(small_draw),
    )


def _more(small_draw: float | None) -> Sentence:
    if small_draw is None:
        return say("more modules on the battery, or an array of its own for the tank")
    return say(
        "draw no more than {draw:down} a day, or add modules to the battery",
        draw=Quantity(small_draw, kinds.VOLUME),
    )
