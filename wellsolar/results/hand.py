"""What hands and feet can lift. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

PlaceKey = Literal["spout", "tank"]
"""Where the water goes: to the open spout, or into the pressure tank between its pressures."""


@dataclass(frozen=True)
class HandWorker:
    """The person that the file describes.

    age [years], arm_factor: of the rule of human power
    power: what a person keeps up whatever the time [W]; None where the rule says it
    """

    age: float
    arm_factor: float
    power: float | None


@dataclass(frozen=True)
class HandPlace:
    """All that is needed to say how long a volume takes to one place; `studies.effort` does.

    powers: at the handle, from 0 to that of the full stroke rate [W]
    flows: mean flow that each lifts [m3/s]
    stroke_volume: water of a stroke [m3]; None for a lift without strokes
    """

    key: PlaceKey
    label: str
    powers: tuple[float, ...]
    flows: tuple[float, ...]
    stroke_volume: float | None


@dataclass(frozen=True)
class HandDuty:
    """The hand pump at work to one place.

    label: "to the spout", "into the tank at cut-in", "into the tank at cut-out", "to the spout,
        low season"
    head: total head the piston lifts against [m]
    rod_pull: upstroke, without friction [N]
    handle_force: greatest at the handle, by all hands together [N]
    power: for the full stroke rate [W]
    full_flow: at the full stroke rate [m3/s]; sustained_flow: kept up for an hour by those who
        pump at the same time
    stroke_rate: at the sustained flow [1/s]
    upward, downward: forces of the hand on the way of the upstroke and of the downstroke [N]; the
        second is positive where it must push the rods down, negative where it holds them back
    friction: at the rod, on either way [N]
    balancing: counterweight at the end of the handle that makes both ways equal [N]
    stretch: of the rods, lost from the stroke [m]; stroke_volume: water of a stroke [m3]
    work: of a full stroke [J]
    day_flow: kept up for 8 h by the same people [m3/s]
    table_flow: by the maker's table at this head [m3/s]; None outside of it or without one
    key: "spout", "cut-in", "cut-out", "low"
    """

    label: str
    head: float
    rod_pull: float
    handle_force: float
    power: float
    full_flow: float
    sustained_flow: float
    stroke_rate: float
    upward: float
    downward: float
    friction: float
    balancing: float
    stretch: float
    stroke_volume: float
    work: float
    day_flow: float
    table_flow: float | None = None
    key: str = "spout"


@dataclass(frozen=True)
class HandTask:
    """A job by hand.

    key: "bucket", "survival", "basic", "full", "ordinary", "tank", "morning"; for everybody, with
        " each" at its end for one person's share
    volume: water wanted [m3]; time: that it takes [s]; strokes: None for a lift without them
    people: at the handle at the same time; flow: mean [m3/s]
    power: of all of them [W]; None for a lift of which only the flow is known
    bound: what sets the pace: "strokes", "power", or "day" where it is more than 8 h of work
    """

    label: str
    volume: float
    time: float
    strokes: float | None
    key: str
    place: PlaceKey
    people: int
    power: float | None
    flow: float
    bound: str


@dataclass(frozen=True)
class HandSpell:
    """What is kept up for a time at the spout: one person's power [W], flow [m3/s], water [m3],
    and those of two at the handle together."""

    time: float
    power: float
    flow: float
    volume: float
    flow_of_two: float
    volume_of_two: float


@dataclass(frozen=True)
class DischargePoint:
    """A row of a maker's discharge table, or of another lift's.

    head [m], flow [m3/s]; power: put in by the person, None where not told [W]
    water_power: given to the water [W]; efficiency: None without power
    computed: flow of this pump by formula at the same power and head [m3/s]; None without power
    """

    head: float
    flow: float
    power: float | None
    water_power: float
    efficiency: float | None
    computed: float | None = None


@dataclass(frozen=True)
class HandPumpResult:
    """The hand pump.

    swept_volume [m3]; pumping_level: at the full stroke rate [m]
    low_level: pumping level of the low season; the same where the static level is no range
    static_level, low_static_level: water at rest, as a rule and in the low season [m]
    cylinder_depth: None for a suction pump [m]
    rod_weight: in water [N]; counterweight: at the end of the handle [N]
    suction_limit: greatest lift by suction at this altitude and temperature [m], for a suction
        pump only
    greatest_head: by the comfortable handle force, with the rods there are [m]
    greatest_depth: of the water by that force, the rods growing with it [m]
    depth_limit: of the maker or as published for such pumps [m]; None for a suction pump
    draws_water: False where it hangs or stands too high above the water, then no place gets any
    draws_water_low: the same in the low season
    tasks: for one person and then for two
    """

    kind: str
    swept_volume: float
    pumping_level: float
    level_known: bool
    rod_weight: float
    suction_limit: float | None
    suction_lift: float | None
    greatest_head: float
    duties: tuple[HandDuty, ...]
    tasks: tuple[HandTask, ...]
    low_level: float
    static_level: float
    low_static_level: float
    cylinder_depth: float | None
    counterweight: float
    greatest_depth: float | None
    depth_limit: float | None
    people_pumping: int
    worker: HandWorker
    places: tuple[HandPlace, ...]
    draws_water: bool = True
    draws_water_low: bool = True
    spells: tuple[HandSpell, ...] = ()
    discharge: tuple[DischargePoint, ...] = ()

    def duty(self, key: str) -> HandDuty | None:
        """The duty of a key; None where there is none."""
        return next((each for each in self.duties if each.key == key), None)

    def task(self, key: str, people: int = 1) -> HandTask | None:
        """The job of a key for so many people; None where there is none."""
        return _task(self.tasks, key, people)

    def place(self, key: str) -> HandPlace | None:
        """The place of a key; None where the pump does not deliver there."""
        return next((each for each in self.places if each.key == key), None)


@dataclass(frozen=True)
class LiftResult:
    """Another lift, by what is known of its flow.

    head: from the pumping level to its spout [m]; low_head: in the low season
    greatest_head: as far as it lifts [m]; None where not known
    flow: at this head, by its own points [m3/s], 0 beyond its reach
    input_power: for that flow [W], None where neither power nor efficiency is known
    efficiency: water power over input; points: of the file; by_head: flow at other heads from
        the same power
    people: who work it at the same time
    """

    name: str
    kind: str
    head: float
    low_head: float
    level_known: bool
    pumping_level: float
    greatest_head: float | None
    flow: float
    water_power: float
    input_power: float | None
    efficiency: float | None
    points: tuple[DischargePoint, ...]
    by_head: tuple[DischargePoint, ...]
    people: int
    worker: HandWorker
    places: tuple[HandPlace, ...]
    tasks: tuple[HandTask, ...]

    def task(self, key: str) -> HandTask | None:
        """The job of a key; None where there is none."""
        return _task(self.tasks, key, self.people)

    def place(self, key: str) -> HandPlace | None:
        """The place of a key; None where the lift does not deliver there."""
        return next((each for each in self.places if each.key == key), None)


def _task(tasks: tuple[HandTask, ...], key: str, people: int) -> HandTask | None:
    return next((each for each in tasks if (each.key, each.people) == (key, people)), None)
