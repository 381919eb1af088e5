"""Which cases of a test the test command tries; all the others are for `-m long`.

Of 1,572 changed lines that tests noticed, by the samples of `tests/mutation`, those tests that
took five sixths of the command's time were the first to notice none. Of such a test with many
cases the command keeps some that are unlike each other.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest


def _name(case: Any) -> Any:
    return case.stem if isinstance(case, Path) else case


def sampled(cases: Iterable[Any], *kept: Any) -> list[Any]:
    """The cases of a test, all but a few of them left to the long runs.

    Parameters:
        cases: values, or tuples of them for several names; a file goes by its stem
        kept: cases that the test command tries
    Raises:
        ValueError: for one to be kept that is none
    """
    cases = list(cases)
    names = [_name(case) for case in cases]
    if strange := [each for each in kept if each not in names]:
        raise ValueError(f"no such case: {strange}; there are {names}")
    return [
        pytest.param(
            *(case if isinstance(case, tuple) else (case,)),
            marks=() if name in kept else pytest.mark.long,
        )
        for case, name in zip(cases, names, strict=True)
    ]


def every(cases: Iterable[Any], step: int) -> list[Any]:
    """The cases of a test, one of so many for the test command, the others for the long runs."""
    cases = list(cases)
    return sampled(cases, *(_name(case) for case in cases[::step]))
