"""The parts list as a page to print, to take to the counter and to tick off."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from wellsolar.reports.pages.html import (
    cautions_context,
    job_context,
    page_of,
    section_context,
    todo_context,
)
from wellsolar.reports.pages.labels import code_labels
from wellsolar.reports.rows import cell_text
from wellsolar.reports.tables.parts_list import (
    MARKS,
    QUESTIONS,
    amount_of,
    cited,
    cost_of,
    heading,
    open_section,
    with_verdict,
)
from wellsolar.results import Results
from wellsolar.results.figures import Thing
from wellsolar.results.parts import TO_BUY, Part, PartsList
from wellsolar.units import System


def parts_page(parts_list: PartsList, results: Results, things: Sequence[Thing]) -> str:
    """The list as a page that needs nothing else.

    Parameters:
        things: of the site, by their tags
    """
    system = results.system
    numbered = list(enumerate(parts_list.parts, 1))
    left = [(n, part) for n, part in numbered if part.state not in TO_BUY]
    groups = dict.fromkeys(part.group for _, part in left)
    return page_of(
        "parts_list.html.j2",
        results,
        {
            "priced": parts_list.priced,
            "lines": heading(parts_list),
            "todo": todo_context(results),
            "job": job_context(results.job, wanted=False),
            "buy": [_part(n, part, system) for n, part in numbered if part.state in TO_BUY],
            "labels": [
                {"tag": thing.tag, "name": thing.name, "said": thing.said.text(system)}
                for thing in things
                if thing.turned
            ],
            "codes": code_labels(results),
            "groups": [
                {
                    "title": group[:1].upper() + group[1:],
                    "question": QUESTIONS[group],
                    "parts": [_part(n, part, system) for n, part in left if part.group == group],
                }
                for group in groups
            ],
            "open": section_context(open_section(parts_list), system) if parts_list.open else None,
            "cautions": cautions_context(results.cautions),
            "sources": [
                {"key": key, "citation": cited(key)}
                for key in sorted({part.source for part in parts_list.parts})
            ],
        },
        "ticks.js",
    )


def _part(number: int, part: Part, system: System) -> dict[str, Any]:
    return {
        "number": str(number),
        "item": part.item,
        "of": part.of,
        "amount": cell_text(amount_of(part), system),
        "size": part.size.text(system),
        "state": part.state,
        "mark": MARKS[part.state],
        "cost": cost_of(part) or "-",
        "why": with_verdict(part).text(system),
    }
