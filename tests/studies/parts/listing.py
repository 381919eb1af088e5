"""A parts list of an example, with keys of its file in other words."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

from tests.site_texts import EXAMPLES
from wellsolar.commands import HAND, PUMP, TANK
from wellsolar.results import Results
from wellsolar.results.parts import Part, PartsList
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.studies.parts.lines import Piece
from wellsolar.studies.parts.study import study_parts

SECTIONS = (*PUMP, *TANK, *HAND, "heat")
"""Those that a parts list is made from."""

FOOT, GALLON, PSI = 0.3048, 231 * 0.0254**3, 6894.757


def listed(
    example: str, settings: Sequence[str] = (), text: str | None = None
) -> tuple[PartsList, Results]:
    text = text or (EXAMPLES / f"{example}.toml").read_text(encoding="utf-8")
    file = parse_site(text, example, settings)
    results = study_site(file, SECTIONS)
    return study_parts(file.site, results), results


def part(found: PartsList, item: str, of: str = "") -> Part:
    fits = [each for each in found.parts if each.item == item and each.of.startswith(of)]
    assert len(fits) == 1, (item, of, fits)
    return fits[0]


def status(results: Results, key: str, subject: str) -> str:
    return next(
        each.status for each in results.verdicts if (each.rule.key, each.subject) == (key, subject)
    )


def lines_by_hand(site: object, results: object, verdicts: Sequence[Any] = ()) -> Any:
    """Lines whose site, results and verdicts are made by hand, with what was put on the list as
    `put`: each with its item, size and verdict, and what else it was given."""
    put: list[SimpleNamespace] = []

    def judged(rule: Any, subject: str) -> Any:
        fits = (each for each in verdicts if (each.rule, each.subject) == (rule, subject))
        return next(fits, None)

    def claim(words: str, table: object, *names: str, value: Any = None) -> Piece:
        return Piece(words, getattr(table, names[0]) if value is None else value, names)

    def worst(subject: str, *rules: Any) -> Any:
        return next((each for rule in rules if (each := judged(rule, subject)) is not None), None)

    return SimpleNamespace(
        site=site, results=results, put=put, verdict=judged, claim=claim, worst=worst,
        worst_of_all=lambda rule: next((each for each in verdicts if each.rule == rule), None),
        key=lambda table, name: name,
        add=lambda item, size, verdict, **more: put.append(
            SimpleNamespace(item=item, size=size, verdict=verdict, **more)
        ),
    )  # fmt: skip
