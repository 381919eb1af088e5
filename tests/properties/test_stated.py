"""What modules set at their top and functions take by default, entered twice: here in the unit
in which one says it.

This tells a slip of the finger. Whether a value is right is told by its source, and by the tests
of what is made with it. Guards of the physics are looked at as they are compiled: that none tells
a unit for a name.
"""

from __future__ import annotations

import dis
import importlib
import inspect
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from types import CodeType, ModuleType
from typing import Any

import pytest

from wellsolar.physics import guards
from wellsolar.studies.reading.meter import AMPERES, VOLTS

STATED: dict[str, dict[str, Any]] = tomllib.loads(
    Path(__file__).with_name("stated.toml").read_text(encoding="utf-8")
)
UNITS = {
    "psi": 6894.757293168, "ft": 0.3048, "in": 0.0254, "gal": 3.785411784e-3, "L": 1e-3,
    "gpm": 3.785411784e-3 / 60, "min": 60.0, "h": 3600.0, "days": 86_400.0,
}  # fmt: skip


def in_si(stated: Any) -> Any:
    """A value as it is stated, in SI; words that are no value with a unit stay."""
    if isinstance(stated, str):
        *numbers, unit = stated.split()
        if unit == "degF":
            return (float(numbers[0]) - 32.0) / 1.8
        if unit not in UNITS or not numbers:
            return stated
        parts = [float(top) / float(below or 1) for top, _, below in
                 (each.partition("/") for each in numbers)]  # fmt: skip
        return sum(parts) * UNITS[unit]
    if isinstance(stated, list):
        return [in_si(each) for each in stated]
    if isinstance(stated, dict):
        return {key: in_si(each) for key, each in stated.items()}
    return stated


def alike(stated: Any, there: Any) -> bool:
    """Whether a module has what is stated."""
    if isinstance(there, Mapping):
        named = {str(key): each for key, each in there.items()}
        return named.keys() == stated.keys() and all(
            alike(stated[key], each) for key, each in named.items()
        )
    if isinstance(there, str):
        return bool(stated == there)
    if isinstance(there, Sequence):
        pairs = zip(stated, there, strict=False)
        return len(stated) == len(there) and all(alike(*pair) for pair in pairs)
    return float(there) == pytest.approx(float(stated), rel=1e-6, abs=1e-300, nan_ok=True)


def told_by(module: ModuleType, name: str) -> Any:
    """The value of a name, or what a function or a class takes where nobody gives a part."""
    of, _, part = name.partition(".")
    there = getattr(module, of)
    return inspect.signature(there).parameters[part].default if part else there


ROOT = Path(guards.__file__).parents[1]
GUARDED_BY = ("require_range", "require_positive")
GUARDED = {
    ".".join(path.relative_to(ROOT).with_suffix("").parts)
    for path in ROOT.glob("physics/**/*.py")
    if any(f"{guard}(" in path.read_text("utf-8") for guard in GUARDED_BY)
}
IN_UNITS = {
    "m", "s", "h", "years", "deg", "degC", "K", "m2", "m3", "m/s", "m3/s", "m2/s", "Pa", "kg/m3",
    "W", "VA", "J", "V", "A", "ohm", "W/m2", "W/K", "W/(m K)", "J/(m3 K)", "m2 K/W", "s/m2",
    "s2/m5", "of a node", "of the height",
}  # fmt: skip
"""In which guards tell a number: units of SI with those of time and angle, and shares."""


def codes_of(there: Any) -> Iterator[CodeType]:
    """What a module's functions and methods are compiled to, with what is inside them."""
    for each in vars(there).values():
        code = getattr(getattr(each, "fget", each), "__code__", None)
        if isinstance(code, CodeType) and code.co_filename == there.__dict__.get("__file__"):
            yield code
        elif isinstance(each, type) and each.__module__ == getattr(there, "__name__", ""):
            yield from (
                member.__code__ for member in vars(each).values() if hasattr(member, "__code__")
            )


def check_guards(there: ModuleType) -> int:
    """A guard tells a quantity by its name first, then in its unit; how many do so in words."""
    told = 0
    for code in codes_of(there):
        guard, words = False, []
        for step in dis.get_instructions(code):
            if step.opname == "LOAD_GLOBAL":
                guard = guard or step.argval in GUARDED_BY
            elif step.opname == "LOAD_CONST" and isinstance(step.argval, str):
                words.append(step.argval)
            elif step.opname == "POP_TOP":
                if guard and len(words) == 2:
                    assert words[0] not in {"", *IN_UNITS}, (code.co_name, words)
                    assert words[1] in {"", *IN_UNITS}, (code.co_name, words)
                    told += 1
                guard, words = False, []
    return told


@pytest.mark.parametrize("module", sorted({*STATED, *GUARDED}))
def test_a_module_has_what_is_stated(module: str) -> None:
    there = importlib.import_module(f"wellsolar.{module}")
    for name, stated in STATED.get(module, {}).items():
        assert alike(in_si(stated), told_by(there, name)), name
    if module in GUARDED and there is not guards:
        check_guards(there)


def test_guards_are_looked_at() -> None:
    modules = [importlib.import_module(f"wellsolar.{module}") for module in GUARDED]
    assert sum(map(check_guards, modules)) > 200


def test_meters_in_the_dark() -> None:
    """0.05 A and 1 V with the sun down: our choice."""
    assert (AMPERES.key, AMPERES.in_the_dark) == ("element_amps", 0.05)
    assert (VOLTS.key, VOLTS.in_the_dark) == ("element_volts", 1.0)
