"""What is kept of answers is found by the keys that it rests on, and goes when it is too much.

Sites are invented, answers words. How much is kept is our choice, entered twice.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from wellsolar import kinds
from wellsolar.site.loading.read import parse_site
from wellsolar.site.schema import DrawTable, PumpTable, Site, WaterHeaterTable, WellTable
from wellsolar.site.table import EVERY, GIVEN, Key
from wellsolar.studies import kept as keeping
from wellsolar.studies.kept import OF_ANOTHER, Kept
from wellsolar.units import Quantity

TEXT = """
[site]
note = "invented"
[well]
depth = "200 ft"
static_level = "60 ft"
[[pump]]
name = "one"
flow = "0, 4, 8 gpm"
head = "340, 315, 265 ft"
[[pump]]
name = "two"
flow = "0, 4, 8 gpm"
head = "340, 315, 265 ft"
"""
SITE = parse_site(TEXT).site
DEPTH: Key = (WellTable, "depth")
LEVEL: Key = (WellTable, "static_level")


def length(value: float, *ends: float) -> Quantity:
    return Quantity(value, kinds.LENGTH, *ends)


def with_well(**changes: Any) -> Site:
    return SITE.model_copy(update={"well": SITE.well.model_copy(update=changes)})


def with_pumps(*pumps: PumpTable) -> Site:
    return SITE.model_copy(update={"pump": pumps})


def made(word: str, *keys: Key) -> tuple[str, frozenset[Key]]:
    return word, frozenset({(Site, "well"), *keys})


def kept_of(*keys: Key, site: Site = SITE) -> Kept:
    store = Kept()
    store.keep("study", site, ("answer", frozenset(keys)))
    return store


ONE, TWO = SITE.pump
SHALLOW = ONE.model_copy(update={"intake_depth": length(20.0)})


@pytest.mark.parametrize(
    ("keys", "changed", "alike"),
    [
        ([(Site, "well"), DEPTH], with_well(static_level=length(9.0)), True),
        ([(Site, "well"), DEPTH], with_well(depth=length(9.0)), False),
        ([(Site, "well"), DEPTH], with_well(depth=length(60.96, 60.0, 62.0)), False),
        ([(Site, "well"), DEPTH], with_well(depth=length(60.96, 60.96, 62.0)), False),
        ([(Site, "well"), DEPTH], with_well(depth=Quantity(60.96, kinds.HEAD)), False),
        ([(Site, "well"), DEPTH, LEVEL], with_well(static_level=length(9.0)), False),
        ([(Site, "well"), (WellTable, EVERY)], with_well(static_level=length(9.0)), False),
        # Of a table that was not looked into nothing counts, and of one not read either.
        ([(Site, "well")], with_well(depth=length(9.0)), True),
        ([(Site, "pump")], with_well(depth=length(9.0)), True),
        # Given as it would be without: of no matter but to who asked what was given.
        ([(Site, "well"), DEPTH], with_well(tested_yield=None), True),
        ([(Site, "well"), (WellTable, GIVEN)], with_well(tested_yield=None), False),
        ([(Site, "well"), (WellTable, GIVEN)], with_well(depth=length(9.0)), True),
        # Tables of a list: in their order, as many as they are.
        ([(Site, "pump"), (PumpTable, "name")], with_pumps(ONE, TWO.model_copy()), True),
        ([(Site, "pump"), (PumpTable, "name")], with_pumps(TWO, ONE), False),
        ([(Site, "pump"), (PumpTable, "name")], with_pumps(ONE), False),
        ([(Site, "pump"), (PumpTable, "name")], with_pumps(SHALLOW, TWO), True),
        ([(Site, "pump"), (PumpTable, "intake_depth")], with_pumps(SHALLOW, TWO), False),
        ([(Site, "water_heater")], with_well(depth=length(9.0)), True),
    ],
)  # fmt: skip
def test_an_answer_is_that_of_sites_alike_in_what_it_rests_on(
    keys: list[Key], changed: Site, alike: bool
) -> None:
    store = kept_of(*keys)
    assert store.found("study", SITE) == ("answer", frozenset(keys))
    found = store.found("study", changed)
    assert found == (("answer", frozenset(keys)) if alike else None)
    assert store.found("another", SITE) is None
    assert store.found("study", SITE, "besides") is None
    # What is kept of the changed site is told from it.
    store.keep("study", changed, ("other", frozenset(keys)))
    assert store.found("study", SITE) == ("other" if alike else "answer", frozenset(keys))
    assert store.found("study", changed) == ("other", frozenset(keys))


def test_what_was_taken_over_or_forgotten_is_not_found() -> None:
    store = Kept()
    store.keep("study", SITE, made("answer", DEPTH, OF_ANOTHER))
    assert store.found("study", SITE) is None
    store.keep("study", SITE, made("answer", DEPTH))
    store.keep("another", SITE, made("of another", DEPTH))
    store.forget("study")
    assert store.found("study", SITE) is None
    assert store.found("another", SITE) == made("of another", DEPTH)


def test_of_answers_those_go_that_nobody_asked_for_longest() -> None:
    store = Kept(most=3)
    for besides in "abc":
        store.keep("study", SITE, made(besides, DEPTH), besides)
    assert store.found("study", SITE, "a") == made("a", DEPTH)
    store.keep("study", SITE, made("d", DEPTH), "d")
    there = [each for each in "abcd" if store.found("study", SITE, each)]
    assert there == ["a", "c", "d"]


def test_a_thousand_answers_are_kept() -> None:
    store, answer = Kept(), made("answer", DEPTH)
    for besides in range(1000):
        store.keep("study", SITE, answer, besides)
    assert 0 in [key[-1] for key in store.answers]
    store.keep("study", SITE, answer, 1000)
    assert [key[-1] for key in store.answers] == [*range(1, 1001)]


def keys_of_well(number: int) -> Key:
    return WellTable, [*WellTable.model_fields][number]


def test_of_ways_that_a_study_went_those_go_that_led_nowhere_longest(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Three sets of keys are looked up here; that of the first answer is used again."""
    monkeypatch.setattr(keeping, "WAYS", 3)
    store = Kept()
    for number, besides in enumerate("abc"):
        store.keep("study", SITE, made(besides, keys_of_well(number)), besides)
        store.keep("another", SITE, made(besides, keys_of_well(number)), besides)
    assert store.found("study", SITE, "a")
    store.keep("study", SITE, made("d", keys_of_well(3)), "d")
    assert [each for each in "abcd" if store.found("study", SITE, each)] == ["a", "c", "d"]
    assert [each for each in "abcd" if store.found("another", SITE, each)] == ["a", "b", "c"]


def test_sixty_ways_are_looked_up() -> None:
    kinds_of = [(Site, "well"), *((PumpTable, name) for name in PumpTable.model_fields),
                *((WaterHeaterTable, name) for name in WaterHeaterTable.model_fields),
                *((DrawTable, name) for name in DrawTable.model_fields)]  # fmt: skip
    every = frozenset({(Site, "pump"), (Site, "water_heater")})
    store = Kept()
    for number in range(61):
        assert len(store.ways["study"]) == number
        store.keep("study", SITE, (number, every | {*kinds_of[:number]}))
    assert len(store.ways["study"]) == 60


@pytest.mark.parametrize("alike", [True, False])
def test_all_is_let_go_once_twenty_tables_an_answer_are_told_apart(alike: bool) -> None:
    """Of two answers forty; alike but not the same they count too, as each is looked at once."""
    store = Kept(most=2)
    store.keep("first", SITE, made("first", DEPTH))

    def looked_at(count: int) -> list[Site]:
        found = [with_well(depth=length(60.96 if alike else 1.0 + each)) for each in range(count)]
        for site in found:
            store.found("first", site)
        return found

    sites = looked_at(39)
    store.keep("second", SITE, made("second", DEPTH))
    assert store.found("first", SITE)
    sites += looked_at(1)
    store.keep("third", SITE, made("third", DEPTH))
    assert store.found("first", SITE) is None
    assert store.found("second", SITE) is None
    assert store.found("third", SITE) == made("third", DEPTH)
    assert len(sites) == 40
    assert (len(store.wholes), len(store.numbered), len(store.answers)) == (1, 1, 1)


def test_sets_of_keys_are_told_apart_among_those_tables() -> None:
    """Of one table in forty-one sets of its keys; of a single answer twenty are enough."""
    store = Kept(most=1)
    names = [*PumpTable.model_fields]
    for number in range(21):
        keys: frozenset[Key] = frozenset(
            {(Site, "pump"), *((PumpTable, each) for each in names[:number])}
        )
        store.keep(str(number), with_pumps(ONE), (number, keys))
        assert len(store.numbered) == number + 1
    store.keep("more", with_pumps(ONE), ("more", frozenset({(Site, "pump")})))
    assert len(store.numbered) == 1


LIKE: Callable[..., Any] = keeping._way


def test_a_way_names_the_tables_that_were_read_with_their_own_keys() -> None:
    keys = frozenset({(Site, "well"), (Site, "pump"), DEPTH, (PumpTable, "name"), (Site, "power")})
    way = dict(LIKE(keys))
    assert {*way} == {"well", "pump", "power"}
    assert way["well"] == {DEPTH}
    assert way["pump"] == {(PumpTable, "name")}
    assert way["power"] == frozenset()
    # A table within a table has its keys among those of the outer one.
    within = keeping._within("water_heater")
    assert {(WaterHeaterTable, "draw"), (DrawTable, "volume"), (DrawTable, EVERY),
            (DrawTable, GIVEN)} <= within  # fmt: skip
    assert DEPTH not in within
