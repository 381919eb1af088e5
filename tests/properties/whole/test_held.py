"""Every size of a part is held from below by a rule, or the table says why by none."""

from __future__ import annotations

from tests.properties.whole.bounds import FREE_BELOW, PARTS, WRITTEN, held, table
from wellsolar.site import shape
from wellsolar.studies.rules import all_rules


def test_the_table_is_current() -> None:
    assert WRITTEN.read_text("utf-8") == table(), "python -m tests.properties.whole.bounds"


def test_each_part_is_held_from_below_or_says_why() -> None:
    free = {part for part in PARTS if not held().get(part, (set(), set()))[0]}
    assert free == set(FREE_BELOW)


def test_the_parts_are_keys_and_what_holds_them_are_rules() -> None:
    for key in PARTS.values():
        assert shape.field_at(tuple(key.split("."))) is not None, key
    found = {rule for both in held().values() for side in both for rule in side}
    assert found <= set(all_rules())
