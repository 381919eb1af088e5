"""Worse never helps: one thing of a site made worse makes no verdict better.

A verdict stands in the order fail, unknown, caution, pass; one that is not asked counts as a pass.
What may get better all the same stands in `allowed.py`, with the reason.

The usual run takes a part of it; all of it, with random sites, is marked `long`:

    .venv/bin/python -m pytest -m long tests/properties/whole
"""

from __future__ import annotations

import random

import pytest

from tests.properties.whole.allowed import ALLOWED, BEHIND, is_allowed
from tests.properties.whole.lines import LINES, WITHOUT_LINE
from tests.properties.whole.named import FEW, MANY, NAMED, tables_of
from tests.properties.whole.strategy import Tables, sample
from tests.properties.whole.verdicts import (
    EVERYTHING,
    WATER,
    Judged,
    got_better,
    got_worse,
    judged,
    read,
)
from tests.properties.whole.worsenings import HEAT, SUN, WORSENINGS, Worsening, unknown_paths
from tests.sampled import every, sampled
from wellsolar import site_from
from wellsolar.site.loading.overrides import changed, python_settings
from wellsolar.studies.case import Section
from wellsolar.studies.rules import all_rules

QUICK = [name for name, each in WORSENINGS.items() if each not in (*SUN, *HEAT)]
"""Worsenings of what is quick to study: all but sun and hot water."""

PARTS = 10
"""In which the random sites are tried, so that several processes share them."""


def made_better(before: Judged, worsening: Worsening, where: str, after: Judged) -> list[str]:
    """Verdicts that got better and may not, in words."""
    return [
        f"{worsening.name} ({where}): {better.rule} of {better.subject} goes from {better.before} "
        f"({before.verdicts[better[:2]].reason.text('US')}) to {better.after or 'not asked'}"
        for better in got_better(before, after)
        if not is_allowed(worsening, where, better, after)
    ]


def check(site: Tables, chosen: list[str], sections: tuple[Section, ...]) -> set[str]:
    """No verdict of a site gets better by any of these; gives the rules that get worse."""
    before = judged(site_from(site), sections)
    wrong: list[str] = []
    worse: set[str] = set()
    for name in chosen:
        for where, tables in WORSENINGS[name].ways(site):
            file = read(tables)
            if file is not None:
                after = judged(file, sections)
                wrong += made_better(before, WORSENINGS[name], where, after)
                worse |= got_worse(before, after)
    assert not wrong, "\n".join(wrong)
    return worse


@pytest.mark.parametrize("name", every(NAMED, 4))
def test_worse_never_helps_a_named_site(name: str) -> None:
    check(tables_of(name), random.Random(name).sample(QUICK, 5), WATER)


@pytest.mark.long
@pytest.mark.parametrize("name", NAMED)
def test_nothing_worse_helps_a_named_site(name: str) -> None:
    check(tables_of(name), list(WORSENINGS), EVERYTHING)


@pytest.mark.parametrize("number", range(FEW))
def test_worse_never_helps_a_random_site(number: int) -> None:
    check(sample(FEW)[number], random.Random(number).sample(QUICK, 3), WATER)


@pytest.mark.long
@pytest.mark.parametrize("part", range(PARTS))
def test_nothing_worse_helps_a_random_site(part: int) -> None:
    for number, site in enumerate(sample(MANY)[part::PARTS]):
        chosen = random.Random(f"{part}, {number}").sample(list(WORSENINGS), 3)
        check(site, chosen, EVERYTHING)


QUICK_LINES = [rule for rule, line in LINES.items() if line.sections == WATER]
LONG_LINES = [rule for rule in LINES if rule not in QUICK_LINES]


@pytest.mark.parametrize("rule", sampled([*QUICK_LINES, *LONG_LINES], *QUICK_LINES[::4]))
def test_each_rule_is_worse_by_something(rule: str) -> None:
    line = LINES[rule]
    site = changed(tables_of(line.site), python_settings(line.start)).tables
    assert rule in check(site, [line.worsening], line.sections)


def test_every_rule_has_a_line_or_a_reason() -> None:
    assert set(all_rules()) == {*LINES, *WITHOUT_LINE}
    assert not set(LINES) & set(WITHOUT_LINE)


def test_the_tables_name_what_there_is() -> None:
    assert unknown_paths() == []
    for allowed in ALLOWED:
        assert set(allowed.worsenings) <= set(WORSENINGS), allowed.why
        assert set(allowed.rules) <= set(all_rules()), allowed.why
    assert {rule for pair in BEHIND.items() for rule in (pair[0], *pair[1])} <= set(all_rules())


def test_random_sites_can_be_read() -> None:
    sites = sample(60)
    assert all(read(site) is not None for site in sites)
    tables = {table for site in sites for table in site}
    assert {"pump", "hand_pump", "lift", "array", "water_heater", "storage_tank"} <= tables
