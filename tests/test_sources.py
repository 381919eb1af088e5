"""Every source can be found again, and only what binds may fail a site."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages

import pytest

import wellsolar
from wellsolar.sources import BINDING, SOURCES
from wellsolar.verdicts import RULES, Place, Rule, say

ROOT = Path(__file__).parents[1]

PRINTED = re.compile(r"\b(1[6-9]|20)\d\d\b|\bundated\b")
"""A year, or that the text prints none."""

PLACE_IN_IT = re.compile(
    r"\b\d+(\.\d+)+|\b\d{2,5}-\d+|\b\d+ \(\d{4}\),? ?\d+|\b\d+:\d+|\bBull\. \d+|"
    r"\b(Tables?|tables?|charts?|standard 1|App\.|ch\.|chapter|[Pp]arts?|eqs?\.|pages?|section|"
    r"clause|Examples?|article|column|note|list|scope|document|report|module)(?!\w)"
)
"""Where in it: a section, a table, a page, an article's number, or volume and page of a paper."""

UNSOURCED = ("physics", "from memory", "common practice", "given", "computed")
"""Provenances that need no title."""

SAYS_SO = re.compile(r"common practice|from memory|computed|each row|: none|named in the last")
"""In the head of a table: what is not from a text."""


def places_of(citation: str) -> list[str]:
    """What a citation lacks."""
    return [
        what
        for what, pattern in (("year or edition", PRINTED), ("place in it", PLACE_IN_IT))
        if not pattern.search(citation)
    ]


def test_every_source_has_its_year_and_its_section_or_says_that_it_has_no_text() -> None:
    lacking = {
        key: places_of(source.citation)
        for key, source in SOURCES.items()
        if source.provenance not in UNSOURCED and places_of(source.citation)
    }
    assert lacking == {}


def heads() -> Iterator[tuple[str, str]]:
    """Each source in the head of a shipped table, with the table's name."""
    for path in sorted((Path(wellsolar.__file__).parent / "data").glob("*.csv")):
        for line in path.read_text(encoding="utf-8").splitlines():
            if line.startswith("# source:"):
                yield path.name, line


def test_the_sources_of_the_shipped_tables_too() -> None:
    lacking = [
        (name, line, places_of(line))
        for name, line in heads()
        if places_of(line) and not SAYS_SO.search(line)
    ]
    assert lacking == []


def test_the_sources_of_the_published_checks_too() -> None:
    lacking = set()
    for path in sorted((ROOT / "tests" / "published").glob("*.toml")):
        for rows in tomllib.loads(path.read_text(encoding="utf-8")).values():
            for row in rows if isinstance(rows, list) else ():
                if row["provenance"] in UNSOURCED or PRINTED.search(row["source"]):
                    continue
                lacking.add((path.name, row["source"]))
    assert lacking == set()


def every_rule() -> dict[str, Rule]:
    """All rules of the program: each is entered where its module is imported."""
    for module in walk_packages(wellsolar.__path__, "wellsolar."):
        if "__main__" not in module.name:
            import_module(module.name)
    return RULES


def test_only_what_was_read_quoted_or_is_physics_may_fail() -> None:
    rules = every_rule()
    assert {key for key, rule in rules.items() if not rule.may_fail} == {
        "above the bottom", "array's direction", "battery for the pump", "booster runs dry",
        "deep setting",
        "efficiency", "hot water stored", "motor load", "neutral bond", "on its curve",
            "ordinary value", "prime",
            "reading",
        "test fit",
        "test in another well", "tracking electronics", "turnover of the storage tank",
        "well loss",
    }  # fmt: skip
    for key, rule in rules.items():
        assert rule.may_fail == (SOURCES[rule.source].provenance in BINDING), key


@pytest.mark.parametrize(("source", "status"), [("frost depth", "fail"), ("walton", "caution")])
def test_a_limit_from_memory_cautions_where_one_that_was_read_fails(
    source: str, status: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delitem(RULES, "asked here", raising=False)
    rule = Rule("asked here", "is it so?", "it is so", source, by="owner", place=Place())
    monkeypatch.delitem(RULES, "asked here")
    assert rule.verdict("fail", "well", say("it is not")).status == status
