"""The list of what must be done, from the verdicts that do not pass and their remedies."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from typing import Any

from wellsolar.results.parts import Part
from wellsolar.results.whole import ToDo
from wellsolar.site.json_schema import meaning_of
from wellsolar.site.schema import Site
from wellsolar.site.shape import field_at, reader_of
from wellsolar.studies.asked.changed_site import path_of
from wellsolar.units import Quantity
from wellsolar.verdicts import RANK, Change, Verdict, changes_of, listed, say

Key = tuple[object, ...]


def todo_of(
    site: Site, verdicts: Iterable[Verdict], parts: Sequence[Part] = ()
) -> tuple[ToDo, ...]:
    """What must be done, each change once, whatever verdicts it clears.

    Parameters:
        parts: lines to buy with their costs; none where the file gives no prices
    Returns:
        the list: what can hurt first, then what fails, what is not known and can hurt, what else
        is not known, and cautions; of those alike the one farthest beyond its limit
    """
    groups: dict[Key, list[Verdict]] = {}
    for verdict in verdicts:
        if verdict.status != "pass":
            groups.setdefault(_key(verdict), []).append(verdict)
    todos = [_line(group, parts) for group in _farther_alone(site, list(groups.values()))]
    return tuple(
        sorted(todos, key=lambda line: (_place(line), not _within(line, todos), _beyond_all(line)))
    )


def _key(verdict: Verdict) -> Key:
    """What is the same of verdicts that one piece of work clears."""
    if verdict.status == "unknown":
        keys = verdict.needs or (verdict.reason.text("SI"),)
        return "read", *map(_unnumbered, keys)
    changes = changes_of(verdict.remedy)
    if changes:
        return "change", frozenset(changes)
    way = verdict.reason if verdict.remedy is None else verdict.remedy.first
    return "work", verdict.subject, way.text("SI")


def _unnumbered(key: str) -> str:
    """A key of one table among several, such as `pump[2].cable`, as one of any of them: it is
    asked of all in one line."""
    return re.sub(r"\[\d+\]", "[]", key)


def _farther_alone(site: Site, groups: Sequence[list[Verdict]]) -> list[list[Verdict]]:
    """Groups that want one key larger, or smaller, put together: the one that wants it farthest
    from what it is stands first and clears the others too."""
    alone: list[list[Verdict]] = []
    by_path: dict[str, list[list[Verdict]]] = {}
    for group in groups:
        changes = changes_of(group[0].remedy)
        wanted = _number(changes[0]) if len(changes) == 1 else None
        if wanted is None:
            alone.append(group)
        else:
            by_path.setdefault(changes[0].path, []).append(group)
    for path, alike in by_path.items():
        now = _stands(site, path)
        away = [_wanted(group) - now for group in alike]
        if min(away) < 0.0 < max(away):
            alone += alike
            continue
        wants = [(-abs(_wanted(group) - now), verdict) for group in alike for verdict in group]
        wants.sort(key=lambda wanted: (wanted[0], _standing(wanted[1])))
        alone.append([verdict for _, verdict in wants])
    return alone


def _wanted(group: Sequence[Verdict]) -> float:
    number = _number(changes_of(group[0].remedy)[0])
    assert number is not None
    return number


def _number(change: Change) -> float | None:
    """What a key is set to, in SI; None for a word or a switch."""
    field = field_at(path_of(change.path))
    value: Any = json.loads(change.value)
    reader = None if field is None else reader_of(field)
    if reader is not None:
        value = reader.read(value)
    return float(value) if isinstance(value, (int, float)) and value is not True else None


def _stands(site: Site, path: str) -> float:
    """What a key is now; nothing where the file has none."""
    table: Any = site
    for part in path_of(path):
        if isinstance(part, int):
            table = table[part] if part < len(table) else None
        else:
            table = getattr(table, part, None)
    return float(table) if isinstance(table, (int, float)) else 0.0


def _line(group: Sequence[Verdict], parts: Sequence[Part]) -> ToDo:
    first = group[0]  # asks most
    clears = tuple(sorted(group, key=_standing))
    worst = clears[0]
    if worst.status == "unknown":
        alike: dict[str, dict[str, None]] = {}
        for key in (key for verdict in group for key in verdict.needs):
            alike.setdefault(_unnumbered(key), {})[key] = None
        needs = tuple(key for keys in alike.values() for key in keys)
        action = "; ".join(
            f"{listed(list(keys))}: {_lowered(meaning_of(next(iter(keys))))}"
            for keys in alike.values()
        )
        # Where no key of the file settles it, its reason tells what would.
        does = say("find out {told}", told=action) if needs else worst.reason
        short = say("find out {keys}", keys=listed(needs)) if needs else worst.reason
        asks = say(worst.rule.asks)
        return ToDo("read", does, short, asks, worst.by, clears, needs=needs)
    changes = changes_of(first.remedy)
    does = first.reason if first.remedy is None else first.remedy
    way = does if first.remedy is None else first.remedy.first
    return ToDo(
        "change" if changes else "work", does, way, worst.reason, first.by, clears, changes,
        cost=_cost(clears, parts),
    )  # fmt: skip


def _lowered(text: str) -> str:
    text = text.rstrip(".")
    return text if text[1:2].isupper() else text[:1].lower() + text[1:]


def _cost(clears: Sequence[Verdict], parts: Sequence[Part]) -> float | None:
    """What is bought because of some verdicts; None for nothing, or where a price lacks."""
    judged = {(verdict.rule.key, verdict.subject) for verdict in clears}
    bought = [
        part.cost for part in parts
        if part.verdict is not None and (part.verdict.rule.key, part.verdict.subject) in judged
    ]  # fmt: skip
    costs = [cost for cost in bought if cost is not None]
    return sum(costs) if bought and len(costs) == len(bought) else None


def _standing(verdict: Verdict) -> tuple[int, bool, float]:
    return RANK[verdict.status], not verdict.rule.safety, -_beyond(verdict)


def _beyond_all(line: ToDo) -> float:
    """The farthest that any of its verdicts lies beyond its limit, the farther the less."""
    return -max(map(_beyond, line.clears))


def _beyond(verdict: Verdict) -> float:
    """How far a verdict lies beyond its limit, as a part of it; wholly where nothing is compared
    by size."""
    margin, limit = verdict.margin, verdict.limit
    if margin is None or limit is None or not isinstance(limit, Quantity) or not limit:
        return 1.0
    return -margin / abs(limit)


def _place(line: ToDo) -> int:
    """Its place on the list, by its state and by what it can do to people."""
    if line.safety and line.status != "unknown":
        return 0 if line.status == "fail" else 1
    open_place = 3 if line.safety else 4
    return {"fail": 2, "unknown": open_place, "caution": 5, "pass": 6}[line.status]


def _within(line: ToDo, lines: Sequence[ToDo]) -> bool:
    """True where its changes are a part of another line's, which may then ask less."""
    return bool(line.changes) and any(set(line.changes) < set(to_do.changes) for to_do in lines)
