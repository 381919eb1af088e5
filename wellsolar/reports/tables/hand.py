"""Rows and grids of the hand pump and of the other lifts: what they give, what they ask."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Listed, Row, Section, cells
from wellsolar.results.entries import Entry
from wellsolar.results.hand import (
    DischargePoint,
    HandDuty,
    HandPumpResult,
    HandSpell,
    HandTask,
    LiftResult,
)

_LEVEL_UNKNOWN = "drawdown unknown: the water was taken as drawn down to the intake"

_BOUNDS = {"strokes": "stroke rate", "power": "strength", "day": "over 8 h"}
_INTO = {
    "spout": "at the spout", "tank": "into the tank", "storage tank": "into the storage tank",
}  # fmt: skip
_LIFT_BOUNDS = {**_BOUNDS, "strokes": "the lift"}

_WATERS = (
    ("survival", "survival"),
    ("basic", "basic, 20 L (5.3 gal) each"),
    ("full", "full needs, 50 L (13.2 gal) each"),
    ("ordinary", "an ordinary day"),
)


def hand_pump_section(hand: HandPumpResult) -> Section:
    """The hand pump: what it gives and what it asks of a person."""
    grids = [_forces(hand), _flows(hand)]
    if hand.draws_water:
        grids += [_spells(hand), _jobs(hand), *_waters(hand.tasks, 2)]
    if hand.discharge:
        grids.append(_discharge(hand.discharge))
    return Section(
        "hand_pump",
        "Hand pump",
        "What can people pump when everything else fails?",
        tuple(_rows(hand)),
        tuple(grids),
    )


HAND_PUMP = Listed(
    HandPumpResult,
    "kind", "swept_volume",
    ("pumping_level", lambda hand: "below the ground" if hand.level_known else _LEVEL_UNKNOWN),
    "low_level", "suction_lift", "suction_limit", "cylinder_depth", "rod_weight", "greatest_depth",
    "depth_limit",
    ("greatest_head", lambda hand: "at the comfortable handle force"
     + (", with these rods" if hand.rod_weight else "")),
    "counterweight",
)  # fmt: skip


def _rows(hand: HandPumpResult) -> list[Row]:
    without: list[str] = []
    if hand.low_static_level <= hand.static_level:
        without.append("low_level")
    if hand.suction_limit is None and hand.suction_lift is None:
        without += ["suction_lift", "suction_limit"]
    if hand.cylinder_depth is None:
        without += ["cylinder_depth", "rod_weight", "greatest_depth", "depth_limit"]
    if not hand.counterweight:
        without.append("counterweight")
    return HAND_PUMP.rows(hand, without=without)


FORCES = Listed(
    HandDuty,
    "label", "head", "rod_pull", "friction", "upward", "downward", "balancing", "stretch",
)  # fmt: skip


def _forces(hand: HandPumpResult) -> Grid:
    rods = hand.cylinder_depth is not None
    return FORCES.grid(
        "duties", "Forces", hand.duties,
        "Rod pull is water and rods, friction comes on top both ways. The hand's downstroke is "
        "below zero where it holds the rods back. The best counterweight hangs at the end of the "
        "handle and makes both ways equal; it changes no work."
        + (" A rising main that hangs free stretches too, which is not counted." if rods else ""),
        without=() if rods else ("stretch",),
    )  # fmt: skip


FLOWS = Listed(
    HandDuty,
    "label", "stroke_volume", "work", "full_flow", "power", "sustained_flow", "stroke_rate",
    "day_flow", "table_flow",
)  # fmt: skip


def _flows(hand: HandPumpResult) -> Grid:
    maker = any(duty.table_flow is not None for duty in hand.duties)
    who = "one person keeps" if hand.people_pumping == 1 else "two people at the handle keep"
    note = f"Flow for an hour, with its stroke rate, and for 8 h: what {who} up."
    without = () if maker else ("table_flow",)
    return FLOWS.grid("flows", "The hand pump at work", hand.duties, note, without=without)


SPELLS = Listed(HandSpell, "time", "power", "flow", "volume", "flow_of_two", "volume_of_two")


def _spells(hand: HandPumpResult) -> Grid:
    how = (
        "By the published rule of power against time, which goes from 4 min to 8 h; people "
        "scatter by 30 % about it."
        if hand.worker.power is None
        else "At the power that the file gives a person."
    )
    return SPELLS.grid("spells", "What people keep up at the spout", hand.spells,
                f"{how} Two are at the handle together.")  # fmt: skip


def _jobs(hand: HandPumpResult) -> Grid:
    columns = (
        Column("task", "job"),
        Column("volume", "water", kinds.VOLUME),
        Column("strokes", "strokes", kinds.SUMMED_COUNT),
        Column("time", "time for one person", kinds.DURATION),
        Column("power", "at", kinds.POWER),
        Column("bound", "limited by"),
        Column("time_of_two", "time for two", kinds.DURATION),
    )
    rows = []
    for task in hand.tasks:
        if task.people != 1 or task.key not in ("bucket", "tank", "storage tank", "morning"):
            continue
        two = hand.task(task.key, 2)
        rows.append(
            cells(columns, [
                _labelled(task), task.volume, task.strokes, task.time, task.power,
                _BOUNDS[task.bound], None if two is None else two.time,
            ])
        )  # fmt: skip
    note = (
        "The time is that for which people keep up the power it takes; a job shorter than 4 min "
        "is done at the power of 4 min."
    )
    return Grid("tasks", "Jobs for one and for two people", columns, tuple(rows), note)


def _labelled(task: HandTask) -> str:
    if task.key != "morning":
        return task.label
    return f"{task.label}, {_INTO[task.place]}"


def _waters(tasks: tuple[HandTask, ...], crews: int, people: int = 1) -> list[Grid]:
    """A day's water by what it is for, for one person and for all of them."""
    by_use = {(task.key, task.people): task for task in tasks}
    columns = (
        Column("task", "a day's water"),
        Column("each_volume", "a person's", kinds.VOLUME),
        Column("each_strokes", "strokes", kinds.SUMMED_COUNT),
        Column("each_time", "time", kinds.DURATION),
        Column("volume", "everybody's", kinds.VOLUME),
        Column("time", "time for one" if crews == 2 else "time", kinds.DURATION),
        *((Column("time_of_two", "time for two", kinds.DURATION),) if crews == 2 else ()),
        Column("bound", "limited by"),
    )
    bounds = _BOUNDS if crews == 2 else _LIFT_BOUNDS
    rows = []
    for key, label in _WATERS:
        task, each = by_use.get((key, people)), by_use.get((f"{key} each", people))
        if task is None:
            continue
        into = "" if task.place == "spout" else f", {_INTO[task.place]}"
        two = by_use.get((key, 2))
        rows.append(
            cells(columns, [
                f"{label}{into}",
                *((None,) * 3 if each is None else (each.volume, each.strokes, each.time)),
                task.volume, task.time,
                *([None if two is None else two.time] if crews == 2 else []),
                bounds[task.bound],
            ])
        )  # fmt: skip
    note = "More than 8 h is more than a day's work for those who do it: let people take turns."
    return [Grid("waters", "A day's water by hand", columns, tuple(rows), note)] if rows else []


DISCHARGE = Listed(
    DischargePoint,
    "head", "flow", "power", "water_power", "efficiency", "computed",
)  # fmt: skip


def _discharge(points: tuple[DischargePoint, ...]) -> Grid:
    note = "Computed for this pump at the same power and head."
    return DISCHARGE.grid("discharge", "The maker's discharge table", points, note)


LIFT = Listed(
    LiftResult,
    "kind",
    ("pumping_level", lambda lift: "below the ground" if lift.level_known
     else "drawdown unknown: the water at rest"),
    "head", "low_head", "greatest_head", "flow", "water_power",
    ("input_power", lambda lift: "by all who work it" if lift.people > 1 else "by one person"),
    "efficiency", "people",
)  # fmt: skip
BY_HEAD = Listed(
    DischargePoint,
    "head", ("flow", Entry("flow", kinds.FLOW)), "water_power",
    ("power", Entry("power put in", kinds.POWER, key="input_power")),
    ("efficiency", "efficiency"),
)  # fmt: skip


def lift_section(lift: LiftResult, number: int) -> Section:
    """Another lift: what it gives here and what it asks."""
    rows = LIFT.rows(lift, without=() if lift.low_head > lift.head else ("low_head",))
    jobs = (
        Column("task", "job"),
        Column("volume", "water", kinds.VOLUME),
        Column("time", "time", kinds.DURATION),
        Column("power", "at", kinds.POWER),
        Column("bound", "limited by"),
    )
    done = tuple(
        cells(jobs, [task.label, task.volume, task.time, task.power, _LIFT_BOUNDS[task.bound]])
        for task in lift.tasks
        if task.key in ("bucket", "morning")
    )
    grids = [BY_HEAD.grid("by_head", "Flow by head", lift.by_head,
                  "Beyond the points of the file from the same power; below the first head the "
                  "flow stays.")]  # fmt: skip
    if lift.tasks:
        who = "one person" if lift.people == 1 else f"{lift.people} people"
        grids.append(Grid("tasks", f"Jobs for {who}", jobs, done))
        grids += _waters(lift.tasks, 1, lift.people)
    return Section(
        f"lift_{number}",
        f"Lift: {lift.name}",
        "What does this lift give, and what does it ask?",
        tuple(rows),
        tuple(grids),
    )
