"""Which tests belong to a place: those that were seen to reach it. Of files of tests that nobody
has watched yet, those in the folders of its name, and those that import it."""

from __future__ import annotations

import ast
import math
import re
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from tests.mutation.called import LATE, Called, Map, nearness

FIRST = "tests/properties/test_stated.py"
"""What tells most changes at the top of a module in a moment."""

LIMITS = "tests/properties/whole/test_limits.py"
"""Of hundreds of tests, each of one rule that it names: those of a module's own rules belong,
where nobody has watched them yet."""

ASKED = "tests/test_words.py::test_every_rule_asks_one_question"
"""What tells words of a rule in a wrong place in a moment."""

PUBLISHED = "tests/published/test_published.py"
"""Whose rows name the functions of the physics that they call."""

SAVED = (
    f"{LIMITS}::test_verdicts_are_put_in_these_words",
    "tests/examples/test_outputs.py::test_the_shipped_output_is_fresh",
    "tests/interview/test_whole.py::test_the_interview_goes_like_this",
    "tests/reports/test_moved.py::test_no_number_of_a_site_has_moved",
    "tests/reports/test_moved.py::test_no_number_of_an_invented_site_has_moved",
    "tests/reports/tables/test_shown.py::test_every_cell_shows_the_field_that_the_table_names",
    "tests/reports/text/test_pages.py::test_pages_are_laid_out_like_this",
    "tests/reports/text/test_sizing.py"
    "::test_every_number_of_a_design_is_the_field_that_the_table_names",
    "tests/studies/test_answers.py::test_every_answer_has_the_fields_that_the_table_names",
    "tests/studies/parts/test_study.py::test_lines_are_put_in_these_words",
    "tests/studies/test_put.py::test_sheet_and_card_are_put_in_these_words",
)
"""Tests that hold our own saved text. They notice a change, but no mistake that was saved with it;
so they are run last, and what they alone notice is told apart."""

Tests = list[str]
"""Tests in the order in which they are run: each by its name, by its file and rule, or all of a
file by its name."""


def tests_of(module: str, function: str, line: int, seen: Map) -> Tests:
    """The tests of a place: what is stated of its module and the limits of the rules that it
    holds; then those that were seen to reach it, first those that reach little else (they ask
    after it) and end soon, the nearest by name first; whole commands and saved texts last.

    Parameters:
        module: its path from the checkout
        function: its name in the file; empty for what stands at the top of a module
        line: from 1
        seen: which test reaches what
    """
    dotted = module.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    stated = f"{FIRST}::test_a_module_has_what_is_stated[{dotted.partition('.')[2]}]"
    path = seen.checkout / module
    ranked: list[tuple[bool, float, str]] = []
    for file, tests in seen.calling(module, function, line).items():
        ahead, late = _ahead(file, module), file.startswith(LATE)
        ranked += [(late, _dearness(each) - ahead, each.test) for each in tests]
    for file in seen.unseen:
        ahead, late = _ahead(file, module), file.startswith(LATE)
        if file == LIMITS:
            room = path.parent.glob("*.py") if module.startswith("wellsolar/studies/") else ()
            rules = [rule for each in (path, *room) for rule in _rules(each)]
            ranked += [(late, UNKNOWN, f"{LIMITS}::{rule}") for rule in rules]
        elif _by_name(file, module, seen.checkout):
            if file == PUBLISHED:
                ranked += [(late, 0, each) for each in _published(module, seen.checkout / "tests")]
            ranked.append((late, UNKNOWN - ahead, file))
    own = [f"{LIMITS}::{rule}" for rule in _rules(path)]
    own = [ASKED, *own] if own else own
    return [stated, *own, *(test for _, _, test in sorted(ranked, key=lambda one: one[:2]))]


UNKNOWN = 8
"""How dear a test is taken to be that nobody has watched."""

MOMENT = 0.005
"""A test that ends within it [s] is as good as free: what surrounds each takes as long."""


def _dearness(test: Called) -> float:
    """Of what may notice a change, that is best asked first which is likeliest to for its time:
    that which reaches little besides and ends soon, each as a power of two."""
    return test.reached.bit_length() + math.log2(max(test.seconds, MOMENT) / MOMENT)


def _ahead(file: str, module: str) -> int:
    """By so many powers of two a test may reach more than others and still come before them: one
    of its module's room, or called like it, is likely to ask after it."""
    _, called_otherwise, far = nearness(file, module)
    return int(far <= -2) * 2 if called_otherwise else 4


def _rules(path: Path) -> list[str]:
    """Rules of a module."""
    return re.findall(r'= Rule\(\s*"([^"]+)"', _text(path))


def _published(module: str, tests: Path) -> Tests:
    """The rows of published values that name a function of a module of the physics."""
    called = ".".join([*module.split("/")[2:-1], Path(module).stem, ""])
    return [
        f"{PUBLISHED}::test_published_value[{path.stem}: {row['id']}]"
        for path in sorted((tests / "published").glob("*.toml"))
        for row in tomllib.loads(_text(path)).get("case", [])
        if str(row.get("function", "")).startswith(called)
    ]


def names_of(test: str) -> Iterator[str]:
    """By which a test may be wanted: its name, with its parameters or without, the rule that it
    is of, and its file."""
    file = test.partition("::")[0]
    rule = re.search(r"\[\d+: ([^],]+)", test)
    yield test
    if "[" in test:
        yield test.partition("[")[0]
    if rule is not None:
        yield f"{file}::{rule[1]}"
    yield file


def _by_name(file: str, module: str, checkout: Path) -> bool:
    """Whether a file of tests has the place of a module, composes its room, or imports it."""
    floor, *rooms = module.split("/")[1:-1] or [module]
    alike = file.startswith(f"tests/{floor}/") or (floor == "physics" and "tests/stud" not in file)
    near = "/".join(["", *rooms, ""]) in file or (rooms and f"composed_{rooms[0]}" in file)
    near = near or floor == "interview"  # whose tests lie in one folder
    if file == PUBLISHED and floor == "physics":
        called = f'"{".".join([*rooms, Path(module).stem])}.'
        return any(called in _text(each) for each in (checkout / file).parent.glob("*.toml"))
    whole = file == f"tests/{floor}/test_composed.py"  # of several rooms
    return bool(alike and near) or whole or _imports(checkout / file, module)


@cache
def _text(path: Path) -> str:
    return path.read_text("utf-8")


def _imports(path: Path, module: str) -> bool:
    """Whether a file imports a module, by its dotted name or from its folder."""
    dotted = module.removesuffix(".py").replace("/", ".")
    parent, _, last = dotted.rpartition(".")
    text = _text(path)
    return bool(
        re.search(rf"(from|import) {re.escape(dotted)}\b", text)
        or re.search(rf"from {re.escape(parent)} import [^\n]*\b{last}\b", text)
    )


def studies_of(checkout: Path) -> dict[str, frozenset[str]]:
    """The modules that each study of a case rests on, by all that it imports in turn.

    Parameters:
        checkout: where the project lies
    Returns:
        modules as Python names them, by the study's name
    """
    tree = ast.parse((checkout / "wellsolar/studies/case.py").read_text("utf-8"))
    case = next(each for each in tree.body if getattr(each, "name", "") == "Case")
    assert isinstance(case, ast.ClassDef)
    methods = {each.name: each for each in case.body if isinstance(each, ast.FunctionDef)}
    found = {}
    for name in methods:
        asked: set[str] = set()
        left = [name]
        while left:
            one = left.pop()
            if one not in asked:
                asked.add(one)
                left += [each.attr for each in ast.walk(methods[one])
                         if isinstance(each, ast.Attribute) and each.attr in methods]  # fmt: skip
        imported = {each for one in asked for each in _imported(methods[one], checkout)}
        found[name] = _in_turn(imported, checkout) | {"wellsolar.studies.case"}
    return found


def _in_turn(modules: set[str], checkout: Path) -> frozenset[str]:
    """Modules with all that they import."""
    seen: set[str] = set()
    left = [*modules]
    while left:
        module = left.pop()
        if module not in seen:
            seen.add(module)
            left += _imports_of(module, checkout)
    return frozenset(seen)


@cache
def _imports_of(module: str, checkout: Path) -> frozenset[str]:
    path = checkout / module.replace(".", "/")
    path = path.with_suffix(".py") if path.with_suffix(".py").exists() else path / "__init__.py"
    return frozenset(_imported(ast.parse(path.read_text("utf-8")), checkout))


def _imported(tree: ast.AST, checkout: Path) -> Iterator[str]:
    """Modules of the project that are imported anywhere below, but for what only types need."""
    for_types = {
        id(below)
        for each in ast.walk(tree)
        if isinstance(each, ast.If) and "TYPE_CHECKING" in ast.unparse(each.test)
        for below in ast.walk(each)
    }
    for each in ast.walk(tree):
        if id(each) in for_types:
            continue
        if isinstance(each, ast.ImportFrom) and (each.module or "").startswith("wellsolar"):
            for name in each.names:
                below = f"{each.module}.{name.name}"
                there = (checkout / (below.replace(".", "/") + ".py")).exists()
                yield below if there else str(each.module)
