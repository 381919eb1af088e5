"""The storage tank as a link of the chain: what fills it, what draws from it, what keeps it clean.

The peaks of a house behind a storage tank are its own matter and that of what presses from it: the
pump that fills it needs no more than the day's water.
"""

from __future__ import annotations

from collections.abc import Sequence

from wellsolar import kinds
from wellsolar.constants import PSI
from wellsolar.results.pumps import PumpResult
from wellsolar.site.schema import Site, StorageTankTable
from wellsolar.studies.electric.motor_guards import motor_cycle
from wellsolar.studies.house import chain
from wellsolar.studies.house.demand import peak_flow
from wellsolar.studies.well.total_head import gravity_friction
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Place,
    Rule,
    Status,
    Verdict,
    at_least,
    remedy,
    say,
    set_to,
)

TANK = "storage tank"

LEAST_GAP = 0.1
"""Air gap between the end of a filling pipe and the overflow, 4 in [m], as the code has it in
millimetres: the source of the rule."""

LEAST_PRESSURE, GOOD_PRESSURE = 8.0 * PSI, 20.0 * PSI
"""Pressures at which most fixtures still run, and those with tanks or mixing valves too [Pa]: the
source of the rule."""

GIVES_PEAK = Rule(
    "booster's peak",
    "does the booster give the peak?",
    "flow at cut-in, or at the pressure that it holds, with the storage tank at its lowest, no "
    "less than the peak flow",
    "intermediate storage",
    limit_is="at least",
    by="plumber",
    place=Place("pump_curve_#", "pump_#"),
    worst={"piping.tank_elevation": "high", "pressure_switch.cut_out": "high"},
)
FILLING_RUN = Rule(
    "filling run",
    "are the floats of the storage tank far enough apart?",
    "from the float that starts the filling pump to the one that stops it, two minutes of running "
    "for motors from 1 hp, one for smaller ones",
    "tank run time",
    limit_is="at least",
    by="plumber",
    place=Place("well", "pump_#"),
)
RUNS_EMPTY = Rule(
    "booster runs dry",
    "what stops the booster before the storage tank is empty?",
    "a float or a guard against running dry: seals that run dry are soon ruined",
    "common practice",
    by="electrician",
    place=Place(section="pump_#"),
    claims=("stops_below", "dry_run_protection"),
)
AIR_GAP = Rule(
    "air gap",
    "can the storage tank's water run back into the pipe that fills it?",
    "the filling pipe ends no less than 4 in (100 mm) above the overflow",
    "gravity tanks",
    limit_is="at least",
    safety=True,
    by="plumber",
    place=Place("well", "pump_1"),
)
OVERFLOW = Rule(
    "overflow",
    "can anything get into the storage tank by its overflow?",
    "a screened overflow that ends in the open with an air gap, joined to no drain",
    "cisterns",
    safety=True,
    by="plumber",
    read_by="owner",
    place=Place("well", "pump_1"),
    claims=("overflow",),
)
COVER = Rule(
    "tank cover",
    "is the storage tank closed?",
    "watertight, with a solid cover that overlaps its frame, every opening screened",
    "cisterns",
    safety=True,
    by="owner",
    place=Place("well", "pump_1"),
    claims=("covered",),
)
GRAVITY = Rule(
    "pressure by gravity",
    "does the water run down with enough pressure?",
    "20 psi (138 kPa) left at the house for closets with tanks and mixing valves, and no less "
    "than 8 psi (55 kPa) for any fixture, at the peak flow with the storage tank at its lowest",
    "fixture pressure",
    limit_is="at least",
    by="plumber",
    place=Place("well", "pump_1"),
    worst={"storage_tank.elevation": "low", "piping.tank_elevation": "high"},
)


def storage_verdicts(site: Site, pumps: Sequence[PumpResult]) -> list[Verdict]:
    """Whether the storage tank does its part, and what keeps its water clean.

    Returns:
        verdicts; none where no pump fills a storage tank or draws from one
    """
    tank = site.storage_tank
    if tank is None or not chain.has_cistern(site):
        return []
    storage = chain.storage_of(site, tank)
    verdicts: list[Verdict] = []
    filling = [(link, pumps[link.number - 1]) for link in chain.fillers(site)]
    together = sum(pump.duties[0].pump_flow for _, pump in filling)
    for link, pump in filling:
        flow = together if chain.pumps_run(site) == "at once" else pump.duties[0].pump_flow
        verdicts += _filling_run(site, tank, storage, link, flow)
    for link in chain.boosters(site):
        verdicts += _gives_peak(site, pumps[link.number - 1])
        verdicts.append(_stops(tank, link))
    verdicts += _gravity(site, storage)
    filled = bool(filling) or chain.hand_goal(site) == "storage tank"
    return [*verdicts, *_clean(tank, filled)]


def _gives_peak(site: Site, pump: PumpResult) -> list[Verdict]:
    """Whether a booster gives the peak; nothing where the file names none."""
    peak, given = peak_flow(site), Quantity(pump.duties[0].flow, kinds.FLOW)
    if peak is None or given <= 0.0:
        return []
    reason = say(
        "it gives {given} {when} with the storage tank at its lowest, of a peak of {peak}",
        given=given,
        when=pump.duties[0].label,
        peak=peak,
    )
    return [
        GIVES_PEAK.verdict(
            "pass" if at_least(given, peak) else "caution",
            pump.name,
            reason,
            quantity=given,
            limit=peak,
            remedy=remedy(
                "a booster that gives {peak:up} there, or use less at once",
                "the pump's curve is what its maker gives",
                peak=peak,
            ),
        )
    ]


def _filling_run(
    site: Site, tank: StorageTankTable, storage: chain.Storage, link: chain.Link, flow: float
) -> list[Verdict]:
    """Whether the floats let a filling pump run long enough while so much comes in [m3/s], with
    others that run at once; nothing where it gives no water."""
    if flow <= 0.0:
        return []
    name = link.table.name
    gap = (storage.fills_to - storage.fills_below) * storage.volume
    run = Quantity(gap / flow, kinds.DURATION)
    wanted = Quantity(motor_cycle(site, link.table).wanted_run, kinds.DURATION)
    enough = at_least(run, wanted)
    if not enough and tank.fills_below is None:
        return [FILLING_RUN.unknown(name, "storage_tank.fills_below")]
    lower = int(100.0 * (storage.fills_to - flow * wanted / storage.volume))
    changes = [set_to("storage_tank.fills_below", f"{lower} %")]
    return [
        FILLING_RUN.verdict(
            "pass" if enough else "caution",
            name,
            say(
                "its floats stand {gap} apart, a run of {run} at {flow}",
                gap=Quantity(gap, kinds.VOLUME),
                run=run,
                flow=Quantity(flow, kinds.FLOW),
            ),
            quantity=run,
            limit=wanted,
            remedy=remedy(
                "hang the float that starts it lower",
                changes if lower > 100.0 * storage.stops_below else "the tank is too small for it",
            ),
        )
    ]


def _stops(tank: StorageTankTable, link: chain.Link) -> Verdict:
    """What stops a booster before it draws air."""
    name, key = link.table.name, f"{link.path}.dry_run_protection"
    if tank.stops_below is not None and tank.stops_below > 0.0:
        reason = say("a float stops it at {share} of the tank", share=tank.stops_below)
        return RUNS_EMPTY.verdict("pass", name, reason, claims=["storage_tank.stops_below"])
    if link.table.dry_run_protection:
        reason = say("dry-run protection stops it")
        return RUNS_EMPTY.verdict("pass", name, reason, claims=[key])
    if link.table.dry_run_protection is None and tank.stops_below is None:
        return RUNS_EMPTY.unknown(name, "storage_tank.stops_below", key)
    return RUNS_EMPTY.verdict(
        "caution",
        name,
        say("nothing does: it runs on in the empty tank"),
        remedy=remedy(
            "a float at a tenth of the tank, or a guard against running dry",
            [set_to("storage_tank.stops_below", "10 %")],
        ),
    )


def _clean(tank: StorageTankTable, filled: bool) -> list[Verdict]:
    """What keeps foul water, animals and light out; filled: by a pump."""
    verdicts = []
    if filled:
        verdicts.append(_air_gap(tank.air_gap))
    if tank.overflow is None:
        verdicts.append(OVERFLOW.unknown(TANK, "storage_tank.overflow"))
    else:
        ends = {
            "screened": "it ends behind a screen",
            "open": "it ends open: insects, rodents and frogs get in",
            "none": "it has none: a float that sticks lets the water rise out of its hatch, over "
            "the end of the filling pipe",
        }
        verdicts.append(
            OVERFLOW.verdict(
                "pass" if tank.overflow == "screened" else "fail",
                TANK,
                say(ends[tank.overflow]),
                claims=["storage_tank.overflow"] if tank.overflow == "screened" else [],
                remedy=remedy(
                    "an overflow with a fine screen that looks down and ends in the open",
                    [set_to("storage_tank.overflow", "screened")],
                ),
            )
        )
    if tank.covered is None:
        return [*verdicts, COVER.unknown(TANK, "storage_tank.covered")]
    closed = "a tight cover keeps light, animals and rain out" if tank.covered else (
        "it stands open: light, animals and rain foul it, and a child can fall in")  # fmt: skip
    return [
        *verdicts,
        COVER.verdict(
            "pass" if tank.covered else "fail",
            TANK,
            say(closed),
            claims=["storage_tank.covered"] if tank.covered else [],
            remedy=remedy(
                "a solid cover that overlaps its frame, with a lock",
                [set_to("storage_tank.covered", True)],
            ),
        ),
    ]


def _air_gap(gap: Quantity | None) -> Verdict:
    if gap is None:
        return AIR_GAP.unknown(TANK, "storage_tank.air_gap")
    least = Quantity(LEAST_GAP, kinds.BORE)
    reason = "the filling pipe ends {gap} above the overflow"
    if gap <= 0.0:
        reason = "the filling pipe ends in the water: when its line leaks, it draws the tank back"
    return AIR_GAP.verdict(
        # The code names 4 in and 100 mm alike.
        "pass" if gap >= LEAST_GAP - 1e-9 else "fail",
        TANK,
        say(reason, gap=gap),
        quantity=gap,
        limit=least,
        remedy=remedy(
            "let the filling pipe end 4 in or more above the overflow",
            [set_to("storage_tank.air_gap", "4 in")],
        ),
    )


def _gravity(site: Site, storage: chain.Storage) -> list[Verdict]:
    """Whether a tank above the house gives pressure; nothing where a pump stands between."""
    head, peak = chain.gravity_head(site), peak_flow(site)
    if head is None:
        return []
    line = None if site.storage_tank is None else site.storage_tank.gravity_line
    if peak is None or line is None or line.length is None:
        missing = ["demand.peak_flow"] if peak is None else []
        missing += ["storage_tank.gravity_line"] if line is None or line.length is None else []
        return [GRAVITY.unknown("house", *missing)]
    lowest = head + storage.lowest - storage.outlet
    left, lost = gravity_friction(site, line, float(peak), lowest)
    pressure = Quantity(max(0.0, left), kinds.PRESSURE)
    limit = Quantity(GOOD_PRESSURE, kinds.PRESSURE)
    low: Status = "caution" if at_least(pressure, LEAST_PRESSURE) else "fail"
    return [
        GRAVITY.verdict(
            "pass" if at_least(pressure, limit) else low,
            "house",
            say(
                "the water stands {lowest} above the house at its lowest; at {peak} {lost} is "
                "lost on the way and {pressure} left",
                lowest=Quantity(lowest, kinds.LENGTH),
                peak=peak,
                lost=Quantity(lost, kinds.HEAD),
                pressure=pressure,
            ),
            quantity=pressure,
            limit=limit,
            remedy=remedy(
                "a wider pipe; or a tank higher up; or a booster", "a tank does not move by a key"
            ),
        )
    ]
