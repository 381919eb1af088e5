"""Three designs of one file: the least that will likely do, the ordinary one for the worst of what
the file leaves open, and one with a reserve."""

from __future__ import annotations

from collections.abc import Callable

from wellsolar import kinds
from wellsolar.beside import beside
from wellsolar.constants import DAY
from wellsolar.results.sizing import DESIGNS, DesignFigures, DesignSet, SizingResult, WhichDesign
from wellsolar.site.loading.read import parse_site
from wellsolar.site.schema import Site
from wellsolar.site.table import Table
from wellsolar.studies.hand.effort import BASIC
from wellsolar.studies.parts.whole_design import comes_to
from wellsolar.studies.sizing.needs import WORST, at_worst
from wellsolar.studies.well.drawdown import at_static_level
from wellsolar.units import Quantity

DARK_YEAR = 0.9
"""Sun of a dark year over that of a mean one: two standard deviations of some 5 % below it
(Gueymard and Wilcox, Solar Energy 85, 2011, from memory)."""

MORE_DARK_DAYS = 1.0 * DAY
"""Beyond those that are aimed at, through which the battery of a reserve carries the pump [s]: our
choice."""


def laid_out(site: Site, which: WhichDesign) -> Site:
    """The site that a design is laid out for.

    Parameters:
        site: as its file has it
    Returns:
        a copy: the likeliest of what the file gives as a range; its worst end; that in a dark
        year, with a dark day more and the least of a decent life in place of survival
    """
    if which == "least":
        return _at_likeliest(site)
    site = at_worst(site)
    return _with_reserve(site) if which == "reserve" else site


def _at_likeliest(site: Site) -> Site:
    level = site.well.static_level
    if level.is_range:
        site = at_static_level(site, Quantity(level, level.kind))
    changes = {}
    for name, ends in WORST.items():
        table: Table = getattr(site, name)
        values = {key: getattr(table, key) for key in ends}
        ranges = {
            key: Quantity(float(value), value.kind) for key, value in values.items()
            if value is not None and value.is_range
        }  # fmt: skip
        if ranges:
            changes[name] = table.model_copy(update=ranges)
    return site.model_copy(update=changes) if changes else site


def _with_reserve(site: Site) -> Site:
    sun, aim, demand = site.sun, site.aim, site.demand
    clear = sun.shading or (Quantity(1.0, kinds.FRACTION),) * 12
    shading = tuple(Quantity(DARK_YEAR * quantity, kinds.FRACTION) for quantity in clear)
    dark_days = Quantity(aim.dark_days + MORE_DARK_DAYS, kinds.DURATION)
    least = Quantity(max(float(demand.survival_use), BASIC / DAY), demand.survival_use.kind)
    return site.model_copy(
        update={
            "sun": sun.model_copy(update={"shading": shading}),
            "aim": aim.model_copy(update={"dark_days": dark_days}),
            "demand": demand.model_copy(update={"survival_use": least}),
        }
    )


def three_designs(site: Site, sized: Callable[[WhichDesign], SizingResult]) -> DesignSet:
    """All three designs, one of them made beside this process.

    Parameters:
        site: as its file has it
        sized: makes one of them
    Returns:
        the designs with what each comes to
    """
    with beside(lambda: sized("reserve")) as reserve:
        ordinary = sized("ordinary")
        # What is not known tells two designs apart: ranges of the file, and losses of modules.
        alike = laid_out(site, "least") == laid_out(site, "ordinary")
        by_sun = any(part.part == "modules" for part in ordinary.parts)
        least = ordinary if alike and not by_sun else sized("least")
        by_design = dict(zip(DESIGNS, (least, ordinary, reserve()), strict=True))
    return DesignSet(by_design, {name: _figures(sizing) for name, sizing in by_design.items()})


def _figures(sizing: SizingResult) -> DesignFigures:
    """What a design comes to, by its own check."""
    if sizing.results is None:
        return DesignFigures()
    return comes_to(parse_site(sizing.text).site, sizing.results)
