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
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.hand.effort import BASIC
from wellsolar.studies.house.demand import daily_use, survival_volume
from wellsolar.studies.well.drawdown import at_static_level
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Verdict, verdict_of


@dataclass(frozen=True, eq=False)
class Equipment:
    """What brings a site its water in the low season, and its hot water.

    own: the site as in its file; low: with its water at the deep end of the range, or as changed
    """

    own: Studied
    low: Studied

    @property
    def site(self) -> Site:
        """The site in its low season."""
        return self.low.site

    @property
    def pumps(self) -> tuple[PumpResult, ...]:
        """Each powered pump."""
        return self.low.pumps

    @property
    def tank(self) -> PressureTankResult | None:
        """The pressure tank."""
        return self.low.pressure_tank

    @property
    def hand(self) -> HandPumpResult | None:
        """The hand pump."""
        return self.low.hand_pump

    @property
    def lifts(self) -> tuple[LiftResult, ...]:
        """Other ways to lift water by hand."""
        return self.low.lifts

    @property
    def year(self) -> HourlyYear | None:
        """The site's year of hours, where modules make something of it."""
        site = self.own.site
        return self.own.year if site.module is not None and site.array else None

    @property
    def heated(self) -> HeatedTankResult | None:
        """The tank that modules heat."""
        return self.own.heated_tank

    @property
    def diverted(self) -> DivertedTankResult | None:
        """The tank that only a battery's surplus heats."""
        return self.own.diverted_tank

    def table(self, pump: PumpResult) -> PumpTable:
        """The pump's table in the file."""
        return next(table for table in self.site.pump if table.name == pump.name)

    def verdict(self, rule: Rule, subject: str) -> Verdict | None:
        """What a rule says of a pump; None where it says nothing."""
        return verdict_of(self.low.said("pumps").verdicts, rule, subject)

    def changed(self, site: Site) -> Equipment:
        """The equipment if the file had other values; the water heater stays as it is."""
        return Equipment(self.own, self.own.with_site(in_low_season(site)))


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
    """The site with its water at rest at the deep end of the range that the file gives, in every
    well."""
    for number, well in enumerate((site.well, *site.other_well)):
        level = well.static_level
        if level.is_range:
            site = at_static_level(site, Quantity(level.high, level.kind), number)
    return site


def equipment_of(case: Studied) -> Equipment:
    """The equipment of a site.

    Returns:
        its sources of water in the low season
    """
    low = in_low_season(case.site)
    return Equipment(case, case if low is case.site else case.with_site(low))
