"""The one place that compiles: a kernel in machine code where numba is installed."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from functools import cache
from types import CodeType, FunctionType
from typing import Any

LOADED: set[Callable[..., None]] = set()
"""Kernels that this process has in machine code: with them a short run pays too."""


@cache
def compiled(kernel: Callable[..., None]) -> Callable[..., None] | None:
    """A kernel in machine code, kept on disk between runs.

    The kernel is ordinary Python over sequences of floats; compiled it wants arrays in their
    place. It may call other such functions, of its own module or of one that it imports from:
    they are compiled with it. The first call in a process costs some 0.3 s with the import, a
    second or more when nothing is kept on disk yet.

    Parameters:
        kernel: function of floats and sequences of floats that fills some of them [callable]
    Returns:
        the same function compiled [callable]; None where numba is missing, does not fit this
        installation or has no place for its cache, so that the caller runs the kernel as it is
    Source: none needed.
    """
    try:
        from numba import njit
    except Exception:  # an installed numba refuses a newer numpy or Python in several ways
        return None
    try:
        machine: Any = _compile(kernel, njit(cache=True), {})
    except (RuntimeError, OSError):  # no place for the cache
        return None
    LOADED.add(kernel)
    return _guarded(machine, kernel)


def _compile(function: Any, compile_one: Callable[..., Any], by_function: dict[Any, Any]) -> Any:
    """A compiled copy of a function, with compiled copies in the place of those that it calls.

    The copy has globals of its own, so that the function itself goes on calling plain Python. Its
    name holds a digest of all code that it reaches: what is kept on disk is looked up by name and
    file, and would not notice a change in another file.
    """
    if function not in by_function:
        names = function.__code__.co_names
        own = dict(function.__globals__)
        called = {name: own[name] for name in names if isinstance(own.get(name), FunctionType)}
        own |= {
            name: _compile(function, compile_one, by_function) for name, function in called.items()
        }
        copy = FunctionType(function.__code__, own, function.__name__, function.__defaults__)
        copy.__qualname__ = f"{function.__qualname__}_{_digest(function)}"
        by_function[function] = compile_one(copy)
    return by_function[function]


def _digest(function: Any) -> str:
    """Short mark of the code of a function and of all functions that it reaches."""
    reached = [function]
    for caller in reached:
        for name in caller.__code__.co_names:
            called = caller.__globals__.get(name)
            if isinstance(called, FunctionType) and called not in reached:
                reached.append(called)
    text = "".join(_text(caller) for caller in reached)
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def _text(function: Any) -> str:
    """A function's code, with the constants of its module that it reads."""
    code = function.__code__
    constants = [constant for constant in code.co_consts if not isinstance(constant, CodeType)]
    own = [function.__globals__.get(name) for name in code.co_names]
    read = [value for value in own if isinstance(value, int | float | tuple)]
    return f"{code.co_code.hex()}{constants}{read}{code.co_names}{code.co_varnames}"


def _guarded(machine: Any, kernel: Callable[..., None]) -> Callable[..., None]:
    """Runs the kernel as it is where compiling it or writing its cache fails.

    Both come before the first value is written, so the outputs are still untouched.
    """

    def run(*arguments: Any) -> None:
        try:
            machine(*arguments)
        except Exception:  # numba's errors are its own, and would have to be imported
            kernel(*arguments)

    return run
