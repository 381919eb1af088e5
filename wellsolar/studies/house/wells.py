"""Several wells: the site as it is seen from one of them, and what is said there as its file has
it.

A study knows one well, that of `site.well`. Of a site with several it is asked once for each, on
a view of the site that has the other well in that place; keys of `[well]` that it names are then
those of that well.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import HandPumpTable, OtherWellTable, PumpTable, Site, WellTable
from wellsolar.site.table import made_once
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Change, Remedy, Sentence, Verdict

_KEYS = "|".join(WellTable.model_fields)
_OF_WELL = re.compile(rf"(?<![\w.\]])well\.(?=(?:{_KEYS})\b)")
_OF_PIPING = re.compile(r"(?<![\w.\]])piping\.(?=(?:pitless_depth|check_valve_place)\b)")

FIRST = "well"
"""What the well of [well] is called where something fails."""


def name_of(well: WellTable) -> str | None:
    """The name of a well; None of [well] itself."""
    return well.name if isinstance(well, OtherWellTable) else None


def is_here(site: Site, table: PumpTable | HandPumpTable) -> bool:
    """Whether a pump draws from the well of a site, or of a view of it.

    Returns:
        False of a booster, which draws from the storage tank
    """
    return _is_on_a_well(table) and table.well == name_of(site.well)


def at_well(site: Site, table: PumpTable | HandPumpTable) -> Site:
    """The site as it is seen from the well that a pump draws from.

    Returns:
        heights above the ground at that well, and no line of [piping] but what stands in the
        house; the same site of a pump in its own well, and of a booster
    """
    if table.well is None or table.well == name_of(site.well) or not _is_on_a_well(table):
        return site
    return _view(site, table)


def _is_on_a_well(table: PumpTable | HandPumpTable) -> bool:
    """Whether a pump draws from a well; False of a booster."""
    return isinstance(table, HandPumpTable) or table.draws == "well"


@made_once
def _view(site: Site, table: PumpTable | HandPumpTable) -> Site:
    return _seen_from(site, next(well for well in site.other_well if well.name == table.well))


def _seen_from(site: Site, well: OtherWellTable) -> Site:
    piping, tank, height = site.piping, site.storage_tank, well.ground_height
    changes: dict[str, object] = {
        "well": well,
        "piping": piping.model_copy(
            update={
                "drop_pipe": piping.drop_pipe.model_copy(update={"length": None}),
                "fittings": (),
                "pitless_depth": well.pitless_depth,
                "check_valve_place": well.check_valve_place,
                "tank_elevation": _above(piping.tank_elevation, height),
            }
        ),
    }
    if tank is not None and tank.elevation is not None:
        raised = tank.model_copy(update={"elevation": _above(tank.elevation, height)})
        changes["storage_tank"] = raised
    return site.model_copy(update=changes)


def _above(elevation: Quantity, ground: float) -> Quantity:
    """A height above other ground."""
    if ground == 0.0:
        return elevation
    low, high = elevation.low - ground, elevation.high - ground
    return Quantity(elevation - ground, elevation.kind, low, high)


def ground_of(site: Site, table: PumpTable | HandPumpTable) -> float:
    """Height of the ground at a pump's well above that at [well].

    Returns:
        [m]; 0 of a pump in [well]
    """
    if table.well is None or not _is_on_a_well(table):
        return 0.0
    return next(float(well.ground_height) for well in site.other_well if well.name == table.well)


def draws_from(table: PumpTable | HandPumpTable) -> str:
    """What the well of a pump is called where something fails; "" of a booster."""
    return (table.well or FIRST) if _is_on_a_well(table) else ""


def views(site: Site) -> tuple[Site, ...]:
    """A site once for each of its wells, with no hand pump and no lift but those on that well:
    [well] first; the very site where it has no other."""
    if not site.other_well:
        return (site,)
    hand = site.hand_pump
    seen = []
    for view in (site, *(_seen_from(site, well) for well in site.other_well)):
        changes: dict[str, object] = {}
        if hand is not None and not is_here(view, hand):
            changes["hand_pump"] = None
        if view is not site:
            changes["lift"] = ()
        seen.append(view.model_copy(update=changes) if changes else view)
    return tuple(seen)


def key_of(view: Site) -> str:
    """The key path of the well that a site is seen from."""
    name = name_of(view.well)
    if name is None:
        return "well"
    return f"other_well[{[well.name for well in view.other_well].index(name) + 1}]"


def verdicts_there(view: Site, verdicts: Iterable[Verdict]) -> list[Verdict]:
    """Verdicts of a view as the file has it: its keys, and a subject of each well's own.

    Parameters:
        view: the site seen from a well
    Returns:
        the same where that is [well]
    """
    name, key = name_of(view.well), key_of(view)
    if name is None:
        return list(verdicts)

    # Beside a pump's or a line's, what is judged is one of each well's own.
    named = [name, "hand pump", *(table.name for table in view.pump)]

    def moved(verdict: Verdict) -> Verdict:
        subject, own = verdict.subject, verdict.remedy
        if not any(name in subject for name in named):
            subject = name if subject == FIRST else f"{subject} of {name}"
        wanted = None
        if own is not None:
            sentence = _sentence(own, key)
            changes = tuple(
                Change(_path(change.path, key), change.value) for change in own.changes
            )
            wanted = Remedy(sentence.template, sentence.parts, changes, _path(own.by_hand, key))
        return replace(
            verdict,
            subject=subject,
            reason=_sentence(verdict.reason, key),
            remedy=wanted,
            needs=tuple(_path(need, key) for need in verdict.needs),
            claims=tuple(_path(claim, key) for claim in verdict.claims),
        )

    return [moved(verdict) for verdict in verdicts]


def assumptions_there(view: Site, assumptions: Iterable[Assumption]) -> list[Assumption]:
    """Assumptions of a view under the keys of the file.

    Returns:
        the same where that is [well]
    """
    key = key_of(view)
    return [
        assumption if key == "well" else replace(assumption, path=_path(assumption.path, key))
        for assumption in assumptions
    ]


def part_there(view: Site, part: StudyPart) -> StudyPart:
    """What a study of a view says, under the keys of the file."""
    return StudyPart(
        tuple(verdicts_there(view, part.verdicts)),
        tuple(assumptions_there(view, part.assumptions)),
    )


def _path(text: str, key: str) -> str:
    """Keys of [well], and of its pipe in [piping], as those of another well."""
    return _OF_PIPING.sub(f"{key}.", _OF_WELL.sub(f"{key}.", text))


def _sentence(sentence: Sentence, key: str) -> Sentence:
    return Sentence(
        _path(sentence.template, key),
        {
            name: _path(part, key) if isinstance(part, str) else part
            for name, part in sentence.parts.items()
        },
    )
