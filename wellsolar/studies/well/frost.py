"""Whether frost reaches water: in the lines in the ground, and in the rooms of the tanks."""

from __future__ import annotations

import math
from collections.abc import Mapping

from wellsolar import kinds
from wellsolar.constants import INCH
from wellsolar.results.well import FrostResult
from wellsolar.results.whole import StudyPart
from wellsolar.site.loading.overrides import SET_BY
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.schema import PumpLine, Site
from wellsolar.studies.house.chain import hangs_in_well, has_cistern, lateral_name
from wellsolar.studies.plumbing.layout import into_tank
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Status, Verdict, at_least, remedy, say, set_to

BELOW_FROST = 0.1524
"""How far below the frost a water line lies, 6 in [m]: model plumbing code 305.4."""

LEAST_COVER = 0.3048
"""How deep it lies where there is no frost, 12 in [m]: the same."""

FROST = Rule(
    "frost",
    "does the line lie below the frost?",
    "pitless adapter and buried line no less than 6 in below the greatest depth of the frost, and "
    "no less than 12 in below the ground; local codes may ask for more",
    "frost depth",
    limit_is="at least",
    by="plumber",
    read_by="owner",
    place=Place("well", "frost"),
)
GRAVITY_LINE = "gravity line"

NEAR_FREEZING = 4.0
"""Of a room, below which a cold corner may freeze [degC]: common practice, no source."""

TROPICAL = 18.0
"""Mean of the coldest month from which a climate is tropical, without frost [degC]: Koeppen's
limit of his class A (from memory)."""

KEPT_AT = Quantity(40.0 / 9.0, kinds.TEMPERATURE, written="40 degF")
"""What a room is to be kept at: common practice, no source."""

FREEZING = Rule(
    "freezing",
    "does the room of the tank stay above freezing?",
    "the coldest air round tank and pipes above freezing, and 4 degC (39 degF) or more for the "
    "cold corners of a room",
    "freezing",
    limit_is="at least",
    by="owner",
    place=Place("well", "frost|pressure_tank|heated_tank|pump_1"),
)


HAND_FROST = Rule(
    "frost in the hand pump",
    "does the hand pump empty itself before it freezes?",
    "a hole or valve below the frost lets the water of rising main, head and line to a tank run "
    "back; a line that does not fall to it lies below the frost",
    "sanitary hand pump",
    by="driller",
    place=Place("well", "hand_pump"),
    claims=("frost_drain",),
)


def study_frost(file: SiteFile) -> tuple[FrostResult | None, StudyPart]:
    """The lines in the ground, and the rooms of the tanks, against the frost.

    Returns:
        depths of the line from the well, None where they are not known, and verdicts; none where
        there is neither line nor tank, or where the file tells that it never freezes
    """
    result, line = _line(file)
    others = _other_lines(file.site)
    return result, StudyPart((*line.verdicts, *others, *_hand_pump(file.site), *_rooms(file)))


def _hand_pump(site: Site) -> list[Verdict]:
    """Whether water stays in a hand pump above the frost; nothing where it never freezes."""
    hand, frost, key = site.hand_pump, site.piping.frost_depth, "hand_pump.frost_drain"
    never = frost is not None and frost.high <= 0.0
    if hand is None or never or not _may_freeze(site):
        return []
    if hand.frost_drain is None:
        return [HAND_FROST.unknown("hand pump", key)]
    into = ", and in its line to the tank" if into_tank(site) is not None else ""
    drains = f"a drain below the frost empties what stands above it{into}"
    stands = f"water stands above the frost up to the spout{into}, freezes and bursts it"
    return [
        HAND_FROST.verdict(
            "pass" if hand.frost_drain else "fail",
            "hand pump",
            say(drains if hand.frost_drain else stands),
            claims=[key] if hand.frost_drain else [],
            remedy=remedy(
                "a weep hole or a drain valve in the rising main below the frost, to which all "
                "above it falls",
                [set_to(key, True)],
            ),
        )
    ]


def _rooms(file: SiteFile) -> list[Verdict]:
    """Whether pressure tank and water heater stand where it freezes."""
    site, verdicts = file.site, []
    tank, heater = site.pressure_tank, site.water_heater
    if tank is not None:
        key = "pressure_tank.coldest_room"
        verdicts += _room(site, "pressure tank", {key: tank.coldest_room}, key)
    storage = site.storage_tank
    if storage is not None and has_cistern(site) and storage.stands != "buried":
        key = "storage_tank.coldest_room"
        verdicts += _room(site, "storage tank", {key: storage.coldest_room}, key)
    if heater is not None:
        assumed = {
            assumption.path for assumption in file.assumptions if assumption.source not in SET_BY
        }
        rooms = {"water_heater.coldest_room": heater.coldest_room}
        usual = "water_heater.room_temperature"
        if usual not in assumed and heater.room_temperature < NEAR_FREEZING:
            rooms[usual] = heater.room_temperature
        verdicts += _room(site, "water heater", rooms, "water_heater.coldest_room")
    return verdicts


def _room(
    site: Site, subject: str, rooms: Mapping[str, Quantity | None], key: str
) -> list[Verdict]:
    """A tank by the coldest that keys tell of its room; nothing where it never freezes."""
    coldest_rooms = {path: coldest for path, coldest in rooms.items() if coldest is not None}
    if not coldest_rooms:
        return [FREEZING.unknown(subject, key)] if _may_freeze(site) else []
    coldest = min(coldest_rooms.values())
    limit = Quantity(NEAR_FREEZING, kinds.TEMPERATURE)
    status: Status = "pass" if at_least(coldest, NEAR_FREEZING) else "caution"
    reason = "the air round it gets as cold as {coldest}"
    if not at_least(coldest, 0.0):
        status = "fail"
        reason += ": water in tank and pipes freezes and bursts them"
    changes = [
        set_to(path, KEPT_AT)
        for path, value in coldest_rooms.items()
        if not at_least(value, NEAR_FREEZING)
    ]
    return [
        FREEZING.verdict(
            status,
            subject,
            say(reason, coldest=coldest),
            quantity=coldest,
            limit=limit,
            remedy=remedy(
                "keep the room at {kept} or more, in an outage too, or move the tank; where "
                "nobody heats, drain it before the frost",
                changes,
                kept=KEPT_AT,
            ),
        )
    ]


def _line(file: SiteFile) -> tuple[FrostResult | None, StudyPart]:
    """The line from the well."""
    site, name = file.site, lateral_name(file.site)
    if not site.pump:
        return None, StudyPart()
    frost = site.piping.frost_depth
    assumed = {
        assumption.path for assumption in file.assumptions if assumption.source not in SET_BY
    }
    missing = ["piping.frost_depth"] if frost is None else []
    missing += ["piping.pitless_depth"] if "piping.pitless_depth" in assumed else []
    if frost is None or missing:
        asked = frost is not None or _may_freeze(site)
        return None, StudyPart((FROST.unknown(name, *missing),) if asked else ())
    wanted = max(frost + BELOW_FROST, LEAST_COVER)
    result = FrostResult(float(site.piping.pitless_depth), float(frost), wanted)
    return result, StudyPart((_verdict(result, name, "piping.pitless_depth"),))


def _other_lines(site: Site) -> list[Verdict]:
    """The line down from the storage tank, and those of a pump's own that the file says lie in
    the ground; nothing where it never freezes."""
    tank, frost = site.storage_tank, site.piping.frost_depth
    lines: list[tuple[str, str, PumpLine]] = [
        (f"{words} of {table.name}", f"pump[{number}].{key}", run)
        for number, table in enumerate(site.pump, 1)
        for key, words, run in (
            ("line", "line", table.line), ("suction_pipe", "suction pipe", table.suction_pipe),
        )
        if run is not None and (run.buried_depth is not None or table.well is not None)
    ]  # fmt: skip
    if tank is not None and tank.gravity_line is not None and tank.gravity_line.length:
        lines.append((GRAVITY_LINE, "storage_tank.gravity_line", tank.gravity_line))
    verdicts = []
    if frost is not None:
        wanted = max(frost + BELOW_FROST, LEAST_COVER)
        for number, well in enumerate(site.other_well, 1):
            if any(hangs_in_well(pump) and pump.well == well.name for pump in site.pump):
                found = FrostResult(float(well.pitless_depth), float(frost), wanted)
                key = f"other_well[{number}].pitless_depth"
                verdicts.append(_verdict(found, f"line from {well.name}", key))
    for name, key, run in lines:
        missing = ["piping.frost_depth"] if frost is None else []
        missing += [f"{key}.buried_depth"] if run.buried_depth is None else []
        if frost is None or run.buried_depth is None:
            if frost is not None or _may_freeze(site):
                verdicts.append(FROST.unknown(name, *missing))
            continue
        wanted = max(frost + BELOW_FROST, LEAST_COVER)
        found = FrostResult(float(run.buried_depth), float(frost), wanted)
        verdicts.append(_verdict(found, name, f"{key}.buried_depth"))
    return verdicts


def _may_freeze(site: Site) -> bool:
    """Whether the air may get below freezing, for all that the file tells of it. False only where
    the file shows that it never does."""
    low, months = site.sun.record_low, site.sun.temperature
    if months is not None and min(months) < 0.0:
        return True
    if low is not None:
        return low < 0.0
    return months is None or min(months) < TROPICAL


def _verdict(result: FrostResult, name: str, key: str) -> Verdict:
    """Frozen above the frost's depth; below it, but nearer than the code has it, a caution."""
    depth, wanted = (Quantity(length, kinds.LENGTH) for length in (result.depth, result.wanted))
    frozen = 0.0 < result.frost >= result.depth
    # By inches, as the code has it: a depth is printed too coarsely to be judged as printed.
    status: Status = "pass" if depth >= wanted - 1e-9 else "fail" if frozen else "caution"
    lower = Quantity(math.ceil(wanted / INCH - 1e-9) * INCH, kinds.LENGTH)
    out = key.endswith("pitless_depth")
    leaves = "the pipe leaves the well" if out else "the pipe lies"
    way = remedy(
        "lay all of it at {wanted:up} or deeper; where that can't be dug, insulation or a heat "
        "cable as the local code allows",
        [set_to(key, lower)],
        wanted=wanted,
    )
    return FROST.verdict(
        status,
        name,
        say(
            leaves + " at {depth}, and the ground freezes to {frost}",
            depth=depth,
            frost=Quantity(result.frost, kinds.LENGTH),
        ),
        quantity=depth,
        limit=wanted,
        remedy=way,
    )
