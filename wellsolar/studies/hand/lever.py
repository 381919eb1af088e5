"""Whether a person can work the handle: its force and its travel, and what would make both do."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from wellsolar import kinds
from wellsolar.results.hand import HandDuty, HandPumpResult
from wellsolar.site.schema import HandPumpTable, Site
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.well.total_head import DEEPER_WATER
from wellsolar.units import Quantity, System
from wellsolar.verdicts import (
    Change,
    Place,
    Remedy,
    Rule,
    Status,
    Verdict,
    at_most,
    remedy,
    say,
    set_to,
)

GREATEST_FORCE = 400.0
"""Greatest handle force for a short time [N]: hand-pump practice, within the 235 to 430 N that a
handbook has for two hands at a lever; see the rule's source."""

EASY_TRAVEL = 1.0
"""Travel of the hand in a stroke that many people keep up [m]: a 125 mm stroke by 8 to 1 of the
public-domain deep-well pump; see the rule's source."""

GREATEST_TRAVEL = 2 * 0.677
"""Travel from as far as an arm reaches upward to as far downward, the feet in their place [m]:
twice the functional reach of a small woman; see the rule's source."""

NO_HANDLE = remedy(
    "water nearer to the ground, another kind of lift, or a powered pump: no lever and cylinder "
    "that are sold make it light within an arm's travel",
    "another well, lift or pump is no key of this one",
)

FORCE = Rule(
    "handle force",
    "can a person work the handle?",
    "force of each hand up and down within the comfortable limit, and never above 400 N (90 lbf)",
    "handle force",
    limit_is="at most",
    by="driller",
    place=Place("well", "hand_pump"),
    worst=DEEPER_WATER,
)

INTO_TANK = Rule(
    "hand into the tank",
    "can the hand pump fill the tank?",
    "force of each hand at cut-out, or up to the storage tank's inlet, within the comfortable "
    "limit, and never above 400 N (90 lbf)",
    "handle force",
    limit_is="at most",
    by="owner",
    place=Place("well", "hand_pump"),
    worst=DEEPER_WATER,
)

TRAVEL = Rule(
    "hand travel",
    "can a hand follow the handle?",
    "stroke times lever no more than 1 m (39 in) of travel at the hand, as at the public-domain "
    "deep-well pump, and never more than 1.35 m (53 in), twice an arm's reach",
    "hand travel",
    limit_is="at most",
    by="owner",
    place=Place("well", "hand_pump"),
)


def travel_verdict(site: Site, result: HandPumpResult, comfortable: float) -> Verdict:
    """Whether a hand can follow the handle; `comfortable` is the force of a hand [N]."""
    table = site.hand_pump
    assert table is not None
    travel = Quantity(table.stroke * table.lever_ratio, kinds.BORE)
    easy = at_most(travel, EASY_TRAVEL)
    status: Status = "pass" if easy else "caution" if at_most(travel, GREATEST_TRAVEL) else "fail"
    return TRAVEL.verdict(
        status,
        "hand pump",
        say(
            "a stroke of {stroke} by a lever of {lever} to 1 moves the hand by {travel}",
            stroke=table.stroke,
            lever=f"{float(table.lever_ratio):g}",
            travel=travel,
        ),
        quantity=travel,
        limit=Quantity(GREATEST_TRAVEL if status == "fail" else EASY_TRAVEL, kinds.BORE),
        remedy=None
        if easy
        else _workable(site, result, result.duties, comfortable, GREATEST_FORCE) or NO_HANDLE,
    )


def force_verdict(
    rule: Rule, site: Site, result: HandPumpResult, duty: HandDuty, comfortable: float
) -> Verdict:
    """Whether people can bring the force of a duty; `comfortable` is that of a hand [N]."""
    table = site.hand_pump
    assert table is not None
    people = result.people_pumping
    force = Quantity(duty.handle_force / people, kinds.FORCE)
    status: Status = (
        "pass"
        if at_most(force, comfortable)
        else "caution" if at_most(force, GREATEST_FORCE) else "fail"
    )  # fmt: skip
    template = "at a lever of {lever} to 1 {each} pulls {up} for the upstroke"
    template += (
        " and pushes {down} for the downstroke"
        if duty.downward >= 0.0
        else " and holds {down} back on the downstroke"
    )
    if rule is INTO_TANK:
        at = "into the storage tank" if duty.key == "inlet" else "at cut-out"
        template = f"{at}, {template}; {{flow}} for an hour"
    elif duty.key == "low":
        template = f"in the low season, {template}"
    return rule.verdict(
        status,
        "hand pump",
        say(
            template,
            lever=f"{float(table.lever_ratio):g}",
            each="the hand" if people == 1 else "each of two",
            up=Quantity(max(0.0, duty.upward) / people, kinds.FORCE),
            down=Quantity(abs(duty.downward) / people, kinds.FORCE),
            flow=Quantity(duty.sustained_flow, kinds.FLOW),
        ),
        quantity=force,
        limit=Quantity(GREATEST_FORCE if status == "fail" else comfortable, kinds.FORCE),
        remedy=None if status == "pass" else _lighter(rule, site, result, duty, comfortable),
    )


@dataclass(frozen=True)
class _Build:
    """A handle with its cylinder as it may be built; None for what stays."""

    lever: Quantity | None = None
    bore: Quantity | None = None
    stroke: Quantity | None = None
    people: int | None = None

    @property
    def changes(self) -> list[Change]:
        """As keys of the file."""
        values = {
            "lever_ratio": self.lever,
            "bore": self.bore,
            "stroke": self.stroke,
            "people_pumping": self.people,
        }
        return [
            set_to(f"hand_pump.{key}", size) for key, size in values.items() if size is not None
        ]

    def words(self) -> tuple[str, dict[str, Quantity | str]]:
        """As a sentence has it."""
        ways: list[str] = []
        parts: dict[str, Quantity | str] = {}
        if self.lever is not None:
            ways.append("a lever of {lever} to 1")
            parts["lever"] = f"{float(self.lever):g}"
        if self.stroke is not None:
            ways.append("a head of {stroke} stroke")
            parts["stroke"] = self.stroke
        if self.bore is not None:
            ways.append("a cylinder of {bore} bore")
            parts["bore"] = self.bore
        if self.people is not None:
            ways.append("two people at the handle together")
        return " with ".join(ways), parts


def _builds(table: HandPumpTable, result: HandPumpResult, system: System) -> Iterator[_Build]:
    """What counters sell in a system of units, the fewest changes first, and another lever before
    all else."""
    lever, bore, stroke = table.lever_ratio, table.bore, table.stroke
    levers = sorted(sizes("lever", kinds.RATIO, system), key=lambda size: abs(size - lever))
    bores = [size for size in reversed(sizes("cylinder", kinds.BORE, system)) if size < bore]
    strokes = [size for size in reversed(sizes("stroke", kinds.BORE, system)) if size < stroke]
    crews = (None, 2) if result.people_pumping == 1 else (None,)
    builds = [
        _Build(*sizes)
        for sizes in product(
            (None, *(quantity for quantity in levers if quantity != lever)),
            (None, *bores),
            (None, *strokes),
            crews,
        )
    ]
    yield from sorted(
        builds, key=lambda way: (len(way.changes), way.people or 0, way.bore is not None)
    )


def _force(table: HandPumpTable, result: HandPumpResult, duty: HandDuty, build: _Build) -> float:
    """Force of a hand at a duty [N]; a narrower cylinder lifts less water from no deeper."""
    lever, hung = float(table.lever_ratio), result.counterweight
    people = build.people or result.people_pumping
    # At the rod, without the counterweight, which weighs at the hand whatever the lever.
    narrower = 1.0 if build.bore is None else (build.bore / table.bore) ** 2
    upward = (duty.upward + hung) * lever - result.rod_weight
    friction = duty.friction * narrower
    up = upward * narrower + result.rod_weight
    down = result.rod_weight - friction
    new = float(build.lever or lever)
    return max(abs(up / new - hung), abs(down / new - hung)) / people


def _travel(table: HandPumpTable, build: _Build) -> float:
    return (build.stroke or table.stroke) * (build.lever or table.lever_ratio)


def _workable(
    site: Site,
    result: HandPumpResult,
    duties: tuple[HandDuty, ...],
    *forces: float,
) -> Remedy | None:
    """The least change with which the travel is easy and the force within the first of some that
    can be, at all of some duties or else at the first; None where there is none."""
    table = site.hand_pump
    assert table is not None
    for most, asked in product(forces, (duties, duties[:1])):
        for build in _builds(table, result, site.site.print_units):
            easy = _travel(table, build) <= EASY_TRAVEL * (1.0 + 1e-9)
            if easy and all(_force(table, result, duty, build) <= most for duty in asked):
                words, parts = build.words()
                return remedy(words, build.changes, **parts)
    return None


def _lighter(
    rule: Rule,
    site: Site,
    result: HandPumpResult,
    duty: HandDuty,
    comfortable: float,
) -> Remedy:
    """A lever, a cylinder or two people that bring force and travel to comfort, or a weight."""
    others = tuple(other for other in result.duties if other is not duty)
    workable = _workable(site, result, (duty, *others), comfortable)
    weight = _counterweight(result, duty, comfortable * result.people_pumping)
    if workable is not None:
        words, parts = workable.template, dict(workable.parts)
        if weight is not None:
            words += ", or a counterweight of {weight:up} at the end of the handle"
            parts["weight"] = weight
        return Remedy(words, parts, workable.changes)
    if weight is not None:
        words = "a counterweight of {weight:up} at the end of the handle"
        return remedy(words, [set_to("hand_pump.counterweight", weight)], weight=weight)
    if rule is INTO_TANK:
        against = "so far up" if duty.key == "inlet" else "against that pressure"
        return remedy(
            "pump to the open spout, and carry the water: no handle that is sold makes it light "
            + against,
            [set_to("hand_pump.delivers", "spout")],
        )
    return NO_HANDLE


def _counterweight(result: HandPumpResult, duty: HandDuty, force: float) -> Quantity | None:
    """A counterweight that makes both strokes light, the least that does or the one that makes
    them alike; whole newtons, as it is made of what is at hand."""
    lifted, pushed = duty.upward + result.counterweight, duty.downward - result.counterweight
    for weight in (math.ceil(lifted - force), math.floor(duty.balancing)):
        if weight > 0 and lifted - weight <= force and abs(pushed + weight) <= force:
            return Quantity(float(weight), kinds.FORCE)
    return None
