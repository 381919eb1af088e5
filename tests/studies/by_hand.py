"""What tests that make up a result by hand are made of."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from wellsolar.units import Quantity


def some(**attributes: Any) -> Any:
    """Whatever has these."""
    return SimpleNamespace(**attributes)


def ends(value: Quantity | None) -> tuple[float, float, float]:
    """Its low end, itself and its high one."""
    assert value is not None
    return value.low, float(value), value.high
