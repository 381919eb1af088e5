"""What cannot be on the papers' cover."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace

from wellsolar.site.checks.words import Mistakes
from wellsolar.wording import quoted


def date_of_papers(site: SimpleNamespace) -> Mistakes:
    """A date that no calendar has, or written so that two people read two days."""
    written = None if site.job is None else site.job.date
    if written is None:
        return
    try:
        date.fromisoformat(written)
    except ValueError:
        yield (
            ("job", "date"),
            f'{quoted(written)} is no day: expected year, month and day, such as "2026-11-29"',
        )
