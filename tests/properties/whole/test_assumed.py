"""What a study assumes is what it uses: told under its key, it changes nothing."""

from __future__ import annotations

import pytest

from tests.properties.whole.sides import DRY, base_tables, with_given
from wellsolar import Case, site_from
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.shape import field_at, reader_of
from wellsolar.studies.asked.changed_site import path_of
from wellsolar.studies.case import Section
from wellsolar.units import Quantity, in_file
from wellsolar.verdicts import Assumption, Verdict

SITES = ("sucking", "sunny", "two_wells", "south_slope")

ASKED: tuple[Section, ...] = ("pump", "tank", "hand", "heat", "match", "supply", "outage")

ONLY_OF_WHAT_IS_TOLD = {"submergence", "above the bottom", "efficiency"}
"""Rules on a key that are not asked where nobody tells it."""

BESIDES = {("efficiency", "motor load")}
"""A key and a rule that takes another pump for the worst where nobody tells it."""


def site_of(name: str) -> SiteFile:
    tables = base_tables(name)
    return site_from(with_given(tables, DRY) if "latitude" in tables["site"] else tables)


def said(file: SiteFile) -> tuple[dict[tuple[str, str], Verdict], tuple[Assumption, ...]]:
    results = Case(file).results(ASKED)
    return {(each.rule.key, each.subject): each for each in results.verdicts}, results.assumptions


def of_schema(assumption: Assumption) -> bool:
    """Whether a key of the file would replace it by a number."""
    try:
        field = field_at(path_of(assumption.path))
    except (KeyError, ValueError):
        return False
    kind = None if field is None else getattr(reader_of(field), "kind", None)
    if kind is None or not isinstance(assumption.value, Quantity):
        return False
    assert assumption.value.kind is kind, assumption.path
    return True


@pytest.mark.parametrize("name", SITES)
def test_what_is_assumed_changes_nothing_once_it_is_told(name: str) -> None:
    file = site_of(name)
    before, assumed = said(file)
    changed = []
    by_default = {each.path for each in file.assumptions}
    for each in filter(of_schema, assumed):
        if each.path in by_default:  # which loading has put into the tables already
            continue
        value = each.value
        assert isinstance(value, Quantity)
        written = in_file(value)
        if each.path == "sun.temperature":
            number, unit = written.split()
            written = f"{', '.join([number] * 12)} {unit}"
        after, left = said(file.with_values({each.path: written}))
        assert each.path not in {other.path for other in left if other.source != "Python"}
        for key in before.keys() | after.keys():
            one, other = before.get(key), after.get(key)
            if one is None and other is not None and other.status == "pass":
                assert key[0] in ONLY_OF_WHAT_IS_TOLD, key
                continue
            if (each.path.rpartition(".")[2], key[0]) in BESIDES:
                continue
            alike = one is not None and other is not None and one.status == other.status
            if one is not None and other is not None and one.quantity is not None:
                alike &= other.quantity == pytest.approx(float(one.quantity), rel=5e-3, abs=1e-9)
            if not alike:
                changed.append((each.path, key, one and one.status, other and other.status))
    assert not changed, "\n".join(map(str, changed))
