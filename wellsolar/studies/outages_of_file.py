"""The outages of a site file, with the sun and the hot water that they ask for."""

from __future__ import annotations

from wellsolar.physics.sun.year import HourlyYear
from wellsolar.results import (
    CardResult,
    DivertedTankResult,
    HeatedTankResult,
    OutageResult,
    StudyPart,
)
from wellsolar.site.loading.read import SiteFile
from wellsolar.studies.card.study import study_card
from wellsolar.studies.outage.equipment import HotTank, hot_tank_of
from wellsolar.studies.outage.study import study_outages
from wellsolar.studies.sun.year import year_of_site


def outages_of_file(
    file: SiteFile,
    year: HourlyYear | None,
    found: tuple[HeatedTankResult | None, DivertedTankResult | None] | None = None,
    with_card: bool = False,
) -> tuple[OutageResult | None, CardResult | None, StudyPart]:
    """What is left of a site's water when things fail.

    Parameters:
        file: a site file that was read
        year: the site's year of hours, where another part has made it
        found: the tank on modules and that on a battery's surplus, where the heat was studied
        with_card: True where the owner's card is wanted
    Returns:
        the outages, the card where it is wanted, and what the outages bring
    Raises:
        SiteFileError: the weather file can't be used
    """
    site = file.site
    if year is None and site.module is not None and site.array:
        year = year_of_site(file).year
    hot = hot_tank_of(site, year) if found is None else HotTank(*found)
    outages, part = study_outages(site, year, hot)
    card = study_card(site, outages, year, hot) if with_card else None
    return outages, card, part
