"""The hand pump for the weakest who may have to pump: handle, cylinder, rods and main."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

from wellsolar import kinds
from wellsolar.data import pipes
from wellsolar.site.schema import HandPumpTable
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.hand.handle import BELOW_LEVEL
from wellsolar.studies.hand.head import HEAD_RELIEF, PRIMING
from wellsolar.studies.hand.lever import EASY_TRAVEL, FORCE, INTO_TANK, TRAVEL
from wellsolar.studies.hand.other_lifts import REACH, study_lifts
from wellsolar.studies.hand.other_lifts import SURVIVAL as SURVIVAL_BY_LIFT
from wellsolar.studies.hand.verdicts import (
    BUCKET_RULE,
    CYLINDER,
    DEPTH,
    LOWEST,
    STRETCH,
    SUCTION,
    SURVIVAL,
)
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.sizing.draft import Draft, keys_of
from wellsolar.studies.sizing.search import Candidate, Choice, Sized, smallest
from wellsolar.studies.sold.pipe_sizes import STEEL
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.units import Quantity, System, in_file, show
from wellsolar.verdicts import RANK, Verdict, set_to

STUDY = ("hand_pump",)
"""In which a hand pump is judged."""

WEAKEST = 60
"""Age to which the published rule of human power goes: who is older or weaker pumps less."""

WEIGHTS: dict[System, tuple[str, ...]] = {
    "US": ("10 lbf", "20 lbf", "40 lbf"), "SI": ("50 N", "100 N", "200 N"),
}  # fmt: skip
"""Counterweights at the end of a handle: our choice, as they are made of what is there."""

STEP = 0.5
"""Steps in which the depth of a cylinder is told [m]."""

RATED_DEPTH = 80.0
"""To which extra-deep ones of the public-domain deep-well pump go [m]."""

LEAST_MAIN = "1 1/4 in"
"""Rising main in which the rods of the public-domain pumps run: common practice, no source."""

ROUNDS = 3
"""Times that handle, depth and rods are gone through, as each asks a little of the others."""

WORK = (FORCE, TRAVEL, INTO_TANK, BUCKET_RULE, SURVIVAL)
"""What holds a handle with its cylinder: water enough from below, the hand from above."""

ROPE_PUMP = {
    "kind": "rope pump", "name": "rope pump", "head": "10, 20, 35 m", "flow": "35, 17.5, 10 L/min",
    "greatest_head": "35 m",
}  # fmt: skip
"""Published figures of a rope pump, as two sources were read: 35 L/min at 10 m and half of it at
20 m, 10 L/min at 35 m."""


def hand_of(draft: Draft) -> tuple[Draft, str]:
    """The draft with its hand pump.

    Returns:
        the draft, as it was where the file asks for no hand pump; and what lifts water by hand
        where no handle that is sold does, or empty
    """
    if not draft.says("hand_pump"):
        return draft, ""
    draft = _begun(draft)
    draft = _of_a_kind(draft)
    if draft.says("hand_pump.delivers"):
        best = _built(draft)
    else:
        goals = ["spout"] if draft.case.site.pressure_tank is None else ["pressure tank", "spout"]
        best = draft
        for goal in goals:
            why = "into the tank where the hand can, to the spout where it can't"
            best = _built(draft.set([set_to("hand_pump.delivers", goal)], why))
            if _passes(best):
                break
    return best, "" if _passes(best) else _otherwise(best)


def _begun(draft: Draft) -> Draft:
    """The draft with what the file says of its hand pump, and with the smallest in the place of
    what it does not."""
    raw = draft.part.file.tables["hand_pump"]
    own = keys_of("hand_pump", raw) if draft.case.site.hand_pump is None else []
    bores = sizes("cylinder", kinds.BORE, draft.system)
    strokes = sizes("stroke", kinds.BORE, draft.system)
    standing = [
        set_to(f"hand_pump.{key}", value)
        for key, value in (("bore", bores[0]), ("stroke", strokes[0]))
        if not draft.says(f"hand_pump.{key}")
    ]
    site = changed_site(draft.case.site, [*own, *standing])
    draft = replace(draft, case=draft.case.with_site(site))
    if _is_there(draft):
        return draft
    if not draft.says("hand_pump.person_power"):
        why = "the weakest who may have to pump: the end of the published rule"
        draft = draft.set([set_to("hand_pump.person_age", WEAKEST)], why, SURVIVAL.key)
    draft = draft.set([set_to("hand_pump.people_pumping", 1)], "nobody else may be there")
    why = "what is poured in at its top is drunk"
    return draft.set([set_to("hand_pump.needs_priming", False)], why, PRIMING.key)


def _is_there(draft: Draft) -> bool:
    """Whether the file has handle and cylinder, so that who pumps is as a check of it has them."""
    return all(draft.says(f"hand_pump.{key}") for key in ("bore", "stroke", "lever_ratio"))


def _of_a_kind(draft: Draft) -> Draft:
    """The draft with a pump that sucks where suction reaches the water, else with a cylinder in
    it."""
    if draft.says("hand_pump.kind"):
        return draft
    words = ("suction", "deep well")
    candidates = [Candidate(word, (set_to("hand_pump.kind", word),)) for word in words]
    return draft.choose(Choice("kind of hand pump", candidates, STUDY, (SUCTION,), settles=True))


def _built(draft: Draft) -> Draft:
    """The draft with handle and cylinder, and in a deep well its depth, rods and main."""
    deep = _table(draft).kind == "deep well"
    for _ in range(ROUNDS):
        before = draft.case.site
        if deep:
            draft = _hung(draft)
        handle = _handle(draft)
        if handle.candidate.changes:
            draft = draft.chosen(handle)
        if deep:
            draft = _rods_and_main(draft)
        if draft.case.site == before or not _passes(draft):
            break
    if deep:
        draft = _made_for_depth(draft)
    if _table(draft).delivers != "spout":
        draft = _with_relief(draft)
    return draft


def _table(draft: Draft) -> HandPumpTable:
    table = draft.case.site.hand_pump
    assert table is not None
    return table


def _hung(draft: Draft) -> Draft:
    """The draft with its cylinder 20 ft under the water, where the well is so deep."""
    if draft.says("hand_pump.cylinder_depth"):
        return draft
    result = draft.case.hand_pump
    assert result is not None
    bottom = LOWEST * at_well(draft.case.site, _table(draft)).well.depth
    level = result.low_level if result.level_known else result.low_static_level
    depth = math.floor(min(level + BELOW_LEVEL, bottom) / STEP + 1e-9) * STEP
    change = set_to("hand_pump.cylinder_depth", Quantity(depth, kinds.LENGTH))
    candidate = Candidate(show(depth, kinds.LENGTH, draft.system), (change,))
    return draft.choose(Choice("cylinder depth", [candidate], STUDY, (CYLINDER,)))


def _handle(draft: Draft) -> Sized:
    """Handle and cylinder that lift least in a stroke and do what is asked; with a counterweight
    where none does without."""
    sized = smallest(draft.case, _handles(draft, ("",)))
    if sized.passes or draft.says("hand_pump.counterweight"):
        return sized
    heavier = smallest(draft.case, _handles(draft, WEIGHTS[draft.system]))
    return min((sized, heavier), key=_standing)


def _standing(sized: Sized) -> tuple[int, int]:
    """How many verdicts of a part fail, and how many caution."""
    stands = [verdict.status for verdict in sized.chosen.verdicts]
    return stands.count("fail"), stands.count("caution")


def _handles(draft: Draft, weights: Sequence[str]) -> Choice:
    """All handles and cylinders that are sold, the least lifted in a stroke first."""
    table = _table(draft)

    def open_to(key: str, sold: Sequence[Quantity], own: Quantity) -> Sequence[Quantity]:
        return (own,) if draft.says(f"hand_pump.{key}") else sold

    bores = open_to("bore", sizes("cylinder", kinds.BORE, draft.system), table.bore)
    strokes = open_to("stroke", sizes("stroke", kinds.BORE, draft.system), table.stroke)
    levers = open_to("lever_ratio", sizes("lever", kinds.RATIO), table.lever_ratio)
    # What no hand can follow fails whatever else is chosen, and need not be tried.
    followed = [sizes for sizes in product(bores, strokes, levers, weights)
                if sizes[1] * sizes[2] <= EASY_TRAVEL * (1.0 + 1e-9)]  # fmt: skip
    built = sorted(
        followed or product(bores, strokes, levers, weights),
        key=lambda sizes: (sizes[0] ** 2 * sizes[1], sizes[2], weights.index(sizes[3])),
    )
    candidates = [_candidate(draft, *sizes) for sizes in built]
    return Choice("handle and cylinder", candidates, STUDY, WORK)


def _candidate(
    draft: Draft, bore: Quantity, stroke: Quantity, lever: Quantity, weight: str
) -> Candidate:
    """A handle with its cylinder."""
    values = {"bore": bore, "stroke": stroke, "lever_ratio": lever}
    changes = [
        set_to(f"hand_pump.{key}", in_file(value))
        for key, value in values.items()
        if not draft.says(f"hand_pump.{key}")
    ]
    across, up = (in_file(quantity) for quantity in (bore, stroke))
    built = f"{across} bore, {up} stroke, lever {float(lever):g} to 1"
    label = built if changes else "as in the file"
    if weight:
        label += f", {weight} hung on it"
        changes.append(set_to("hand_pump.counterweight", weight))
    return Candidate(label, tuple(changes))


def _rods_and_main(draft: Draft) -> Draft:
    """The draft with the thinnest rods that do not stretch too far, and the narrowest main through
    which the hand can press."""
    if not draft.says("hand_pump.rod_diameter"):
        rods = [
            Candidate(in_file(size), (set_to("hand_pump.rod_diameter", in_file(size)),))
            for size in sizes("rod", kinds.BORE, draft.system)
        ]
        draft = draft.choose(Choice("pump rods", rods, STUDY, (STRETCH,)))
    if not draft.says("hand_pump.rising_main"):
        draft = draft.choose(Choice("rising main", list(_mains(draft)), STUDY, WORK))
    return draft


def _mains(draft: Draft) -> Iterator[Candidate]:
    """Steel pipes as rising mains, the narrowest first."""
    sold = pipes.sizes(STEEL)
    for nominal in sold[sold.index(LEAST_MAIN) :]:
        size = nominal if draft.system == "US" else pipes.NOMINAL_DIAMETERS[nominal]
        supply_of = (
            set_to("hand_pump.rising_main.material", STEEL),
            set_to("hand_pump.rising_main.size", size),
        )
        yield Candidate(f"{size} {STEEL}", supply_of)


def _made_for_depth(draft: Draft) -> Draft:
    """The draft with a pump that its maker allows so deep."""
    result = draft.case.hand_pump
    if draft.says("hand_pump.rated_depth") or result is None or not result.draws_water:
        return draft
    if _is_there(draft):
        return draft
    level = math.ceil(result.low_level)
    candidates = [Candidate("an ordinary one")]
    if level <= RATED_DEPTH:
        change = set_to("hand_pump.rated_depth", Quantity(float(level), kinds.LENGTH))
        depth = show(float(level), kinds.LENGTH, draft.system)
        candidates.append(Candidate(f"one made for {depth}", (change,)))
    return draft.choose(Choice("rated depth", candidates, STUDY, (DEPTH,)))


def _with_relief(draft: Draft) -> Draft:
    """The draft with the lowest relief valve at the head that its work does not open."""
    if draft.says("hand_pump.relief_pressure"):
        return draft
    valves = [
        Candidate(in_file(size), (set_to("hand_pump.relief_pressure", in_file(size)),))
        for size in sizes("relief valve", kinds.PRESSURE, draft.system)
    ]
    choice = Choice("hand pump relief", valves, STUDY, (HEAD_RELIEF,), settles=True)
    return draft.choose(choice)


def _short(draft: Draft) -> list[Verdict]:
    """What of the hand pump's work falls short."""
    verdicts = draft.case.said("hand_pump").verdicts
    asked = (*WORK, CYLINDER, SUCTION, STRETCH)
    return [verdict for verdict in verdicts
            if verdict.rule in asked and verdict.status in ("fail", "caution")]  # fmt: skip


def _passes(draft: Draft) -> bool:
    return not _short(draft)


def _otherwise(draft: Draft) -> str:
    """What lifts water by hand where no handle that is sold does it with ease, judged on published
    figures."""
    worst = min(_short(draft), key=lambda verdict: RANK[verdict.status])
    short, site = worst.reason.text(draft.system), draft.case.site
    if worst.rule is SURVIVAL and worst.status == "caution" and worst.remedy is not None:
        return f"{short}; {worst.remedy.text(draft.system)}"
    changes = [set_to(f"lift[1].{key}", value) for key, value in ROPE_PUMP.items()]
    lifted = changed_site(site.model_copy(update={"lift": ()}), changes)
    _, part = study_lifts(lifted)
    rules = (REACH, SURVIVAL_BY_LIFT)
    reaches = [
        verdict
        for verdict in part.verdicts
        if verdict.rule in rules and verdict.status != "unknown"
    ]
    if reaches and all(verdict.status == "pass" for verdict in reaches):
        return f"{short}; a rope pump on a well of its own lifts from there, by published figures"
    return f"{short}; no lift by hand reaches: a powered pump and stored water"
