"""What cannot be: mistakes that show only between two keys of a site file.

Each check takes the readable part of a file, in which any key may be None, and yields the key path
and the message of each mistake. Of a range the likeliest value counts, as it does in the studies.
What is merely unwise is no mistake: studies judge that.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from types import SimpleNamespace

from wellsolar.site.checks import hand, heater, outages, pumps, sun, well
from wellsolar.site.checks.words import Mistakes
from wellsolar.site.part_names import ELECTRICITY, sold_by
from wellsolar.wording import quoted


def _date_of_papers(site: SimpleNamespace) -> Mistakes:
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


def _address_of_page(site: SimpleNamespace) -> Mistakes:
    """Where the page is kept, so that no telephone could open it."""
    written = None if site.job is None else site.job.page_address
    if written is None:
        return
    part = re.fullmatch(r"https?://[!-~]*[0-9A-Za-z/]", written)
    if part is None or set('#<>"') & set(written):
        yield (
            ("job", "page_address"),
            f"{quoted(written)} is no address that a telephone opens: expected one as "
            '"https://our.example/page.html", without a blank or #',
        )


def prices(site: SimpleNamespace) -> Mistakes:
    """A part sold as an energy is, an energy sold by the piece, and two fuels for one heater."""
    energies, burnt = sold_by(), ""
    for number, price in enumerate(site.price or ()):
        if price.item is None:
            continue
        known, per = energies.get(price.item, ("piece", "ft", "m")), price.per or "piece"
        if per not in known:
            listed = " or ".join(quoted(name) for name in known)
            yield (
                ("price", number, "per" if price.per else "item"),
                f"{quoted(price.item)} is not sold by the {per}: expected per = {listed}",
            )
        if price.item in energies and price.item != ELECTRICITY:
            if burnt and burnt != price.item:
                yield (
                    ("price", number, "item"),
                    f"{quoted(price.item)} heats the water beside {quoted(burnt)}: give the price "
                    "of the one that heats it today",
                )
            burnt = price.item


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
    _date_of_papers,
    _address_of_page,
    prices,
)


def mistakes(site: SimpleNamespace) -> Mistakes:
    """Every mistake between the keys of a readable part."""
    for check in _CHECKS:
        yield from check(site)
