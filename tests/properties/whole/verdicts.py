"""The verdicts of a whole site, of two sites side by side, and which of them got better."""

from __future__ import annotations

from typing import NamedTuple

from tests.properties.whole.strategy import Tables
from wellsolar import Case, Options, site_from
from wellsolar.commands import EVERYTHING
from wellsolar.errors import SiteFileError
from wellsolar.site.loading.read import SiteFile
from wellsolar.studies.case import Section
from wellsolar.verdicts import RANK, Status, Verdict

WATER: tuple[Section, ...] = ("pump", "tank", "hand")
"""Well, pumps, tank and hands: what is quick."""

Key = tuple[str, str]
"""Rule and subject."""


class Better(NamedTuple):
    """A verdict that stands better after a change; after it is empty where it is not asked."""

    rule: str
    subject: str
    before: str
    after: str


def read(site: Tables) -> SiteFile | None:
    """The site, or None where the change made a mistake of it."""
    try:
        return site_from(site)
    except SiteFileError:
        return None


class Judged(NamedTuple):
    """What is said of a site.

    verdicts: by rule and subject; of several alike, the worst
    assumed: key paths of the listed assumptions
    """

    verdicts: dict[Key, Verdict]
    assumed: frozenset[str]


def judged(file: SiteFile, sections: tuple[Section, ...] = EVERYTHING) -> Judged:
    """What some sections say of a site."""
    results = Case(file, Options(cases=16)).results(sections)
    found: dict[Key, Verdict] = {}
    for each in results.verdicts:
        key = each.rule.key, each.subject
        if key not in found or RANK[each.status] < RANK[found[key].status]:
            found[key] = each
    return Judged(found, frozenset(each.path for each in results.assumptions))


def standing(found: Judged, key: Key) -> Status:
    """The status of a verdict; one that is not there counts as a pass."""
    return found.verdicts[key].status if key in found.verdicts else "pass"


def got_better(before: Judged, after: Judged) -> list[Better]:
    """Verdicts that stand better after a change."""
    return [
        Better(*key, verdict.status, after.verdicts[key].status if key in after.verdicts else "")
        for key, verdict in before.verdicts.items()
        if RANK[standing(after, key)] > RANK[verdict.status]
    ]


def got_worse(before: Judged, after: Judged) -> set[str]:
    """Rules of which a verdict stands worse after a change."""
    return {
        key[0]
        for key in after.verdicts
        if RANK[standing(after, key)] < RANK[standing(before, key)]
    }
