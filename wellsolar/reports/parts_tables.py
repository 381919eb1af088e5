"""Rows of the parts list: what to buy, and beneath each part of the house why."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wellsolar import kinds
from wellsolar.reports.parts import Cell, Column, Grid, Section
from wellsolar.results.parts_list import Part, PartsList, State
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Sentence, say

LEFT_TO_TRADE = (
    "Left to the trade: tape, splices, clamps, unions, safety rope and torque arrestors by the "
    "pump maker's sheet; ground rods, boxes and conduit by the local code. Sizes are generic: any "
    "maker's part of that rating does."
)

_FOOT = 0.3048
_STATES = {"in the file": "has", "to change": "change", "to add": "add"}
"""In a narrow column, whose head is the file."""

_QUESTIONS = {
    "well and water line": "What stands between the water and the house?",
    "hand pump": "What does the hand pump take?",
    "modules and direct current": "What stands between the sun and the tank?",
    "hot water": "What heats, mixes and guards the water?",
}


def parts_sections(found: PartsList) -> tuple[Section, ...]:
    """The list, a section for each part of the house.

    Parameters:
        found: of `study_parts`
    Returns:
        sections for a writer
    """
    groups = dict.fromkeys(part.group for part in found.parts)
    made = [
        _section(group, [(n, p) for n, p in enumerate(found.parts, 1) if p.group == group], found)
        for group in groups
    ]
    if found.open:
        made.append(_open(found))
    return tuple(made)


def heading(found: PartsList) -> list[str]:
    """What stands above the tables: how much there is to buy, and what it costs."""
    count = {
        state: sum(part.state == state for part in found.parts)
        for state in ("in the file", "to change", "to add")
    }
    lines = [", ".join(f"{number} {state}" for state, number in count.items()) + "."]
    if found.priced:
        to_buy: tuple[State, State] = ("to change", "to add")
        lines += [
            _cost_line("To change and to add", found, *to_buy),
            _cost_line("Everything", found, *to_buy, "in the file"),
        ]
    if found.unused_prices:
        lines.append(f"Prices that nothing on the list has: {', '.join(found.unused_prices)}.")
    return [*lines, LEFT_TO_TRADE]


def _cost_line(what: str, found: PartsList, *states: State) -> str:
    lacking = found.without_price(*states)
    lines = "1 line has" if lacking == 1 else f"{lacking} lines have"
    rest = f"; {lines} no price" if lacking else ""
    return f"{what}: {found.cost(*states):,.2f} by the prices of the file{rest}."


def _section(group: str, parts: Sequence[tuple[int, Part]], found: PartsList) -> Section:
    columns = [Column("line", "no."), Column("part", "part"), Column("amount", "amount")]
    columns += [Column("size", "size"), Column("state", "file")]
    columns += [Column("cost", "cost")] if found.priced else []
    grid = Grid("parts", "Parts", tuple(columns), tuple(_row(*each, found) for each in parts))
    reasons = Grid(
        "why",
        "Why",
        (Column("line", "no."), Column("why", "why, and by which verdict")),
        tuple((str(number), with_verdict(part)) for number, part in parts),
    )
    key = group.replace(" ", "_")
    return Section(f"parts_{key}", group.capitalize(), _QUESTIONS[group], (), (grid, reasons))


def _row(number: int, part: Part, found: PartsList) -> tuple[Cell, ...]:
    whose = f"{part.item} ({part.of})" if part.of else part.item
    cells: list[Cell] = [str(number), whose, amount_of(part), part.size, _STATES[part.state]]
    if found.priced:
        cells.append(None if part.cost is None else f"{part.cost:,.2f}")
    return tuple(cells)


def amount_of(part: Part) -> Cell:
    """How much of it, a length rounded up."""
    if part.quantity is None:
        return "each"
    if part.quantity.kind is kinds.LENGTH:
        return say("{length:up}", length=part.quantity)
    return part.quantity


def whole_amount(part: Part, system: System) -> tuple[str, str]:
    """A number and its unit, a length as whole feet or metres."""
    if part.quantity is None:
        return "", "each"
    if part.quantity.kind is not kinds.LENGTH:
        return f"{round(float(part.quantity))}", "piece"
    unit, size = ("ft", _FOOT) if system == "US" else ("m", 1.0)
    return f"{math.ceil(float(part.quantity) / size - 1e-6)}", unit


def why_of(part: Part) -> Sentence:
    """All reasons of a part as one sentence."""
    told: dict[str, Quantity | str] = {}
    templates = []
    for number, each in enumerate(part.why):
        template = each.template
        for name, value in each.parts.items():
            template = template.replace(f"{{{name}}}", f"{{w{number}_{name}}}")
            template = template.replace(f"{{{name}:", f"{{w{number}_{name}:")
            told[f"w{number}_{name}"] = value
        templates.append(template)
    return Sentence("; ".join(templates), told)


def with_verdict(part: Part) -> Sentence:
    """The reasons, and the verdict that a part follows from with its status and source."""
    why = why_of(part)
    verdict = part.verdict
    by = f"[{part.source}]"
    if verdict is not None:
        by = f"{verdict.subject}, {verdict.rule.key}: {verdict.status} {by}"
    template = f"{why.template} - {{by}}" if why.template else "{by}"
    return Sentence(template, {**why.parts, "by": by})


def _open(found: PartsList) -> Section:
    columns = (Column("verdict", "question"), Column("needs", "the key that settles it"))
    rows = tuple(
        (f"{each.subject}: {each.rule.asks}", ", ".join(each.needs)) for each in found.open
    )
    grid = Grid("open", "Not settled", columns, rows)
    return Section(
        "parts_open", "What may change the list", "What does the file not tell yet?", (), (grid,)
    )
