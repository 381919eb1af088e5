"""The sentences that the program can print: words, spelling, length, and a gloss at first use."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from tests.running import CHECKOUT, here
from wellsolar.commands import EVERYTHING
from wellsolar.site.loading.read import load_site
from wellsolar.studies.case import study_site
from wellsolar.verdicts import RULES

PACKAGE = CHECKOUT / "wellsolar"
EXAMPLES = sorted((CHECKOUT / "examples").glob("*.toml"))
TEXTS = (*PACKAGE.rglob("*.j2"), *PACKAGE.rglob("*.toml"))

SLIPS = {
    r"\breckon": "worked out, computed, counted",
    r"\b(our|my) (own )?(marks?|choice|bound|reading|limit)\b": "wellsolar's: who reads may be us",
    r"\bno --with says\b": "no change of the file says",
    r"\b(utili[sz]e|whilst|thereof|aforesaid|and/or)\b": "use, while, of it; one of the two",
    r"\b(neighbor|vapor|pressuriz|optimiz|catalog\b|meters? (long|wide|deep)|license no)":
        "British, as the keys have it: galvanised, neighbour, vapour",
}  # fmt: skip
"""Words that are not to be printed, and what is said in their place."""

AMERICAN = re.compile(r"\bgalvaniz")
UNDERSTOOD = PACKAGE / "interview" / "answers"
"""People may answer in either spelling."""

LONGEST = 30
"""Words of a sentence in a reason, of which names and numbers take some."""

GLOSSED = {
    "shut-off head": "the pump's greatest head, at no flow",
    "total dynamic head": "what the pump works against",
    "ampacity needed": "that the wire must carry",
    "acceptance factor": "share of the tank that is usable",
    "fill factor": "vmp x imp over voc x isc",
    "sun.albedo": "share of the light that the ground throws back",
    "sun.turbidity": "haze of a clear sky",
    "suction head available": "above the vapour pressure of the water",
}
"""What a tradesman of another trade would not know, and the words beside it."""


def _text(node: ast.expr) -> str | None:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(_text(part) or "{}" for part in node.values)
    return None


def _said(path: Path) -> Iterator[tuple[int, str]]:
    """The texts of a module, but for docstrings of code; those of the schema are its meanings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    passed: set[int] = set()
    for node in ast.walk(tree):
        bare = isinstance(node, ast.Expr) and path.name != "schema.py"
        if bare or isinstance(node, (ast.ClassDef, ast.FunctionDef, ast.Module)):
            first = node if isinstance(node, ast.Expr) else next(iter(node.body), None)
            if isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant):
                passed.add(id(first.value))
        if isinstance(node, ast.JoinedStr):
            passed.update(id(part) for part in node.values)
    for node in ast.walk(tree):
        if isinstance(node, ast.expr) and id(node) not in passed and (text := _text(node)):
            yield node.lineno, text


@cache
def said() -> tuple[tuple[str, str], ...]:
    """Every text of the package with its place."""
    found = [
        (f"{path.relative_to(CHECKOUT)}:{line}", text)
        for path in sorted(PACKAGE.rglob("*.py"))
        for line, text in _said(path)
    ]
    return (
        *found, *((f"{path.relative_to(CHECKOUT)}", path.read_text("utf-8")) for path in TEXTS),
    )  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_no_text_has_a_word_that_is_not_plain(slip: str) -> None:
    pattern = re.compile(slip, re.IGNORECASE)
    found = [(place, text[:80]) for place, text in said() if pattern.search(text)]
    assert not found, SLIPS[slip]


def test_one_spelling_but_where_answers_are_understood() -> None:
    places = [place for place, text in said() if AMERICAN.search(text)]
    assert all((CHECKOUT / place).is_relative_to(UNDERSTOOD) for place in places)


def test_no_sentence_has_two_spaces_or_one_before_its_comma() -> None:
    slip = re.compile(r"[a-z,;]  [A-Za-z]|[a-z] [,;]( |$)")
    assert not [(place, text) for place, text in said() if ".py" in place and slip.search(text)]


FIGURES = {
    "", "array", "head", "hot_water_months", "level", "outages", "pump_curve_#",
    "supply_months_#", "tank_days", "well",
}  # fmt: skip
"""The figures that a rule may name, entered twice; all else that it names is a section."""


def test_every_rule_asks_one_question() -> None:
    for rule in RULES.values():
        assert rule.place.figure in FIGURES
        assert rule.asks.endswith("?")
        assert rule.asks.count("?") == 1
        assert rule.asks[0].islower() or rule.asks[:2].isupper()
        assert len(rule.asks.split()) <= 16
        assert not rule.text.endswith(".")


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_reasons_are_short_sentences(path: Path) -> None:
    results = study_site(load_site(path), EVERYTHING)
    for verdict in results.verdicts:
        for sentence in re.split(r"(?<=[^ ])[.;:] ", verdict.reason.text(results.system)):
            assert len(sentence.split()) <= LONGEST, (verdict.rule.key, sentence)


@cache
def checked(site: str) -> list[str]:
    """The lines of an example's whole check."""
    done = here("check", f"examples/{site}.toml", "--full", COLUMNS="200")
    return done.stdout.decode().splitlines()


@pytest.mark.parametrize("word", GLOSSED)
def test_a_term_of_one_trade_is_told_to_the_others(word: str) -> None:
    lines = checked("basement_jet" if "suction" in word else "ridge_house")
    at = next(number for number, line in enumerate(lines) if word in line)
    assert GLOSSED[word] in " ".join(" ".join(lines[at : at + 3]).split())


FRAGMENT = re.compile(
    r"(Of|At|By|From|Since|For|As|Below|That|With|On|Over|In|Or|To|Up|Past|Between)\b"
)
"""Words that go on with what stands before: a meaning is read alone, in an editor or in a talk."""


def test_every_key_of_the_file_says_by_itself_what_it_is() -> None:
    tree = ast.parse((PACKAGE / "site" / "schema.py").read_text(encoding="utf-8"))
    meanings = {
        f"{table.name}.{key.target.id}": told.value.value
        for table in tree.body
        if isinstance(table, ast.ClassDef)
        for key, told in zip(table.body, table.body[1:], strict=False)
        if isinstance(key, ast.AnnAssign) and isinstance(key.target, ast.Name)
        and isinstance(told, ast.Expr) and isinstance(told.value, ast.Constant)
    }  # fmt: skip
    assert len(meanings) > 300
    assert not {key: told for key, told in meanings.items() if FRAGMENT.match(str(told))}
