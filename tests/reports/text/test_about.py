"""What many finds of a word are told as."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from tests.reports.tables.made import BARE, Made
from wellsolar import kinds
from wellsolar.reports.rows import Row, Section
from wellsolar.reports.text import about as told_about
from wellsolar.reports.text.about import (
    SOURCE,
    Found,
    NothingSo,
    _every,
    _found,
    _has,
    _listed,
    _near,
    _plain,
    _singular,
    about,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import say


@pytest.mark.parametrize(("number", "more"), [(2, 0), (22, 0), (23, 1), (37, 15)])
def test_what_a_screen_holds_is_listed_and_the_rest_counted(number: int, more: int) -> None:
    keys = {f"zzz.key_{place:02}": f"the meaning of {place}" for place in range(number)}
    told = about(Made(BARE).results, (), {}, keys, "zzz", 80).splitlines()
    assert told[0] == f"{number} things have it; more words narrow it:"
    listed = [line for line in told[1:] if "zzz.key_" in line]
    assert [line.split()[0] for line in listed] == [*keys][: number - more]
    assert len(told) <= 24
    assert told[1 + len(listed) :] == ([f"  and {more} more"] if more else [])


def test_a_key_by_its_whole_path_is_told_with_its_meaning() -> None:
    keys = {"zzz.one": "what it means", "zzz.two": "something else"}
    told = about(Made(BARE).results, (), {}, keys, "zzz.one", 80)
    assert "what it means" in told
    assert "something else" not in told


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("alpha beta", ["alpha beta", "alpha beta delta"]),
        ("alpha gamma beta", ["alpha beta", "alpha beta delta"]),
        ("what is the alpha of my delta and gamma", []),
        ("alpha what gamma delta", ["alpha beta delta", "delta alpha"]),
        ("alpha gamma", []), ("gamma", []),
    ],
)  # fmt: skip
def test_where_nothing_has_all_words_that_is_found_which_has_most(
    asked: str, found: list[str]
) -> None:
    """More than half of them, those that fill a sentence left out."""
    names = ("alpha beta", "epsilon", "alpha beta delta", "delta alpha")
    every = [Found(name, (), "pass", ()) for name in names]
    assert [hit.name for hit in _found(asked, every)] == found


@pytest.mark.parametrize(
    ("word", "one"),
    [
        ("batteries", "battery"), ("dries", "dry"), ("ties", "tie"), ("amps", "amp"),
        ("gas", "gas"), ("loss", "loss"), ("pump", "pump"),
    ],
)  # fmt: skip
def test_a_word_is_sought_in_the_singular(word: str, one: str) -> None:
    assert _singular(word) == one


@pytest.mark.parametrize(
    ("asked", "near"),
    [
        ("volage", "near it: voltage"),
        # Three letters of five in their order are six of ten: just near enough; two are not.
        ("abcxy", "near it: abcde"),
        ("abxyz", "try a word of the pages that --full prints"),
        ("handboo", "try a word of the pages that --full prints"),  # a source alone
    ],
)
def test_what_is_near_a_word_that_names_nothing(asked: str, near: str) -> None:
    names = [("voltage", "3 %"), ("abcde", "pass"), ("handbook", SOURCE)]
    every = [Found(name, (), brief, ()) for name, brief in names]
    assert _near(asked, every) == near


@pytest.mark.parametrize(
    ("room", "lines"),
    [(20, 20), (7, 7), (6, 6), (1, 6), (-3, 6)],
)
def test_a_list_has_room_or_six_lines_at_least(room: int, lines: int) -> None:
    hits = [Found(f"n{place:02}", (), "b", ()) for place in range(30)]
    told = _listed(hits, 80, room)
    assert told == [f"  n{place:02} - b" for place in range(lines)] + [f"  and {30 - lines} more"]


def test_a_hit_of_two_lines_is_listed_whole_or_not_at_all() -> None:
    hits = [Found("a name", (), "of it", ()) for _ in range(4)]
    assert _listed(hits, 11, 7) == [*["  a name -", "      of it"] * 3, "  and 1 more"]
    assert _listed(hits, 11, 8) == ["  a name -", "      of it"] * 4


@pytest.mark.parametrize(
    ("words", "number"),
    [
        (["pump"], 1), (["tank", "pump"], 1), (["run", "pump"], 2), (["running"], 1),
        # Of six letters its ending stays.
        (["runing"], 0), (["pumping"], 1), ([], 0), (["tank"], 0),
    ],
)  # fmt: skip
def test_words_are_had_in_any_form(words: list[str], number: int) -> None:
    assert _has(Found("runn of a pump", (), "", ()), words) == number


def test_words_are_compared_small_and_in_the_singular() -> None:
    assert _plain("Pumps-and (Batteries); glass/gas, T&P's") == "pump and battery glass gas t p s"


@pytest.mark.parametrize(
    ("word", "one"),
    [("ies", "ies"), ("ties", "tie"), ("flies", "fly"), ("as", "as"), ("gas", "gas"),
     ("loads", "load"), ("ss", "ss")],
)  # fmt: skip
def test_short_words_stay_as_they_are(word: str, one: str) -> None:
    assert _singular(word) == one


def hit(name: str, *also: str, brief: str = "b", rank: int = 10, lines: int = 1) -> Found:
    return Found(name, also, brief, tuple(f"{name} {place}" for place in range(lines)), rank)


def test_what_fails_is_found_first_and_a_source_where_nothing_else_is() -> None:
    every = [hit("pump a", rank=20), hit("pump b", rank=0), hit("pump c", brief=SOURCE),
             hit("book of tanks", brief=SOURCE)]  # fmt: skip
    assert [each.name for each in _found("pump", every)] == ["pump b", "pump a"]
    assert [each.name for each in _found("book", every)] == ["book of tanks"]


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        # What people say for it, but where the reports have the word itself.
        ("gpm", ["flow of it"]),
        ("panel", ["a module"]),
        ("power cut", ["an outage"]),
        ("my amp", ["current"]),
        ("volt", ["voltage"]),
        ("germ", ["legionella"]),
    ],
)
def test_what_people_say_is_found_by_the_words_of_the_reports(
    asked: str, found: list[str]
) -> None:
    names = ("flow of it", "a module", "an outage", "current", "voltage", "legionella")
    assert [each.name for each in _found(asked, [hit(name) for name in names])] == found


def ask(word: str, *every: Found, keys: dict[str, str] | None = None) -> str:
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(told_about, "_every", lambda *told: every)
        return about(None, (), {}, keys or {}, word, 80)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("every", "told"),
    [
        ([hit("pump")], ["pump 0"]), ([hit("a pump")], ["a pump 0"]),
        ([hit("pump", lines=2), hit("pump")], ["pump 0", "pump 1", "pump 0"]),
        # Three of the name are a list, as are two that only have the word.
        ([hit("pump")] * 3, ["1 more"]), ([hit("a pump"), hit("b pump")],
         ["2 things have it; more words narrow it:", "  a pump - b", "  b pump - b"]),
        ([hit("pump"), hit("b pump")],
         ["pump 0", "1 more has it; more words narrow it:", "  b pump - b"]),
        ([hit("x", "pump"), hit("a pump"), hit("b pump")],
         ["x 0", "2 more have it; more words narrow it:", "  a pump - b", "  b pump - b"]),
        ([hit("pump", brief=SOURCE), hit("b pump")], ["b pump 0"]),
    ],
)  # fmt: skip
def test_what_is_called_so_is_told_whole_and_the_rest_listed(
    every: list[Found], told: list[str]
) -> None:
    made = [Found(each.name, each.also, each.brief, each.lines, place)
            for place, each in enumerate(every)]  # fmt: skip
    lines = ask("pump", *made).splitlines()
    if told == ["1 more"]:
        told = ["3 things have it; more words narrow it:", *["  pump - b"] * 3]
    assert lines == told


@pytest.mark.parametrize(("lines", "listed"), [(1, 21), (10, 12), (16, 6), (20, 6)])
def test_an_answer_and_its_list_have_23_lines(lines: int, listed: int) -> None:
    """Or six of the list where what stands above is long; one says how many more have it."""
    rest = [hit(f"a pump {place}") for place in range(40)]
    told = ask("pump", hit("pump", lines=lines), *rest).splitlines()
    assert len(told) == lines + 1 + listed + 1
    assert told[lines].startswith("40 more have it")
    assert told[-1] == f"  and {40 - listed} more"


@pytest.mark.parametrize("word", ["", "zebra", "()"])
def test_what_is_found_nowhere_is_told(word: str) -> None:
    with pytest.raises(NothingSo, match="try a word"):
        ask(word, hit("pump"))


def test_a_key_is_found_with_what_its_last_name_says() -> None:
    every = [hit("well.depth", lines=1), hit("the depth of it"), hit("well.bore")]
    assert ask("well.depth", *every, keys={"well.depth": "m"}).splitlines() == [
        "well.depth 0", "1 more has it; more words narrow it:", "  the depth of it - b",
    ]  # fmt: skip


def test_rows_assumptions_rules_and_keys_are_found() -> None:
    rule: Any = SimpleNamespace(asks="is it so?", text="it is", source="book", key="r")
    results: Any = SimpleNamespace(
        system="US", verdicts=(), assumptions=[SimpleNamespace(
            path="well.depth", value=Quantity(30.48, kinds.LENGTH), why="a guess",
            source="practice")],
    )  # fmt: skip
    section = Section("s", "Well", "?", (
        Row("deep", "how deep", Quantity(3.048, kinds.LENGTH), "by rope", kinds.LENGTH),
        Row("wet", "how wet", None, say("not {d}", d=Quantity(3.048, kinds.LENGTH)), None, "dry"),
        Row("old", "how old", "very", ""),
    ))  # fmt: skip
    found = [each for each in _every(results, [section], {"r": rule}, {"a.b": "what it is"})
             if each.brief != SOURCE]  # fmt: skip
    assert found == [
        Found("r", ("is it so?",), "a rule by which nothing was judged here",
              ("r: is it so?", "Rule: it is [book]",
               "Nothing of this site was judged by it here."), 20),
        Found("Well, how deep", ("how deep", "deep"), "10.0 ft",
              ("Well, how deep: 10.0 ft", "by rope")),
        Found("Well, how wet", ("how wet", "wet"), "dry", ("Well, how wet: dry", "not 10.0 ft")),
        Found("Well, how old", ("how old", "old"), "very", ("Well, how old: very",)),
        Found("well.depth", (), "100 ft, assumed",
              ("well.depth = 100 ft, which the file does not give", "a guess [practice]")),
        Found("a.b", (), "a key of the file", ("a.b: what it is",)),
    ]  # fmt: skip
    assert all(each.rank in (10, 20) for each in found)
