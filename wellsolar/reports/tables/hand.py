"""Rows and grids of the hand pump and of the other lifts: what they give, what they ask."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Listed, Row, Section, cells
from wellsolar.results import DischargePoint, HandPumpResult, HandTask, LiftResult
from wellsolar.results.hand import HandSpell
from wellsolar.results.own_kinds import SMALL_VOLUME

_LEVEL_UNKNOWN = "drawdown unknown: the water was taken as drawn down to the intake"

_BOUNDS = {"strokes": "stroke rate", "power": "strength", "day": "over 8 h"}
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


ROWS = Listed(
    HandPumpResult,
    "kind", "swept_volume",
    ("pumping_level", lambda hand: "below the ground" if hand.level_known else _LEVEL_UNKNOWN),
)  # fmt: skip
ROWS_2 = Listed(HandPumpResult, "suction_lift", "suction_limit")
ROWS_3 = Listed(HandPumpResult, "cylinder_depth", "rod_weight", "greatest_depth", "depth_limit")
GREATEST_HEAD = Listed(
    HandPumpResult,
    ("greatest_head", lambda hand: "at the comfortable handle force"
     + (", with these rods" if hand.rod_weight else "")),
)  # fmt: skip
LOW_LEVEL = Listed(HandPumpResult, "low_level")
COUNTERWEIGHT = Listed(HandPumpResult, "counterweight")


def _rows(hand: HandPumpResult) -> list[Row]:
    rows = ROWS.rows(hand)
    if hand.low_static_level > hand.static_level:
        rows += LOW_LEVEL.rows(hand)
    if hand.suction_limit is not None or hand.suction_lift is not None:
        rows += ROWS_2.rows(hand)
    if hand.cylinder_depth is not None:
        rows += ROWS_3.rows(hand)
    rows += GREATEST_HEAD.rows(hand)
    if hand.counterweight:
        rows += COUNTERWEIGHT.rows(hand)
    return rows


def _forces(hand: HandPumpResult) -> Grid:
    rods = hand.cylinder_depth is not None
    columns = (
        Column("duty", "pumping"),
        Column("head", "head", kinds.HEAD),
        Column("rod_pull", "rod pull", kinds.FORCE),
        Column("friction", "friction", kinds.FORCE),
        Column("upward", "hand, upstroke", kinds.FORCE),
        Column("downward", "hand, downstroke", kinds.FORCE),
        Column("balancing", "best counterweight", kinds.FORCE),
        *([Column("stretch", "rod stretch", kinds.BORE)] if rods else []),
    )
    rows = tuple(
        cells(columns, [
            duty.label, duty.head, duty.rod_pull, duty.friction, duty.upward, duty.downward,
            duty.balancing, *([duty.stretch] if rods else []),
        ])
        for duty in hand.duties
    )  # fmt: skip
    return Grid(
        "duties", "Forces", columns, rows,
        "Rod pull is water and rods, friction comes on top both ways. The hand's downstroke is "
        "below zero where it holds the rods back. The best counterweight hangs at the end of the "
        "handle and makes both ways equal; it changes no work."
        + (" A rising main that hangs free stretches too, which is not counted." if rods else ""),
    )  # fmt: skip


def _flows(hand: HandPumpResult) -> Grid:
    maker = any(duty.table_flow is not None for duty in hand.duties)
    columns = (
        Column("duty", "pumping"),
        Column("stroke_volume", "water a stroke", SMALL_VOLUME),
        Column("work", "work a stroke", _WORK),
        Column("full_flow", "flow at full rate", kinds.FLOW),
        Column("power", "power for it", kinds.POWER),
        Column("sustained_flow", "flow for an hour", kinds.FLOW),
        Column("stroke_rate", "stroke rate", kinds.STROKE_RATE),
        Column("day_flow", "flow for 8 h", kinds.FLOW),
        *((Column("table_flow", "by the maker's table", kinds.FLOW),) if maker else ()),
    )
    rows = tuple(
        cells(columns, [
            duty.label, duty.stroke_volume, duty.work, duty.full_flow, duty.power,
            duty.sustained_flow, duty.stroke_rate, duty.day_flow,
            *([duty.table_flow] if maker else []),
        ])
        for duty in hand.duties
    )  # fmt: skip
    who = "one person keeps" if hand.people_pumping == 1 else "two people at the handle keep"
    note = f"Flow for an hour, with its stroke rate, and for 8 h: what {who} up."
    return Grid("flows", "The hand pump at work", columns, rows, note)


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
        Column("strokes", "strokes", kinds.COUNT),
        Column("time", "time for one person", kinds.DURATION),
        Column("power", "at", kinds.POWER),
        Column("bound", "limited by"),
        Column("time_of_two", "time for two", kinds.DURATION),
    )
    rows = []
    for task in hand.tasks:
        if task.people != 1 or task.key not in ("bucket", "tank", "morning"):
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
    return f"{task.label}, {'into the tank' if task.place == 'tank' else 'at the spout'}"


def _waters(tasks: tuple[HandTask, ...], crews: int, people: int = 1) -> list[Grid]:
    """A day's water by what it is for, for one person and for all of them."""
    found = {(task.key, task.people): task for task in tasks}
    columns = (
        Column("task", "a day's water"),
        Column("each_volume", "a person's", kinds.VOLUME),
        Column("each_strokes", "strokes", kinds.COUNT),
        Column("each_time", "time", kinds.DURATION),
        Column("volume", "everybody's", kinds.VOLUME),
        Column("time", "time for one" if crews == 2 else "time", kinds.DURATION),
        *((Column("time_of_two", "time for two", kinds.DURATION),) if crews == 2 else ()),
        Column("bound", "limited by"),
    )
    bounds = _BOUNDS if crews == 2 else _LIFT_BOUNDS
    rows = []
    for key, label in _WATERS:
        task, each = found.get((key, people)), found.get((f"{key} each", people))
        if task is None:
            continue
        into = ", into the tank" if task.place == "tank" else ""
        two = found.get((key, 2))
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
    "head",
)  # fmt: skip
LIFT_2 = Listed(
    LiftResult,
    "greatest_head", "flow", "water_power",
    ("input_power", lambda lift: "by all who work it" if lift.people > 1 else "by one person"),
    "efficiency", "people",
)  # fmt: skip
LIFT_3 = Listed(LiftResult, "low_head")


def lift_section(lift: LiftResult, number: int) -> Section:
    """Another lift: what it gives here and what it asks."""
    rows = [
        *LIFT.rows(lift),
        *(LIFT_3.rows(lift)
          if lift.low_head > lift.head else []),
        *LIFT_2.rows(lift),
    ]  # fmt: skip
    columns = (
        Column("head", "head", kinds.HEAD),
        Column("flow", "flow", kinds.FLOW),
        Column("water_power", "water power", kinds.POWER),
        Column("input_power", "power put in", kinds.POWER),
        Column("efficiency", "efficiency", kinds.FRACTION),
    )
    by_head = tuple(
        cells(columns, [
            each.head, each.flow, each.water_power, each.power, each.efficiency,
        ])
        for each in lift.by_head
    )  # fmt: skip
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
    grids = [Grid("by_head", "Flow by head", columns, by_head,
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


_WORK = kinds.Kind(
    "work", "joule", "J", "200 J", {"J": "joule"},
    (kinds.Shown("J", "J", 0),), (kinds.Shown("J", "J", 0),),
)  # fmt: skip
