"""Jets with their ejector down in the well: how deep they draw, and what their two pipes ask.

No published relation gives a household jet from what its owner can read: nozzle and throat are not
on its plate. The maker's own table by lift and pressure is taken, for the pipes of its sheet.
"""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results.pumps import PumpResult
from wellsolar.site.schema import PumpTable
from wellsolar.studies.house.chain import has_ejector
from wellsolar.studies.pump.suction_lift import OTHER_PUMP, prime_verdicts
from wellsolar.studies.well.drawdown import CAPACITY_KEYS
from wellsolar.studies.well.total_head import DEEPER_WATER
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Place, Rule, Verdict, at_most, remedy, say

TAIL = 10.3
"""Length of a tail pipe above which its jet draws no air however low the water [m]: the source of
the rule; the trade hangs 34 or 35 ft (from memory)."""

LIFT = Rule(
    "jet lift",
    "does the jet draw from so deep?",
    "from the pumping level up to the pump no more than the greatest lift of the maker's table",
    "two-pipe jet",
    limit_is="at most",
    by="driller",
    place=Place("well", "pump_#"),
    worst=DEEPER_WATER,
)


def jet_verdicts(table: PumpTable, result: PumpResult, path: str) -> list[Verdict]:
    """Whether a jet draws from so deep, and stays filled; none of a pump without an ejector in the
    well."""
    if not has_ejector(table):
        return []
    stands = float(table.stands_at or 0.0)
    level = max(duty.pumping_level for duty in result.duties)
    lift = Quantity(level + stands, kinds.LENGTH)
    limit = Quantity(table.jet_table[-1].lift, kinds.LENGTH)
    primed = prime_verdicts(table, result.static_level + stands, path)
    reaches = at_most(lift, limit)
    if not reaches and not result.level_known and result.static_level + stands < limit:
        return [LIFT.unknown(table.name, *CAPACITY_KEYS), *primed]
    template = "the water stands {lift} below the pump; its table ends at {limit}"
    way = remedy(
        "an ejector and a pump made for {lift:up}, or a pump in the well", OTHER_PUMP, lift=lift
    )
    verdict = LIFT.verdict(
        "pass" if reaches else "fail",
        table.name,
        say(template, lift=lift, limit=limit),
        quantity=lift,
        limit=limit,
        remedy=way,
    )
    return [verdict, *primed]


def tail_guards(table: PumpTable) -> bool:
    """Whether the tail pipe of a jet is so long that it draws no air. False of any other pump."""
    return has_ejector(table) and table.tail_pipe is not None and table.tail_pipe > TAIL


def jet_assumed(table: PumpTable, path: str) -> list[Assumption]:
    """What is taken of a jet's two pipes; none without an ejector in the well."""
    if not has_ejector(table):
        return []
    why = "what circulates and what both pipes lose is in its flows, for the pipes and the "
    why += "distance of its sheet"
    return [Assumption(f"{path}.jet_table", "as the sheet has it", why, "two-pipe jet")]
