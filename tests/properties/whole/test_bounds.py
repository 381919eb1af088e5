"""Sites at the ends of what is possible: refused in words or studied, with no other way out."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from wellsolar import kinds
from wellsolar.errors import SiteFileError
from wellsolar.site import shape
from wellsolar.site.fields import Reads
from wellsolar.site.loading.read import SiteFile, load_site
from wellsolar.site.locate import Path as KeyPath
from wellsolar.site.locate import key_text
from wellsolar.site.schema import Site
from wellsolar.site.table import Table
from wellsolar.studies.case import Case, Section
from wellsolar.units import Quantity, in_file

EXAMPLES = Path(__file__).parents[3] / "examples"
NAMES = ("ridge_house", "creek_cabin", "high_pass", "south_slope", "village_borehole")
WATER: tuple[Section, ...] = ("pump", "tank", "hand")
REST: tuple[Section, ...] = ("supply", "heat", "match", "outage")
FEW, MANY = 4, 400


def quantities(obj: Table, path: KeyPath = ()) -> Iterator[tuple[KeyPath, Reads]]:
    """Every quantity that a site has, but for lists."""
    for name, field in type(obj).model_fields.items():
        value, reader = getattr(obj, name), shape.reader_of(field)
        several = value if isinstance(value, tuple) else (value,)
        for place, each in enumerate(several):
            at = (*path, name, place) if isinstance(value, tuple) else (*path, name)
            if isinstance(each, Table):
                yield from quantities(each, at)
        if value is not None and reader is not None and not reader.many:
            yield (*path, name), reader


def at_its_ends(seed: int) -> SiteFile | None:
    """An example with one to three values at the ends of what is possible; None where the ends
    contradict each other."""
    pick = random.Random(seed)
    file = load_site(EXAMPLES / f"{pick.choice(NAMES)}.toml")
    known = list(quantities(file.site))
    values = {}
    for path, reader in pick.sample(known, pick.choice([1, 1, 2, 3])):
        smallest = kinds.SMALLEST[reader.kind.name] * 1.0001
        ends = [smallest if reader.above == 0.0 else reader.least, reader.most]
        ends += [smallest] if reader.least == 0.0 else []
        end = pick.choice([each for each in ends if each is not None])
        values[key_text(path)] = in_file(Quantity(end, reader.kind))
    try:
        return file.with_values(values)
    except SiteFileError:
        return None


def study(seed: int, sections: tuple[Section, ...]) -> None:
    file = at_its_ends(seed)
    if file is not None:
        results = Case(file).results(sections)
        assert all(each.reason.text("US") for each in results.verdicts)


@pytest.mark.parametrize("seed", range(FEW))
def test_the_ends_of_what_is_possible_are_studied(seed: int) -> None:
    study(seed, WATER)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(MANY))
def test_many_ends_of_what_is_possible_are_studied(seed: int) -> None:
    study(seed, (*WATER, *REST))


def test_the_ends_are_tried_at_all() -> None:
    assert len(list(quantities(load_site(EXAMPLES / "ridge_house.toml").site))) > 80
    assert sum(at_its_ends(seed) is not None for seed in range(12)) > 4
    assert issubclass(Site, Table)
