"""What cannot be in the outages of a file: names that nothing in it has."""

from __future__ import annotations

from types import SimpleNamespace

from wellsolar.site.checks.words import Mistakes, same_names
from wellsolar.wording import nearest, quoted

WORDS = (
    "grid",
    "sun",
    "inverter",
    "battery",
    "generator",
    "pressure tank",
    "pressure switch",
    "storage tank",
    "hand pump",
    "water heater",
    "well",
)
"""What may fail beside the pumps, lifts and arrays, which go by their names."""


def outages(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the user's own outages."""
    named = [entry.name for table in (site.pump, site.lift, site.array, site.other_well)
             for entry in table]  # fmt: skip
    known = [*WORDS, *(name for name in named if isinstance(name, str))]
    yield from same_names("outage", site.outage)
    for index, outage in enumerate(site.outage):
        for failed in outage.failed if isinstance(outage.failed, list) else ():
            if not isinstance(failed, str) or failed in known:
                continue
            near = nearest(failed, known, 0.6)
            hint = f", did you mean {quoted(near)}?" if near else ""
            listed = ", ".join(quoted(name) for name in known)
            yield (
                ("outage", index, "failed"),
                f"{quoted(failed)} is nothing that this site has: expected one of {listed}{hint}",
            )
