"""Whether a heated tank holds the hot water of its household, whatever heats it."""

from __future__ import annotations

from collections.abc import Sequence

from wellsolar import kinds
from wellsolar.constants import HOUR
from wellsolar.physics.tank.hot_water import heating_energy
from wellsolar.results.heat import HeatedTankResult
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.house.demand import TapDraw, draws_of_day
from wellsolar.studies.safety.guarded_tank import TANK
from wellsolar.studies.sold.standard_sizes import next_up
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Verdict, at_least, remedy, say, set_to

USABLE = 0.7
"""Part of a tank that is drawn hot before the cold mixes in: the trade's rule, from memory."""

STORED = Rule(
    "hot water stored",
    "does the tank hold the household's hot water?",
    "seven tenths of the tank at its setting, mixed to what is wanted at the taps, hold the draws "
    "of a day where modules alone heat it; with a heater on the grid, and what that heats in an "
    "hour, those of the hour of most use",
    "hot water stored",
    limit_is="at least",
    by="plumber",
    place=Place("tank_days", "heated_tank"),
)


def stored_verdicts(site: Site, result: HeatedTankResult) -> list[Verdict]:
    """Whether the tank is large enough for the household; none where the draw is not known, or the
    tank is set colder than the taps want."""
    heater = site.water_heater
    wanted = result.tap.temperature - result.inlet_temperature
    if heater is None or result.draw_volume is None or wanted <= 0.0:
        return []
    mixed = (result.setpoint - result.inlet_temperature) / wanted
    if mixed < 1.0:
        return []
    draws = draws_of_day(heater.draw, result.draw_volume)
    beside = _heated_beside(heater, result)
    template = "the tank's {tank} give {held} of mixed water hot; a day takes {needed}"
    needed = sum(draw.volume for draw in draws)
    if beside is not None:
        template = (
            "with the heater on the grid the tank gives {held} of mixed water hot within an "
            "hour; the hour of most use takes {needed}"
        )
        needed = _of_the_hour(draws)
    held = Quantity(USABLE * mixed * result.tank_volume + (beside or 0.0), kinds.VOLUME)
    limit = Quantity(needed, kinds.VOLUME)
    large = (needed - (beside or 0.0)) / (USABLE * mixed)
    sold = next_up("water heater", large, kinds.VOLUME, site.site.print_units)
    return [
        STORED.verdict(
            "pass" if at_least(held, limit) else "caution",
            TANK,
            say(
                template,
                tank=Quantity(result.tank_volume, kinds.VOLUME),
                held=held,
                needed=limit,
            ),
            quantity=held,
            limit=limit,
            remedy=remedy(
                "use less hot water, or a second tank: none so large is sold"
                if sold is None
                else "a tank of {sold} (needs {large:up}), or use less hot water",
                "no such tank is sold" if sold is None else [set_to("water_heater.volume", sold)],
                sold=sold or limit,
                large=Quantity(large, kinds.VOLUME),
            ),
        )
    ]


def _heated_beside(heater: WaterHeaterTable, result: HeatedTankResult) -> float | None:
    """Mixed water that the grid heats in an hour, with what a second tank holds [m3]; None where
    nothing on the grid heats."""
    power = sum(
        element.rated_power * element.count
        for element in heater.element
        if element.fed_by == "grid"
    )
    second, held = heater.second_tank, 0.0
    if second is not None:
        rise = result.tap.temperature - result.inlet_temperature
        held = USABLE * second.volume
        held *= max(0.0, second.thermostat - result.inlet_temperature) / rise
        power = float(second.rated_power)
    if power <= 0.0:
        return None
    litre = heating_energy(0.001, result.inlet_temperature, result.tap.temperature)
    return held + power * HOUR / litre * 0.001


def _of_the_hour(draws: Sequence[TapDraw]) -> float:
    """Mixed water of the hour of most use [m3]."""
    return max(
        (
            sum(draw.volume for draw in draws if 0.0 <= draw.start - first.start < HOUR)
            for first in draws
        ),
        default=0.0,
    )
