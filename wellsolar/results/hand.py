"""What hands and feet can lift. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from wellsolar import kinds
from wellsolar.results.entries import SMALL_VOLUME, WORK, Entry

PlaceKey = Literal["spout", "tank", "storage tank"]
"""Where the water goes: to the open spout, into the pressure tank between its pressures, or to the
storage tank's inlet."""


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

    label: "to the spout", "into the tank at cut-in", "into the tank at cut-out", "into the storage
        tank", "to the spout, low season"; key: "spout", "cut-in", "cut-out", "inlet", "low"
    head: total, that the piston lifts against; power: for the full stroke rate
    rod_pull: upstroke, without friction; friction: at the rod, on either way
    handle_force: greatest at the handle, by all hands together [N]
    sustained_flow, day_flow: by those who pump at the same time; stroke_rate: at sustained_flow
    downward: positive where the hand must push the rods down, negative where it holds them back
    balancing: at the end of the handle, makes both ways equal; stretch: lost from the stroke
    table_flow: None outside of the table or without one
    """

    label: Annotated[str, Entry("pumping", key="duty")]
    head: Annotated[float, Entry("head", kinds.HEAD)]
    rod_pull: Annotated[float, Entry("rod pull", kinds.FORCE)]
    handle_force: float
    power: Annotated[float, Entry("power for it", kinds.POWER)]
    full_flow: Annotated[float, Entry("flow at full rate", kinds.FLOW)]
    sustained_flow: Annotated[float, Entry("flow for an hour", kinds.FLOW)]
    stroke_rate: Annotated[float, Entry("stroke rate", kinds.STROKE_RATE)]
    upward: Annotated[float, Entry("hand, upstroke", kinds.FORCE)]
    downward: Annotated[float, Entry("hand, downstroke", kinds.FORCE)]
    friction: Annotated[float, Entry("friction", kinds.FORCE)]
    balancing: Annotated[float, Entry("best counterweight", kinds.FORCE)]
    stretch: Annotated[float, Entry("rod stretch", kinds.BORE)]
    stroke_volume: Annotated[float, Entry("water a stroke", SMALL_VOLUME)]
    work: Annotated[float, Entry("work a stroke", WORK)]
    day_flow: Annotated[float, Entry("flow for 8 h", kinds.FLOW)]
    table_flow: Annotated[float | None, Entry("by the maker's table", kinds.FLOW)] = None
    key: str = "spout"


@dataclass(frozen=True)
class HandTask:
    """A job by hand.

    key: "bucket", "survival", "basic", "full", "ordinary", "tank", "storage tank", "morning"; for
        everybody, with " each" at its end for one person's share
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
    """What one person, or two at the handle together, keep up for a time at the spout."""

    time: Annotated[float, Entry("for", kinds.DURATION)]
    power: Annotated[float, Entry("one person's power", kinds.POWER)]
    flow: Annotated[float, Entry("flow of one", kinds.FLOW)]
    volume: Annotated[float, Entry("water of one", kinds.SUMMED_VOLUME)]
    flow_of_two: Annotated[float, Entry("flow of two", kinds.FLOW)]
    volume_of_two: Annotated[float, Entry("water of two", kinds.SUMMED_VOLUME)]


@dataclass(frozen=True)
class DischargePoint:
    """A row of a maker's discharge table, or of another lift's.

    power: of the person, None where not told, as then are efficiency and computed
    computed: of this pump by formula at the same power and head
    """

    head: Annotated[float, Entry("head", kinds.HEAD)]
    flow: Annotated[float, Entry("maker's flow", kinds.FLOW)]
    power: Annotated[float | None, Entry("power put in", kinds.POWER)]
    water_power: Annotated[float, Entry("water power", kinds.POWER)]
    efficiency: Annotated[float | None, Entry("overall efficiency", kinds.FRACTION)]
    computed: Annotated[float | None, Entry("flow computed", kinds.FLOW)] = None


@dataclass(frozen=True)
class HandLift:
    """A lift worked by hand, and what it gives at the places to which it delivers.

    level_known: False where the drawdown is unknown and the water was taken down to the intake
    """

    kind: Annotated[str, Entry("kind")]
    pumping_level: Annotated[float, Entry("pumping level", kinds.LENGTH)]
    level_known: bool
    worker: HandWorker
    places: tuple[HandPlace, ...]
    tasks: tuple[HandTask, ...]

    def place(self, key: str) -> HandPlace | None:
        """The place of a key; None where the lift does not deliver there."""
        return next((place for place in self.places if place.key == key), None)

    def _task(self, key: str, people: int) -> HandTask | None:
        """The job of a key for so many people."""
        wanted = (key, people)
        return next((task for task in self.tasks if (task.key, task.people) == wanted), None)


@dataclass(frozen=True)
class HandPumpResult(HandLift):
    """The hand pump.

    pumping_level: at the full stroke rate, as a rule; low_level: the same where the static level
        is no range
    static_level, low_static_level: water at rest, as a rule and in the low season [m]
    suction_limit, suction_lift: of a suction pump only; cylinder_depth, depth_limit: of any other
    greatest_head: by the comfortable handle force, with the rods there are
    greatest_depth: the rods growing with it
    draws_water: False where it hangs or stands too high above the water, then no place gets any
    draws_water_low: the same in the low season
    tasks: for one person and then for two
    """

    swept_volume: Annotated[float, Entry("water a stroke", SMALL_VOLUME,
        "swept by the piston, without stretch and slip")]  # fmt: skip
    rod_weight: Annotated[float, Entry("weight of the rods", kinds.FORCE, "hanging in water")]
    suction_limit: Annotated[float | None, Entry("greatest suction lift", kinds.LENGTH,
        "at this altitude and water temperature")]  # fmt: skip
    suction_lift: Annotated[float | None, Entry("suction lift", kinds.LENGTH)]
    greatest_head: Annotated[float, Entry("greatest easy head", kinds.HEAD)]
    duties: tuple[HandDuty, ...]
    low_level: Annotated[float, Entry("in the low season", kinds.LENGTH,
        "from the deep end of the static level's range")]  # fmt: skip
    static_level: float
    low_static_level: float
    cylinder_depth: Annotated[float | None, Entry("cylinder hangs at", kinds.LENGTH)]
    counterweight: Annotated[float, Entry("counterweight", kinds.FORCE,
        "at the end of the handle")]  # fmt: skip
    greatest_depth: Annotated[float | None, Entry("greatest easy depth", kinds.LENGTH,
        "of the pumping level, at the comfortable handle force")]  # fmt: skip
    depth_limit: Annotated[float | None, Entry("depth limit", kinds.LENGTH,
        "of the maker, else usual for lever pumps")]  # fmt: skip
    people_pumping: int
    draws_water: bool = True
    draws_water_low: bool = True
    spells: tuple[HandSpell, ...] = ()
    discharge: tuple[DischargePoint, ...] = ()

    def duty(self, key: str) -> HandDuty | None:
        """The duty of a key; None where there is none."""
        return next((duty for duty in self.duties if duty.key == key), None)

    def task(self, key: str, people: int = 1) -> HandTask | None:
        """The job of a key for so many people; None where there is none."""
        return self._task(key, people)


@dataclass(frozen=True)
class LiftResult(HandLift):
    """Another lift, by what is known of its flow.

    head, low_head: from the pumping level; greatest_head: None where not known
    flow: by its own points, 0 beyond its reach
    input_power: for that flow; None where neither power nor efficiency is known
    points: of the file; by_head: flow at other heads from the same power
    """

    name: str
    head: Annotated[float, Entry("head to its spout", kinds.HEAD)]
    low_head: Annotated[float, Entry("in the low season", kinds.HEAD)]
    greatest_head: Annotated[float | None, Entry("lifts up to", kinds.HEAD)]
    flow: Annotated[float, Entry("flow here", kinds.FLOW, "as those who were measured worked it")]
    water_power: Annotated[float, Entry("water power", kinds.POWER)]
    input_power: Annotated[float | None, Entry("power put in", kinds.POWER)]
    efficiency: Annotated[float | None, Entry("overall efficiency", kinds.FRACTION)]
    points: tuple[DischargePoint, ...]
    by_head: tuple[DischargePoint, ...]
    people: Annotated[int, Entry("people working it", kinds.COUNT)]

    def task(self, key: str) -> HandTask | None:
        """The job of a key; None where there is none."""
        return self._task(key, self.people)
