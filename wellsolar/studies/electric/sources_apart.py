"""Whether the supplies of a house can meet, and where their neutral is bonded to ground."""

from __future__ import annotations

from itertools import combinations

from wellsolar.site.schema import Site, SourcePair
from wellsolar.studies.electric.supplies import supplies_of
from wellsolar.verdicts import Place, Rule, Verdict, remedy, say, set_to

KEPT_APART = "power.kept_apart"
"""What tells which supplies cannot meet."""

SUBJECT = "supplies of the house"

APART = Rule(
    "supplies kept apart",
    "can two supplies of the house meet?",
    "equipment keeps every supply from meeting another, pair by pair, on the grid or off it",
    "supplies apart",
    safety=True,
    by="electrician",
    place=Place(section="sheet"),
    claims=("kept_apart",),
)

NEUTRAL = Rule(
    "neutral bond",
    "is the neutral bonded to ground in one place, whichever supply is on?",
    "a generator with a bonded neutral behind a transfer switch that switches the neutral, one "
    "with a floating neutral behind a switch that leaves it joined",
    "neutral bond",
    safety=True,
    by="electrician",
    place=Place(section="sheet"),
)


def pairs_of(site: Site) -> tuple[SourcePair, ...]:
    """The supplies of a site by twos, as `power.kept_apart` names them; none with fewer than two
    supplies."""
    order = ("grid", "inverter", "generator")
    there = sorted(supplies_of(site), key=order.index)
    named: dict[tuple[str, str], SourcePair] = {
        ("grid", "inverter"): "grid and inverter",
        ("grid", "generator"): "grid and generator",
        ("inverter", "generator"): "inverter and generator",
    }
    return tuple(named[pair] for pair in combinations(there, 2))


def supply_verdicts(site: Site) -> list[Verdict]:
    """Whether supplies can meet, and whether the neutral is bonded once; none where one supply is
    alone."""
    pairs = pairs_of(site)
    if not pairs:
        return []
    verdicts = [_apart(site, pairs)]
    if "generator" in supplies_of(site):
        verdicts.append(_neutral(site))
    return verdicts


def _apart(site: Site, pairs: tuple[SourcePair, ...]) -> Verdict:
    """Whether each pair is kept apart."""
    apart_by = site.power.kept_apart
    if apart_by is None:
        why = f"what keeps {', '.join(pairs)} from meeting is not given"
        return APART.unknown(SUBJECT, KEPT_APART, why=why)
    meet = [pair for pair in pairs if pair not in apart_by]
    if not meet:
        reason = say("equipment keeps {pairs} apart", pairs=", ".join(pairs))
        return APART.verdict("pass", SUBJECT, reason, claims=[KEPT_APART])
    reason = say(
        "nothing keeps {pairs} apart: one feeds the other's wires, which kills whoever works on "
        "them, and two that run out of step destroy each other",
        pairs=", ".join(meet),
    )
    # The pairs that are told already stay, in the order of the list.
    mended = [pair for pair in pairs if pair in apart_by or pair in meet]
    return APART.verdict(
        "fail",
        SUBJECT,
        reason,
        remedy=remedy(
            "transfer equipment for {pairs}: one position for each supply, none on the way in "
            "which two are on",
            [set_to(KEPT_APART, mended)],
            pairs=", ".join(meet),
        ),
    )


def _neutral(site: Site) -> Verdict:
    """Whether the neutral is bonded once while the generator runs."""
    neutral, switched = site.power.generator_neutral, site.power.transfer_neutral
    values = {"power.generator_neutral": neutral, "power.transfer_neutral": switched}
    missing = [key for key, value in values.items() if value is None]
    if missing:
        why = "where the neutral is bonded while the generator runs is not given"
        return NEUTRAL.unknown("generator", *missing, why=why)
    if (neutral == "bonded") == (switched == "switched"):
        where = "at the generator" if neutral == "bonded" else "at the service"
        reason = say("it is bonded {where} alone while the generator runs", where=where)
        return NEUTRAL.verdict("pass", "generator", reason)
    if neutral == "bonded":
        reason = say(
            "it is bonded at the generator and at the service: its current runs in the ground "
            "wires, and the generator's ground-fault protection trips"
        )
        how = "a transfer switch that switches the neutral too"
        change = set_to("power.transfer_neutral", "switched")
    else:
        reason = say(
            "it is bonded nowhere while the generator runs: a fault to ground opens no breaker"
        )
        how = "a transfer switch that leaves the neutral joined to the service's bond"
        change = set_to("power.transfer_neutral", "joined")
    return NEUTRAL.verdict("caution", "generator", reason, remedy=remedy(how, [change]))
