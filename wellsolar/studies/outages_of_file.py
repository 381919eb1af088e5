"""The outages of a site file, with the sun and the hot water that they ask for."""

from __future__ import annotations

from wellsolar.physics.sun_year import HourlyYear
from wellsolar.results import OutageResult, StudyPart
from wellsolar.site.read import SiteFile
from wellsolar.studies.outage_heat import hot_tank_of
from wellsolar.studies.outages import study_outages
from wellsolar.studies.sun_of_site import year_of_site


def outages_of_file(
    file: SiteFile, year: HourlyYear | None
) -> tuple[OutageResult | None, StudyPart]:
    """What is left of a site's water when things fail.

    Parameters:
        file: a site file that was read
        year: the site's year of hours, where another part has made it
    Returns:
        the outages, and what they bring
    Raises:
        SiteFileError: the weather file can't be used
    """
    site = file.site
    if year is None and site.module is not None and site.array:
        year = year_of_site(file).year
    return study_outages(site, year, hot_tank_of(site, year))
