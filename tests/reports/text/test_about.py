"""What many finds of a word are told as."""

from __future__ import annotations

import pytest

from tests.reports.tables.made import BARE, Made
from wellsolar.reports.text.about import SOURCE, Found, _found, _near, _singular, about


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
