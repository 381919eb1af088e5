"""A case as the studies see it that ask others for what they need."""

from __future__ import annotations

from collections.abc import Collection
from typing import Protocol

from wellsolar.physics.sun.year import HourlyYear
from wellsolar.results.hand import HandPumpResult, LiftResult
from wellsolar.results.heat import DivertedTankResult, HeatedTankResult
from wellsolar.results.pumps import PressureTankResult, PumpResult
from wellsolar.results.readings import SheetResult
from wellsolar.results.well import OtherWellResult, WellResult
from wellsolar.results.whole import StudyPart
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.schema import Site
from wellsolar.studies.supply.diversion import DivertedHeat


class Studied(Protocol):
    """A site whose studies are made when they are asked for, as `Case` has them."""

    @property
    def file(self) -> SiteFile: ...
    @property
    def site(self) -> Site: ...
    @property
    def year(self) -> HourlyYear | None: ...
    @property
    def pumps(self) -> tuple[PumpResult, ...]: ...
    @property
    def well(self) -> WellResult | None: ...
    @property
    def other_wells(self) -> tuple[OtherWellResult, ...]: ...
    @property
    def pressure_tank(self) -> PressureTankResult | None: ...
    @property
    def hand_pump(self) -> HandPumpResult | None: ...
    @property
    def lifts(self) -> tuple[LiftResult, ...]: ...
    @property
    def diverted_heat(self) -> DivertedHeat: ...
    @property
    def heated_tank(self) -> HeatedTankResult | None: ...
    @property
    def diverted_tank(self) -> DivertedTankResult | None: ...

    @property
    def sheet(self) -> SheetResult: ...

    def said(self, study: str) -> StudyPart:
        """What a study says besides its numbers."""

    def with_site(
        self, site: Site, *, keep: Collection[str] = (), passing: bool = False
    ) -> Studied:
        """The same of a changed site, with the studies that the change does not touch."""
