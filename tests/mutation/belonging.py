"""Which tests belong to a place: those of the folders of its name, and those that import it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ALWAYS: dict[str, tuple[str, ...]] = {
    "physics": (
        "tests/properties/test_stated.py",
        "tests/properties/test_refused_bounds.py",
        "tests/published/test_published.py",
    ),
    "studies": ("tests/properties/test_stated.py",),
    "verdicts": ("tests/properties/whole/test_limits.py", "tests/test_verdicts.py"),
    "report rows": (
        "tests/reports/tables/test_shown.py",
        "tests/reports/text/test_pages.py",
        "tests/reports/text/test_printed.py",
        "tests/reports/text/test_beside_results.py",
    ),
    "interview": ("tests/interview/test_whole.py",),  # a process of its own has no change
}
"""Tests of a whole layer, beside those of the folder."""

FIRST = ("tests/properties/test_stated.py",)
"""What tells most changes at the top of a module in a moment."""

COMPOSED = "tests/studies/test_composed.py"
POWER = "tests/studies/test_composed_power.py"
HEAT = "tests/studies/test_composed_heat.py"
OUTAGE = "tests/studies/test_composed_outage.py"
WELL = "tests/studies/test_composed_well.py"
ROOMS: dict[str, tuple[str, ...]] = {
    "": (COMPOSED,),
    "well": (COMPOSED, WELL),
    "pump": (COMPOSED, "tests/properties/whole/test_remedies.py"),
    "house": (COMPOSED,),
    "electric": (COMPOSED, POWER),
    "hand": (COMPOSED, WELL, "tests/properties/whole/test_remedies.py"),
    "heat": (HEAT, POWER, "tests/examples/test_main_job.py"),
    "array": (POWER, "tests/examples/test_main_job.py", "tests/studies/safety/test_arrays.py"),
    "sun": (POWER,),
    "safety": (POWER, HEAT),
    "outage": (
        OUTAGE,
        "tests/commands/test_outage.py",
    ),
    "reading": (
        HEAT,
        "tests/commands/test_readings.py",
    ),
    "parts": ("tests/commands/test_parts.py",),
    "supply": (POWER, "tests/commands/test_rank.py"),
    "match": (POWER, "tests/commands/test_match.py"),
    "asked": ("tests/commands/test_with.py", "tests/studies/test_cautions.py"),
}
"""Tests elsewhere of a room of the studies: what is composed anew, and its command."""

SHOWN_BY: dict[str, tuple[str, ...]] = {
    "array": (POWER,),
    "sun": (POWER, HEAT),
    "tank": (HEAT, "tests/studies/match/test_ranking.py"),
    "hydraulics": (COMPOSED, "tests/studies/reading/test_composed_readings.py"),
    "well": (COMPOSED, WELL, "tests/studies/well/test_pumping_tests.py"),
    "hand": (
        COMPOSED,
        WELL,
    ),
    "electric": (COMPOSED, POWER),
    "supply": (POWER, "tests/studies/supply/test_ranking.py"),
}
"""Studies whose numbers a room of the physics makes."""

SUBJECTS = {
    "array": ("coupling", "solar", "readings"),
    "sun": ("solar", "sun_year"),
    "tank": ("heat",),
    "hydraulics": ("hydraulics", "pressure_tank", "demand", "readings"),
    "well": ("wells",),
    "hand": ("hand_pump",),
    "electric": ("wiring", "limits"),
    "supply": ("supply",),
}
"""Published rows of a room of the physics; beside them all of `whole`."""

LEFT_OUT = (
    "tests/examples/test_outputs.py",  # saved output holds freshness, not truth
    "tests/examples/test_walk.py",
    "tests/reports/pages/",
    "tests/reports/test_command.py",
    "tests/benchmarks/",
    "tests/mutation/",
    "tests/test_",
)
"""What is no test of a place: whole pages, speed, the order of the house."""

_WHOLE_PAGES = re.compile(r"\b(reports|odd|cards|lists): (Any|dict)")
"""Fixtures that make every page of every example."""


def tests_of(module: str, layer: str, checkout: Path) -> list[str]:
    """The tests of a place: its own doctests, those of its layer, then small files first.

    Parameters:
        module: its path from the checkout
        layer: of the change
        checkout: where it lies
    Returns:
        files, from the checkout
    """
    floor, *rooms = module.split("/")[1:-1] or [""]
    room = "/".join(rooms)
    folders = [f"tests/{floor}/{room}".rstrip("/")]
    if floor == "physics":
        folders = [f"tests/{each}/{room}" for each in ("properties", "against_libraries")]
    named = [each for folder in folders for each in _files(checkout, folder, bool(room))]
    named += [each for each in _all(checkout) if _imports(checkout / each, module)]
    named = [each for each in dict.fromkeys(named) if not each.startswith(LEFT_OUT)]
    named = [each for each in named if not _WHOLE_PAGES.search(_text(checkout / each))]
    if floor == "physics":
        named += [each for each in SHOWN_BY.get(room, ()) if each not in named]
    whole = [file for each in ALWAYS[layer] for file in _files(checkout, each, True)]
    if floor == "studies":
        named += [each for each in ROOMS.get(room, ()) if each not in named]
    chosen = sorted({*named, *whole}, key=lambda each: _rank(each, whole, checkout))
    has_doctests = ">>> " in (checkout / module).read_text("utf-8")
    return ([module] if has_doctests else []) + chosen


def _rank(file: str, whole: list[str], checkout: Path) -> tuple[bool, bool, bool, int]:
    """What holds the most in the least time comes first."""
    composed = Path(file).name.startswith("test_composed")
    return file not in FIRST, not composed, file not in whole, _size(checkout / file)


_RULE = re.compile(r"\bRule\(\s*\"([^\"]+)\"")
_LIMITS = ("test_a_rule_", "test_each_state_", "test_a_remedy_beyond_", "test_verdicts_are_put_",
           "test_what_passes_keeps_", "test_every_rule_is_seen_")  # fmt: skip


@cache
def _rules_of(module: str) -> frozenset[str]:
    """The rules that a module holds, or where it holds none those of its room."""
    path = Path(module)
    found = _RULE.findall(_text(path))
    if not found:
        found = [rule for each in path.parent.glob("*.py") for rule in _RULE.findall(_text(each))]
    return frozenset(found)


def belongs(test: str, module: str) -> bool:
    """Whether a test of a file that belongs to a module is about it: of published rows those of
    its room, of rules those that it holds, and the packing of circles, which takes long, only
    where it is looked for."""
    if test.startswith(_LIMITS) and module.startswith("wellsolar/studies/"):
        rule = re.search(r"\[\d+: ([^,\]]+)", test)
        return rule is not None and rule[1] in _rules_of(module)
    row = re.match(r"test_published_value\[(\w+): ", test)
    floor, _, room = module.removeprefix("wellsolar/").partition("/")
    room = room.split("/")[0]
    if "counts_are_written" in test:
        return False
    if row is None or floor != "physics":
        return True
    if row[1] == "casing":
        return "casing_fit" in module
    return room not in SUBJECTS or row[1] in (*SUBJECTS[room], "whole")


def _files(checkout: Path, place: str, below: bool) -> list[str]:
    path = checkout / place
    if path.is_file():
        return [place]
    found = path.rglob("test_*.py") if below else path.glob("test_*.py")
    return sorted(each.relative_to(checkout).as_posix() for each in found)


@cache
def _all(checkout: Path) -> tuple[str, ...]:
    return tuple(_files(checkout, "tests", True))


@cache
def _size(path: Path) -> int:
    return path.stat().st_size


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
