"""Which tests belong to a place: those that were seen to call its function. Of files of tests that
nobody has watched yet, those in the folders of its name, and those that import it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from tests.mutation.called import Map, nearness

FIRST = "tests/properties/test_stated.py"
"""What tells most changes at the top of a module in a moment."""

LIMITS = "tests/properties/whole/test_limits.py"
"""Of hundreds of tests, each of one rule that it names: those of a module's own rules belong."""

PUBLISHED = "tests/published/test_published.py"
"""Whose rows name the functions of the physics that they call."""

Tests = dict[str, list[str]]
"""Tests by their file, those to be run first in front; all of a file where none is named."""


def tests_of(module: str, function: str, seen: Map) -> Tests:
    """The tests of a place.

    Parameters:
        module: its path from the checkout
        function: its name in the file; empty for what stands at the top of a module
        seen: which test calls what
    """
    dotted = module.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    first = {FIRST: [f"{FIRST}::test_a_module_has_what_is_stated[{dotted.partition('.')[2]}]"]}
    calling = seen.calling(module, function)
    # What one of them has been told is kept for the next, which then calls nothing.
    path = seen.checkout / module
    room = path.parent.glob("*.py") if module.startswith("wellsolar/studies/") else ()
    of_rules = {LIMITS: [f"{LIMITS}::{rule}" for each in (path, *room) for rule in _rules(each)]}
    if not of_rules[LIMITS]:
        of_rules = {}
    named = [each for each in seen.unseen if _by_name(each, module, seen.checkout)]
    unseen = sorted(named, key=lambda file: nearness(file, module))
    others = {
        file: calling.get(file, []) for file in [*calling, *unseen] if file not in (FIRST, LIMITS)
    }
    return {**first, **of_rules, **others} if _rules(path) else {**first, **others, **of_rules}


def _rules(path: Path) -> list[str]:
    """Rules of a module."""
    return re.findall(r'= Rule\(\s*"([^"]+)"', _text(path))


def wanted(test: str, tests: list[str]) -> bool:
    """Whether a test is among those of its file that belong: by its name, or by the rule that it
    is of."""
    file = test.partition("::")[0]
    rule = re.search(r"\[\d+: ([^],]+)", test)
    return not tests or test in tests or (rule is not None and f"{file}::{rule[1]}" in tests)


def _by_name(file: str, module: str, checkout: Path) -> bool:
    """Whether a file of tests has the place of a module, composes its room, or imports it."""
    floor, *rooms = module.split("/")[1:-1] or [module]
    alike = file.startswith(f"tests/{floor}/") or (floor == "physics" and "tests/stud" not in file)
    near = "/".join(["", *rooms, ""]) in file or (rooms and f"composed_{rooms[0]}" in file)
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
