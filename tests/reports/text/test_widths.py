"""How wide columns and pages are, and where a text breaks, each counted by hand."""

from __future__ import annotations

import io
import os
from collections.abc import Sequence

import pytest

from wellsolar.reports.text.layout import (
    FIRST_COLUMN,
    NARROWEST,
    WIDEST,
    blocks,
    columns,
    least_width,
    short_header,
    widened,
    width_of,
    wrapped,
)


@pytest.mark.parametrize(
    ("header", "width"),
    [
        # Of seven columns "one two" and "three" are two lines, of six they are three.
        (["one two three"], 7), (["a", "(ft)"], 1), (["ab cd", "(feet)"], 2),
        (["abcdef"], 3), (["one two"], 3),
    ],
)  # fmt: skip
def test_a_label_has_two_lines_in_so_many_columns(header: Sequence[str], width: int) -> None:
    assert short_header(header) == width


@pytest.mark.parametrize(
    ("header", "texts", "numeric", "width"),
    [
        (["a header", "(ft)"], ["1", "23"], True, 6), (["b", "(ft)"], ["1 234"], True, 5),
        (["b", "(gallons)"], ["1"], True, 9), (["b" * 20], ["word"], False, 20),
        (["b"], ["two words"], False, 5), (["b"], ["w" * 16], False, 16),
        (["b"], ["w" * 17], False, 16), (["b"], [], True, 1),
    ],
)  # fmt: skip
def test_a_column_breaks_no_number_and_no_word_of_16_letters(
    header: Sequence[str], texts: Sequence[str], numeric: bool, width: int
) -> None:
    assert least_width(len, header, texts, numeric) == width


@pytest.mark.parametrize(
    ("least", "room", "gap", "parted"),
    [
        # 5 + 1 + 10 + 1 + 10 are 27; with gaps of 2 they are 29.
        ([5, 10, 10], 27, 1, [[0, 1, 2]]), ([5, 10, 10], 26, 1, [[0, 1], [0, 2]]),
        ([5, 10, 10], 29, 2, [[0, 1, 2]]), ([5, 10, 10], 28, 2, [[0, 1], [0, 2]]),
        ([5, 10, 10, 10, 10], 27, 1, [[0, 1, 2], [0, 3, 4]]),
        ([10, 5, 5, 5, 5], 22, 1, [[0, 1, 2], [0, 3, 4]]),
        ([5, 40, 40], 28, 1, [[0, 1], [0, 2]]), ([5], 3, 1, [[0]]),
        # After a column that is too wide alone there is room again.
        ([5, 40, 10, 10], 27, 1, [[0, 1], [0, 2, 3]]),
    ],
)  # fmt: skip
def test_columns_stand_in_blocks_that_fit(
    least: Sequence[int], room: int, gap: int, parted: list[list[int]]
) -> None:
    assert blocks(least, room, gap) == parted


@pytest.mark.parametrize(
    ("least", "wished", "room", "gap", "widths"),
    [
        # 12 columns and two gaps of 2 leave 4 of 20, all to the first.
        ([4, 4, 4], [10, 8, 6], 20, 2, [8, 4, 4]),
        # Of 26 they leave 10: six for the first, then one by one to whom most lacks, of two the
        # first.
        ([4, 4, 4], [10, 8, 6], 26, 2, [10, 7, 5]),
        ([4, 4, 4], [10, 8, 6], 28, 2, [10, 8, 6]), ([4, 4, 4], [10, 8, 6], 40, 2, [10, 8, 6]),
        ([4, 4, 4], [10, 8, 6], 27, 2, [10, 8, 5]),
        # What has no room stays as narrow as it can be.
        ([10, 10], [20, 20], 15, 2, [10, 10]),
        # A first column that has more than it wants gives nothing away.
        ([10, 4], [6, 8], 20, 2, [10, 8]), ([4], [9], 7, 2, [7]),
        # 24 for the first, then 56 lack the second and 36 the first.
        ([4, 4], [60, 60], 40, 2, [24, 14]), ([4, 4], [60, 60], 30, 2, [24, 4]),
    ],
)  # fmt: skip
def test_what_is_left_over_goes_to_the_names_then_where_most_lacks(
    least: Sequence[int], wished: Sequence[int], room: int, gap: int, widths: list[int]
) -> None:
    assert widened(least, wished, room, gap) == widths


def test_a_page_has_40_to_100_columns_and_names_24() -> None:
    assert (NARROWEST, WIDEST, FIRST_COLUMN) == (40, 100, 24)


class _Screen(io.StringIO):
    def fileno(self) -> int:
        return 1


@pytest.mark.parametrize(
    ("told", "real", "width"),
    [("", 50, 50), ("60", 50, 60), ("0", 50, 50), ("1", 50, 40), ("x", 50, 50), ("", 0, 100),
     ("", 1, 40), ("", 120, 100)],
)  # fmt: skip
def test_a_page_is_as_wide_as_its_terminal_unless_it_is_told(
    told: str, real: int, width: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", told)
    monkeypatch.setattr(os, "get_terminal_size", lambda stream: os.terminal_size((real, 24)))
    assert width_of(_Screen()) == width


@pytest.mark.parametrize(
    ("text", "width", "begin", "rest", "lines"),
    [
        ("abc def", 7, "", "", ["abc def"]), ("abc def", 6, "", "", ["abc", "def"]),
        ("abc de", 8, "- ", "", ["- abc de"]), ("abc de", 7, "- ", "", ["- abc", "de"]),
        ("ab cd ef", 6, "", "> ", ["ab cd", "> ef"]), ("ab cd ef gh", 7, "", "> ",
         ["ab cd", "> ef gh"]),
        # A word that is broken: its last piece takes the next word beside it.
        ("abcdef gh", 5, "", "", ["abcde", "f gh"]),
        ("x abcdefg", 5, "", "", ["x", "abcde", "fg"]),
        ("abcdefghijk", 10, "12345 ", "", ["12345 abcd", "efgh", "ijk"]),
        ("", 5, "- ", "", ["-"]), ("abcdef", 5, "", "", ["abcde", "f"]),
        # Of two columns each.
        ("\u6c34\u6c34 \u6c34", 7, "", "", ["\u6c34\u6c34 \u6c34"]),
        ("\u6c34\u6c34 \u6c34", 6, "", "", ["\u6c34\u6c34", "\u6c34"]),
    ],
)  # fmt: skip
def test_a_paragraph_breaks_where_the_next_word_has_no_room(
    text: str, width: int, begin: str, rest: str, lines: list[str]
) -> None:
    assert wrapped(text, width, begin, rest) == lines


@pytest.mark.parametrize(
    ("text", "width"),
    [("", 0), ("abc", 3), ("\u6c34", 2), ("\u6c34\u6c34a", 5), ("e\u0301", 1),
     # An overlaid tilde is of combining class 1, an acute accent of 230 (Unicode, from memory).
     ("a\u0334", 1), ("\uff21", 2)],
)  # fmt: skip
def test_a_letter_takes_one_column_a_wide_one_two_and_a_mark_above_none(
    text: str, width: int
) -> None:
    assert columns(text) == width
