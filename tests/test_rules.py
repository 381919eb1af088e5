"""What keeps the house in order: floors, rooms, docstrings, sources, tables, units of names.

Everything here reads the files as text and imports nothing of the package.
"""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "wellsolar"
MODULES = sorted(PACKAGE.rglob("*.py"))

LAYERS = {
    "errors": (),
    "constants": (),
    "wording": (),
    "beside": (),
    "kinds": (),
    "units": ("kinds", "errors", "wording"),
    "sources": (),
    "verdicts": ("units", "kinds", "sources"),
    "results": ("results", "verdicts", "units", "kinds", "errors"),
    "data": ("data", "errors", "constants"),
    "physics": ("physics", "data", "errors", "beside", "constants"),
    "site": (
        "site", "units", "kinds", "errors", "verdicts", "data", "wording", "constants",
        "physics.sun.clearness", "physics.sun.position",
    ),
    "studies": (
        "studies", "physics", "site", "data", "results", "verdicts", "units", "kinds", "sources",
        "errors", "beside", "constants",
    ),
    "reports": (
        "reports", "results", "verdicts", "units", "kinds", "sources", "errors", "beside",
    ),
    "output": ("reports", "results", "errors"),
    "interview": (
        "interview", "site", "studies", "reports.plain", "reports.files", "data", "units", "kinds",
        "verdicts", "wording", "errors",
    ),
    "commands": (
        "site", "studies", "reports", "results", "units", "output", "errors", "interview",
    ),
    "library": ("reports", "results", "units", "kinds", "verdicts", "errors"),
    "cli": ("commands", "output", "site", "studies", "reports", "units", "__init__"),
    "__main__": ("cli", "output", "reports.plain", "errors"),
    "__init__": (
        "site.loading.read", "site.loading.stock", "studies.case", "studies.rules", "results",
        "errors", "library", "units", "verdicts",
    ),
}  # fmt: skip
"""What each floor may import of the project, by the beginning of the module's name."""

ENDS = ("cli.py", "commands.py")
"""Where studies and reports meet."""

LIBRARIES = {
    "pint": ("units.py",),
    "pydantic": ("site/", "interview/check.py"),
    "pydantic_core": ("site/",),
    "rich": ("reports/text/terminal.py",),
    "tomlkit": ("site/edit.py",),
    "segno": ("reports/pages/labels.py",),
    "jinja2": ("reports/pages/html.py",),
    "markupsafe": ("reports/pages/html.py",),
    "matplotlib": ("reports/charts/",),
    "click": ("cli.py", "commands.py", "__main__.py"),
    "pvlib": ("physics/sun/",),
    "fluids": ("physics/",),
    "pandas": ("library.py", "physics/sun/light.py"),
    "numba": ("physics/compiled.py",),
    "scipy": ("physics/", "studies/"),
    "numpy": ("physics/", "studies/", "data/"),
}
"""Where each library may be imported; one that is not named may be imported nowhere."""

LATE = {"numba", "pvlib"}
"""Libraries that are imported inside functions only, because they are slow to load."""

FULL_ROOM = 20
"""Modules that a folder holds at most; the eye takes in no more."""


class Import(NamedTuple):
    """One imported module, and whether the import stands inside a function."""

    module: str
    late: bool
    line: int


def place(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def room(path: Path) -> str:
    """The first part of a module's place: a folder, or a module of the top level."""
    return place(path).split("/")[0].removesuffix(".py")


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def imports_of(path: Path) -> tuple[Import, ...]:
    found = []

    def walk(node: ast.AST, late: bool) -> None:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.Import):
                found.extend(Import(alias.name, late, child.lineno) for alias in child.names)
            elif isinstance(child, ast.ImportFrom):
                assert child.level == 0, f"{place(path)}:{child.lineno}: a relative import"
                for alias in child.names:
                    whole = f"{child.module}.{alias.name}"
                    name = whole if _is_module(whole) else str(child.module)
                    found.append(Import(name, late, child.lineno))
            walk(child, late or isinstance(child, (ast.FunctionDef, ast.Lambda)))

    walk(tree_of(path), False)
    return tuple(found)


@cache
def _is_module(name: str) -> bool:
    stem = ROOT.joinpath(*name.split("."))
    return stem.with_suffix(".py").is_file() or (stem / "__init__.py").is_file()


def test_layers() -> None:
    new = {room(path) for path in MODULES} - set(LAYERS)
    assert not new, "new rooms; say in LAYERS what they may import"
    wrong = []
    for path in MODULES:
        allowed = LAYERS[room(path)]
        for module, _, line in imports_of(path):
            if module.split(".")[0] != "wellsolar":
                continue
            inner = module.removeprefix("wellsolar").removeprefix(".") or "__init__"
            if not any(inner == name or inner.startswith(f"{name}.") for name in allowed):
                wrong.append(f"{place(path)}:{line}: imports {module}, allowed: {allowed}")
    assert not wrong


def test_libraries_have_one_home() -> None:
    wrong = []
    for path in MODULES:
        for module, late, line in imports_of(path):
            library = module.split(".")[0]
            if library == "wellsolar" or library in sys.stdlib_module_names:
                continue
            homes = LIBRARIES.get(library, ())
            if not any(place(path).startswith(home) for home in homes):
                wrong.append(f"{place(path)}:{line}: {library} belongs to {homes or 'nowhere'}")
            if not late and library in LATE:
                wrong.append(f"{place(path)}:{line}: import {library} inside a function")
    assert not wrong


def test_only_the_command_line_joins_studies_and_reports() -> None:
    for path in MODULES:
        rooms = {".".join(each.module.split(".")[1:2]) for each in imports_of(path)}
        assert not {"studies", "reports"} <= rooms or place(path) in ENDS, place(path)


def test_physics_prints_and_warns_nothing_and_reads_no_file() -> None:
    forbidden = {"print", "input", "open", "exec", "eval"}
    for path in MODULES:
        if room(path) != "physics":
            continue
        for node in ast.walk(tree_of(path)):
            name = node.func.id if _calls_name(node) else ""
            assert name not in forbidden, f"{place(path)}:{node.lineno}: {name}"
        libraries = {each.module.split(".")[0] for each in imports_of(path)}
        assert not libraries & {"warnings", "logging", "pathlib", "os", "sys"}, place(path)


def _calls_name(node: ast.AST) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name)


def functions_of(path: Path) -> Iterator[tuple[str, ast.FunctionDef]]:
    """Public functions of a module and public methods, but for properties, of its classes."""
    for node in tree_of(path).body:
        if isinstance(node, ast.FunctionDef):
            yield node.name, node
        elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for member in node.body:
                if isinstance(member, ast.FunctionDef) and not member.decorator_list:
                    yield f"{node.name}.{member.name}", member


def arguments_of(function: ast.FunctionDef) -> list[str]:
    every = function.args
    assert every.vararg is None, function.name
    assert every.kwarg is None, function.name
    named = [each.arg for each in every.posonlyargs + every.args + every.kwonlyargs]
    return [name for name in named if name != "self"]


DOCUMENTED = [
    (path, name, function)
    for path in MODULES
    if room(path) in ("physics", "data")
    for name, function in functions_of(path)
    if not name.split(".")[-1].startswith("_")
]


def part_of(docstring: str, head: str) -> str | None:
    """Text under a head such as `Returns:`, up to the next one."""
    heads = r"Parameters|Returns|Raises|Source"
    found = re.search(rf"^ *{head}:(.*?)(?=^ *(?:{heads}):|^ *>>>|\Z)", docstring, re.M | re.S)
    return None if found is None else found.group(1)


def described(docstring: str) -> dict[str, str]:
    """Parameters of a docstring, each with its text."""
    text = part_of(docstring, "Parameters") or ""
    lines = [line for line in text.splitlines() if line.strip()]
    if not lines:
        return {}
    indent = len(lines[0]) - len(lines[0].lstrip())
    found: dict[str, str] = {}
    for line in lines:
        if len(line) - len(line.lstrip()) == indent:
            name, _, rest = line.strip().partition(":")
            found[name] = rest
        else:
            found[list(found)[-1]] += " " + line.strip()
    return found


def unit_in(text: str) -> str | None:
    """The first unit in square brackets."""
    found = re.search(r"\[([^\[\]]+)\]", text)
    return None if found is None else found.group(1)


def test_docstrings_are_whole() -> None:
    for path, name, function in DOCUMENTED:
        docstring, where = ast.get_docstring(function), f"{place(path)}: {name}"
        assert docstring, f"{where}: no docstring"
        parameters = described(docstring)
        assert list(parameters) == arguments_of(function), f"{where}: another signature"
        lacking = [each for each, text in parameters.items() if unit_in(text) is None]
        assert not lacking, f"{where}: no [unit] for {', '.join(lacking)}"
        returns = part_of(docstring, "Returns")
        assert returns, f"{where}: no Returns"
        assert unit_in(returns), f"{where}: no [unit] under Returns"
        assert (part_of(docstring, "Source") or "").strip(), f"{where}: no Source"


def test_no_room_is_full() -> None:
    rooms = [*MODULES, *(ROOT / "tests").rglob("*.py")]
    held = Counter(path.parent for path in rooms if path.name != "__init__.py")
    full = {str(folder): count for folder, count in held.items() if count > FULL_ROOM}
    assert not full, f"give these folders rooms by subject: {full}"


def folder(name: str) -> str:
    """The room of a module, both by their dotted names; a module of the top level is its own."""
    above = name.rpartition(".")[0]
    return above if above != "wellsolar" else name


def imports_between(room_of: Callable[[str], str]) -> dict[str, set[str]]:
    """Which module or room imports which others."""
    found: dict[str, set[str]] = {}
    for path in MODULES:
        name = f"wellsolar.{place(path).removesuffix('.py').replace('/', '.')}"
        here = room_of(name.removesuffix(".__init__"))
        for each in imports_of(path):
            there = room_of(each.module)
            if each.module.startswith("wellsolar.") and there != here:
                found.setdefault(here, set()).add(there)
    return found


@pytest.mark.parametrize("room_of", [str, folder], ids=["modules", "rooms"])
def test_imports_run_in_no_circle(room_of: Callable[[str], str]) -> None:
    sorter = TopologicalSorter(imports_between(room_of))
    try:
        sorter.prepare()
    except CycleError as error:
        pytest.fail(f"a circle: {' <- '.join(error.args[1])}")


def source_keys() -> list[str]:
    """Keys of SOURCES, in the order of the file."""
    for node in tree_of(PACKAGE / "sources.py").body:
        if isinstance(node, ast.AnnAssign) and ast.unparse(node.target) == "SOURCES":
            assert isinstance(node.value, ast.Dict)
            return [ast.literal_eval(key) for key in node.value.keys if key is not None]
    raise AssertionError("no SOURCES in sources.py")


MADE_FROM = ("Rule", "Assumption", "Practice", "Default", "_Task")
"""Whatever names the source that it rests on."""


def sources_used() -> dict[str, str]:
    """Source keys that rules, practices, tasks and defaults name, each with one place."""
    used = {}
    for path in MODULES:
        for node in ast.walk(tree_of(path)):
            if not _calls_name(node) or node.func.id not in MADE_FROM:
                continue
            if node.func.id == "Default" and not node.args:
                continue  # a row of the shipped defaults, which stand below
            if node.func.id in ("Practice", "_Task") and not node.keywords:
                continue  # common practice, its default
            named = [each.value for each in node.keywords if each.arg == "source"]
            given = named or node.args[3:4]
            where = f"{place(path)}:{node.lineno}"
            assert given, f"{where}: no source"
            texts = [
                each.value
                for each in ast.walk(given[0])
                if isinstance(each, ast.Constant) and isinstance(each.value, str)
            ]
            assert texts or ast.unparse(given[0]) == "default.source", f"{where}: write the key"
            used |= dict.fromkeys(texts, where)
    defaults = tomllib.loads((PACKAGE / "site" / "defaults.toml").read_text(encoding="utf-8"))
    for row in defaults["default"]:
        used[row["source"]] = f"site/defaults.toml: {row['path']}"
    return used


def test_every_source_key_exists_and_is_used() -> None:
    keys, used = source_keys(), sources_used()
    assert len(keys) == len(set(keys)), "a key stands twice"
    assert not {key: where for key, where in used.items() if key not in keys}, "no such source"
    assert not [key for key in keys if key not in used], "a source that nothing names"


TEXTS = sorted(
    path
    for path in ROOT.rglob("*")
    if path.suffix in {".py", ".toml", ".md", ".csv", ".txt", ".json", ".j2"}
    and path.is_file()
    and not any(
        part.startswith(".") or part in {"__pycache__", "build", "dist"}
        for part in path.relative_to(ROOT).parts
    )
)
UNWANTED = re.compile("|".join((r"\.\./sha" + "red", "help" + "er-", "TO" + "DO", "FIX" + "ME")))


def test_nothing_is_left_over() -> None:
    assert len(TEXTS) > 100
    for path in TEXTS:
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            found = UNWANTED.search(line)
            assert not found, f"{path.relative_to(ROOT)}:{number}: {found and found.group()}"


@pytest.mark.parametrize("path", sorted(PACKAGE.glob("data/*.csv")), ids=lambda path: path.stem)
def test_tables_say_where_they_come_from(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines()
    comments = [line for line in lines if line.startswith("#")]
    assert lines[: len(comments)] == comments, "comments stand at the top"
    for head in ("source", "provenance", "units"):
        assert any(re.match(rf"# {head}: \S", line) for line in comments), f"no # {head}: line"
    columns = lines[len(comments)].split(",")
    assert len(set(columns)) == len(columns) > 1 or path.stem == "overcurrent_sizes"


def test_one_name_one_unit() -> None:
    """The same name has the same unit in every public function of the physics."""
    first: dict[str, tuple[str, str]] = {}
    for path, name, function in DOCUMENTED:
        if room(path) != "physics":
            continue
        for parameter, text in described(ast.get_docstring(function) or "").items():
            unit, where = str(unit_in(text)), f"{place(path)}: {name}"
            known, there = first.setdefault(parameter, (unit, where))
            assert unit == known, f"{where}: {parameter} [{unit}], but [{known}] in {there}"
    assert len(first) > 100


@pytest.mark.parametrize(
    "row", [row.split("|") for row in ("value|5 gal", "hot|120 degF")], ids=lambda row: row[0]
)
def test_the_readers_of_this_file_can_refuse(row: list[str]) -> None:
    """The readers above find what is wrong in a text made to be wrong."""
    docstring = f"Head.\n\nParameters:\n    {row[0]}: {row[1]}\nReturns:\n    it [m]\n"
    assert list(described(docstring)) == [row[0]]
    assert unit_in(described(docstring)[row[0]]) is None
    assert part_of(docstring, "Source") is None
