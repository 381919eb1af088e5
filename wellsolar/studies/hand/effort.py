"""How long people take to lift water by hand, as every study asks it; the jobs of a household."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from wellsolar.constants import DAY
from wellsolar.physics.hand import human_power
from wellsolar.physics.hydraulics import demand
from wellsolar.results.hand import HandLift, HandPlace, HandTask, HandWorker, PlaceKey
from wellsolar.results.pumps import PressureTankResult
from wellsolar.site.schema import Site
from wellsolar.studies.house.demand import daily_use, survival_volume

RULE_AGE = 35.0
"""Age for which the rule of human power is made [years]."""

ARMS = 0.80
"""Share of whole-body power at a handle, see hand_pump.arm_factor of the defaults."""

BUCKET = 0.020
"""The bucket or can of the water-supply standard, 20 L [m3]."""

STORED = 0.100
"""Water into the storage tank by which its work is told, 100 L [m3]: our choice."""

BASIC = 0.020
"""Least water of a person and day by the UN development programme, 20 L [m3]."""

FULL = 0.050
"""Where a person's needs begin to be met in full, 50 L a day [m3]: taught with the former as 50 to
100 L."""

MORNING = (5, 11)
"""Hours in which a household draws most, as `physics.demand.DAY_PARTS` has them."""


def worker_of(age: float | None, arm_factor: float | None, power: float | None) -> HandWorker:
    """The person of a file; a power given goes before the rule by age and kind of work."""
    return HandWorker(
        RULE_AGE if age is None else float(age),
        ARMS if arm_factor is None else float(arm_factor),
        None if power is None else float(power),
    )


def effort(
    place: HandPlace,
    worker: HandWorker,
    volume: float,
    people: int,
    key: str = "",
    label: str = "",
) -> HandTask:
    """A volume lifted to a place, at the power that lasts just as long as it takes.

    Parameters:
        volume: water wanted [m3], more than zero
        people: at the handle at the same time
    Returns:
        time, strokes, power and what sets the pace
    """
    done = human_power.effort_for_volume(
        volume,
        np.asarray(place.powers),
        np.asarray(place.flows),
        people,
        worker.age,
        worker.arm_factor,
        worker.power,
    )
    strokes = None if place.stroke_volume is None else volume / place.stroke_volume
    return HandTask(
        label=label,
        volume=volume,
        time=done.time,
        strokes=strokes,
        key=key,
        place=place.key,
        people=people,
        power=done.power,
        flow=done.flow,
        bound=done.bound,
    )


def minutes_for(source: HandLift, volume: float, place: PlaceKey, people: int = 1) -> float | None:
    """Minutes of effort for a volume of water.

    Parameters:
        source: result of the hand pump or of another lift
        volume: water wanted [m3], more than zero
        place: "spout", "tank" or "storage tank"
        people: at the handle at the same time
    Returns:
        minutes, more than 480 where it is more than a day's work; None where the source does not
        deliver to that place
    """
    destination = source.place(place)
    return (
        None
        if destination is None
        else effort(destination, source.worker, volume, people).time / 60.0
    )


def volume_in(source: HandLift, time: float, place: PlaceKey, people: int = 1) -> float | None:
    """Water that people lift in a time.

    Parameters:
        source: result of the hand pump or of another lift
        time: of steady work [s]; from more than 8 h a person has 8 h
        place: "spout", "tank" or "storage tank"
        people: at the handle at the same time
    Returns:
        volume [m3]; None where the source does not deliver to that place
    """
    destination, worker = source.place(place), source.worker
    if destination is None:
        return None
    return human_power.volume_in_time(
        min(time, human_power.LONGEST_EFFORT),
        np.asarray(destination.powers),
        np.asarray(destination.flows),
        people,
        worker.age,
        worker.arm_factor,
        worker.power,
    )


def people_power(worker: HandWorker, time: float, people: int) -> float:
    """Power that people keep up together for a time [W]."""
    return human_power.power_of_people(time, people, worker.age, worker.arm_factor, worker.power)


def flow_at(place: HandPlace, power: float) -> float:
    """The mean flow that a power lifts to a place [m3/s]."""
    return float(np.interp(power, place.powers, place.flows))


def hand_tasks(
    site: Site,
    places: tuple[HandPlace, ...],
    worker: HandWorker,
    tank: PressureTankResult | None,
    crews: Iterable[int],
) -> tuple[HandTask, ...]:
    """All jobs of the household, to the places that a hand pump or lift delivers to, the
    spout first, for each number of people at the handle."""
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
    stored = into.get("storage tank")
    if stored is not None:
        label = "100 L (26 gal) into the storage tank"
        jobs.append(("storage tank", label, STORED, stored))
    if people is not None:
        jobs.append(("basic", f"a day's basic water for {who}", people * BASIC, spout))
        jobs.append(("full", f"a day's full needs for {who}", people * FULL, spout))
    use, _ = daily_use(site)
    if use is not None:
        home = into.get("tank", stored or spout)
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
