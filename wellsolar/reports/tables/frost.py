"""Rows of the line from well to house against the frost."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Section, row
from wellsolar.results import FrostResult


def frost_section(found: FrostResult) -> Section:
    """How deep the line lies and how deep it should.

    Parameters:
        found: of the study
    Returns:
        one section
    """
    return Section(
        "frost",
        "Frost",
        "Does the line from well to house freeze?",
        (
            row("pitless_depth", "the pipe leaves the well at", found.depth, kinds.LENGTH,
                "below the ground"),
            row("frost_depth", "the ground freezes to", found.frost, kinds.LENGTH),
            row("wanted_depth", "the line should lie at", found.wanted, kinds.LENGTH,
                "or deeper, all the way to the house"),
        ),
    )  # fmt: skip
