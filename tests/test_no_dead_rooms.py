"""No definition stands idle: each is reached from a command or from the public library.

Reached is what a command's function or a public name uses, what that uses in turn, and so on. The
files are read as text: a name counts by the scope in which it stands, through imports and modules
passed on by name; a method counts where its name is used of anything. Tests, doc-tests and
published rows reach nothing.
"""

from __future__ import annotations

import ast
import builtins
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "wellsolar"

COMMANDS = "wellsolar.cli"
"""Whose decorated functions are commands."""

STARTS = ("wellsolar.__main__.main", *(f"wellsolar.__{each}__" for each in ("getattr", "dir")))
"""What Python itself calls."""

PUBLIC = ("wellsolar", "_HOMES")
"""The table of public names, each with the module that it comes from."""

ALLOWED: dict[str, str] = {}
"""What may stand unreached, with the reason."""

PLAIN_DECORATORS = {
    "property", "cached_property", "classmethod", "staticmethod", "overload", "override", "setter",
    "abstractmethod",
}  # fmt: skip
"""Decorators of a method that hand it to nobody; any other may call it, as a validator is."""

PLAIN_BASES = {"NamedTuple", "Protocol", "Enum", "StrEnum", "Generic"}
"""Bases from elsewhere that call none of a class's own methods, beside the built-in ones."""

DEFINES = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda)
COMPREHENSIONS = (ast.ListComp, ast.SetComp, ast.DictComp, ast.GeneratorExp)
INSIDE = {"body", "elt", "key", "value", "generators"}
"""Fields of a function or comprehension that stand in its own scope."""

Scope = Mapping[str, str | None]
"""Names with what they mean: a module or definition by its dotted name, None for a value."""


@dataclass
class Module:
    """A file: its definitions and imports by name, and the statements that run at import."""

    tree: ast.Module
    definitions: dict[str, list[ast.stmt]] = field(default_factory=dict)
    imports: dict[str, str] = field(default_factory=dict)
    loose: list[ast.stmt] = field(default_factory=list)

    def sort(self, statements: Iterable[ast.stmt]) -> None:
        """Statements of the outermost scope into definitions, imports and the rest."""
        for node in statements:
            if isinstance(node, DEFINES):
                self.definitions.setdefault(node.name, []).append(node)
            elif isinstance(node, (ast.Assign, ast.AnnAssign, ast.AugAssign)):
                targets = node.targets if isinstance(node, ast.Assign) else [node.target]
                names = [each.id for target in targets for each in _names_in(target)]
                for name in names:
                    self.definitions.setdefault(name, []).append(node)
                if not names:
                    self.loose.append(node)
            elif isinstance(node, (ast.Import, ast.ImportFrom)):
                self.imports |= imported(node)
            elif isinstance(node, ast.If):
                self.loose.append(ast.Expr(node.test))
                self.sort((*node.body, *node.orelse))
            else:
                self.loose.append(node)


def _names_in(target: ast.expr) -> Iterator[ast.Name]:
    return (
        each
        for each in ast.walk(target)
        if isinstance(each, ast.Name) and isinstance(each.ctx, ast.Store)
    )


def imported(node: ast.Import | ast.ImportFrom) -> dict[str, str]:
    """Names that an import binds, with their dotted origin."""
    before = f"{node.module}." if isinstance(node, ast.ImportFrom) else ""
    return {each.asname or each.name: before + each.name for each in node.names}


@dataclass
class Package:
    """The modules of a package by their dotted names."""

    modules: dict[str, Module]

    def origin(self, dotted: str) -> str | None:
        """The definition or module that a dotted name leads to; None outside the package."""
        if dotted in self.modules:
            return dotted
        module, _, name = dotted.rpartition(".")
        if module not in self.modules:
            return None
        if name in self.modules[module].definitions:
            return dotted
        passed_on = self.modules[module].imports.get(name)
        return None if passed_on is None else self.origin(passed_on)


def read_package(texts: Mapping[str, str]) -> Package:
    """A package of modules by their dotted names with their text."""
    modules = {name: Module(ast.parse(text)) for name, text in texts.items()}
    for module in modules.values():
        module.sort(module.tree.body)
    return Package(modules)


def bound_in(node: ast.AST) -> dict[str, str | None]:
    """Names that a function or comprehension binds for itself."""
    bound: dict[str, str | None] = {}
    waiting: list[ast.AST] = [node]
    if isinstance(node, FUNCTIONS):
        of = node.args
        named = [*of.posonlyargs, *of.args, *of.kwonlyargs, of.vararg, of.kwarg]
        bound = {each.arg: None for each in named if each is not None}
        waiting = [*node.body] if isinstance(node.body, list) else [node.body]
    passed_on: set[str] = set()
    while waiting:
        each = waiting.pop()
        if isinstance(each, DEFINES):
            bound[each.name] = None
            continue
        if isinstance(each, ast.Lambda) or (
            isinstance(each, COMPREHENSIONS) and isinstance(node, FUNCTIONS)
        ):
            continue
        if isinstance(each, (ast.Import, ast.ImportFrom)):
            bound |= imported(each)
        elif isinstance(each, ast.Name) and isinstance(each.ctx, ast.Store):
            bound[each.id] = None
        elif isinstance(each, (ast.ExceptHandler, ast.MatchAs, ast.MatchStar)) and each.name:
            bound[each.name] = None
        elif isinstance(each, ast.Global):
            passed_on |= set(each.names)
        waiting.extend(ast.iter_child_nodes(each))
    return {name: meaning for name, meaning in bound.items() if name not in passed_on}


@dataclass
class Uses:
    """What a piece of code names: definitions and modules, and attributes by their bare name."""

    package: Package
    module: str
    definitions: set[str] = field(default_factory=set)
    attributes: set[str] = field(default_factory=set)

    def read(self, node: ast.AST, scope: Scope | None = None) -> None:
        """Everything under a node; `scope` holds the names that mean something nearer."""
        scope = {} if scope is None else scope
        if isinstance(node, (ast.Name, ast.Attribute)):
            if not isinstance(node, ast.Name) or isinstance(node.ctx, ast.Load):
                self.meaning(node, scope)
        elif isinstance(node, ast.Constant):
            # Names for getattr stand in bare words; a docstring uses nothing.
            if isinstance(node.value, str) and node.value.isidentifier():
                self.attributes.add(node.value)
        elif isinstance(node, (*FUNCTIONS, *COMPREHENSIONS)):
            inner = {**scope, **bound_in(node)}
            for name, value in ast.iter_fields(node):
                for child in value if isinstance(value, list) else [value]:
                    if isinstance(child, ast.AST):
                        self.read(child, inner if name in INSIDE else scope)
        else:
            for child in ast.iter_child_nodes(node):
                self.read(child, scope)

    def meaning(self, node: ast.expr, scope: Scope) -> str | None:
        """The definition or module of a name, noted as used; None for any other value."""
        found: str | None = None
        if isinstance(node, ast.Name):
            nearer = node.id in scope
            if node.id == "globals" and not nearer:
                held = self.package.modules[self.module].definitions
                self.definitions |= {f"{self.module}.{name}" for name in held}
            dotted = scope[node.id] if nearer else f"{self.module}.{node.id}"
            found = None if dotted is None else self.package.origin(dotted)
        elif isinstance(node, ast.Attribute):
            before = self.meaning(node.value, scope)
            if before in self.package.modules:
                found = self.package.origin(f"{before}.{node.attr}")
            else:
                self.attributes.add(node.attr)
        else:
            self.read(node, scope)
        if found is not None:
            self.definitions.add(found)
        return found


def decorators(node: ast.stmt) -> set[str]:
    """Names of the decorators of a function or class, without their modules."""
    found = set()
    for each in getattr(node, "decorator_list", []):
        called = each.func if isinstance(each, ast.Call) else each
        found.add(ast.unparse(called).split(".")[-1])
    return found


def methods_of(package: Package, module: str, node: ast.stmt) -> dict[str, ast.FunctionDef]:
    """Methods of a class that run only if somebody asks for them.

    Python calls those with two underscores, a decorator what it decorates, and a base from
    elsewhere any method.
    """
    if not isinstance(node, ast.ClassDef):
        return {}
    for base in node.bases:
        outer = base.value if isinstance(base, ast.Subscript) else base
        name = ast.unparse(outer).split(".")[-1]
        ours = Uses(package, module).meaning(outer, {}) is not None
        if not ours and name not in PLAIN_BASES and not hasattr(builtins, name):
            return {}
    return {
        each.name: each
        for each in node.body
        if isinstance(each, ast.FunctionDef)
        and not each.name.startswith("__")
        and decorators(each) <= PLAIN_DECORATORS
    }


@dataclass
class Reach:
    """What is reached; methods wait for their name to be used.

    words: names of attributes that are used; reached: definitions, modules and methods
    """

    package: Package
    words: set[str]
    reached: set[str] = field(default_factory=set)
    waiting: dict[str, dict[str, Uses]] = field(default_factory=dict)

    def add(self, starts: Iterable[str]) -> None:
        """Definitions, and all that they reach."""
        left = list(starts)
        while left:
            dotted = left.pop()
            if dotted in self.reached:
                continue
            self.reached.add(dotted)
            uses = self._uses(dotted)
            self.words |= uses.attributes
            left += uses.definitions
            for word in [each for each in self.waiting if each in self.words]:
                for method, inner in self.waiting.pop(word).items():
                    self.reached.add(method)
                    self.words |= inner.attributes
                    left += inner.definitions

    def _uses(self, dotted: str) -> Uses:
        if dotted in self.package.modules:
            uses = Uses(self.package, dotted)
            for statement in self.package.modules[dotted].loose:
                uses.read(statement)
            return uses
        module, _, name = dotted.rpartition(".")
        # What stands loose in a module runs when anything of it is asked for.
        uses = Uses(self.package, module, {module})
        for node in self.package.modules[module].definitions[name]:
            methods = methods_of(self.package, module, node)
            for word, method in methods.items():
                inner = Uses(self.package, module)
                inner.read(method)
                self.waiting.setdefault(word, {})[f"{dotted}.{word}"] = inner
            held = methods.values()
            for part in ast.iter_child_nodes(node) if methods else [node]:
                if part not in held:
                    uses.read(part)
        return uses


def unreached(package: Package, starts: Iterable[str], words: Iterable[str] = ()) -> list[str]:
    """Definitions and methods that nothing reaches, in the order of the files."""
    reach = Reach(package, set(words))
    reach.add(starts)
    left = []
    for module, held in package.modules.items():
        for name, nodes in held.definitions.items():
            dotted = f"{module}.{name}"
            if dotted not in reach.reached:
                left.append(dotted)
                continue
            methods = {each for node in nodes for each in methods_of(package, module, node)}
            left += sorted(
                f"{dotted}.{each}" for each in methods if f"{dotted}.{each}" not in reach.reached
            )
    return left


def wellsolar() -> Package:
    texts = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        texts[".".join(parts).removesuffix(".__init__")] = path.read_text(encoding="utf-8")
    return read_package(texts)


def starts_of(package: Package) -> list[str]:
    """Commands, public names, and what Python itself calls."""
    defined = package.modules[COMMANDS].definitions
    commands = [f"{COMMANDS}.{name}" for name, (node, *_) in defined.items() if decorators(node)]
    assert len(commands) > 10, "where are the commands?"
    module, table = PUBLIC
    (node,) = package.modules[module].definitions[table]
    assert isinstance(node, (ast.Assign, ast.AnnAssign))
    homes = ast.literal_eval(str(node.value and ast.unparse(node.value)))
    public = [package.origin(f"{home}.{name}") for name, home in homes.items()]
    assert None not in public, "a public name that stands nowhere"
    return [*STARTS, *commands, *(each for each in public if each is not None)]


def words_of_templates() -> set[str]:
    """Every word of the page templates: they ask for attributes by name."""
    pages = PACKAGE.rglob("*.j2")
    return {word for path in pages for word in re.findall(r"\w+", path.read_text("utf-8"))}


def test_every_definition_is_reached() -> None:
    package = wellsolar()
    left = unreached(package, starts_of(package), words_of_templates())
    idle = [each for each in left if not each.endswith("__")]
    assert idle == sorted(ALLOWED), "call it, move it to the tests as a reference, or drop it"


MADE_UP = {
    "house": "from house.kitchen import stove as oven\n",
    "house.hall": """
import house
from house import kitchen
LAMP, LIGHT = 1, 2
def enter(stove):
    from house.attic import trunk
    def kettle(): return kitchen.SALT
    return house.oven(trunk.open()), stove.light(), LAMP
def leave(lamp: Door = kitchen.door): ...
class Door:
    def knock(self): return self.lock()
    def lock(self): return LIGHT
""",
    "house.kitchen": """
SALT, PEPPER = 1, 2
def stove(x): return gas()
def gas(): \"\"\"As PEPPER does.\"\"\"
def kettle(): return gas()
def door(): ...
class Lamp:
    def light(self): ...
    def dim(self): return PEPPER
shelf = Lamp()
shelf.height = "jars"
def jars(): ...
""",
    "house.attic": "trunk = [box for box in range(3)]\ndef box(): ...\n",
}
"""A package in which some things are reached by winding ways and others only seem to be."""


@pytest.mark.parametrize(
    ("start", "idle"),
    [
        (
            "enter",
            "hall.LIGHT hall.leave hall.Door kitchen.PEPPER kitchen.kettle kitchen.door "
            "kitchen.Lamp.dim kitchen.jars attic.box",
        ),
        (
            "leave",
            "hall.LAMP hall.LIGHT hall.enter hall.Door.knock hall.Door.lock kitchen.SALT "
            "kitchen.PEPPER kitchen.stove kitchen.gas kitchen.kettle kitchen.Lamp.dim "
            "kitchen.Lamp.light kitchen.jars attic.trunk attic.box",
        ),
    ],
    ids=["enter", "leave"],
)
def test_what_is_idle_in_a_made_up_house(start: str, idle: str) -> None:
    left = unreached(read_package(MADE_UP), [f"house.hall.{start}"])
    assert left == [f"house.{each}" for each in idle.split()]
