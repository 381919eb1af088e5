"""The jobs that a household has for its hands: a bucket, a day's water, a tank, a morning."""

from __future__ import annotations

from collections.abc import Iterable

from wellsolar.constants import DAY
from wellsolar.physics.hydraulics import demand
from wellsolar.results import HandPlace, HandTask, HandWorker, PressureTankResult
from wellsolar.site.schema import Site
from wellsolar.studies.hand.effort import effort
from wellsolar.studies.house.demand import daily_use, survival_volume

BUCKET = 0.020
"""The bucket or can of the water-supply standard, 20 L [m3]."""

BASIC = 0.020
"""Least water of a person and day by the UN development programme, 20 L [m3]."""

FULL = 0.050
"""Where a person's needs begin to be met in full, 50 L a day [m3]: taught with the former as 50 to
100 L."""

MORNING = (5, 11)
"""Hours in which a household draws most, as `physics.demand.DAY_PARTS` has them."""


def hand_tasks(
    site: Site,
    places: tuple[HandPlace, ...],
    worker: HandWorker,
    tank: PressureTankResult | None,
    crews: Iterable[int],
) -> tuple[HandTask, ...]:
    """All jobs that the file tells of, for each number of people at the handle.

    Parameters:
        site: the site
        places: to which the hand pump or lift delivers, the spout first
        worker: each of the people
        tank: the pressure tank, None where the water goes to the spout only
        crews: how many people, one number after the other
    Returns:
        the jobs of the first crew, then of the next
    """
    spout = places[0]
    into = {place.key: place for place in places}
    jobs: list[tuple[str, str, float, HandPlace]] = [
        ("bucket", "a 20 L (5.3 gal) bucket at the spout", BUCKET, spout)
    ]
    people = site.site.people
    who = "1 person" if people == 1 else f"{people} people"
    survival = survival_volume(site)
    if survival is not None:
        jobs.append(("survival", f"a day's survival water for {who}", survival, spout))
    if tank is not None and "tank" in into:
        label = "the pressure tank from cut-in to cut-out"
        jobs.append(("tank", label, tank.drawdown, into["tank"]))
    if people is not None:
        jobs.append(("basic", f"a day's basic water for {who}", people * BASIC, spout))
        jobs.append(("full", f"a day's full needs for {who}", people * FULL, spout))
    use, _ = daily_use(site)
    if use is not None:
        home = into.get("tank", spout)
        jobs.append(("ordinary", "an ordinary day's water", use * DAY, home))
        begin, end = MORNING
        morning = float(demand.hourly_volumes(use * DAY)[begin:end].sum())
        jobs.append(("morning", "an ordinary morning, 5 to 11 h", morning, home))
    if people is not None:
        jobs += [
            (f"{key} each", f"one person's share of {label}", volume / people, place)
            for key, label, volume, place in jobs
            if key in ("survival", "basic", "full", "ordinary")
        ]
    return tuple(
        effort(place, worker, volume, crew, key, label)
        for crew in crews
        for key, label, volume, place in jobs
    )
