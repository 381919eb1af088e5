"""What holds for a kernel before and after it is compiled, without compiling any."""

from __future__ import annotations

from types import FunctionType
from typing import Any

import pytest

from wellsolar.physics import compiled

KERNEL = """
def inner(x):
    return x + 1.0

def other(x):
    return x + 1.0

def outer(x):
    return inner(x) * 2.0
"""


def made(source: str, name: str = "outer") -> Any:
    """A function of a source of its own."""
    there: dict[str, Any] = {}
    exec(source, there)
    return there[name]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("x + 1.0\n\ndef other", "x + 1.5\n\ndef other"),
        ("x + 1.0\n\ndef other", "x - 1.0\n\ndef other"),
        ("* 2.0", "* 2.5"),
        ("* 2.0", "/ 2.0"),
        ("inner(x) *", "other(x) *"),
        ("outer(x):\n    return inner(x)", "outer(y):\n    return inner(y)"),
    ],
)
def test_a_digest_tells_any_change_of_the_code_that_is_reached(before: str, after: str) -> None:
    assert before in KERNEL
    mark = compiled._digest(made(KERNEL))
    assert mark == compiled._digest(made(KERNEL))
    assert mark != compiled._digest(made(KERNEL.replace(before, after)))
    assert set(mark) <= set("0123456789abcdef")
    assert len(mark) == 12  # our choice


def test_a_digest_is_of_nothing_that_is_not_reached() -> None:
    changed = KERNEL.replace("def other(x):\n    return x + 1.0", "def other(x):\n    return x")
    assert changed != KERNEL
    assert compiled._digest(made(changed)) == compiled._digest(made(KERNEL))
    around = "def outer(x):\n    return inner(x)\n\ndef inner(x):\n    return outer(x)\n"
    assert compiled._digest(made(around)) != compiled._digest(made(around, "inner"))


def test_a_copy_calls_copies_and_the_function_itself_goes_on_as_it_was() -> None:
    kernel = made(KERNEL)
    each: list[str] = []

    def compile_one(function: FunctionType) -> FunctionType:
        each.append(function.__qualname__)
        return function

    copy = compiled._compile(kernel, compile_one, {})
    inner = kernel.__globals__["inner"]
    assert copy(3.0) == kernel(3.0) == 8.0
    assert copy.__globals__["inner"] is not inner
    assert copy.__globals__["other"] is kernel.__globals__["other"]
    assert each == [f"inner_{compiled._digest(inner)}", f"outer_{compiled._digest(kernel)}"]


@pytest.mark.parametrize("fails", [False, True])
def test_a_kernel_runs_as_it_is_only_where_its_machine_code_fails(fails: bool) -> None:
    ran: list[tuple[str, tuple[Any, ...]]] = []

    def machine(*arguments: Any) -> None:
        if fails:
            raise TypeError("of a library")
        ran.append(("machine", arguments))

    run = compiled._guarded(machine, lambda *arguments: ran.append(("plain", arguments)))
    run(1.0, [2.0])
    assert ran == [("plain" if fails else "machine", (1.0, [2.0]))]
