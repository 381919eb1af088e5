"""Whether foul water finds a way into the well or its line: over the casing, through the ground
from a septic system, or into a buried pipe that is not under pressure."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.constants import FOOT, INCH
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.house.chain import hangs_in_well, lateral_name
from wellsolar.studies.house.wells import is_here, name_of
from wellsolar.studies.well.total_head import Line, line_for, line_of
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Status, Verdict, at_least, remedy, say, set_to

ABOVE_GROUND = Quantity(12.0 * INCH, kinds.LENGTH, written="12 in")
"""How far a casing ends above the ground: the rules of the source."""

ABOVE_FLOOD = 2.0 * FOOT
"""How far it ends above the highest flood known [m]: the same."""

SEPTIC, FIELD = "septic tank", "drain field"
SEPTIC_TANK, DRAIN_FIELD = 50.0 * FOOT, 100.0 * FOOT
"""Least distances of a well [m], as county and town tables have them."""

CHECK_PLACE = Rule(
    "check valve's place",
    "does the buried line stay under pressure while the pump rests?",
    "the line's uppermost check valve on the pump or above it inside the casing: one further on "
    "leaves the buried pipe in a vacuum when the lower one leaks, and it draws in what stands "
    "round it",
    "check valve",
    safety=True,
    by="plumber",
    place=Place("well", "pump_1"),
)

SUCTION_LINE = Rule(
    "suction line",
    "can the suction line draw in foul water?",
    "the suction line in sight, in the well, or within a pipe at the system's pressure; never "
    "bare in the ground",
    "suction line",
    safety=True,
    by="plumber",
    place=Place("well", "pump_#"),
)

WELL_HEAD = Rule(
    "well head",
    "does the casing end above ground and flood?",
    "the top of the casing no less than 12 in above the ground and 2 ft above any known flood; "
    "the local well code comes first",
    "well head",
    limit_is="at least",
    safety=True,
    by="driller",
    read_by="owner",
    place=Place("well", "well"),
    worst={"well.casing_height": "low", "well.flood_height": "high"},
)

SETBACK = Rule(
    "setback",
    "is the well far enough from what is drained into the ground?",
    "50 ft or more from a septic tank, 100 ft or more from a drain field; the local health office "
    "has its own distances, longer in rock and gravel",
    "well setback",
    limit_is="at least",
    safety=True,
    by="driller",
    read_by="owner",
    place=Place("well", "well"),
    worst={"well.septic_tank_distance": "low", "well.drain_field_distance": "low"},
)

CHECK = "check valve"


def sanitary_verdicts(site: Site) -> list[Verdict]:
    """What of the well's head, its surroundings and its pipes could let foul water in: a verdict
    on each thing that the site has and of which the file speaks, and one on each buried or sucking
    pipe."""
    pipes = [*_check_place(site)]
    for number, table in enumerate(site.pump, 1):
        if not is_here(site, table):
            continue
        pipes += _suction_line(table, f"pump[{number}].suction_line")
    return [*pipes, *_head(site), *_setbacks(site)]


def _has_check_valve(site: Site) -> bool:
    """Whether the line of a submersible pump has a check valve besides the pump's own: that of
    [piping], or at another well any of its pumps' own."""
    hang = [pump for pump in site.pump if hangs_in_well(pump) and is_here(site, pump)]
    if name_of(site.well) is None:
        return bool(hang) and _has_check(line_for(site, 0.0))
    return any(_has_check(line_of(site, pump, 0.0)) for pump in hang)


def _has_check(line: Line) -> bool:
    return any(fitting.kind == CHECK for fitting in line.fittings)


def _check_place(site: Site) -> list[Verdict]:
    """Where the check valve of a line in the ground stands."""
    piping, key = site.piping, "piping.check_valve_place"
    if not _has_check_valve(site):
        return []
    other = name_of(site.well)
    if other is None and not piping.lateral.length:
        return []
    place, line = piping.check_valve_place, lateral_name(site)
    line = line if other is None else f"line from {other}"
    if place is None:
        return [CHECK_PLACE.unknown(line, key)]
    if place in ("pump", "casing"):
        where = "on the pump" if place == "pump" else "above the pump inside the casing"
        return [CHECK_PLACE.verdict("pass", line, say("it stands {where}", where=where))]
    status: Status = "fail"
    reason = (
        "it stands in the buried line: when a lower valve leaks, the pipe below it is in a vacuum"
        if place == "buried line"
        else "it stands in the house: when a lower valve leaks, all of the line is in a vacuum"
    )
    if place == "house" and piping.pitless_depth <= 0.0:
        status = "caution"
        reason = (
            "it stands in the house, which is right only where the whole line lies 12 in above "
            "the ground and drains into the well"
        )
    way = remedy(
        "one check valve, above the pump inside the casing, and none after it",
        [set_to(key, "casing")],
    )
    return [CHECK_PLACE.verdict(status, line, say(reason), remedy=way)]


def _suction_line(table: PumpTable, key: str) -> list[Verdict]:
    """How the pipe of a pump that sucks lies."""
    if table.kind != "suction" or table.draws != "well":
        return []
    if table.suction_line is None:
        return [SUCTION_LINE.unknown(table.name, key)]
    values = {
        "in the well": "all of it hangs in the well, under the pump",
        "exposed": "it lies open to sight",
        "sleeved": "it lies in a pipe that is kept at the system's pressure",
        "buried": "it lies in the ground: at a leak the pump draws in what stands round it",
    }
    buried = table.suction_line == "buried"
    way = remedy(
        "lay it open to sight, or in a pipe at the system's pressure; or a pump in the well",
        [set_to(key, "exposed")],
    )
    reason = say(values[table.suction_line])
    return [
        SUCTION_LINE.verdict("fail" if buried else "pass", table.name, reason, remedy=way),
    ]


def _head(site: Site) -> list[Verdict]:
    """The top of the casing over ground and flood."""
    top, flood, key = site.well.casing_height, site.well.flood_height, "well.casing_height"
    if top is None:
        floods = flood is not None and flood > 0.0
        return [WELL_HEAD.unknown("well", key, why="floods come here")] if floods else []
    floods = flood is not None and flood > 0.0
    over = 0.0 if flood is None or not floods else float(flood)
    wanted = Quantity(
        max(float(ABOVE_GROUND), over + ABOVE_FLOOD if floods else 0.0), kinds.LENGTH
    )
    # By inches, as the code has it: a height is printed too coarsely to be judged as printed.
    status: Status = "pass" if top >= wanted - 1e-9 else "caution"
    reason = "it ends {top} above the ground"
    if top <= 0.0:
        status, reason = "fail", "it ends in the ground, where surface water runs into it"
    elif floods and top <= over:
        status, reason = "fail", "it ends {top} above the ground, and floods rise to {flood}"
    elif floods:
        reason += ", and floods rise to {flood}"
    return [
        WELL_HEAD.verdict(
            status,
            "well",
            say(reason, top=top, flood=Quantity(over, kinds.LENGTH)),
            quantity=top,
            limit=wanted,
            remedy=remedy(
                "have a well driller weld the casing up to {wanted:up} above the ground, a job "
                "that ends with disinfection",
                [set_to(key, Quantity(wanted, kinds.LENGTH))],
                wanted=wanted,
            ),
        )
    ]


def _setbacks(site: Site) -> list[Verdict]:
    """The ways from the well to what is drained into the ground."""
    distances = []
    for subject, distance, least in (
        (SEPTIC, site.well.septic_tank_distance, SEPTIC_TANK),
        (FIELD, site.well.drain_field_distance, DRAIN_FIELD),
    ):
        if distance is None:
            continue
        status: Status = "pass" if at_least(distance, least) else "caution"
        distances.append(
            SETBACK.verdict(
                status,
                subject,
                say("it lies {distance} from the well", distance=distance),
                quantity=distance,
                limit=Quantity(least, kinds.LENGTH),
                remedy=remedy(
                    "ask the local health office; have the water tested for bacteria and nitrate "
                    "twice a year, and move what leaks",
                    "neither a well nor a drain field moves by a key",
                ),
            )
        )
    return distances
