"""What cannot be: mistakes that show only between two keys of a site file.

Each check takes the readable part of a file, in which any key may be None, and yields the key path
and the message of each mistake. Of a range the likeliest value counts, as it does in the studies.
What is merely unwise is no mistake: studies judge that.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from types import SimpleNamespace

from wellsolar.site.checks import hand, heater, outages, pumps, sun, well
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


_CHECKS: tuple[Callable[[SimpleNamespace], Mistakes], ...] = (
    well.levels,
    well.well_tests,
    well.names,
    pumps.restart_levels,
    pumps.pipe_sizes,
    pumps.fittings,
    pumps.pressures,
    pumps.pumps,
    pumps.storage_tank,
    pumps.pumps_run,
    hand.hand_pump,
    hand.discharge_table,
    hand.lifts,
    sun.datasheet,
    sun.arrays,
    heater.water_heater,
    sun.sky,
    heater.aims,
    outages.outages,
    date_of_papers,
)


def mistakes(site: SimpleNamespace) -> Mistakes:
    """Every mistake between the keys of a readable part."""
    for check in _CHECKS:
        yield from check(site)
