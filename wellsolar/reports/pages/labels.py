"""Labels with a code that a telephone reads: where the page is kept, or what to do at once."""

from __future__ import annotations

from typing import Any

import segno

from wellsolar.reports.pages.card import card_context
from wellsolar.reports.plain import plain
from wellsolar.results import Results

FULLEST = 152
"""Bytes of a code of version 8 at level M, 49 modules a side: ISO/IEC 18004, table 7, second hand.
On 45 mm with its white edge a module is 0.8 mm wide, which a telephone reads at arm's length, and
the page stays light: common practice, no source."""

MOST = 3
"""Codes of steps, so that the page stays light: our choice."""

CARD = "#card"
"""Where the page has the owner's card."""

MORE = "The rest stands on the card."


def code_labels(results: Results) -> list[dict[str, Any]]:
    """Labels to cut out, for the doors and tanks at which people stand when something fails.

    A page in a telephone's storage has no address that another telephone could open. Where the
    file tells where the page is kept, the code is that address; else it is the card's own first
    steps, which need no network.

    Parameters:
        results: of `study_site`, with the card
    Returns:
        of each its title, what the code says in words, and the code as SVG; none without a card
    """
    job, card = results.job, card_context(results)
    if results.card is None:
        return []
    if job is not None and job.page_address is not None:
        address = f"{plain(job.page_address)}{CARD}"
        return [{"title": "What to do when it fails", "said": [address], "code": _code(address)}]
    codes = []
    failures = card["failures"]
    # The last is what the others end in, where nothing else is left.
    for block in failures if len(failures) <= MOST else [*failures[: MOST - 1], failures[-1]]:
        lines = _lines(block["title"], block["steps"])
        codes.append({"title": lines[0], "said": lines[1:], "code": _code("\n".join(lines))})
    return codes


def _lines(title: str, steps: list[str]) -> list[str]:
    """A title with as many of its steps as a code holds, whole ones only."""
    lines = [title]
    for number, step in enumerate(steps, 1):
        longer = [*lines, f"{number}. {step}"]
        ended = longer if number == len(steps) else [*longer, MORE]
        if len("\n".join(ended).encode()) > FULLEST:
            return [*lines, MORE]
        lines = longer
    return lines


def _code(text: str) -> str:
    """Black on white with the quiet zone of four modules that the standard asks for."""
    code = segno.make_qr(text, error="m", boost_error=False, encoding="utf-8")
    return code.svg_inline(
        border=4, dark="#000", light="#fff", omitsize=True, svgclass=None, lineclass=None
    )
