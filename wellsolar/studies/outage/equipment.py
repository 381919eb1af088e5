"""What a site has to bring water, as the other studies found it, in its low season."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.physics.sun.year import HourlyYear
from wellsolar.results import (
    DivertedTankResult,
    HandPumpResult,
    HeatedTankResult,
    LiftResult,
    PressureTankResult,
    PumpResult,
)
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.array.heater_circuit import element_on_array
from wellsolar.studies.hand.effort import BASIC
from wellsolar.studies.hand.other_lifts import study_lifts
from wellsolar.studies.hand.study import study_hand_pump
from wellsolar.studies.heat.study import study_diverted_tank, study_heated_tank
from wellsolar.studies.house.demand import daily_use, survival_volume
from wellsolar.studies.pump.pressure_tank import study_pressure_tank
from wellsolar.studies.pump.study import study_pumps
from wellsolar.studies.supply.diversion import diverted_heat, element_on_inverter
from wellsolar.studies.well.drawdown import at_static_level
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Verdict, verdict_of


@dataclass(frozen=True)
class HotTank:
    """The site's water heater as its own studies found it; None where they lack something."""

    heated: HeatedTankResult | None = None
    diverted: DivertedTankResult | None = None


@dataclass(frozen=True, eq=False)
class Equipment:
    """A site with the results of its studies.

    verdicts: of the pumps and of the hand pump; year: of hours, None where there is none
    """

    site: Site
    pumps: tuple[PumpResult, ...]
    tank: PressureTankResult | None
    hand: HandPumpResult | None
    lifts: tuple[LiftResult, ...]
    verdicts: tuple[Verdict, ...]
    hand_verdicts: tuple[Verdict, ...]
    year: HourlyYear | None
    hot: HotTank

    def table(self, pump: PumpResult) -> PumpTable:
        """The pump's table in the file."""
        return next(table for table in self.site.pump if table.name == pump.name)

    def verdict(self, rule: Rule, subject: str) -> Verdict | None:
        """What a rule says of a pump; None where it says nothing."""
        return verdict_of(self.verdicts, rule, subject)


@dataclass(frozen=True)
class Wanted:
    """Water wanted on a day [m3]; None where the file does not tell."""

    survival: float | None
    basic: float | None
    normal: float | None


def wanted_of(site: Site) -> Wanted:
    """Water for survival, for the least of a decent life, and of an ordinary day."""
    people, (use, _) = site.site.people, daily_use(site)
    return Wanted(
        survival_volume(site),
        None if people is None else people * BASIC,
        None if use is None else use * 86_400.0,
    )


def in_low_season(site: Site) -> Site:
    """The site with its water at rest at the deep end of the range that the file gives."""
    level = site.well.static_level
    return at_static_level(site, Quantity(level.high, level.kind)) if level.is_range else site


def equipment_of(site: Site, year: HourlyYear | None, hot: HotTank) -> Equipment:
    """The studies of a site's sources of water in its low season.

    Parameters:
        site: the site
        year: its year of hours
        hot: its water heater
    Returns:
        the results together
    """
    low = in_low_season(site)
    pumps, part = study_pumps(low)
    tank, _ = study_pressure_tank(low, pumps)
    hand, hand_part = study_hand_pump(low, tank)
    lifts, _ = study_lifts(low)
    return Equipment(low, pumps, tank, hand, lifts, part.verdicts, hand_part.verdicts, year, hot)


def hot_tank_of(site: Site, year: HourlyYear | None) -> HotTank:
    """The site's water heater by its own studies.

    Parameters:
        site: the site
        year: its year of hours
    Returns:
        the heated tank, or that on a battery's surplus alone; nothing without a water heater
    """
    if site.water_heater is None:
        return HotTank()
    pumps, _ = study_pumps(site)
    tank, _ = study_pressure_tank(site, pumps)
    surplus = diverted_heat(site, pumps, tank, year)
    if element_on_inverter(site) is not None and element_on_array(site) is None:
        return HotTank(diverted=study_diverted_tank(site, year, surplus)[0])
    return HotTank(heated=study_heated_tank(site, year, surplus.power)[0])
