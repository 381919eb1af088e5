"""What is needed: water of a day, at the peak and to survive, and what the well gives."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.constants import DAY, HOUR
from wellsolar.physics.hydraulics import demand
from wellsolar.results.sizing import Needs
from wellsolar.site.schema import Site
from wellsolar.studies.house.demand import (
    LARGEST_HOUSEHOLD,
    daily_use,
    draw_volume_of,
    peak_flow,
    survival_volume,
)
from wellsolar.studies.sizing.draft import Draft, NoDesign
from wellsolar.studies.well.drawdown import at_static_level
from wellsolar.units import Quantity, System, to_unit
from wellsolar.verdicts import say, set_to

HOUSE_PEAK = 3.154510e-4
"""Peak of a household of which no more is known, 5 gpm [m3/s]: fact sheet 2 of the health
department of New York State, undated, on the yield of wells."""

AT_ONCE = 2
"""Households whose peaks are taken to fall together: of more the day's water in two hours is asked
for where that is more; our choice."""

STEP: dict[System, tuple[float, str]] = {"US": (0.5, "gpm"), "SI": (1.0, "L/min")}
"""Steps in which a peak is told."""


WORST = {
    "well": {"tested_yield": "low", "tested_pumping_level": "high", "specific_capacity": "low"},
    "demand": {"daily_use": "high", "peak_flow": "high", "survival_use": "high"},
    "piping": {"tank_elevation": "high", "treatment_loss": "high"},
}
"""Which end of a range of the file is worst for most of what is chosen."""


def at_worst(site: Site) -> Site:
    """The site with its ranges at the ends that ask the most of pump and tank.

    Parameters:
        site: as its file has it
    Returns:
        a copy: dry season and thirsty days, the water's level with what was tested
    """
    level = site.well.static_level
    if level.is_range:
        site = at_static_level(site, Quantity(level.high, level.kind))
    for name, ends in WORST.items():
        table = getattr(site, name)
        changes = {}
        for key, end in ends.items():
            value = getattr(table, key)
            if value is not None and value.is_range:
                changes[key] = Quantity(value.low if end == "low" else value.high, value.kind)
        if changes:
            site = site.model_copy(update={name: table.model_copy(update=changes)})
    return site


def with_needs(draft: Draft) -> Draft:
    """The draft with the peak that it is laid out for.

    Parameters:
        draft: of the file as it is
    Returns:
        the draft; a peak of the file is kept
    Raises:
        NoDesign: the file tells neither the day's water nor who drinks it
    """
    site = draft.case.site
    use = daily_use(site)[0]
    if use is None:
        raise NoDesign(
            say("nothing tells how much water is wanted"), ("site.people", "demand.daily_use")
        )
    if peak_flow(site) is not None:
        return draft
    households = min(math.ceil((site.site.people or 1) / LARGEST_HOUSEHOLD), AT_ONCE)
    in_two_hours = demand.flow_for_daily_volume(use * DAY, 2.0 * HOUR)
    peak = max(in_two_hours, households * HOUSE_PEAK)
    step, unit = STEP[draft.system]
    text = f"{math.ceil(to_unit(peak, kinds.FLOW, unit) / step - 1e-6) * step:g} {unit}"
    by = "the day's water in two hours" if peak == in_two_hours else "5 gpm (19 L/min) a household"
    return draft.set([set_to("demand.peak_flow", text)], f"the file names none: {by}")


def needs_of(draft: Draft) -> Needs:
    """What the design is laid out for.

    Parameters:
        draft: with its peak
    Returns:
        water wanted, and what the well gives
    """
    site = draft.case.site
    use, survival = daily_use(site)[0], survival_volume(site)
    peak, tested = peak_flow(site), site.well.tested_yield
    heater = site.water_heater
    hot = None if heater is None else draw_volume_of(site, heater)[0]
    return Needs(
        people=site.site.people,
        daily_volume=None if use is None else use * DAY,
        peak_flow=None if peak is None else float(peak),
        survival_volume=survival,
        hot_volume=hot,
        tested_yield=None if tested is None else float(tested),
        static_level=float(site.well.static_level),
    )
