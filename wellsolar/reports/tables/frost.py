"""Rows of the line from well to house against the frost."""

from __future__ import annotations

from wellsolar.reports.rows import Listed, Section
from wellsolar.results import FrostResult

FROST = Listed(FrostResult, "depth", "frost", "wanted")


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
        tuple(FROST.rows(found)),
    )  # fmt: skip
