"""Results made up by the types of their fields: every number in them is another prime.

So each number of a report tells which field it is, and a swap, a factor or a sign shows at once.
"""

from __future__ import annotations

import re
import types
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from functools import cached_property
from itertools import combinations
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from wellsolar import kinds
from wellsolar.results import Results
from wellsolar.results.match import CHANGES
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence

FIRST = 1009
"""The first prime, above every number that a report has of its own."""

MONTHLY = 12
"""Numbers in a row of numbers, as there are months."""

SEVERAL = 2
"""Results in a row of results."""

LEFT_EMPTY = {
    "Results.verdicts", "Results.assumptions", "Results.figures", "Results.todo",
    "Results.cautions", "Results.care", "SheetStep.moves", "SheetStep.after",
    "SizingResult.results", "SizingResult.failed", "SizingResult.changes",
}  # fmt: skip
"""What no section shows, and what the test of a design puts there itself."""

FULL, BARE = "full", "bare"
"""With everything that can be there, and with nothing that can be missing."""

TASKS = [
    *((key, 1) for key in ("bucket", "tank", "morning", "survival", "survival each", "full")),
    ("full each", 1), ("survival", 2), ("morning", 2), ("odd", 1),
]  # fmt: skip
"""Jobs by hand, each with the people at it; a report has no row for the last."""

COUNTS = {
    "tasks": len(TASKS),
    "best": MONTHLY - 1,
    "named": MONTHLY - 1,
    "allowed": 2,
    "modules": 2,
}
"""How many there are in some rows; of resistances one more than of thresholds between them."""


def _value_of(field: str, sort: str, path: str) -> Any:
    """What can't be any number or word; None where it can.

    Parameters:
        field: of its class
        sort: `FULL` or `BARE`
        path: in the results, of what has the field
    """
    place = _place(path)
    several = {
        "Results.system": ("US",),
        "CasingResult.tightest": (0,) if sort == BARE else (1,),
        "RankingResult.shown": (2,) if sort == FULL else (1,),
        "HouseholdYear.heated_by": ("PV", "upper element"),
        "OutageCell.source": ("house pump", "hand pump"),
        "Care.source": ("common practice",),
        "Outage.key": ("bladder", "fire"),
        "HandTask.key": tuple(key for key, _ in TASKS),
        "HandTask.people": tuple(people for _, people in TASKS),
        "HandTask.bound": ("strokes", "power", "day"),
        "LiftResult.people": (1, 2),
        "HandPumpResult.people_pumping": (2,) if sort == FULL else (1,),
        "BurnTime.bound": ("none",)
        if sort == BARE
        else ("table",)
        if path.endswith("unmixed")
        else ("at most",),
        "StringLayout.change": tuple(CHANGES),
        "HeatDay.kind": ("clear", "poor"),
        "HeatStart.start": ("the day before", "a cold night"),
        "VerdictShare.passes": (0.25, 1.0),
        "VerdictShare.cautions": (0.375, 0.0),
        "VerdictShare.fails": (0.3125, 0.0),
        "VerdictShare.unknowns": (0.0625, 0.0),
        "OutageResult.survival": (99991.0,) if sort == FULL else (2.0,),
        "Outage.survival": (0.71, 0.73),
        "Outage.basic": (0.47, 0.43),
        "Outage.normal": (0.29, 0.23),
        "AllocationResult.spare": (1003,) if sort == FULL else (-997,),
    }.get(field)
    return None if several is None else several[place % len(several)]


def _primes(first: int) -> Iterator[int]:
    number = first
    while True:
        if all(number % each for each in range(2, int(number**0.5) + 1)):
            yield number
        number += 1


def _place(path: str) -> int:
    """The number of the last of several in which a field stands, from 0."""
    places = re.findall(r"\[(\d+)\]", path)
    return int(places[-1]) if places else 0


def _sort_of(part: Quantity | str) -> str:
    """The kind under which a sentence prints a number."""
    return f", {part.kind.name}" if isinstance(part, Quantity) else ""


class Made:
    """Results of one sort.

    Parameters:
        sort: `FULL` or `BARE`
        of: the class of what is made

    results: what the report is made of
    paths: every number, and where in the results it stands
    words: every text, likewise
    """

    def __init__(self, sort: str, of: type = Results) -> None:
        self.sort = sort
        self.primes = _primes(FIRST)
        self.paths: dict[float, str] = {}
        self.words: dict[str, str] = {}
        self.sums: dict[float, str] = {}
        self.results: Any = self._one(of, "")
        self._sum_siblings()

    def _one(self, result: type, path: str) -> Any:
        hints = get_type_hints(result, include_extras=True)
        made = {}
        for each in fields(result):
            name = f"{result.__name__}.{each.name}"
            if name in LEFT_EMPTY:
                continue
            value = _value_of(name, self.sort, path)
            if isinstance(value, float):
                self.paths[value] = f"{path}.{each.name}".lstrip(".")
            made[each.name] = (
                self._value(hints[each.name], f"{path}.{each.name}".lstrip("."), each.name)
                if value is None
                else value
            )
        return result(**made)

    def _number(self, path: str) -> int:
        number = next(self.primes)
        self.paths[float(number)] = path
        return number

    def _text(self, path: str) -> str:
        # Such as can stand as a key, in a column or in a sentence.
        text = f"word {len(self.words) + 1}"
        self.words[text] = path
        return text

    def _value(self, hint: Any, path: str, name: str) -> Any:
        origin, arguments = get_origin(hint), get_args(hint)
        if origin is Annotated:
            return self._value(arguments[0], path, name)
        if origin in (Union, types.UnionType):
            if type(None) in arguments and self.sort == BARE and path.count(".") > 0:
                return None
            if path.count(f".{name}") > 1:  # a tank downstream has none downstream of itself
                return None
            return self._value(arguments[0], path, name)
        if origin is Literal:
            return arguments[_place(path) % len(arguments)]
        if origin is tuple:
            return self._several(arguments, path, name)
        if origin in (dict, Mapping) or origin is types.MappingProxyType:
            return {}
        if is_dataclass(hint) and hint is not Sentence:
            return self._one(hint, path)  # type: ignore[arg-type]
        return self._plain(hint, path, name)

    def _several(self, arguments: tuple[Any, ...], path: str, name: str) -> tuple[Any, ...]:
        if arguments[-1] is not Ellipsis:
            return tuple(
                self._value(each, f"{path}[{place}]", name) for place, each in enumerate(arguments)
            )
        plain = arguments[0] in (float, int)
        if self.sort == BARE and not plain and "." in path:
            count = 1
        else:
            count = MONTHLY if plain else SEVERAL
        count = COUNTS.get(name, count)
        found = tuple(
            self._value(arguments[0], f"{path}[{place}]", name) for place in range(count)
        )
        if plain and all(isinstance(each, (int, float)) for each in found):
            self.sums[float(sum(found))] = f"sum of {path}"
        return found

    def _plain(self, hint: Any, path: str, name: str) -> Any:
        if hint is bool:
            return self.sort == FULL and _place(path) % 2 == 0
        if hint is int and name in ("month", "worst_month"):
            return _place(path) % 12 + 1
        if hint is int:
            return self._number(path)
        if hint is float:
            return float(self._number(path))
        if hint is str:
            return self._text(path)
        if hint is Sentence:
            return Sentence(self._text(path))
        if hint is Quantity:
            low, middle, high = (
                float(self._number(f"{path}{end}")) for end in (".low", "", ".high")
            )
            return Quantity(middle, kinds.LENGTH, low=low, high=high)
        raise TypeError(f"{path} is a {hint}: say how it is made up")

    def source(self, cell: object, beside: Sequence[object] = ()) -> str:
        """Where a cell of a report comes from, in words; of what it may be made of, that which
        stands beside it."""
        if cell is None:
            return "-"
        if isinstance(cell, Quantity):
            return self._source_of_number(float(cell), beside)
        if isinstance(cell, Sentence):
            parts = {
                name: f"<{self.source(part)}{_sort_of(part)}>" for name, part in cell.parts.items()
            }
            text = re.sub(r"\{(\w+)[^}]*\}", lambda part: parts[part[1]], cell.template)
        else:
            text = str(cell)
        text = re.sub(
            r"word[ _](\d+)", lambda word: f"<{self.words[f'word {word[1]}']}>", text, flags=re.I
        )
        # The digits of numbers behind a point, or of a place in a row, are no numbers.
        return re.sub(r"(?<![\d.])\d{4,}(?![\d.])", self._told, text)

    def _told(self, digits: re.Match[str]) -> str:
        number = float(digits[0])
        path = self.paths.get(number, self.sums.get(number))
        return digits[0] if path is None else f"<{path}>"

    def _source_of_number(self, number: float, beside: Sequence[object]) -> str:
        if number.is_integer() and 0 <= number < FIRST:
            return f"{number:g}"
        for sign, value in (("", number), ("-", -number)):
            if value in self.paths:
                return sign + self.paths[value]
            if value in self.sums:
                return sign + self.sums[value]
        made = [*self._differences(number), *self._ratios(number), *self._products(number)]
        made = made or list(self._of_sums(number))
        if len(made) > 1:
            known = self.paths | self.sums
            shown = {known.get(float(each)) for each in beside if isinstance(each, Quantity)}
            made = [each for each in made if shown.issuperset(re.split(r" [-+] ", each))]
        return made[0] if len(made) == 1 else "computed"

    def _differences(self, number: float) -> Iterator[str]:
        for more, path in self.paths.items():
            less = self.paths.get(more - number, "")
            if less and less.rpartition(".")[0] == path.rpartition(".")[0]:
                yield f"{path} - {less}"

    def _ratios(self, number: float) -> Iterator[str]:
        for whole, path in self.paths.items():
            part = number * whole
            if whole and abs(part - round(part)) < 1e-7 and float(round(part)) in self.paths:
                yield f"{self.paths[float(round(part))]} / {path}"

    def _products(self, number: float) -> Iterator[str]:
        for factor, path in self.paths.items():
            if factor >= FIRST and number % factor == 0.0 and factor <= number / factor:
                other = self.paths.get(number / factor)
                if other is not None:
                    yield f"{path} * {other}"

    def _of_sums(self, number: float) -> Iterator[str]:
        if 2.0 * number in self.sums:
            yield f"half the {self.sums[2.0 * number]}"
        yield from self._two.get(number, ())
        for part, path in (*self.paths.items(), *self.sums.items()):
            whole = part / number if number else 0.5
            for made in self._two.get(float(round(whole)), ()):
                if abs(whole - round(whole)) < 1e-7 and path in made.split(" + "):
                    yield f"{path} / ({made})"

    @cached_property
    def _two(self) -> dict[float, list[str]]:
        """What two fields of one result, or their sums over a row of results, come to."""
        groups: dict[str, list[tuple[float, str]]] = {}
        for number, path in (*self.paths.items(), *self.sums.items()):
            groups.setdefault(path.rpartition(".")[0], []).append((number, path))
        made: dict[float, list[str]] = {}
        for group in groups.values():
            for (first, path), (second, other) in combinations(group, 2):
                made.setdefault(first + second, []).append(f"{path} + {other}")
        return made

    def _sum_siblings(self) -> None:
        """Note the sum of a field over each row of results."""
        numbers = {path: number for number, path in self.paths.items()}
        for path, number in numbers.items():
            before, last, rest = path.rpartition("[0]")
            other = f"{before}[1]{rest}"
            if last and "[" not in rest and other in numbers:
                self.sums[number + numbers[other]] = f"sum of {before}[*]{rest}"
