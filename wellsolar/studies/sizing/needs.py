"""What is needed: water of a day, at the peak and to survive, and what the well gives."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.constants import DAY, HOUR
from wellsolar.physics.hydraulics import demand
from wellsolar.results.sizing import Needs
from wellsolar.studies.house.demand import LARGEST_HOUSEHOLD, daily_use, survival_volume
from wellsolar.studies.sizing.draft import Draft, NoDesign
from wellsolar.units import Quantity, System, show, to_unit
from wellsolar.verdicts import say, set_to

HOUSE_PEAK = 3.154510e-4
"""Peak of a household of which no more is known, 5 gpm [m3/s]: fact sheet 2 of the health
department of New York State, undated, on the yield of wells."""

STEP: dict[System, tuple[float, str]] = {"US": (0.5, "gpm"), "SI": (1.0, "L/min")}
"""Steps in which a peak is told."""


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
    if site.demand.peak_flow is not None:
        return draft
    households = 1 if site.site.people is None else math.ceil(site.site.people / LARGEST_HOUSEHOLD)
    in_two_hours = float(demand.flow_for_daily_volume(use * DAY, 2.0 * HOUR))
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
    peak, tested = site.demand.peak_flow, site.well.tested_yield
    heater = site.water_heater
    hot = None if heater is None or heater.draw.volume is None else float(heater.draw.volume)
    return Needs(
        people=site.site.people,
        daily_volume=None if use is None else use * DAY,
        peak_flow=None if peak is None else float(peak),
        survival_volume=survival,
        hot_volume=hot,
        tested_yield=None if tested is None else float(tested),
        static_level=float(site.well.static_level),
    )


def told(value: float, kind: kinds.Kind, system: System) -> str:
    """A value in SI as the site's counters say it."""
    return show(Quantity(value, kind), kind, system)
