"""A pump that is not chosen yet: what is wanted of it, and a curve that stands in for its own."""

from __future__ import annotations

from typing import Any

from wellsolar import kinds
from wellsolar.site.defaults import Default
from wellsolar.site.locate import Path
from wellsolar.units import Quantity, UnreadableQuantity, read, to_unit

SHARES = (0.0, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 1.95)
"""Flows of the stand-in curve over that of the duty: up to where it ends, at twice the flow."""

WHY = "no pump is chosen: a curve through its duty, with a third more head at no flow and none at "
WHY += "twice the flow; the curve of the pump's sheet goes in its place"


def stand_in(flow: float, head: float) -> tuple[tuple[Quantity, ...], tuple[Quantity, ...]]:
    """The curve of a pump of which only the duty is known.

    Parameters:
        flow: of the duty [m3/s]
        head: of the duty [m]
    Returns:
        flows and heads of its points
    Source: one-point curve of the federal model of pipe networks: 4/3 of the head at no flow, no
        head at twice the flow, a parabola through the duty.
    """
    flows = tuple(Quantity(share * flow, kinds.FLOW) for share in SHARES)
    heads = tuple(Quantity(head * (4.0 - share**2) / 3.0, kinds.HEAD) for share in SHARES)
    return flows, heads


def with_stand_ins(
    filled: dict[str, Any],
) -> tuple[list[tuple[Path, Default]], list[tuple[Path, str]]]:
    """Give each pump of raw tables that has a duty the curve that stands in for its own.

    Parameters:
        filled: raw tables, changed here
    Returns:
        of each such pump the key path of its heads and what they rest on, and the key path and
        message of each mistake: a pump that has both a curve and a duty
    """
    used: list[tuple[Path, Default]] = []
    wrong: list[tuple[Path, str]] = []
    pumps = filled.get("pump")
    for number, table in enumerate(pumps if isinstance(pumps, list) else []):
        duty = table.get("duty") if isinstance(table, dict) else None
        if not isinstance(duty, dict):
            continue
        own = [key for key in ("flow", "head", "power") if key in table]
        if own:
            said = f"a pump with its {own[0]} is chosen: leave out what is wanted of it"
            wrong.append((("pump", number, "duty"), said))
            continue
        try:
            flow, head = read(duty["flow"], kinds.FLOW), read(duty["head"], kinds.HEAD)
        except (KeyError, UnreadableQuantity):
            continue  # which the model tells
        if flow <= 0.0 or head <= 0.0:
            continue
        flows, heads = stand_in(float(flow), float(head))
        table["flow"] = _listed(flows, str(duty["flow"]))
        table["head"] = _listed(heads, str(duty["head"]))
        used.append(
            (
                ("pump", number, "head"),
                Default("pump[].head", table["head"], WHY, source="one-point curve"),
            )
        )
    return used, wrong


def _listed(values: tuple[Quantity, ...], like: str) -> str:
    """Quantities as a site file lists them, in the unit in which one like them is written."""
    unit = like[next(place for place, mark in enumerate(like) if mark.isalpha()) :].strip()
    unit = unit.split("..")[0].strip()
    return ", ".join(f"{to_unit(value, value.kind, unit):.9g}" for value in values) + f" {unit}"
