"""Whether the metal at a well that hands touch is joined to the ground of its pump."""

from __future__ import annotations

from wellsolar.site.schema import Site
from wellsolar.verdicts import Place, Rule, Verdict, remedy, say, set_to

BONDING = Rule(
    "bonding at the well",
    "is the metal at the well joined to the pump's ground wire?",
    "metal casing of a well with a submersible pump, and metal at it that hands touch, joined to "
    "the ground wire of the pump's circuit",
    "bonding",
    safety=True,
    place=Place(section="sheet"),
    claims=("bonded",),
)


def metal_at_the_well(site: Site) -> list[str]:
    """What is joined to the ground of a powered pump in the well.

    Parameters:
        site: the site
    Returns:
        its names; none where no powered pump hangs in the well
    """
    if all(table.kind == "suction" for table in site.pump):
        return []
    parts = ["metal casing", "cap"]
    if site.hand_pump is not None:
        parts += ["hand pump's head", "metal rising main"]
    return [*parts, "metal drop pipe"]


def bonding_verdicts(site: Site) -> list[Verdict]:
    """Whether the metal at the well is bonded.

    Parameters:
        site: the site
    Returns:
        one verdict on safety; none where no powered pump hangs in the well
    """
    metal = metal_at_the_well(site)
    if not metal:
        return []
    named = f"{', '.join(metal[:-1])} and {metal[-1]}"
    bonded, key = site.well.bonded, "well.bonded"
    if bonded is None:
        why = f"whether {named} are joined to the pump's ground wire is not given"
        return [BONDING.unknown("well", key, why=why)]
    if bonded:
        reason = say("what is metal of {named} is joined to the ground wire", named=named)
        return [BONDING.verdict("pass", "well", reason, claims=[key])]
    reason = say(
        "{named} are joined to nothing: a fault in pump or cable puts them under voltage, and the "
        "ground is wet where people touch them",
        named=named,
    )
    how = remedy(
        "a listed lug at each, and copper to the ground wire of the pump's circuit",
        [set_to(key, True)],
    )
    return [BONDING.verdict("fail", "well", reason, remedy=how)]
