"""Whether the water line leaves the well, and goes to the house, below the frost."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results import FrostResult, StudyPart
from wellsolar.site.loading.overrides import SET_BY
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.schema import Site
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Status, Verdict, say

BELOW_FROST = 0.1524
"""How far below the frost a water line lies, 6 in [m]: model plumbing code 305.4."""

LEAST_COVER = 0.3048
"""How deep it lies where there is no frost, 12 in [m]: the same."""

FROST = Rule(
    "frost",
    "does the line from well to house lie below the frost?",
    "pitless adapter and buried line no less than 6 in below the greatest depth of the frost, and "
    "no less than 12 in below the ground; local codes may ask for more",
    "frost depth",
    limit_is="at least",
    place=Place("well", "frost"),
)
SUBJECT = "line to the house"


def study_frost(file: SiteFile) -> tuple[FrostResult | None, StudyPart]:
    """The line from a pump to the house against the frost.

    Parameters:
        file: a site file that was read
    Returns:
        its depths, None where they are not known, and a verdict; none of either where no pump
        feeds a line, or where nothing in the file speaks of frost
    """
    site = file.site
    if not site.pump:
        return None, StudyPart()
    frost = site.piping.frost_depth
    if frost is None:
        asked = (FROST.unknown(SUBJECT, "piping.frost_depth"),)
        return None, StudyPart(asked if _freezes(site) else ())
    assumed = {
        assumption.path for assumption in file.assumptions if assumption.source not in SET_BY
    }
    if "piping.pitless_depth" in assumed:
        return None, StudyPart((FROST.unknown(SUBJECT, "piping.pitless_depth"),))
    wanted = max(frost + BELOW_FROST, LEAST_COVER)
    result = FrostResult(float(site.piping.pitless_depth), float(frost), wanted)
    return result, StudyPart((_verdict(result),))


def _freezes(site: Site) -> bool:
    """Whether the file names an air temperature below freezing."""
    lows = [site.sun.record_low, *(site.sun.temperature or ())]
    return any(low is not None and low < 0.0 for low in lows)


def _verdict(result: FrostResult) -> Verdict:
    """Frozen above the frost's depth; below it, but nearer than the code has it, a caution."""
    depth, wanted = (Quantity(length, kinds.LENGTH) for length in (result.depth, result.wanted))
    frozen = 0.0 < result.frost >= result.depth
    status: Status = "pass" if depth >= wanted - 1e-9 else "fail" if frozen else "caution"
    remedy = say(
        "lay the line at {wanted:up} or deeper from the pitless adapter to the house; where that "
        "can't be dug, insulation or a heat cable as the local code allows",
        wanted=wanted,
    )
    return FROST.verdict(
        status,
        SUBJECT,
        say(
            "the pipe leaves the well at {depth}, and the ground freezes to {frost}",
            depth=depth,
            frost=Quantity(result.frost, kinds.LENGTH),
        ),
        quantity=depth,
        limit=wanted,
        remedy=remedy,
    )
