"""Whether a pump's flow holds the check valves of the line fully open."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics.hydraulics import pipe
from wellsolar.results.pumps import PumpResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.well.total_head import MORE_LIFT, line_of
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Verdict, at_least, remedy, say

OPENS = Rule(
    "check valve opening",
    "does the water hold the check valve open?",
    "velocity in the valve, at the least flow of the pump, no less than that from which it stands "
    "fully open; below it the disc floats and wears, and the loss stays what it is there",
    "check valve opening",
    limit_is="at least",
    by="plumber",
    place=Place("head", "pump_#"),
    worst=MORE_LIFT,
)


def opening_verdicts(site: Site, table: PumpTable, result: PumpResult) -> list[Verdict]:
    """Whether the least flow of a pump opens each check valve whose opening the file tells.

    Parameters:
        result: of its study, with a duty at which it gives water
    Returns:
        the verdict on the valve that is worst off; none where the file tells nothing of any
    """
    line = line_of(site, table, result.intake_depth)
    flow = min(duty.flow for duty in result.duties if duty.flow > 0.0)
    openings = [
        (pipe.velocity(flow, fitting.bore) / opening, fitting, opening)
        for fitting in line.fittings
        if (opening := fitting.opening_velocity) is not None
    ]
    if not openings:
        return []
    share, valve, opening = min(openings, key=lambda choice: choice[0])
    speed, limit = Quantity(share * opening, kinds.SPEED), Quantity(opening, kinds.SPEED)
    opens = at_least(speed, limit)
    reason = say(
        "at {flow} the water passes the {valve} at {speed}; it stands fully open from {limit}",
        flow=Quantity(flow, kinds.FLOW), valve=valve.name, speed=speed, limit=limit,
    )  # fmt: skip
    way = remedy(
        "a check valve of a smaller bore or a weaker spring, which opens at {speed:down}",
        "when a valve opens is what its maker gives",
        speed=speed,
    )
    return [
        OPENS.verdict(
            "pass" if opens else "caution", table.name, reason, quantity=speed, limit=limit,
            remedy=way,
        )
    ]  # fmt: skip
