"""Pieces of the interview at their edges, each expectation counted by hand."""

from __future__ import annotations

import os
import sys
from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from wellsolar.interview import conversation, screen, telling
from wellsolar.interview.answers.question import Part, Question, Unclear
from wellsolar.interview.answers.reading import _mixed, _pieces, _size
from wellsolar.interview.answers.shapes import as_place, as_strings
from wellsolar.interview.answers.words import spellings
from wellsolar.interview.conversation import Conversation, _remark
from wellsolar.interview.telling import Telling


@pytest.mark.parametrize(
    ("key", "said", "meant"),
    [
        ("pump.phases", "single phase", 1), ("pump.phases", "3-phase", 3),
        ("power.grid", "off-grid", False), ("power.grid", "on mains", True),
    ],
)  # fmt: skip
def test_a_word_of_the_trade_means_what_the_file_holds(key: str, said: str, meant: Any) -> None:
    assert spellings(tuple(key.split(".")))[said] is meant


@pytest.mark.parametrize(
    ("said", "strings"),
    [
        ("12 modules in 3 rows", "4, 3"),
        ("9 modules in 3 strings", "3, 3"),
        ("16 panels in 2 strings", "8, 2"),
        ("13 in 1 rows", "13, 1"),
    ],
)
def test_modules_are_parted_among_rows_that_come_out_even(said: str, strings: str) -> None:
    assert as_strings(said) == strings


def test_modules_that_do_not_come_out_even_are_unclear() -> None:
    with pytest.raises(Unclear, match="so many in series"):
        as_strings("12 in 5 strings")


@pytest.mark.parametrize(
    ("said", "place"),
    [
        # 12 minutes are 0.2 degrees, 30 seconds half a minute.
        ("41\u00b0 12' N", "41.2 deg,"), ("41\u00b0 12' S", "-41.2 deg,"),
        ("41\u00b0 30' 0\" N", "41.5 deg,"), ("10\u00b0 5' 60\" N", "10.1 deg,"),
        ("-41\u00b0 12'", "-41.2 deg,"), ("41.2 s", "-41.2 deg,"), ("41 12 n", "41.2 deg,"),
        # Without a side too, before a height or nothing.
        ("41\u00b0 12' , 900 ft", "41.2 deg"), ("41\u00b0 12' 900 ft", "41.2 deg"),
        ("-41.2 s", "-41.2 deg,"),
    ],
)  # fmt: skip
def test_minutes_and_seconds_of_a_latitude_are_parts_of_a_degree(said: str, place: str) -> None:
    assert as_place(said).partition(" deg")[0] == place.partition(" deg")[0]


@pytest.mark.parametrize(
    ("value", "told"),
    [(Fraction(3, 4), "3/4"), (Fraction(5, 4), "1 1/4"), (Fraction(2), "2"), (Fraction(0), "0")],
)
def test_a_size_is_told_whole_and_in_parts(value: Fraction, told: str) -> None:
    assert _mixed(value) == told


@pytest.mark.parametrize(("said", "size"), [
    ("1 1/4 in", "1 1/4 in"), ('3/4"', "3/4 in"), ("2", "2 in"), ("1.25 in", "1 1/4 in"),
])  # fmt: skip
def test_a_nominal_size_is_told_in_inches(said: str, size: str) -> None:
    assert _size(said, Part(("a",), "pipe")) == size


@pytest.mark.parametrize("said", ["wide", "", "1 in wide", "in"])
def test_what_is_no_nominal_size_is_unclear(said: str) -> None:
    with pytest.raises(Unclear, match="expected a pipe in inches"):
        _size(said, Part(("a",), "pipe"))


@pytest.mark.parametrize(
    ("remark", "why", "first", "told"),
    [
        ("", "", 1, None), ("", "as most do", 1, "offered: as most do"),
        ("invented", "", 1, "invented"), ("invented", "as most do", 1, "invented"),
        ("invented", "", None, None), ("invented", "", 0, None),
    ],
)  # fmt: skip
def test_a_remark_stands_behind_the_first_key_of_an_answer(
    remark: str, why: str, first: int | None, told: str | None
) -> None:
    one, other = Part(("a", "b"), "b"), Part(("a", "c"), "c")
    question = Question("k", "?", "1", "", parts=(one, other), remark=remark)
    assert _remark(question, {one.path: first}, why) == ({} if told is None else {one.path: told})
    if told is not None:
        found = _remark(question, {one.path: None, other.path: "x"}, why)
        assert found == {other.path: told}


def test_a_piece_that_is_led_by_a_name_keeps_it() -> None:
    parts = [Part(("a",), "a", said=("head", "shut-off head")), Part(("b",), "b", said=("flow",))]
    pieces = [each.strip() for each in _pieces("shut-off head 240 ft flow 8 gpm", parts)]
    assert len(pieces) == 2
    assert pieces[0].startswith("shut-off head")
    assert pieces[1].startswith("flow")
    assert [each.strip() for each in _pieces("240 ft, 8 gpm", parts)] == ["240 ft", "8 gpm"]


@pytest.mark.parametrize(
    ("told", "real", "width"),
    [("60", 50, 60), ("200", 50, 80), ("1", 50, 40), ("", 50, 50), ("0", 50, 50), ("x", 50, 50),
     ("999999", 50, 50), ("", 300, 80), ("", None, 80)],
)  # fmt: skip
def test_a_talk_is_as_wide_as_its_terminal_within_40_and_80(
    told: str, real: int | None, width: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    def size(number: int) -> os.terminal_size:
        if real is None:
            raise OSError
        return os.terminal_size((real, 24))

    monkeypatch.setenv("COLUMNS", told)
    monkeypatch.setattr(os, "get_terminal_size", size)
    monkeypatch.setattr(sys, "stdout", SimpleNamespace(fileno=lambda: 1, encoding="ascii"))
    found = screen.terminal(lambda text: None)
    assert (found.width, found.encoding) == (width, "ascii")


def test_a_paragraph_is_led_within_its_indent() -> None:
    shown: list[str] = []
    held = screen.Screen(shown.append, lambda prompt: None, 20)
    held.say("one two three four", 6, "FAIL")
    held.say("")
    held.say("one two three four five")
    assert "".join(shown) == (
        "FAIL  one two three\n      four\n\none two three four\nfive\n"
    )  # fmt: skip


@pytest.mark.parametrize(("key", "before"), [("a", "a"), ("b", "a"), ("c", "b")])
def test_one_question_back_is_the_one_before(key: str, before: str) -> None:
    said: list[str] = []
    talk: Any = SimpleNamespace(_say=said.append)
    questions: Any = [SimpleNamespace(key=each) for each in "abc"]
    asked = next(each for each in questions if each.key == key)
    assert Conversation._before(talk, asked, questions) == before
    assert bool(said) == (key == "a")


@pytest.mark.parametrize(
    ("again", "safety", "asked"),
    [(False, False, False), (False, True, True), (True, False, True), (True, True, True)],
)
def test_what_lacks_is_asked_of_safety_or_of_all_again(
    again: bool, safety: bool, asked: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    verdict = SimpleNamespace(rule=SimpleNamespace(safety=safety))
    question, put = SimpleNamespace(key="k"), SimpleNamespace(key="put")
    facts = SimpleNamespace(settled=("told",), is_answered=lambda question, again: False)
    monkeypatch.setattr(conversation, "plan", lambda facts: [
        SimpleNamespace(key=key, parts=[SimpleNamespace(path=(key, "a"), also=[(key, "b")])])
        for key in ("told", "asked")
    ])  # fmt: skip

    def still_open(verdicts: list[Any], facts: Any, known: set[Any]) -> list[Any]:
        assert known == {("told", "a"), ("told", "b")}
        return [each for _ in verdicts for each in (question, put)]

    monkeypatch.setattr(conversation, "still_open", still_open)
    talk: Any = SimpleNamespace(
        again=again, put={"put"}, draft=SimpleNamespace(facts=lambda: facts),
        telling=SimpleNamespace(standing=lambda draft: [verdict]),
    )  # fmt: skip
    assert Conversation._more_to_settle(talk) is asked
    assert len(talk.unsettled) == asked


@pytest.mark.parametrize(("parts", "listed"), [
    ("pump", "pump"), ("pump tank", "pump and tank"), ("pump tank mat", "pump, tank and mat"),
])  # fmt: skip
def test_what_nobody_told_is_listed_with_an_and_and_sized_after_a_yes(
    parts: str, listed: str
) -> None:
    said: list[str] = []
    for typed in ("yes", "no", None):
        talk: Any = SimpleNamespace(
            draft=SimpleNamespace(to_size=parts.split, path="f.toml"),
            screen=SimpleNamespace(
                blank=lambda: None, say=said.append, line=lambda _, typed=typed: typed
            ),
        )
        assert Conversation.to_be_sized(talk) is (typed == "yes")
        assert said.pop().startswith(f"Nobody told the {listed}: wellsolar size f.toml -o ")


def test_a_table_of_which_several_answers_wait_is_told_once() -> None:
    paths = [("pump", 0, "power"), ("pump", 1, "name"), ("pump", 1, "flow"),
             ("hand_pump", "kind"), ("hand_pump", "stroke")]  # fmt: skip
    facts = SimpleNamespace(
        get=lambda *path: "bottom one" if path == ("pump", 1, "name") else None
    )
    draft: Any = SimpleNamespace(facts=lambda: facts, waiting=dict.fromkeys(paths))
    assert telling._waiting(draft) == ["pump", "bottom one", "hand pump"]


@pytest.mark.parametrize(
    ("due", "judged", "told"),
    [(True, True, "f: looked."), (False, True, "f: last."), (True, False, "not yet")],
)
def test_the_end_looks_anew_at_a_file_that_has_changed(
    due: bool, judged: bool, told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[str] = []
    monkeypatch.setattr(telling, "_waiting", lambda draft: [])
    monkeypatch.setattr(telling, "_counted", lambda look: look.name)
    looks = {name: SimpleNamespace(name=name, standing=()) for name in ("looked", "last")}
    held: Any = SimpleNamespace(
        due=due, last=looks["last"], _looked=lambda file: looks["looked"], system="US",
        not_yet=lambda draft: said.append("not yet"),
        screen=SimpleNamespace(heading=lambda text: None, say=said.append),
    )  # fmt: skip
    draft: Any = SimpleNamespace(site_file=lambda: object() if judged else None, path="f")
    Telling.end(held, draft)
    assert said[0].startswith(told)
    assert ("--again" in said[1]) == (not judged)
