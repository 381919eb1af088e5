"""The one place that compiles: a kernel in machine code where numba is installed."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any


@cache
def compiled(kernel: Callable[..., None]) -> Callable[..., None] | None:
    """A kernel in machine code, kept on disk between runs.

    The kernel is ordinary Python over sequences of floats; compiled it wants arrays in their
    place. The first call in a process costs some 0.3 s with the import, twice that when nothing
    is kept on disk yet.

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
        machine: Any = njit(cache=True)(kernel)
    except (RuntimeError, OSError):  # no place for the cache
        return None
    return _guarded(machine, kernel)


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
