"""Whether the metal at a well that hands touch is joined to the ground of its pump."""

from __future__ import annotations

from wellsolar.site.schema import Pipe, Site
from wellsolar.studies.house.chain import hangs_in_well
from wellsolar.studies.house.wells import is_here
from wellsolar.verdicts import Place, Rule, Verdict, remedy, say, set_to

BONDING = Rule(
    "bonding at the well",
    "is the metal at the well joined to the pump's ground wire?",
    "metal casing of a well with a submersible pump, and metal at it that hands touch, joined to "
    "the ground wire of the pump's circuit",
    "bonding",
    safety=True,
    by="electrician",
    place=Place(section="sheet"),
    claims=("bonded",),
)

METALS = ("steel", "copper")
"""In the names of the table of pipes."""


def metal_at_the_well(site: Site) -> list[str]:
    """What is joined to the ground of a powered pump in the well; none where no powered pump hangs
    in the well."""
    if not any(hangs_in_well(table) and is_here(site, table) for table in site.pump):
        return []
    parts = ["metal casing", "cap"]
    hand = site.hand_pump
    if hand is not None:
        parts.append("hand pump's head")
        parts += ["rising main"] if hand.rising_main is None or _is_metal(hand.rising_main) else []
    return parts + (["drop pipe"] if has_metal_drop_pipe(site) else [])


def has_metal_drop_pipe(site: Site) -> bool:
    """Whether a powered pump hangs on a pipe that conducts."""
    from_well = [table for table in site.pump if is_here(site, table)]
    return any(_is_metal(table.drop_pipe or site.piping.drop_pipe) for table in from_well)


def _is_metal(pipe: Pipe) -> bool:
    """Whether a pipe conducts."""
    return any(metal in pipe.material for metal in METALS)


def bonding_verdicts(site: Site) -> list[Verdict]:
    """Whether the metal at the well is bonded; none where no powered pump hangs in the well."""
    metal = metal_at_the_well(site)
    if not metal:
        return []
    named = f"{', '.join(metal[:-1])} and {metal[-1]}"
    bonded, key = site.well.bonded, "well.bonded"
    if bonded is None:
        why = f"whether {named} are joined to the pump's ground wire is not given"
        return [BONDING.unknown("well", key, why=why)]
    if bonded:
        reason = say("{named} are joined to the ground wire", named=named)
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
