"""Reading and printing of quantities: the only module that knows pint.

A person writes a number and a unit: `"85 ft"`, `"1 1/4 in"`, `"0, 3, 6, 9 gpm"`, a range
`"85 ft .. 110 ft"`, or a range with the likeliest value before it, `"95 ft (85 ft .. 110 ft)"`.
The grammar here splits that text; pint is only ever asked for the factor of one unit from a
kind's own table, because pint evaluates a whole string as an expression and would read
`1 1/4 in` as a quarter inch.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Any, Literal

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.wording import as_written, nearest, quoted

if TYPE_CHECKING:
    import pint

System = Literal["US", "SI"]
SYSTEMS: tuple[System, ...] = ("US", "SI")
Toward = Literal["nearest", "up", "down"]
"""Which way a printed number is rounded."""

_NOISE = 1e-6
"""Part of the last decimal below which a number is taken for nothing: differences of floats."""

_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
# Only the fractions of a tape measure or a motor plate: "120/240 V" names two voltages.
_PART = r"\d{1,2}/(?:2|3|4|5|8|10|16|32|64)(?!\d)"
_FRACTION = rf"[+-]?\d+[ -]{_PART}|[+-]?{_PART}"
_VALUE = rf"(?:{_FRACTION}|{_NUMBER})"
_ONE = re.compile(rf"^({_VALUE})\s*(.*)$", re.DOTALL)
_LIST = re.compile(rf"^({_VALUE}(?:\s*,\s*{_VALUE})*)\s*(.*)$", re.DOTALL)
_NOMINAL = re.compile(r"^([^(]*)\(([^()]*)\)$")
# "220 ft 6 in", "120/240 V", "2.5.3 ft": what follows the number begins with or holds another.
_SECOND_NUMBER = re.compile(r"^[-+:x*.]?\s*\d(?!/)|^(?:\d+)?/\s*\d|\s[-+~]?\.?\d")
# As word processors and datasheets print them.
_PLAIN = str.maketrans(
    {"\u2212": "-", "\u2032": "'", "\u2019": "'", "\u2033": '"', "\u201d": '"', "\xa0": " "}
)
_LARGEST = 1e15
_LONGEST, _LONGEST_LIST, _MOST_VALUES = 300, 20_000, 1000
_MASS_NOUNS = ("water a day", "sun a day", "starts an hour", "starts a day")
# Beside these a prefix m (milli) and M (mega) would be taken for each other.
_MILLI_OR_MEGA = "mM"


class Quantity(float):
    """A number in SI with its kind and, where it came from a file, its range and its text.

    It is a float and behaves as one in any formula; arithmetic on it gives plain floats.
    low, high: the ends of the range; both equal the value where no range was written.
    written: the text of the file, or None where the number was computed.
    """

    __slots__ = ("high", "kind", "low", "written")

    def __new__(
        cls,
        value: float,
        kind: Kind,
        low: float | None = None,
        high: float | None = None,
        written: str | None = None,
    ) -> Quantity:
        self = super().__new__(cls, value)
        self.kind = kind
        self.low = float(value if low is None else low)
        self.high = float(value if high is None else high)
        self.written = written
        return self

    kind: Kind
    low: float
    high: float
    written: str | None

    def __reduce__(self) -> tuple[Any, ...]:
        return (Quantity, (float(self), self.kind, self.low, self.high, self.written))

    @property
    def is_range(self) -> bool:
        """True where the file gave a range."""
        return self.low != self.high

    def to(self, unit: str) -> float:
        """The number in a unit that a site file may have for its kind, such as "psi".

        Raises:
            UnreadableQuantity: the unit is none of this kind
        """
        expression = _expression(unit, self.kind, unit)
        factor, offset = _affine(expression, self.kind.si)
        return (self - offset) / factor

    def text(self, system: System = "US") -> str:
        """The number as it is printed, with its unit, in US or SI units."""
        return show(self, self.kind, system)


class UnreadableQuantity(ValueError):  # noqa: N818 - reads as what happened
    """A text is no quantity of the kind that is wanted; the message is for the file's author."""


def read(written: object, kind: Kind) -> Quantity:
    """Read one quantity, or one range, of a kind.

    Returns:
        the quantity in SI; of a range without a likeliest value, the middle
    Raises:
        UnreadableQuantity: with what was written, what was expected, and the nearest unit
    """
    text = _text(written, kind)
    nominal, span = _split_range(text, kind)
    if span is None:
        return Quantity(_one(text, kind, text), kind, written=text)
    low_text, high_text = span
    high_value, high_unit = _number_and_unit(high_text, kind, text)
    low_value, low_unit = _number_and_unit(low_text, kind, text)
    high = _convert(high_value, high_unit, kind, text)
    low = _convert(low_value, low_unit or high_unit, kind, text)
    if low > high:
        raise UnreadableQuantity(f"{quoted(text)} runs downward: write the lower end first")
    value = (low + high) / 2 if nominal is None else _one(nominal, kind, text)
    if not low <= value <= high:
        raise UnreadableQuantity(f"{quoted(text)}: the likeliest value lies outside its own range")
    return Quantity(value, kind, low, high, text)


def read_list(written: object, kind: Kind) -> tuple[Quantity, ...]:
    """Read a list of quantities that share one unit, such as `"0, 3, 6, 9 gpm"`.

    Returns:
        the quantities in SI, in the order written
    Raises:
        UnreadableQuantity: with what was written, what was expected, and the nearest unit
    """
    if isinstance(written, list):
        raise UnreadableQuantity(
            f"a list is written as one text that shares a unit, e.g. {_list_example(kind)}"
        )
    if written == "":
        raise UnreadableQuantity(f"is empty: expected a list, e.g. {_list_example(kind)}")
    if isinstance(written, (int, float)) and not isinstance(written, bool):
        raise UnreadableQuantity(
            f"{as_written(written)} has no unit: write a list in quotes with one unit, "
            f"e.g. {_list_example(kind)}"
        )
    text = _text(written, kind, _LONGEST_LIST)
    match = _LIST.match(text)
    unit = match.group(2).strip() if match else ""
    if match is None or ".." in text or "," in unit or _SECOND_NUMBER.search(unit):
        raise UnreadableQuantity(
            f"cannot read {quoted(text)}: expected numbers separated by commas and, once at the "
            f"end, a unit of {kind.name}, e.g. {_list_example(kind)}"
        )
    items = re.split(r"\s*,\s*", match.group(1))
    if len(items) > _MOST_VALUES:
        raise UnreadableQuantity(
            f"{quoted(text)} has {len(items)} values: a list has at most {_MOST_VALUES}"
        )
    return tuple(
        Quantity(_convert(_number(item), unit, kind, text), kind, written=text) for item in items
    )


def item_written(values: Sequence[Quantity], index: int) -> str:
    """One quantity of a list as the file writes it, with the unit of the list.

    Parameters:
        values: from `read_list`
        index: position, from 0
    Returns:
        such as `6 gpm` of `"0, 3, 6, 9 gpm"`
    """
    match = _LIST.match(values[index].written or "")
    if match is None:
        return quoted(values[index].written or "")
    number = match.group(1).split(",")[index].strip()
    return f"{number} {match.group(2).strip()}".strip()


def in_file(value: Quantity) -> str:
    """A quantity as a site file may have it: its own text, else its number in the first unit in
    which its kind is printed, to twelve digits."""
    if value.written is not None:
        return value.written
    unit = value.kind.metric[0].unit
    return f"{to_unit(value, value.kind, unit):.12g} {unit}".strip()


def one(kind: Kind) -> str:
    """The name of a kind with its article: "a length", "an angle", "water a day"."""
    if kind.name in _MASS_NOUNS:
        return kind.name
    return f"{'an' if kind.name[0] in 'aeiou' else 'a'} {kind.name}"


def to_unit(value: float, kind: Kind, unit: str) -> float:
    """A value in SI as a number of one of the kind's written units."""
    factor, offset = in_si(kind, unit)
    return (value - offset) / factor


def in_si(kind: Kind, unit: str) -> tuple[float, float]:
    """What takes a number of a unit to SI.

    Parameters:
        kind: the kind of the number
        unit: as the kind's table of written units names it; empty for a pure number
    Returns:
        factor and offset
    """
    return _affine(kind.written.get(unit, unit), kind.si)


def show(
    value: float,
    kind: Kind,
    system: System,
    significant: int = 3,
    toward: Toward = "nearest",
) -> str:
    """Print a value with its unit, with as many digits as it deserves.

    Parameters:
        significant: digits to keep where the number is small
        toward: "up" for what must be at least so much, "down" for at most, else "nearest"
    Returns:
        text such as `203 ft`; "none" for a value that is not a finite number
    """
    if not math.isfinite(value):
        return "none"
    shown = _choose_scale(value, kind, system)
    number = to_unit(value, kind, shown.unit) if kind.si or shown.unit else value
    return _labelled(digits(number, shown.decimals, significant, toward, kind.figures), shown)


def show_some(value: Quantity, system: System, less: str = "less than ") -> str:
    """Print a value as `show` does, but one above nothing that it would print as 0 as less than
    its last decimal.

    Parameters:
        less: what stands before that decimal
    Returns:
        text such as `0.07 in` or `less than 0.01 in`
    """
    shown = _choose_scale(value, value.kind, system)
    step = 0.1**shown.decimals
    number = to_unit(value, value.kind, shown.unit) if value.kind.si or shown.unit else value
    if _NOISE * step < number < step and digits(number, shown.decimals) == "0":
        return less + _labelled(_with_places(step, shown.decimals), shown)
    return show(value, value.kind, system)


def _labelled(text: str, shown: kinds.Shown) -> str:
    """A printed number with its unit."""
    label = shown.single if shown.single and text in ("1", "-1") else shown.label
    joint = "" if label in ("%", "°", "") else " "
    return f"{text}{joint}{label}"


def about(value: Quantity, system: System) -> str:
    """Print a value with two digits, as levels, curves and weather are known no better; with three
    where it begins with a 1, of which two would take away up to a twentieth.

    Returns:
        text such as `2400 kWh` or `11.5 gpm`
    """
    of_three = show(value, replace(value.kind, figures=3), system)
    if of_three.startswith("1"):
        return of_three
    return show(value, replace(value.kind, figures=2), system, significant=2)


def shown_alike(one: float, other: float, kind: Kind, system: System) -> bool:
    """Whether `show` prints two values alike; those are not printed for it that differ by more
    than rounding takes away, the last place or a hundredth of the number.

    Parameters:
        one, other: the values in the kind's SI unit
    Returns:
        True where a reader sees no difference
    """
    if math.isfinite(one) and math.isfinite(other):
        shown = _choose_scale(one, kind, system)
        if shown is not _choose_scale(other, kind, system):
            return False
        first, second = (
            to_unit(quantity, kind, shown.unit) if kind.si or shown.unit else quantity
            for quantity in (one, other)
        )
        if abs(first - second) > max(2.0 * 0.1**shown.decimals, 0.025 * abs(first)):
            return False
    return show(one, kind, system) == show(other, kind, system)


def digits(
    number: float,
    decimals: int,
    significant: int = 3,
    toward: Toward = "nearest",
    figures: int | None = None,
) -> str:
    """Print a number with at most so many decimals and no more digits than it deserves.

    Parameters:
        significant: digits to keep where the number is small
        toward: "up" or "down" where rounding to the nearest could break a limit
        figures: the most digits of all that are not zeros; None keeps all before the point
    Returns:
        the number as text, without exponent; "none" for a number that is not finite
    """
    if not math.isfinite(number):
        return "none"
    if number == 0:
        return "0"
    if toward != "nearest":
        number = _toward(number, _places(number, decimals, significant, figures), toward)
    text = _with_places(number, _places(number or 1.0, decimals, significant, figures))
    if float(text) == 0:
        return "0"
    # 9.996 rounds up to 10.00, which has a digit too many.
    return _with_places(number, _places(float(text), decimals, significant, figures))


def _with_places(number: float, places: int) -> str:
    """A number with so many decimals; less than none rounds it to tens, hundreds and so on."""
    return f"{number:.{places}f}" if places >= 0 else f"{round(number, places):.0f}"


def _toward(number: float, places: int, toward: Toward) -> float:
    """The next number of so many decimals, up or down; a value that is one of them but for the
    noise of floats stays."""
    scaled = number * 10.0**places
    slack = 1e-9 * max(1.0, abs(scaled))
    whole = math.ceil(scaled - slack) if toward == "up" else math.floor(scaled + slack)
    return float(whole / 10.0**places)


def _places(number: float, decimals: int, significant: int, figures: int | None) -> int:
    before = math.floor(math.log10(abs(number))) + 1
    least = 0 if figures is None else min(0, figures - before)
    return max(least, min(decimals, significant - before))


def _choose_scale(value: float, kind: Kind, system: System) -> kinds.Shown:
    """The largest of the kind's printed units in which the number is still 2 or more."""
    choices = kind.us if system == "US" else kind.metric
    chosen = choices[0]
    for choice in choices[1:]:
        if abs(to_unit(value, kind, choice.unit)) >= 2 - 1e-9:
            chosen = choice
    return chosen


def _text(written: object, kind: Kind, longest: int = _LONGEST) -> str:
    if isinstance(written, bool) or not isinstance(written, (str, int, float)):
        raise UnreadableQuantity(
            f'{as_written(written)}: expected {one(kind)} in quotes, e.g. "{kind.example}"'
        )
    if not isinstance(written, str):
        if not abs(written) < _LARGEST:
            raise UnreadableQuantity(
                f'{as_written(written)}: expected {one(kind)}, e.g. "{kind.example}"'
            )
        if "" in kind.written:
            return repr(written)
        raise UnreadableQuantity(
            f"{written} has no unit: write {one(kind)} with its unit in quotes, "
            f'e.g. "{kind.example}"'
        )
    text = written.translate(_PLAIN).strip()
    if not text:
        raise UnreadableQuantity(f'is empty: expected {one(kind)}, e.g. "{kind.example}"')
    if len(text) > longest:
        raise UnreadableQuantity(
            f'{quoted(text)} is too long: expected {one(kind)}, e.g. "{kind.example}"'
        )
    return text


def _split_range(text: str, kind: Kind) -> tuple[str | None, tuple[str, str] | None]:
    if ".." not in text:
        return None, None
    match = _NOMINAL.match(text)
    nominal, inner = (match.group(1).strip(), match.group(2)) if match else (None, text)
    ends = [end.strip() for end in inner.split("..")]
    readable = len(ends) == 2 and all(_ONE.match(end) for end in ends) and nominal != ""
    if not readable or (nominal is None and _SECOND_NUMBER.search(_unit_of(ends[0]))):
        unit = next((usual_unit for usual_unit in _usual_units(kind)), "")
        low, middle, high = (f"{number} {unit}".strip() for number in (85, 95, 110))
        raise UnreadableQuantity(
            f'cannot read the range {quoted(text)}: write it as "{low} .. {high}" '
            f'or "{middle} ({low} .. {high})"'
        )
    return nominal, (ends[0], ends[1])


def _unit_of(text: str) -> str:
    match = _ONE.match(text)
    return match.group(2) if match else ""


def _one(text: str, kind: Kind, whole: str) -> float:
    number, unit = _number_and_unit(text, kind, whole)
    return _convert(number, unit, kind, whole)


def _number_and_unit(text: str, kind: Kind, whole: str) -> tuple[float, str]:
    match = _ONE.match(text)
    if match is None:
        raise UnreadableQuantity(
            f'cannot read {quoted(whole)}: expected {_number_and(kind)}, e.g. "{kind.example}"'
        )
    rest = match.group(2).strip()
    if re.match(r",\d", rest):
        raise UnreadableQuantity(
            f"cannot read {quoted(whole)}: write one number without commas and with a point for "
            f'decimals, e.g. "{kind.example}"'
        )
    if "," in rest:
        raise UnreadableQuantity(
            f'cannot read {quoted(whole)}: expected one value, not a list, e.g. "{kind.example}"'
        )
    return _number(match.group(1)), rest


def _number_and(kind: Kind) -> str:
    return f"a number and a unit of {kind.name}" if _usual_units(kind) else "a number"


def _number(text: str) -> float:
    if "/" not in text:
        return float(text)
    whole, _, fraction = text.replace("-", " ").strip().rpartition(" ")
    above, below = fraction.split("/")
    value = float(whole or 0) + int(above) / int(below)
    return -value if text.startswith("-") else value


def _convert(number: float, unit: str, kind: Kind, whole: str) -> float:
    if not abs(number) < _LARGEST:
        raise UnreadableQuantity(f"{quoted(whole)} is no number that could be meant")
    expression = _expression(unit, kind, whole)
    factor, offset = _affine(expression, kind.si)
    return number * factor + offset


def _expression(unit: str, kind: Kind, whole: str) -> str:
    name = " ".join(unit.replace("²", "2").replace("³", "3").replace("µ", "u").split())
    if name in kind.written:
        return kind.written[name]
    same = {kind.written[known] for known in kind.written if _same_unit(name, known, kind)}
    if len(same) == 1:
        return same.pop()
    raise UnreadableQuantity(_wrong_unit(name, kind, whole))


def _same_unit(name: str, known: str, kind: Kind) -> bool:
    """True where two spellings differ in capitals only, and milli is not taken for mega."""
    if name.casefold() != known.casefold():
        return False
    return (
        name[:1] == known[:1] or known[:1] not in _MILLI_OR_MEGA or known[1:] not in kind.written
    )


def _wrong_unit(name: str, kind: Kind, whole: str) -> str:
    known = ", ".join(_usual_units(kind))
    if not name:
        return f"{quoted(whole)} has no unit: expected {one(kind)} in {known}"
    owner = next((other for other in kinds.ALL if name in other.written), None)
    if owner is not None:
        return f'{quoted(whole)} is {one(owner)}: expected {one(kind)}, e.g. "{kind.example}"'
    if _SECOND_NUMBER.search(name):
        return (
            f"cannot read {quoted(whole)}: expected only {_number_and(kind)}, "
            f'e.g. "{kind.example}"'
        )
    if not known:
        return f'{quoted(whole)}: {one(kind)} has no unit, e.g. "{kind.example}"'
    near = nearest(name, kind.written, 0.6)
    hint = f', did you mean "{near}"?' if near else ""
    return f"{quoted(whole)}: {quoted(name)} is no unit of {kind.name} (expected {known}){hint}"


def _usual_units(kind: Kind) -> list[str]:
    """One spelling for each different unit of a kind, in the order of its table."""
    seen: dict[str, str] = {}
    for spelling, expression in kind.written.items():
        seen.setdefault(expression, spelling)
    return [spelling for spelling in seen.values() if spelling]


def _list_example(kind: Kind) -> str:
    unit = _usual_units(kind)[0] if _usual_units(kind) else ""
    return f'"0, 3, 6, 9 {unit}"'.replace(' "', '"')


@cache
def _registry() -> pint.UnitRegistry[Any]:
    import pint

    try:
        # Parsing pint's definitions takes 100 ms; its own cache folder makes that 14 ms.
        return pint.UnitRegistry(cache_folder=":auto:")
    except OSError:
        return pint.UnitRegistry()


@cache
def _affine(expression: str, si: str) -> tuple[float, float]:
    """Factor and offset that take a number of a unit to SI."""
    if expression == "percent":
        return 0.01, 0.0
    if not expression and not si:
        return 1.0, 0.0
    registry = _registry()
    target = registry.Unit(si)
    unit = registry.Unit(expression)
    zero = float(registry.Quantity(0.0, unit).to(target).magnitude)
    one = float(registry.Quantity(1.0, unit).to(target).magnitude)
    return one - zero, zero
