"""A remedy works: its changes made together, its verdict passes and no other fails that did not.

The usual run looks at what is quick: well, pumps, tank and hands. All of it, and random sites, is
marked `long`.
"""

from __future__ import annotations

import pytest

from tests.properties.whole.named import FEW, MANY, NAMED, tables_of
from tests.properties.whole.strategy import Tables, sample
from tests.properties.whole.verdicts import EVERYTHING, WATER, Judged, judged
from tests.sampled import every
from wellsolar import site_from
from wellsolar.site.loading.read import SiteFile
from wellsolar.studies.case import Section
from wellsolar.verdicts import Change, Remedy, Verdict, changes_of

PARTS = 10
"""In which the random sites are tried, so that several processes share them."""


def says_how(how: Remedy) -> bool:
    """True where a remedy carries its changes, or says why it has none: one of the two."""
    return bool(how.changes) != bool(how.by_hand)


def applied(
    file: SiteFile, before: Judged, verdict: Verdict, changes: tuple[Change, ...],
    sections: tuple[Section, ...],
) -> str:  # fmt: skip
    """What is wrong with a remedy once its changes are made; empty where nothing is."""
    after = judged(file.with_values({each.path: each.value for each in changes}), sections)
    key = verdict.rule.key, verdict.subject
    told = ", ".join(map(str, changes))
    if key in after.verdicts and after.verdicts[key].status != "pass":
        left = after.verdicts[key]
        return f"{key}: {left.status} after {told}: {left.reason.text('US')}"
    fails = [
        each
        for each, new in after.verdicts.items()
        if new.status == "fail"
        and (each not in before.verdicts or before.verdicts[each].status != "fail")
    ]
    return f"{key}: {told} turns to fail: {fails}" if fails else ""


def check(site: Tables, sections: tuple[Section, ...]) -> None:
    """Every remedy of a site says how, and works."""
    file = site_from(site)
    before = judged(file, sections)
    wrong = []
    for verdict in before.verdicts.values():
        if verdict.remedy is None:
            continue
        if not says_how(verdict.remedy):
            wrong.append(f"{verdict.rule.key}: no changes: {verdict.remedy.text('US')}")
        elif changes := changes_of(verdict.remedy):
            wrong.append(applied(file, before, verdict, changes, sections))
    assert not any(wrong), "\n".join(filter(None, wrong))


@pytest.mark.parametrize("name", every(NAMED, 4))
def test_a_remedy_of_a_named_site_works(name: str) -> None:
    check(tables_of(name), WATER)


@pytest.mark.long
@pytest.mark.parametrize("name", NAMED)
def test_every_remedy_of_a_named_site_works(name: str) -> None:
    check(tables_of(name), EVERYTHING)


@pytest.mark.parametrize("number", range(FEW))
def test_a_remedy_of_a_random_site_works(number: int) -> None:
    check(sample(FEW)[number], WATER)


@pytest.mark.long
@pytest.mark.parametrize("part", range(PARTS))
def test_every_remedy_of_a_random_site_works(part: int) -> None:
    for site in sample(MANY)[part::PARTS]:
        check(site, EVERYTHING)
