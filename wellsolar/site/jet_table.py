"""A jet with its ejector in the well has a table in place of a curve: one that stands in for it
until its site tells how deep the water stands."""

from __future__ import annotations

from typing import Any

from wellsolar import kinds
from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.site.locate import Path
from wellsolar.units import UnreadableQuantity, read, read_list

WEIGHT = 1000.0 * STANDARD_GRAVITY
"""Of water [N/m3], near enough for a curve that no study works with."""


def with_jet_curves(filled: dict[str, Any]) -> list[tuple[Path, str]]:
    """Give each pump of raw tables that has the table of a jet a curve by its first block.

    Parameters:
        filled: raw tables, changed here
    Returns:
        the key path and message of each mistake: a pump that has both a curve and such a table
    """
    wrong: list[tuple[Path, str]] = []
    pumps = filled.get("pump")
    for number, table in enumerate(pumps if isinstance(pumps, list) else []):
        blocks = table.get("jet_table") if isinstance(table, dict) else None
        if not isinstance(blocks, list) or not blocks or not isinstance(blocks[0], dict):
            continue
        own = [key for key in ("flow", "head") if key in table]
        if own and "duty" not in table:
            said = "a jet with its table by lift and pressure has no head curve: leave it out"
            wrong.append((("pump", number, own[0]), said))
            continue
        try:
            lift = read(blocks[0]["lift"], kinds.LENGTH)
            pressures = read_list(blocks[0]["pressure"], kinds.PRESSURE)
            flows = read_list(blocks[0]["flow"], kinds.FLOW)
        except (KeyError, TypeError, AttributeError, UnreadableQuantity):
            continue  # which the model tells
        # In order whatever was written: what is wrong with the table is told of the table.
        count = min(len(flows), len(pressures))
        rising = sorted(float(flow) * 60_000.0 for flow in flows[:count])
        falling = sorted(
            (lift + pressure / WEIGHT for pressure in pressures[:count]), reverse=True
        )
        table["flow"] = ", ".join(f"{flow:.9g}" for flow in rising) + " L/min"
        table["head"] = ", ".join(f"{head:.9g}" for head in falling) + " m"
    return wrong
