"""Each rule on both sides of its limit, in the limit's own unit, and unknown without its key.

A row says of a site which value of a key just passes and which just does not, and why the limit
lies between the two. Beyond it the remedy's changes are made: the verdict passes then, and no
other of that study turns to fail.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from tests.properties.whole.sides import GROUPS, Group, Sides, base_tables, with_given, without
from wellsolar import Case, Options, site_from
from wellsolar.site.loading.overrides import changed, python_settings
from wellsolar.units import read
from wellsolar.verdicts import RANK, Verdict, changes_of

ROWS = [(group, row) for group in GROUPS for row in group.rows]
NAMES = [f"{number}: {row.rule}, {row.breaks}" for number, (_, row) in enumerate(ROWS)]


@cache
def _base(number: int) -> tuple[dict[str, Any], Case]:
    """Tables and case of a row before its key is turned; rows of one group alike share them."""
    group, row = ROWS[number]
    first = next(at for at, (g, r) in enumerate(ROWS) if g is group and r.given == row.given)
    if first < number:
        return _base(first)
    tables = with_given(base_tables(group.site), {**group.given, **row.given})
    return tables, Case(site_from(tables), Options(cases=64))


def judged(number: int, tables: dict[str, Any], *paths: str) -> list[Verdict]:
    """What the row's study says of tables that differ from those of the row in these keys."""
    _, case = _base(number)
    file = site_from(tables)
    names = {path.partition(".")[0].partition("[")[0] for path in paths}
    turned = {name: getattr(file.site, name) for name in names}
    # The other tables stay those of the case, so that what reads them alone is not made again.
    other = Case(replace(file, site=case.site.model_copy(update=turned)), case.options)
    other.before = case
    return list(other.said(ROWS[number][0].study).verdicts)


def worst_of(verdicts: list[Verdict], rule: str) -> Verdict | None:
    """The verdict of a rule; of several, the worst. None where the rule is not asked."""
    found = [each for each in verdicts if each.rule.key == rule]
    return min(found, key=lambda each: RANK[each.status]) if found else None


def turned(number: int, value: object) -> list[Verdict]:
    row = ROWS[number][1]
    made = changed(_base(number)[0], python_settings({row.key: value}))
    assert not made.problems, made.problems
    return judged(number, made.tables, row.key)


@pytest.mark.parametrize("number", range(len(ROWS)), ids=NAMES)
def test_a_rule_turns_at_its_limit(number: int) -> None:
    _, row = ROWS[number]
    kept, broken = (
        worst_of(turned(number, value), row.rule) for value in (row.keeps, row.breaks)
    )
    told = [row.why, *(each.reason.text("US") for each in (kept, broken) if each)]
    assert (kept.status if kept else "pass", broken and broken.status) == (row.kept, row.broken), told
    assert broken is not None
    if row.limit:
        assert broken.limit is not None
        assert broken.quantity is not None
        wanted = read(row.limit, broken.limit.kind)
        assert broken.limit == pytest.approx(float(wanted), rel=0.006), told
        for each in filter(None, (kept, broken)):
            if each.quantity is not None and each.quantity.kind is wanted.kind:
                off = abs(each.quantity / each.limit - 1.0) if each.limit else 0.0
                assert off <= row.apart, (off, told)
