"""The commissioning sheet as a page to fill in, on paper or on a telephone."""

from __future__ import annotations

from collections.abc import Sequence

from wellsolar.reports.pages.html import (
    cautions_context,
    job_context,
    page_of,
    section_context,
)
from wellsolar.reports.rows import Section
from wellsolar.results import Results


def sheet_page(results: Results, sections: Sequence[Section]) -> str:
    """The sheet as a page that needs nothing else.

    Parameters:
        results: of `study_site`, with the sheet
    """
    contexts = [
        section_context(section, results.system) for section in sections if section.key == "sheet"
    ]
    return page_of(
        "sheet.html.j2",
        results,
        {
            "job": job_context(results.job, wanted=True),
            "sections": contexts,
            "cautions": cautions_context(results.cautions),
        },
    )
