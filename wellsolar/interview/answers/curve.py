"""A pump's curve as people copy it from a sheet: pairs, two lists, or one list first."""

from __future__ import annotations

import re
from dataclasses import replace

from wellsolar import kinds
from wellsolar.interview.answers.question import Part, Question, Reading, Unclear
from wellsolar.interview.answers.reading import read_part
from wellsolar.interview.answers.spellings import NUMBER, list_pieces, spelled
from wellsolar.site.edit import Value
from wellsolar.site.locate import Path
from wellsolar.units import System, UnreadableQuantity, read
from wellsolar.wording import quoted

STAND_IN = " (invented curve)"
"""Ends the name of a pump that has one of the shipped, invented curves, so that every verdict on
it says so."""

_AT = re.compile(r"\s*(?:@|\bat\b)\s*", re.IGNORECASE)
_TWO_LISTS = re.compile(
    r"^([\d.,/\s+-]+)([a-z][a-z/]*(?: per [a-z]+)?)[\s,:=]+([\d.,/\s+-]+)([a-z']+)$", re.IGNORECASE
)
_SHUT_OFF = re.compile(
    rf"\bshut[- ]?off(?: head)?(?: is| of| at|:|=)?\s*({NUMBER}\s*[a-z']*)", re.IGNORECASE
)
_BESIDE = re.compile(
    rf"(?<![\d.,/])({NUMBER}\s*(?!at\b)[a-z][a-z0-9]*(?:/[a-z]+)?)\s*[\s/=:]\s*"
    rf"({NUMBER}\s*(?:ft|feet|foot|m|met(?:re|er)s?|')(?![\w/]))",
    re.IGNORECASE,
)
"""A flow and its head with their units, side by side."""

_PAIRED = re.compile(rf"^{NUMBER} {NUMBER}(?:\s*[,;]\s*{NUMBER} {NUMBER})+$")
"""Pairs of bare numbers, a flow and its head, between commas."""

_ONE_POINT = (
    "one point alone: the curve through it is a stand-in by a published rule, until you give more "
    "points of its sheet"
)
_RATED_ONLY = (
    "one point says nothing of other heads: give two or more from its sheet, such as 0 gpm at "
    "310 ft, 8 gpm at 262 ft; without a sheet say: don't know"
)
_POWER_ONLY = (
    "a motor's power does not say what the pump gives at which head: copy points from its "
    "sheet; without a sheet say: don't know"
)


def read_curve(answer: str, question: Question, system: System) -> Reading:
    """Flow and head points, or the flows alone, of a question whose parts are flow and head;
    Unclear where the answer is neither."""
    flow, head = question.parts
    answer = _BESIDE.sub(r"\1 at \2", _SHUT_OFF.sub(r"0 at \1", answer))
    if _AT.search(answer) or _PAIRED.match(answer):
        reading = _with_name(_pairs(answer, flow, head, system), question)
        one = flow.path not in reading.values
        return replace(reading, notes=(_ONE_POINT,)) if one else reading
    _not_something_else(answer, flow.usual_unit(system), head.usual_unit(system))
    lists = _TWO_LISTS.match(answer)
    if ";" in answer:
        first, _, second = answer.partition(";")
        return _with_name(_lists(first, second, flow, head, system), question)
    if lists is not None:
        first, second = "".join(lists.groups()[:2]), "".join(lists.groups()[2:])
        return _with_name(_lists(first, second, flow, head, system), question)
    flows = read_part(answer, flow, system)
    if len(list_pieces(answer)) < 2:
        raise Unclear(f"{quoted(answer)}: {_RATED_ONLY}")
    return _with_name({flow.path: flows}, question)


def _with_name(values: dict[Path, Value | None], question: Question) -> Reading:
    """The curve, and what a stand-in left behind taken away."""
    pump = question.parts[0].path[:-1]
    name = question.sets.get((*pump, "name"))
    if isinstance(name, str) and name.endswith(STAND_IN):
        values[(*pump, "name")] = name.removesuffix(STAND_IN)
        values[(*pump, "power")] = None
    return Reading(values)


def _not_something_else(answer: str, flow_unit: str, head_unit: str) -> None:
    pieces = list_pieces(answer)
    if len(pieces) == 1 and _is(pieces[0], kinds.SHAFT_POWER):
        raise Unclear(f"{quoted(answer)}: {_POWER_ONLY}")
    if pieces and (_is(pieces[0], kinds.HEAD) or _no_flow(answer, pieces)):
        raise Unclear(
            f"{quoted(answer)} are heads: give the flows first, such as 0, 3, 6, 9 {flow_unit}; "
            f"the heads in {head_unit} are asked next"
        )


def _no_flow(answer: str, pieces: list[str]) -> bool:
    """True for a list whose one unit, at its end, is that of a head."""
    units = re.findall(r"[a-z'\"]+", answer, re.IGNORECASE)
    return len(units) == 1 and _is(pieces[-1], kinds.HEAD)


def _is(text: str, kind: kinds.Kind) -> bool:
    """True for a quantity of a kind with its unit."""
    try:
        read(spelled(text, kind, ""), kind)
    except UnreadableQuantity:
        return False
    return True


def _lists(
    first: str, second: str, flow: Part, head: Part, system: System
) -> dict[Path, Value | None]:
    return {
        flow.path: read_part(first.strip(), flow, system),
        head.path: read_part(second.strip(), head, system),
    }


def _pairs(answer: str, flow: Part, head: Part, system: System) -> dict[Path, Value | None]:
    """Pairs by rising flow, whatever their order on the sheet."""
    points = []
    for pair in re.split(r"[,;]|\band\b", answer):
        plain = re.fullmatch(rf"({NUMBER}) ({NUMBER})", pair.strip())
        ends = _AT.split(pair.strip()) if plain is None else list(plain.groups())
        if len(ends) != 2:
            raise Unclear(
                f"cannot read {quoted(pair.strip())}: expected pairs such as 5 gpm at 300 ft"
            )
        if _is(ends[0], kinds.HEAD) and not _is(ends[1], kinds.HEAD):
            ends.reverse()
        points.append((_exact(ends[0], flow, system), _exact(ends[1], head, system)))
    if len(points) < 2:
        duty = (*flow.path[:-1], "duty")
        written = [" ".join(side[1:]) for side in points[0]]
        return {(*duty, "flow"): written[0], (*duty, "head"): written[1]}
    points.sort(key=lambda point: point[0][0])
    flows, heads = ([point[side] for point in points] for side in (0, 1))
    return {flow.path: _one_list(flows, answer), head.path: _one_list(heads, answer)}


def _exact(text: str, part: Part, system: System) -> tuple[float, str, str]:
    """A value of a pair: in SI, its number as written, and its unit."""
    kind = part.reader.kind
    written = spelled(text, kind, part.usual_unit(system))
    try:
        value = read(written, kind)
    except UnreadableQuantity as error:
        raise Unclear(str(error)) from None
    if value.is_range:
        raise Unclear(f"{quoted(text)} is a range: a point of a curve has one value")
    number = re.match(NUMBER, written)
    assert number is not None
    return float(value), number.group(), written[number.end() :].strip()


def _one_list(values: list[tuple[float, str, str]], answer: str) -> str:
    units = {unit for value, _, unit in values if value} or {unit for _, _, unit in values}
    if len(units) != 1:
        raise Unclear(f"{quoted(answer)}: give all points of the curve in one unit")
    return f"{', '.join(number for _, number, _ in values)} {units.pop()}"
