"""Every change of one expression of a source file: a sign, a factor, a limit, a swap.

A change is made in the text, so that a survivor is told by its line. Docstrings, annotations,
messages and what is raised stay as they are.
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Callable, Iterator
from typing import NamedTuple

KINDS = (
    "sign", "constant", "comparison", "min and max", "off by one", "unit factor", "swap",
    "dropped term",
)  # fmt: skip

LAYERS = ("physics", "studies", "verdicts", "report rows", "interview")


class Change(NamedTuple):
    """One change of a module.

    module: its path from the checkout
    line: where it stands, from 1
    function: the outermost function or method that it stands in, as its file names it; empty at
        the top of a module
    kind: one of `KINDS`
    layer: one of `LAYERS`
    before, after: the expression
    start, end: what is replaced [bytes of the file]
    """

    module: str
    line: int
    function: str
    kind: str
    layer: str
    before: str
    after: str
    start: int
    end: int

    @property
    def name(self) -> str:
        """By which a list kept by hand finds it again, wherever its line has moved."""
        return f"{self.module}: {self.function}: {self.before} -> {self.after}"

    def applied(self, source: bytes) -> bytes:
        """The changed file."""
        return source[: self.start] + self.after.encode() + source[self.end :]


SIGNS: dict[type, type] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
}  # fmt: skip
COMPARISONS: dict[type, tuple[type, ...]] = {
    ast.Lt: (ast.LtE, ast.Gt), ast.LtE: (ast.Lt, ast.GtE), ast.Gt: (ast.GtE, ast.Lt),
    ast.GtE: (ast.Gt, ast.LtE), ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,), ast.In: (ast.NotIn,), ast.NotIn: (ast.In,),
}  # fmt: skip
EXTREMES = {"min": "max", "max": "min", "minimum": "maximum", "maximum": "minimum",
            "at_least": "at_most", "at_most": "at_least"}  # fmt: skip
FACTORS = {60.0: 3600.0, 3600.0: 60.0, 24.0: 1.0, 86400.0: 3600.0, 1000.0: 1.0, 100.0: 1.0,
           1e6: 1e3, 3.6e6: 3.6e3, 365.0: 30.0, 12.0: 1.0}  # fmt: skip
UNIT_NAMES = ("HOUR", "MINUTE", "DAY", "GALLON", "LITRE", "FOOT", "INCH", "PSI", "WATT")
"""Words in names of constants that are factors of units."""


def _unparsed(node: ast.expr) -> str:
    text = ast.unparse(node)
    plain = (ast.Constant, ast.Name, ast.Call, ast.Attribute, ast.Subscript, ast.Tuple)
    return text if isinstance(node, plain) else f"({text})"


def _number(node: ast.AST) -> float | None:
    if isinstance(node, ast.Constant) and type(node.value) in (int, float):
        return float(node.value)
    return None


def _variants(node: ast.AST, in_slice: bool) -> Iterator[tuple[str, ast.expr]]:
    """Changed expressions in the place of one, each with its kind."""
    if isinstance(node, ast.BinOp):
        if type(node.op) in SIGNS and not isinstance(node.left, ast.JoinedStr):
            yield "sign", ast.BinOp(node.left, SIGNS[type(node.op)](), node.right)
            yield "dropped term", node.left
            if isinstance(node.op, (ast.Add, ast.Mult)):
                yield "dropped term", node.right
        for side, other in ((node.left, node.right), (node.right, node.left)):
            name = getattr(side, "id", getattr(side, "attr", ""))
            if name.isupper() and any(unit in name for unit in UNIT_NAMES):
                yield "unit factor", other
    if isinstance(node, ast.UnaryOp):
        yield "sign" if isinstance(node.op, ast.USub) else "comparison", node.operand
    if isinstance(node, ast.Constant) and type(node.value) is int:
        yield "off by one", ast.Constant(node.value + 1)
        if node.value > 0 and in_slice:
            yield "off by one", ast.Constant(node.value - 1)
    number = _number(node)
    if number:
        guard = number <= 1e-6 and f"{number:e}".startswith("1.000000e")  # against rounding
        if isinstance(node, ast.Constant) and type(node.value) is float and not guard:
            yield "constant", ast.Constant(float(f"{number * 1.05:.12g}"))
        if number in FACTORS:
            yield "unit factor", ast.Constant(FACTORS[number])
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        several = COMPARISONS[type(node.ops[0])]
        sides = (node.left, *node.comparators)
        if len(several) == 2 and all(_number(side) is None for side in sides):
            several = several[1:]  # of two measured numbers, that they are the same to the bit
        for new in several:
            yield "comparison", ast.Compare(node.left, [new()], node.comparators)
    if isinstance(node, ast.BoolOp):
        other_way = ast.And() if isinstance(node.op, ast.Or) else ast.Or()
        yield "comparison", ast.BoolOp(other_way, node.values)
        for place in range(len(node.values)):
            left = node.values[:place] + node.values[place + 1 :]
            yield "dropped term", left[0] if len(left) == 1 else ast.BoolOp(node.op, left)
    if isinstance(node, ast.IfExp):
        yield "swap", ast.IfExp(node.test, node.orelse, node.body)
    if isinstance(node, ast.Call):
        name = node.func.attr if isinstance(node.func, ast.Attribute) else node.func
        word = name if isinstance(name, str) else getattr(name, "id", "")
        if word in EXTREMES:
            func = copy.copy(node.func)
            if isinstance(func, ast.Attribute):
                func.attr = EXTREMES[word]
            else:
                func = ast.Name(EXTREMES[word])
            yield "min and max", ast.Call(func, node.args, node.keywords)
        if word not in ("isinstance", "hypot", *EXTREMES) or word.startswith("at_"):
            for args in _swapped(node.args):
                yield "swap", ast.Call(node.func, args, node.keywords)
            for place in range(len(node.keywords) - 1):
                one, other = node.keywords[place : place + 2]
                if one.arg and other.arg:
                    kept = list(node.keywords)
                    kept[place] = ast.keyword(one.arg, other.value)
                    kept[place + 1] = ast.keyword(other.arg, one.value)
                    yield "swap", ast.Call(node.func, node.args, kept)
    if isinstance(node, ast.Tuple) and isinstance(node.ctx, ast.Load):
        for elements in _swapped(node.elts):
            yield "swap", ast.Tuple(elements, ast.Load())
    if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
        # A length and a head are read and printed alike: one for the other would alter nothing.
        others = {"kinds": {"LENGTH": "BORE", "HEAD": "BORE", "POWER": "ENERGY",
                            "ENERGY": "POWER", "TEMPERATURE": "TEMPERATURE_DIFFERENCE",
                            "FLOW": "VOLUME", "VOLUME": "FLOW"}}  # fmt: skip
        new_name = others.get(node.value.id, {}).get(node.attr)
        if new_name:
            yield "unit factor", ast.Attribute(node.value, new_name, ast.Load())


def _swapped(elements: list[ast.expr]) -> Iterator[list[ast.expr]]:
    for place in range(len(elements) - 1):
        one, other = elements[place : place + 2]
        if isinstance(one, ast.Starred) or isinstance(other, ast.Starred):
            continue
        if ast.dump(one) != ast.dump(other):
            yield [*elements[:place], other, one, *elements[place + 2 :]]


SKIPPED_CALLS = {"TypeVar", "say", "Sentence", "NewType", "namedtuple", "Literal", "cast"}
"""Of which only what is computed inside is changed, not the order of the words."""


class _Walk:
    def __init__(self, source: bytes, module: str) -> None:
        self.source = source
        self.module = module
        self.found: list[Change] = []
        lines = source.split(b"\n")
        self.offsets = [0]
        for line in lines:
            self.offsets.append(self.offsets[-1] + len(line) + 1)

    def walk(self, node: ast.AST, function: str, layer: str, in_slice: bool = False) -> None:
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            if not function or function.endswith("."):
                function += node.name
                layer = _layer(self.module, node)
            for each in (*node.args.defaults, *filter(None, node.args.kw_defaults), *node.body):
                self.walk(each, function, layer)
            return
        if isinstance(node, ast.ClassDef):
            for each in node.body:
                self.walk(each, f"{node.name}.", layer)
            return
        if isinstance(node, (ast.Raise, ast.Assert, ast.JoinedStr, ast.Import, ast.ImportFrom)):
            return
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            return
        if isinstance(node, ast.AnnAssign):
            if node.value is not None and "TypeAlias" not in ast.unparse(node.annotation):
                self.walk(node.value, function, layer)
            return
        if isinstance(node, ast.Assign):
            names = [each.id for each in node.targets if isinstance(each, ast.Name)]
            if "__all__" in names or _is_alias(node.value):
                return
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            return
        if isinstance(node, ast.AugAssign) and type(node.op) in SIGNS:
            new = ast.AugAssign(node.target, SIGNS[type(node.op)](), node.value)
            self.add(node, "sign", ast.unparse(new), function, layer)
        if isinstance(node, ast.expr):
            wordy = isinstance(node, ast.Call) and (
                getattr(node.func, "id", getattr(node.func, "attr", "")) in SKIPPED_CALLS
            )
            for kind, new_node in () if wordy else _variants(node, in_slice):
                self.add(node, kind, _unparsed(new_node), function, layer)
        for name, value in ast.iter_fields(node):
            if name in ("annotation", "returns", "type_params", "decorator_list"):
                continue
            for each in value if isinstance(value, list) else [value]:
                if isinstance(each, ast.Tuple) and _in_no_order(node, name):
                    continue
                if isinstance(each, ast.AST):
                    self.walk(each, function, layer, isinstance(node, (ast.Subscript, ast.Slice)))

    def add(self, node: ast.AST, kind: str, after: str, function: str, layer: str) -> None:
        place: ast.expr = node  # type: ignore[assignment]
        start = self.offsets[place.lineno - 1] + place.col_offset
        end = self.offsets[place.end_lineno - 1] + place.end_col_offset
        before = " ".join(self.source[start:end].decode().split())
        self.found.append(
            Change(self.module, place.lineno, function, kind, layer, before, after, start, end)
        )


def _in_no_order(node: ast.AST, name: str) -> bool:
    """Whether a tuple in a field of a node is what something is one of, or begins with."""
    asks = isinstance(node, ast.Call) and getattr(node.func, "attr", getattr(node.func, "id", ""))
    caught = isinstance(node, ast.ExceptHandler)
    return name == "comparators" or caught or asks in ("isinstance", "startswith", "endswith")


def _is_alias(value: ast.expr) -> bool:
    """Whether a value at the top of a module is a type and no number."""
    return isinstance(value, ast.Subscript) and getattr(value.value, "id", "") in (
        "Callable", "Literal", "tuple", "list", "dict", "Mapping", "Sequence", "Annotated",
    )  # fmt: skip


def _layer(module: str, node: ast.AST | None = None) -> str:
    part = module.removeprefix("wellsolar/")
    if part == "verdicts.py":
        return "verdicts"
    if part.startswith("studies/"):
        judges = node is not None and any(
            isinstance(each, ast.Call)
            and isinstance(each.func, ast.Attribute)
            and each.func.attr in ("verdict", "unknown")
            for each in ast.walk(node)
        )
        return "verdicts" if judges else "studies"
    for start, layer in (
        ("physics/", "physics"),
        ("reports/tables/", "report rows"),
        ("reports/rows.py", "report rows"),
        ("reports/text/", "report rows"),
        ("interview/", "interview"),
    ):
        if part.startswith(start):
            return layer
    return ""


def changes_of(
    module: str, source: bytes, wanted: Callable[[Change], bool] = bool
) -> list[Change]:
    """Every change of a module that a layer holds.

    Parameters:
        module: its path from the checkout
        source: its text
        wanted: which of them
    Returns:
        the changes in the order of their lines, each of which can be compiled
    """
    walk = _Walk(source, module)
    walk.walk(ast.parse(source), "", _layer(module))
    return [each for each in walk.found if each.layer and wanted(each)]
