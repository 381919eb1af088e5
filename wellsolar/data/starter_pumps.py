"""Pumps made up for comparison: no pump that is sold has these curves."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from wellsolar.data import rows


class StarterPump(NamedTuple):
    """An invented pump as a site file would write it.

    name: what it is called; supply: "AC" or "DC"; flow, head, power: lists of equal length
    """

    name: str
    supply: str
    flow: str
    head: str
    power: str


@cache
def starter_pumps() -> tuple[StarterPump, ...]:
    """The invented pumps, in the order of the table.

    Returns:
        curves as texts, flow [gpm], head [ft] and electrical input [W]
    Source: data/starter_pumps.csv, invented.
    """
    table = rows("starter_pumps")
    names = dict.fromkeys((row["pump"], row["supply"]) for row in table)
    return tuple(
        StarterPump(
            name,
            supply,
            *(
                f"{', '.join(row[column] for row in table if row['pump'] == name)} {unit}"
                for column, unit in (("flow", "gpm"), ("head", "ft"), ("power", "W"))
            ),
        )
        for name, supply in names
    )
