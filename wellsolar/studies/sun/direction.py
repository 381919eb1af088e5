"""Whether the modules of each group look toward the sun."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics.sun.year import HourlyYear
from wellsolar.site.schema import Site
from wellsolar.studies.sun.days import orientation
from wellsolar.studies.sun.kinds_of_day import cloudless_days_of
from wellsolar.studies.sun.year import plane_of_group
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Verdict, remedy, say, set_to

LOST = 0.05
"""Part of the year's sun whose loss is told: our choice. Flat modules, and those of the tropics,
may look anywhere."""

SIDEWAYS = 90.0
"""Degrees from the equator's side beyond which modules look away from the sun."""

FACING = Rule(
    "array's direction",
    "do the modules look toward the sun?",
    "toward the equator's half of the sky, or so flat that turning them there gains less than 5 %",
    "common practice",
    by="electrician",
    read_by="owner",
    place=Place(section="sun"),
)


def facing_verdicts(site: Site, year: HourlyYear | None) -> tuple[Verdict, ...]:
    """Whether the groups of a site look toward the sun.

    Parameters:
        year: its year of hours; None for cloudless days
    Returns:
        a verdict for each group; none without a latitude
    """
    if site.site.latitude is None:
        return ()
    light = cloudless_days_of(site, None) if year is None else year
    return tuple(_facing(site, light, index) for index in range(len(site.array)))


def _facing(site: Site, light: HourlyYear, index: int) -> Verdict:
    """The verdict of one group, by its sun without shade."""
    group, path = site.array[index], f"array[{index + 1}]"
    azimuth = orientation(site, group, path)[1]
    toward = Quantity(180.0 if (site.site.latitude or 0.0) >= 0 else 0.0, kinds.ANGLE)
    turned = group.model_copy(update={"azimuth": toward})
    own, best = (
        float(plane_of_group(site, light, array, path, bare=True).plane_of_array_irradiance.sum())
        for array in (group, turned)
    )
    apart = abs((azimuth - toward + 180.0) % 360.0 - 180.0)
    away = apart > SIDEWAYS and own < (1.0 - LOST) * best
    looks = Quantity(azimuth, kinds.ANGLE)
    if not away:
        return FACING.verdict(
            "pass", group.name, say("their azimuth of {looks} is no loss to speak of", looks=looks)
            if apart > SIDEWAYS
            else say("they look to {looks}, the equator lies to {toward}", looks=looks,
                     toward=toward),
        )  # fmt: skip
    return FACING.verdict(
        "caution",
        group.name,
        say(
            "they look to {looks}, away from the sun, and get {share} of what the same modules "
            "get that look to {toward}",
            looks=looks,
            toward=toward,
            share=Quantity(own / best, kinds.FRACTION),
        ),
        remedy=remedy(
            "turn them to {toward}; or lay them flat where they are",
            [set_to(f"{path}.azimuth", toward)],
            toward=toward,
        ),
    )
