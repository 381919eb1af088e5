"""The blocks of a module: statements of a function that run together or not at all.

Python tells of every line that it runs only at ten times the time. So the project is loaded with
one assignment before each block, which marks that it was reached.
"""

from __future__ import annotations

import ast
import hashlib
import importlib.abc
import importlib.util
import re
import sys
from collections.abc import Iterator, Sequence
from functools import cache
from importlib.machinery import SourceFileLoader
from pathlib import Path
from typing import Any, NamedTuple

REACHED = bytearray(40_000)
"""Of each block whether it was reached since this was last cleared; there are fewer of them."""

NAMES: list[str] = []
"""Of each block its name: `module.py:Class.method#digest of its text:number`."""

KERNELS = {"step_tanks": "wellsolar/physics/tank/kernel.py",
           "run_steps": "wellsolar/physics/supply/stepper.py"}  # fmt: skip
"""Functions that run as machine code, in which nothing can be marked, and where they stand. A
block that names one reaches all of that module."""


class Block(NamedTuple):
    """Statements in the order in which they run, up to one that may leave the way.

    name: as in `NAMES`; statements: of the tree; lines: their own, without those of blocks in them
    """

    name: str
    statements: list[ast.stmt]
    lines: frozenset[int]


def blocks(tree: ast.Module, module: str, source: str) -> Iterator[Block]:
    """All blocks of a module, those of a function in the order of its lines."""
    waiting: list[tuple[ast.stmt, str]] = [(each, "") for each in tree.body]
    for node, within in waiting:
        if isinstance(node, ast.ClassDef):
            waiting += [(each, f"{node.name}.") for each in node.body]
        elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            text = ast.get_source_segment(source, node) or ""
            digest = hashlib.sha256(text.encode()).hexdigest()[:8]
            for number, statements in enumerate(_of(node.body)):
                name = f"{module}:{within}{node.name}#{digest}:{number}"
                yield Block(name, statements, frozenset(_own_lines(statements)))
        elif isinstance(node, ast.If | ast.Try | ast.With):
            waiting += [(each, within) for part in _inner(node) for each in part]


def _of(statements: list[ast.stmt]) -> Iterator[list[ast.stmt]]:
    begun: list[ast.stmt] = []
    for each in statements:
        begun.append(each)
        inner = [*_inner(each)]
        if inner or each is statements[-1]:
            yield begun
            begun = []
        for part in inner:
            yield from _of(part)


def _inner(statement: ast.stmt) -> Iterator[list[ast.stmt]]:
    for name in ("body", "orelse", "finalbody"):
        if found := getattr(statement, name, None):
            yield found
    for each in (*getattr(statement, "handlers", ()), *getattr(statement, "cases", ())):
        yield each.body


def _own_lines(statements: Sequence[ast.stmt]) -> Iterator[int]:
    for each in statements:
        within = {line for part in _inner(each) for line in range(part[0].lineno, _end(part) + 1)}
        yield from (line for line in range(each.lineno, _end([each]) + 1) if line not in within)


def _end(statements: Sequence[ast.stmt]) -> int:
    return statements[-1].end_lineno or statements[-1].lineno


@cache
def of_module(checkout: Path, module: str) -> tuple[Block, ...]:
    """The blocks of a module as it stands in a checkout."""
    source = (checkout / module).read_text("utf-8")
    return tuple(blocks(ast.parse(source), module, source))


def block_at(checkout: Path, module: str, function: str, line: int) -> str:
    """The name of the block in which a line stands; empty at the top of a module and where a
    function is defined."""
    for each in of_module(checkout, module):
        if line in each.lines and each.name.partition("#")[0] == f"{module}:{function}":
            return each.name
    return ""


def resting_on(checkout: Path, module: str, function: str, line: int) -> list[str]:
    """The names of the blocks that rest on what is no block itself: what a function takes by
    default on all of it, what stands at the top of a module on its name wherever it is used. All
    blocks of the module where it has none."""
    own = of_module(checkout, module)
    if function:
        return [each.name for each in own if each.name.startswith(f"{module}:{function}#")]
    tree = ast.parse((checkout / module).read_text("utf-8"))
    top = [each for each in tree.body if isinstance(each, ast.Assign | ast.AnnAssign)]
    names = {name for each in top if line in range(each.lineno, _end([each]) + 1)
             for name in _defined(each)}  # fmt: skip
    if not names:
        return [each.name for each in own]
    for _ in range(3):  # what is made of it at the top
        names |= {name for each in top if names & _used([each]) for name in _defined(each)}
    stem = Path(module).stem
    imported = re.compile(rf"\b{stem} import |import [^=]*\b{stem}\b")
    return [
        block.name
        for path in sorted((checkout / "wellsolar").rglob("*.py"))
        if path == checkout / module or imported.search(path.read_text("utf-8"))
        for block in of_module(checkout, path.relative_to(checkout).as_posix())
        if names & _used(block.statements)
    ]


def _defined(statement: ast.Assign | ast.AnnAssign) -> set[str]:
    targets = statement.targets if isinstance(statement, ast.Assign) else [statement.target]
    return {
        each.id for target in targets for each in ast.walk(target) if isinstance(each, ast.Name)
    }


def _used(statements: Sequence[ast.stmt]) -> set[str]:
    """Names that statements use, but for blocks in them, or that are looked up in a module."""
    walked: list[ast.AST] = []
    for statement in statements:
        within = {id(each) for part in _inner(statement) for each in part}
        own = [each for each in ast.iter_child_nodes(statement) if id(each) not in within]
        walked += [each for one in own for each in ast.walk(one)]
    return {each.id for each in walked if isinstance(each, ast.Name)} | {
        each.attr for each in walked if isinstance(each, ast.Attribute)
    }


def reaches_kernel(block: Block) -> list[str]:
    """The modules of the kernels that a block names."""
    named = _used(block.statements)
    return [module for name, module in KERNELS.items() if name in named]


def _marked(module: str, source: str) -> ast.Module:
    """A module's tree with a mark before each block."""
    tree = ast.parse(source)
    marks: dict[int, int] = {}
    for block in blocks(tree, module, source):
        marks[id(block.statements[0])] = len(NAMES)
        NAMES.append(block.name)
    if module in KERNELS.values():
        return tree

    class Marking(ast.NodeTransformer):
        def visit(self, node: ast.AST) -> Any:
            number = marks.get(id(node))
            self.generic_visit(node)
            if number is None or not isinstance(node, ast.stmt):
                return node
            mark = ast.parse(f"__reached__[{number}] = 1").body[0]
            said = isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
            for each in ast.walk(mark):
                ast.copy_location(each, node)
            return [node, mark] if said else [mark, node]  # a docstring stays in front

    marked = Marking().visit(tree)
    assert isinstance(marked, ast.Module)
    return marked


class Marked(importlib.abc.MetaPathFinder):
    """Loads the project with its blocks marked."""

    def __init__(self, checkout: Path) -> None:
        self.checkout = checkout

    def find_spec(self, fullname: str, path: Any, target: Any = None) -> Any:
        """As Python asks for it."""
        if fullname.partition(".")[0] != "wellsolar":
            return None
        place = self.checkout.joinpath(*fullname.split("."))
        package = (place / "__init__.py").exists()
        file = place / "__init__.py" if package else place.with_suffix(".py")
        if not file.exists():
            return None
        module = file.relative_to(self.checkout).as_posix()

        class Loader(SourceFileLoader):
            def get_code(self, fullname: str) -> Any:
                tree = _marked(module, file.read_text("utf-8"))
                return compile(tree, str(file), "exec", dont_inherit=True)

            def exec_module(self, loaded: Any) -> None:
                vars(loaded)["__reached__"] = REACHED
                super().exec_module(loaded)

        return importlib.util.spec_from_file_location(
            fullname, str(file), loader=Loader(fullname, str(file)),
            submodule_search_locations=[str(place)] if package else None,
        )  # fmt: skip


def mark(checkout: Path) -> None:
    """Load the project marked from here on."""
    sys.meta_path.insert(0, Marked(checkout))
