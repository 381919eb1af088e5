"""Rows of the parts list: what to buy, and beneath each part of the house why."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import groupby

from wellsolar import kinds
from wellsolar.reports.rows import Cell, Column, Grid, Section
from wellsolar.results.parts import TO_BUY, Part, PartsList, State
from wellsolar.sources import SOURCES
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Sentence, say

LEFT_TO_TRADE = (
    "Left to the trade: tape, splices, clamps, unions, safety rope and torque arrestors by the "
    "pump maker's sheet; ground rods, boxes and conduit by the local code. Sizes are generic: any "
    "maker's part of that rating does."
)
TO_CHECK = "To check: it may be there already; the file does not say all that its line does."
NAMED = 8
"""So many parts of a state are named above the tables."""

AS_NEEDED = "as needed"
_FOOT, _GALLON = 0.3048, 0.003785411784
MARKS: dict[State, str] = {
    "in the file": "has",
    "sized": "sized",
    "to change": "change",
    "to add": "add",
    "to check": "check",
}
"""In a narrow column, whose head is the file."""

QUESTIONS = {
    "well and water line": "What stands between the water and the house?",
    "hand pump": "What does the hand pump take?",
    "power for the pumps": "What runs and starts the pumps without the grid?",
    "modules and direct current": "What stands between the sun and what it feeds?",
    "hot water": "What heats, mixes and guards the water?",
}


def parts_sections(parts_list: PartsList) -> tuple[Section, ...]:
    """The list, a section for each part of the house."""
    groups = dict.fromkeys(part.group for part in parts_list.parts)
    sections = [
        _section(
            group,
            [(n, p) for n, p in enumerate(parts_list.parts, 1) if p.group == group],
            parts_list,
        )
        for group in groups
    ]
    if parts_list.open:
        sections.append(open_section(parts_list))
    return (*sections, _totals(parts_list), _sources(parts_list))


def heading(parts_list: PartsList) -> list[str]:
    """What stands above the tables: how much there is to buy, and what it costs."""
    count = {
        state: sum(part.state == state for part in parts_list.parts)
        for state in _states(parts_list)
    }
    lines = [", ".join(f"{number} {state}" for state, number in count.items()) + "."]
    lines += [_named(state, parts_list) for state in TO_BUY if count.get(state)]
    if parts_list.priced:
        lines += [
            _cost_line(_bought(parts_list).capitalize(), parts_list, *TO_BUY),
            _cost_line("Everything", parts_list, *MARKS),
        ]
    if parts_list.unused_prices:
        lines.append(
            f"Prices that nothing on the list has: {', '.join(parts_list.unused_prices)}."
        )
    return [*lines, *([TO_CHECK] if count["to check"] else []), LEFT_TO_TRADE]


def _states(parts_list: PartsList) -> list[State]:
    """The states of a list: what was sized is one of those of a design alone."""
    sized = any(part.state == "sized" for part in parts_list.parts)
    return [state for state in MARKS if state != "sized" or sized]


def _bought(parts_list: PartsList) -> str:
    """What is to buy of a list."""
    return f"{'sized, ' if 'sized' in _states(parts_list) else ''}to change and to add"


def _named(state: State, found: PartsList) -> str:
    """The parts of a state by their names, the first of many."""
    parts = dict.fromkeys(part.item for part in found.parts if part.state == state)
    more = f" and {len(parts) - NAMED} more" if len(parts) > NAMED else ""
    return f"{state.capitalize()}: {', '.join(list(parts)[:NAMED])}{more}."


def _cost_line(what: str, parts_list: PartsList, *states: State) -> str:
    lacking = parts_list.without_price(*states)
    lines = "1 line has" if lacking == 1 else f"{lacking} lines have"
    rest = f"; {lines} no price" if lacking else ""
    return f"{what}: {parts_list.cost(*states):,.2f} by the prices of the file{rest}."


def _section(group: str, parts: Sequence[tuple[int, Part]], parts_list: PartsList) -> Section:
    columns = [Column("line", "no."), Column("part", "part"), Column("amount", "amount")]
    columns += [Column("size", "size"), Column("state", "file")]
    columns += [Column("cost", "cost")] if parts_list.priced else []
    grid = Grid("parts", "Parts", tuple(columns), tuple(_row(*part, parts_list) for part in parts))
    reasons = Grid(
        "why",
        "Why",
        (Column("line", "no."), Column("why", "why, and by which verdict")),
        tuple(_reasons(parts)),
    )
    key = group.replace(" ", "_")
    return Section(f"parts_{key}", group.capitalize(), QUESTIONS[group], (), (grid, reasons))


def _reasons(parts: Sequence[tuple[int, Part]]) -> Iterator[tuple[Cell, ...]]:
    """The reason of each line; lines that follow each other for one reason share it."""
    for reason, lines in groupby(parts, key=lambda part: with_verdict(part[1])):
        numbers = [number for number, _ in lines]
        first, last = numbers[0], numbers[-1]
        yield (str(first) if first == last else f"{first}-{last}"), reason


def _row(number: int, part: Part, parts_list: PartsList) -> tuple[Cell, ...]:
    whose = f"{part.item} ({part.of})" if part.of else part.item
    cells: list[Cell] = [
        str(number),
        whose,
        amount_of(part),
        part.size,
        MARKS[part.state],
    ]
    if parts_list.priced:
        cells.append(cost_of(part))
    return tuple(cells)


def cost_of(part: Part) -> str | None:
    """What a line costs by the file's prices, as it is printed; None without a price."""
    return None if part.cost is None else f"{part.cost:,.2f}"


def amount_of(part: Part) -> Cell:
    """How much of it, a length or a volume rounded up."""
    if part.quantity is None:
        return AS_NEEDED
    if part.quantity.kind is kinds.COUNT:
        return part.quantity
    return say("{amount:up}", amount=part.quantity)


def whole_amount(part: Part, system: System) -> tuple[str, str]:
    """A number and its unit, a length as whole feet or metres, a volume to a tenth."""
    if part.quantity is None:
        return "", AS_NEEDED
    if part.quantity.kind is kinds.COUNT:
        return f"{round(float(part.quantity))}", "piece"
    if part.quantity.kind is kinds.VOLUME:
        unit, size = ("gal", _GALLON) if system == "US" else ("L", 0.001)
        return f"{math.ceil(part.quantity / size * 10 - 1e-6) / 10:.1f}", unit
    unit, size = ("ft", _FOOT) if system == "US" else ("m", 1.0)
    return f"{math.ceil(part.quantity / size - 1e-6)}", unit


def why_of(part: Part) -> Sentence:
    """All reasons of a part as one sentence."""
    values: dict[str, Quantity | str] = {}
    templates = []
    for number, sentence in enumerate(part.why):
        template = sentence.template
        for name, value in sentence.parts.items():
            template = template.replace(f"{{{name}}}", f"{{w{number}_{name}}}")
            template = template.replace(f"{{{name}:", f"{{w{number}_{name}:")
            values[f"w{number}_{name}"] = value
        templates.append(template)
    return Sentence("; ".join(templates), values)


def with_verdict(part: Part) -> Sentence:
    """The reasons, and the verdict that a part follows from with its status and source."""
    why = why_of(part)
    verdict = part.verdict
    by = f"[{part.source}]"
    if verdict is not None:
        by = f"{verdict.subject}, {verdict.rule.key}: {verdict.status} {by}"
    template = f"{why.template} - {{by}}" if why.template else "{by}"
    return Sentence(template, {**why.parts, "by": by})


def _totals(parts_list: PartsList) -> Section:
    """How many lines there are of each state, and what they cost."""
    columns = [Column("state", "file"), Column("lines", "lines", kinds.COUNT)]
    if parts_list.priced:
        columns += [Column("cost", "cost"), Column("no_price", "without price", kinds.COUNT)]
    groups: list[tuple[str, tuple[State, ...]]] = [(mark, (mark,)) for mark in _states(parts_list)]
    groups += [(_bought(parts_list), TO_BUY), ("everything", tuple(MARKS))]
    rows = []
    for name, states in groups:
        count = sum(part.state in states for part in parts_list.parts)
        row: list[Cell] = [name, Quantity(count, kinds.COUNT)]
        if parts_list.priced:
            lacking = Quantity(parts_list.without_price(*states), kinds.COUNT)
            row += [f"{parts_list.cost(*states):,.2f}", lacking]
        rows.append(tuple(row))
    grid = Grid("totals", "Totals", tuple(columns), tuple(rows), foot=2)
    return Section("parts_totals", "Totals", "How much is there to buy?", (), (grid,))


def _sources(parts_list: PartsList) -> Section:
    keys = sorted({part.source for part in parts_list.parts})
    columns = (Column("source", "source"), Column("citation", "what it is"))
    grid = Grid("sources", "Sources", columns, tuple((key, cited(key)) for key in keys))
    return Section("parts_sources", "Sources", "Whose rules are these?", (), (grid,))


def cited(key: str) -> str:
    """A source as it is cited, with how far it was seen."""
    source = SOURCES[key]
    if source.citation.startswith(source.provenance):
        return source.citation
    return f"{source.citation} ({source.provenance})"


def open_section(parts_list: PartsList) -> Section:
    """What the file does not tell yet and may change the list."""
    columns = (Column("verdict", "question"), Column("needs", "the key that settles it"))
    rows = tuple(
        (f"{verdict.subject}: {verdict.rule.asks}", ", ".join(verdict.needs))
        for verdict in parts_list.open
    )
    grid = Grid("open", "Not settled", columns, rows)
    return Section(
        "parts_open", "What may change the list", "What is not yet in the file?", (), (grid,)
    )
