"""Rows of what the sizing set in a file."""

from __future__ import annotations

from collections.abc import Sequence

from wellsolar.reports.rows import Column, Grid, Section
from wellsolar.results.whole import SizedKey


def sized_section(sized: Sequence[SizedKey]) -> Section:
    """The section on the keys that the sizing set.

    Parameters:
        sized: of the results, one or more
    Returns:
        its grid: each key with its value, the reason and the rule that judges it
    """
    grid = Grid(
        "keys",
        "Keys of the file",
        (Column("key", "key"), Column("value", "set to"), Column("reason", "why"),
         Column("rule", "judged by")),
        tuple((each.key, each.value, each.reason or None, each.rule or None) for each in sized),
        "A key that is changed by hand is no longer the sizing's: take its block out.",
    )  # fmt: skip
    question = "What did `wellsolar size` choose, and what binds it?"
    return Section("sized", "What was sized", question, (), (grid,))
