"""How long people take to lift a volume by hand: the one way to ask, for every study."""

from __future__ import annotations

import numpy as np

from wellsolar.physics.hand import human_power
from wellsolar.results import HandPlace, HandPumpResult, HandTask, HandWorker, LiftResult
from wellsolar.results.hand import PlaceKey

RULE_AGE = 35.0
"""Age for which the rule of human power is made [years]."""

ARMS = 0.80
"""Share of whole-body power at a handle, see hand_pump.arm_factor of the defaults."""


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
        place: of the hand pump or lift
        worker: each of the people
        volume: water wanted [m3], more than zero
        people: at the handle at the same time
        key, label: of the job
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


def minutes_for(
    source: HandPumpResult | LiftResult, volume: float, place: PlaceKey, people: int = 1
) -> float | None:
    """Minutes of effort for a volume of water.

    Parameters:
        source: result of the hand pump or of another lift
        volume: water wanted [m3], more than zero
        place: "spout" or "tank"
        people: at the handle at the same time
    Returns:
        minutes, more than 480 where it is more than a day's work; None where the source does not
        deliver to that place
    """
    found = source.place(place)
    return None if found is None else effort(found, source.worker, volume, people).time / 60.0


def volume_in(
    source: HandPumpResult | LiftResult, time: float, place: PlaceKey, people: int = 1
) -> float | None:
    """Water that people lift in a time.

    Parameters:
        source: result of the hand pump or of another lift
        time: of steady work [s]; from more than 8 h a person has 8 h
        place: "spout" or "tank"
        people: at the handle at the same time
    Returns:
        volume [m3]; None where the source does not deliver to that place
    """
    found, worker = source.place(place), source.worker
    if found is None:
        return None
    return human_power.volume_in_time(
        min(time, human_power.LONGEST_EFFORT),
        np.asarray(found.powers),
        np.asarray(found.flows),
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
