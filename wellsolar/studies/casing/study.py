"""Whether all that hangs in the well finds room side by side in its casing, and what would: the
same hung at other depths, or a thinner pump or cylinder.
"""

from __future__ import annotations

import json
import math
from dataclasses import replace

from wellsolar import kinds
from wellsolar.constants import FOOT
from wellsolar.errors import OutOfRange
from wellsolar.physics.well import casing_fit as casing
from wellsolar.physics.well.casing_fit import Section
from wellsolar.results.pumps import PumpResult
from wellsolar.results.well import CasingBody, CasingResult, CasingSection
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import Site
from wellsolar.studies.casing.bodies import Hanging, bodies_of, diameters, hanging, pulling
from wellsolar.studies.pump.verdicts import ABOVE_BOTTOM
from wellsolar.units import Quantity, Toward, read, show
from wellsolar.verdicts import (
    Change,
    Place,
    Remedy,
    Rule,
    Status,
    Verdict,
    changes_of,
    remedy,
    say,
    set_to,
)

FIT = Rule(
    "fits the casing",
    "does all that hangs in the well fit the casing?",
    "the smallest circle round pumps, pipes, cables, cylinder and spool at each depth, within the "
    "casing by the clearance; torque arrestors, couplings and crooked casings ask for more",
    "casing fit",
    limit_is="at least",
    by="driller",
    read_by="owner",
    place=Place("well", "casing"),
)

APART = 0.3048
"""Least distance to leave between two bodies one above the other, 1 ft [m]: common practice, no
source; a depth rounded to three digits stays within it."""

THINNEST = 0.0508
"""Diameter below which no pump or cylinder is offered, 2 in [m]: common practice, no source."""

HALVINGS = 16
"""Halvings with which the greatest diameter that fits is found."""


def study_casing_fit(
    site: Site, pumps: tuple[PumpResult, ...]
) -> tuple[CasingResult | None, StudyPart]:
    """The fit in a well's casing.

    Parameters:
        pumps: results of the site's pumps, for the depths at which they may hang
    Returns:
        the fit, None where the file does not speak of it or lacks a diameter, and what it brings
    """
    bore = site.well.casing_bore
    missing, known = diameters(site)
    if len(missing) + known < 2:
        return None, StudyPart()
    if bore is None or missing:
        asked = [*(["well.casing_bore"] if bore is None else []), *missing]
        return None, StudyPart((FIT.unknown("casing", *asked[:2]),))
    hung, assumptions = hanging(site)
    bodies = bodies_of(site, hung)
    clearance = float(site.limits.casing_clearance)
    try:
        sections = casing.sections(bodies, float(bore), clearance)
    except OutOfRange:
        why = (
            f"more than {casing.MOST_BODIES} bodies hang at one depth; pumps that are only "
            'compared are "other" and have no diameter'
        )
        return None, StudyPart((FIT.unknown("casing", "pump[1].role", why=why),))
    tightest = min(sections, key=lambda section: section.clearance)
    result = CasingResult(
        bore=float(bore),
        clearance_wanted=clearance,
        bodies=tuple(
            CasingBody(body.name, body.diameter, body.top, body.bottom) for body in bodies
        ),
        sections=tuple(
            CasingSection(
                section.top, section.bottom, section.bodies, section.layout.bore, section.clearance
            )
            for section in sections
        ),
        tightest=sections.index(tightest),
        strings=pulling(site, hung),
    )
    verdict = _verdict(site, hung, pumps, tightest)
    return result, StudyPart((verdict,), tuple(assumptions))


def _verdict(
    site: Site, hung: list[Hanging], pumps: tuple[PumpResult, ...], tightest: Section
) -> Verdict:
    wanted = tightest.needed_bore - tightest.layout.bore
    status: Status = "pass"
    if not tightest.fits:
        status = "caution" if tightest.clearance >= -1e-12 else "fail"
    bore = tightest.layout.bore + tightest.clearance
    parts: dict[str, Quantity | str] = {
        "bodies": " + ".join(tightest.bodies),
        "top": Quantity(tightest.top, kinds.LENGTH),
        "bottom": Quantity(tightest.bottom, kinds.LENGTH),
        "circle": Quantity(tightest.layout.bore, kinds.BORE),
        "casing": Quantity(bore, kinds.BORE),
    }
    reason = (
        "tightest from {top} to {bottom}: {bodies} take a circle of {circle}, the casing has "
        "{casing}"
    )
    return FIT.verdict(
        status,
        "casing",
        say(reason, **parts),
        quantity=Quantity(tightest.clearance, kinds.BORE),
        limit=Quantity(wanted, kinds.BORE),
        remedy=None if status == "pass" else _remedy(site, hung, pumps),
    )


def _remedy(site: Site, hung: list[Hanging], pumps: tuple[PumpResult, ...]) -> Remedy:
    """What would make the bodies fit: the shortest move in depth and the least change of a
    diameter that do; else a wider casing."""
    ways = [way for way in (_stagger(site, hung, pumps), _thinner(site, hung)) if way]
    if not ways:
        sections = casing.sections(bodies_of(site, hung), *_room(site))
        needed = max(section.needed_bore for section in sections)
        return remedy(
            "a casing of {needed:up} or more",
            "a well's casing cannot be changed",
            needed=Quantity(needed, kinds.BORE),
        )
    parts = {name: part for way in ways for name, part in way.parts.items()}
    return remedy(", or ".join(way.template for way in ways), ways[0].changes, **parts)


def _printed(site: Site, value: float, kind: kinds.Kind, way: Toward) -> Quantity:
    """A value as the sentence prints it, so that sentence and change say the same."""
    return read(show(value, kind, site.site.print_units, toward=way), kind)


def _room(site: Site) -> tuple[float, float]:
    return float(site.well.casing_bore or 0.0), float(site.limits.casing_clearance)


def _fits(site: Site, hung: list[Hanging]) -> bool:
    bodies, (bore, clearance) = bodies_of(site, hung), _room(site)
    if _more_than_full(bodies, bore - clearance):
        return False
    try:
        sections = casing.sections(bodies, bore, clearance)
    except OutOfRange:  # Too many at one depth to place.
        return False
    return all(section.fits for section in sections)


def _more_than_full(bodies: list[casing.Body], room: float) -> bool:
    """True where bodies side by side have more area than a bore: no search need place them."""
    beside = ([body for body in bodies if body.top <= top < body.bottom] for top in
              {body.top for body in bodies})  # fmt: skip
    return any(sum(body.diameter**2 for body in there) > room**2 for there in beside)


def _with(hung: list[Hanging], place: int, new: Hanging) -> list[Hanging]:
    return [*hung[:place], new, *hung[place + 1 :]]


def _stagger(site: Site, hung: list[Hanging], pumps: tuple[PumpResult, ...]) -> Remedy | None:
    """The shortest move of one body above or below another after which all fit."""
    best: tuple[float, Remedy] | None = None
    for place, moved in enumerate(hung):
        body = moved.body
        length = body.bottom - body.top
        least, most = _depths(site, moved, pumps)
        for other in (item.body for item in hung if item is not moved):
            for top, toward in (
                (other.top - APART - length, -1.0),
                (other.bottom + APART, 1.0),
            ):
                depth, shift = top + 0.5 * length, abs(top - body.top)
                tried = [moved.at(top), moved.at(top + toward * APART)]
                if not least <= depth + min(0.0, toward) * APART:
                    continue
                if depth + max(0.0, toward) * APART > most or (best and best[0] <= shift):
                    continue
                if all(_fits(site, _with(hung, place, place_tried)) for place_tried in tried):
                    way: Toward = "up" if toward > 0 else "down"
                    hang_at = _printed(site, depth, kinds.LENGTH, way)
                    best = (
                        shift,
                        remedy(
                            "hang the {moved} at {depth}",
                            [set_to(_depth_key(moved), hang_at)],
                            moved=body.name,
                            depth=hang_at,
                        ),
                    )
    return best[1] if best else None


def _depth_key(moved: Hanging) -> str:
    """The key of the depth at which a pump's intake or a cylinder hangs."""
    if moved.is_pump:
        return f"{moved.key.rpartition('.')[0]}.intake_depth"
    return "hand_pump.cylinder_depth"


def _depths(site: Site, moved: Hanging, pumps: tuple[PumpResult, ...]) -> tuple[float, float]:
    """Between which depths a pump's intake or a cylinder may hang [m]: well under water, and
    clear of the bottom; a cylinder no higher than it does."""
    middle = 0.5 * (moved.body.top + moved.body.bottom)
    most = site.well.depth - ABOVE_BOTTOM
    if not moved.is_pump:
        return middle, most
    result = next(pump for pump in pumps if pump.name == moved.body.name)
    table = next(table for table in site.pump if table.name == moved.body.name)
    water = max(duty.settled_level for duty in result.duties) if result.level_known else middle
    return min(middle, water + table.minimum_submergence), most


def hung_clear(site: Site, verdicts: tuple[Verdict, ...]) -> tuple[Verdict, ...]:
    """Verdicts on pumps, of which none is mended by hanging one level with what it does not pass.

    Returns:
        the same, their depths moved on below what hangs there, or left to hands where nothing
        below is free
    """
    moving = [verdict for verdict in verdicts if _hangs_anew(verdict.remedy) is not None]
    missing, known = diameters(site)
    if not moving or missing or known < 2 or site.well.casing_bore is None:
        return verdicts
    hung, _ = hanging(site)
    if not _fits(site, hung):
        return verdicts  # It fails as it is, and says how it would not.
    return tuple(
        replace(verdict, remedy=_clear(site, hung, verdict.remedy))
        if verdict in moving
        else verdict
        for verdict in verdicts
    )


def _hangs_anew(way: Remedy | None) -> Change | None:
    """The change of a remedy that hangs a pump at another depth; None where there is none."""
    return next(
        (change for change in changes_of(way) if change.path.endswith(".intake_depth")), None
    )


def _clear(site: Site, hung: list[Hanging], way: Remedy | None) -> Remedy | None:
    change = _hangs_anew(way)
    if way is None or change is None:
        return way
    place = next((n for n, hung in enumerate(hung) if _depth_key(hung) == change.path), None)
    if place is None:
        return way
    moved = hung[place]
    length = moved.body.bottom - moved.body.top
    wanted = read(json.loads(change.value), kinds.LENGTH)
    below = [float(wanted)]
    if wanted > 0.5 * (moved.body.top + moved.body.bottom):
        below += sorted(
            math.ceil((item.body.bottom + APART + 0.5 * length) / FOOT) * FOOT
            for item in hung
            if item is not moved
        )
    for depth in below:
        clear = wanted <= depth <= site.well.depth - ABOVE_BOTTOM
        if clear and _fits(site, _with(hung, place, moved.at(depth - 0.5 * length))):
            if depth == wanted:
                return way
            at = Quantity(depth, kinds.LENGTH)
            changes = tuple(set_to(change.path, at) if c is change else c for c in way.changes)
            return replace(way, parts={**way.parts, "depth": at}, changes=changes)
    by_hand = "there it does not pass what hangs beside it, which has to move or to be thinner"
    return Remedy(way.template, way.parts, by_hand=by_hand)


def _across(site: Site, hung: Hanging, most: Quantity) -> list[Change]:
    """The changes that make a body no wider, a pump's motor with it."""
    changes = [set_to(hung.key, most)]
    for number, table in enumerate(site.pump, 1):
        motor = table.motor_diameter
        if hung.key == f"pump[{number}].diameter" and motor is not None and motor > most:
            changes.append(set_to(f"pump[{number}].motor_diameter", most))
    return changes


def _thinner(site: Site, hung: list[Hanging]) -> Remedy | None:
    """The body that needs the least change to be thin enough."""
    best: tuple[float, Remedy] | None = None
    for place, body in ((place, item.body) for place, item in enumerate(hung)):
        fits, wide = THINNEST, body.diameter
        if wide <= fits or not _fits(site, _with(hung, place, hung[place].of(fits))):
            continue
        for _ in range(HALVINGS):
            middle = 0.5 * (fits + wide)
            if _fits(site, _with(hung, place, hung[place].of(middle))):
                fits = middle
            else:
                wide = middle
        if best is None or fits / body.diameter > best[0]:
            most = _printed(site, fits, kinds.BORE, "down")
            thinner = remedy(
                "a {thinner} of no more than {diameter} across",
                _across(site, hung[place], most),
                thinner=body.name,
                diameter=most,
            )
            best = (fits / body.diameter, thinner)
    return best[1] if best else None
