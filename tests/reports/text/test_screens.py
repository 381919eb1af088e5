"""One screen of what a command found, and of sites side by side: each line counted by hand."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any
from unittest import mock

import pytest

from wellsolar import kinds
from wellsolar.reports.text import compare_screen, screen
from wellsolar.reports.text.screen import MARK, SET, SUBJECT, Block
from wellsolar.units import Quantity
from wellsolar.verdicts import say

LONG = "alpha (beta), gamma; delta epsilon"
"""Behind four columns three lines of 20, without its brackets two, of one clause less one."""


@pytest.mark.parametrize(
    ("most", "told", "lines"),
    [
        (None, {}, ["A   alpha (beta),", "    gamma; delta", "    epsilon"]),
        (3, {}, ["A   alpha (beta),", "    gamma; delta", "    epsilon"]),
        (2, {}, ["A   alpha, gamma;", "    delta epsilon"]),
        (1, {}, ["A   alpha, gamma"]), (1, {"dots": True}, ["A   alpha, gamma ..."]),
        (2, {"dots": True}, ["A   alpha, gamma;", "    delta epsilon"]),
        # With the end, 17 columns of 16, only the first clause has room.
        (1, {"end": " - me"}, ["A   alpha - me"]),
        (1, {"whole": True}, ["A   alpha (beta),", "    gamma; delta", "    epsilon"]),
    ],
)  # fmt: skip
def test_a_text_loses_its_brackets_and_then_clause_by_clause(
    most: int | None, told: dict[str, Any], lines: list[str]
) -> None:
    assert Block("A", 4, LONG, **told).lines(20, most) == lines


@pytest.mark.parametrize(
    ("text", "told", "most", "lines"),
    [
        # A name may stand before its colon whole, else short.
        ("a pump: runs dry", {"short": "a pump"}, 1, ["A   a pump: runs dry"]),
        ("a pump of the well: runs", {"short": "a pump"}, 1, ["A   a pump: runs"]),
        ("a pump of x: dry, dead", {"short": "pump"}, 1, ["A   a pump of x: dry"]),
        # 17 columns of 16, and 15 with the short one.
        ("a pump of it: dry, dead", {"short": "pump"}, 1, ["A   pump: dry, dead"]),
        # Words are left out where no clause is left.
        ("one two three four", {}, 1, ["A   one two ..."]),
        ("one two, three four five six", {}, 1, ["A   one two"]),
        ("seventeen letters.", {}, 1, ["A   seventeen ..."]),
        ("w" * 40, {}, 1, ["A    ..."]),
    ],
)  # fmt: skip
def test_a_text_that_has_no_room_is_cut(
    text: str, told: dict[str, Any], most: int, lines: list[str]
) -> None:
    assert Block("A", 4, text, **told).lines(20, most) == lines


def judgement(status: str, safety: bool = False) -> Any:
    return SimpleNamespace(status=status, rule=SimpleNamespace(safety=safety))


HURTS = ("fail", True)


@pytest.mark.parametrize(
    ("verdicts", "told"),
    [
        ([("pass",)], "nothing fails in 1 check"),
        ([("pass",), ("pass",)], "nothing fails in 2 checks"),
        ([("fail",)], "1 of 1 check fails"), ([HURTS], "1 of 1 check fails (can hurt)"),
        ([HURTS, ("fail",), ("caution",)], "2 of 3 checks fail (1 can hurt), 1 caution"),
        ([("unknown", True), ("unknown", True), ("caution",), ("caution", True)],
         "nothing fails in 4 checks, 2 unknown (can hurt), 2 cautions (1 can hurt)"),
        ([("pass", True), ("unknown",)], "nothing fails in 2 checks, 1 unknown"),
    ],
)  # fmt: skip
def test_verdicts_are_counted_in_words(verdicts: list[tuple[Any, ...]], told: str) -> None:
    made = [judgement(*each) for each in verdicts]
    results: Any = SimpleNamespace(verdicts=made, readings=None, notes=())
    assert screen.judged(results) == told


@pytest.mark.parametrize(
    ("verdicts", "told"),
    [
        ([("pass",), ("pass",)], "nothing is off in 2 readings"),
        ([("caution",)], "1 of 1 reading is off"), ([HURTS], "1 of 1 reading is off (can hurt)"),
        ([HURTS, ("caution",), ("unknown", True)],
         "2 of 3 readings are off (1 can hurt), 1 unknown"),
    ],
)  # fmt: skip
def test_readings_are_counted_in_words(verdicts: list[tuple[Any, ...]], told: str) -> None:
    made = [judgement(*each) for each in verdicts]
    assert screen.judged(SimpleNamespace(verdicts=made, readings=1, notes=())) == told  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("notes", "told"), [((), "nothing to judge"), (("no sun", "b"), "no sun"), (("a.",), "a")]
)
def test_without_verdicts_the_first_note_is_told(notes: tuple[str, ...], told: str) -> None:
    for readings in (None, 1):
        results: Any = SimpleNamespace(verdicts=(), readings=readings, notes=notes)
        assert screen.judged(results) == told


def piece(subject: str, *rules: str, safety: bool = False, status: str = "fail") -> Any:
    clears = [SimpleNamespace(rule=SimpleNamespace(key=rule)) for rule in rules]
    return SimpleNamespace(act="buy", subject=subject, clears=clears, safety=safety, by="owner",
                           status=status, first=say("buy it"), needs=())  # fmt: skip


def read(*keys: str, by: str = "owner", safety: bool = False) -> Any:
    return SimpleNamespace(act="read", by=by, safety=safety, needs=keys)


def test_work_is_told_by_what_it_clears_first_and_how_many_more() -> None:
    one, two, three, own = screen._work(
        [piece("pump", "yield"), piece("pump", "yield", "b", safety=True, status="unknown"),
         piece("tank", "c", "b", "d"), piece("a reading", "reading")], "US"
    )  # fmt: skip
    assert [(each.mark, each.text) for each in (one, two, three, own)] == [
        ("FAIL", "pump, yield: buy it"), ("UNKNOWN!", "pump, yield and 1 more: buy it"),
        ("FAIL", "tank, c and 2 more: buy it"), ("FAIL", "a reading: buy it"),
    ]  # fmt: skip
    assert [two.end, two.safety, two.status, two.short] == [" - owner", True, "unknown", "pump"]
    assert {each.begin for each in (one, two)} == {MARK}


def test_keys_to_read_are_put_together_by_whose_work_it_is_each_once() -> None:
    work = screen._work(
        [read("a", "b"), piece("pump", "yield"), read("b", "c"), read("c", "d", by="plumber"),
         read("e", safety=True), read("a", by="driller")], "US"
    )  # fmt: skip
    assert [(each.mark, each.text, each.end, each.whole) for each in work] == [
        ("UNKNOWN", "find out a, b, c", " - owner", False),
        ("FAIL", "pump, yield: buy it", " - owner", False),
        ("UNKNOWN", "find out d", " - plumber", False),
        ("UNKNOWN!", "find out e", " - owner", True),
    ]


def line(status: str, safety: bool = False, begin: int = MARK) -> Block:
    return Block("M", begin, status, status=status, safety=safety)


WORK = [line("r0"), line("h0", safety=True), line("r1"), line("h1", safety=True), line("r2")]
BLOCKS = [line(f"b{place}", begin=SUBJECT) for place in range(5)]


@pytest.mark.parametrize(
    ("room", "kept"),
    [
        (1, "h0 h1"), (2, "h0 h1"), (4, "h0 h1 b0 b1"), (5, "h0 h1 b0 b1 b2"),
        (7, "h0 h1 b0 b1 b2 r0 r1"), (9, "h0 h1 b0 b1 b2 r0 r1 r2 b3"),
        (20, "h0 h1 b0 b1 b2 r0 r1 r2 b3 b4"),
    ],
)  # fmt: skip
def test_what_can_hurt_is_kept_then_a_few_answers_then_work(room: int, kept: str) -> None:
    assert [block.status for block in screen._kept(WORK, BLOCKS, 80, room)] == kept.split()


@pytest.mark.parametrize(
    ("room", "lines"),
    [(3, [1, 1, 1]), (4, [2, 1, 1]), (5, [2, 2, 1]), (6, [2, 2, 2]), (7, [3, 2, 2]),
     (8, [3, 2, 3]), (9, [3, 2, 4]), (20, [3, 2, 4])],
)  # fmt: skip
def test_what_is_kept_grows_line_by_line_to_four(room: int, lines: list[int]) -> None:
    """Of eight words a line, behind four columns of 20: three lines, two and five."""
    kept = [Block("A", 4, "w " * (8 * count - 1) + "w") for count in (3, 2, 5)]
    grown = screen._grown(kept, 20, room)
    assert [len(grown[id(block)]) for block in kept] == lines


def test_what_is_left_out_is_counted_by_its_sort() -> None:
    left = [line(each) for each in ("answer", "unknown", "answer", "unknown", "fail")]
    assert screen._counted(left) == "2 answers, 2 unknown, 1 fail"


@pytest.mark.parametrize(("letters", "told"), [(46, True), (47, False)])
def test_care_has_two_lines_but_for_the_longest_word(letters: int, told: bool) -> None:
    """2 x 70 columns less 14 are 126: 43 and 2 and 46 and 35 of whose work it is."""
    results: Any = SimpleNamespace(cautions=("x" * 43, "y" * letters))
    lines = screen._end(results, 200)
    assert lines[0].startswith(f"{'CARE':10}x")
    assert ("y" * 46 in lines[0]) == told
    assert lines[-1].startswith(f"{'MORE':10}--full")
    assert len(screen._end(SimpleNamespace(cautions=()), 200)) == 1  # type: ignore[arg-type]


def found(answers: int = 0, work: Sequence[Any] = (), **other: Any) -> Any:
    usual = {"notes": (), "verdicts": (), "assumptions": (), "cautions": (), "readings": None}
    return SimpleNamespace(
        site_name="n", system="US", todo=work,
        answers=[SimpleNamespace(subject=f"s{place}", text=say("it runs"))
                 for place in range(answers)], **(usual | other),
    )  # fmt: skip


def drawn(results: Any) -> list[str]:
    """A screen whose head and end have one line each."""
    with mock.patch.multiple(
        screen, headline=lambda results: "head", _end=lambda results, width: ["end"]
    ):
        return screen.screen(results).splitlines()


@pytest.mark.parametrize(
    ("answers", "told", "blanks"),
    [(3, 3, 2), (20, 20, 2), (21, 21, 0), (22, 22, 0), (23, 21, 0), (40, 21, 0), (0, 0, 1)],
)
def test_a_screen_of_24_lines_has_blanks_where_all_groups_can_be_parted(
    answers: int, told: int, blanks: int
) -> None:
    """Head, end and 20 answers are 22 lines: two are left for two blanks."""
    lines = drawn(found(answers))
    assert lines.count("") == blanks
    assert [each for each in lines if each.startswith("s")] == [
        f"{f's{place}':18}it runs." for place in range(told)
    ]
    left = [f"Left out: {answers - told} answers; --full has them."] if answers > told else []
    assert lines[-1 - len(left) :] == [*left, "end"]
    assert lines[0] == "head"
    assert len(lines) == 2 + told + blanks + len(left) <= 24


def test_work_stands_before_answers_and_what_was_set_and_lacks_behind_them() -> None:
    metres = Quantity(30.48, kinds.LENGTH)
    by_hand = [SimpleNamespace(source=source, path=path, value=metres)
               for source, path in zip((SET, "file", SET), "abc", strict=True)]  # fmt: skip
    results = found(1, [piece("pump", "yield")], assumptions=by_hand,
                    notes=("no sun in the file", "no well in the file: give it"))  # fmt: skip
    assert drawn(results) == [
        "head", "", "FAIL      pump, yield: buy it - owner", "", f"{'s0':18}it runs.",
        f"{'set by --with':18}a = 100 ft, c = 100 ft", f"{'not in the file':18}sun, well.", "",
        "end",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("answers", "notes", "verdicts", "told"),
    [
        (0, ("no sun",), (1,), "n: well. No sun."), (0, ("no sun",), (), "n: well."),
        (0, (), (1,), "n: well."),
        (2, ("no sun",), (1,), "n: well. In short, s0: it runs; s1: it runs."),
    ],
)  # fmt: skip
def test_a_headline_has_the_answers_or_else_the_first_note(
    answers: int, notes: tuple[str, ...], verdicts: tuple[int, ...], told: str
) -> None:
    with mock.patch.object(screen, "judged", return_value="well"):
        assert screen.headline(found(answers, notes=notes, verdicts=verdicts)) == told


def test_states_at_the_beginning_of_a_line_are_coloured() -> None:
    assert screen.coloured("FAIL! a FAIL\nb FAIL\nCAUTION c") == (
        "\033[31;1mFAIL!\033[0m a FAIL\nb FAIL\n\033[33mCAUTION\033[0m c"
    )


ROWS = [("x, y", ["pass", "fail"]), ("a number, its name", ["10 ft", "-"])]


def test_sites_stand_in_columns_to_the_right_where_names_have_30() -> None:
    """5 columns of the first site, 4 of the second and a gap of 2 before each are 13: of 43 they
    leave 30."""
    assert compare_screen._table(("A", "B"), ROWS, 43) == [
        f"{'':30}      A     B",
        f"{'x, y':30}   pass  fail",
        f"{'a number, its name':30}  10 ft     -",
    ]  # fmt: skip
    assert compare_screen._table(("A", "B"), ROWS, 42) == [
        "x, y: A pass, B fail", "a number, its name: A 10 ft, B -"
    ]  # fmt: skip
    long = [("a name of words of thirty columns", ["1", "2"])]
    assert (
        compare_screen._table(("A", "B"), long, 36)[1] == f"{'a name of words of thirty':30}  1  2"
    )
    assert compare_screen._table(("A", "B"), long, 20) == ["a name of words of"]


def compared(sites: int, verdicts: Sequence[Any] = (), numbers: Sequence[Any] = ()) -> Any:
    return SimpleNamespace(
        names=[chr(65 + place) for place in range(sites)], titles=["t"] * sites,
        sites=[None] * sites, verdicts=verdicts, numbers=numbers,
    )  # fmt: skip


@pytest.mark.parametrize(("sites", "lines"), [(2, 2), (6, 2), (7, 1), (12, 1)])
def test_sites_have_their_first_line_alone_where_they_would_take_half_a_screen(
    sites: int, lines: int
) -> None:
    """Of two lines each six are twelve of 24."""
    words = " ".join(["judgement"] * 8)
    with mock.patch.object(compare_screen, "judged", return_value=words):
        shown = compare_screen.compare_screen(compared(sites), "US").splitlines()
    assert [each[0] for each in shown].index("V") == sites * lines
    assert shown[0].startswith("A  t: judgement")
    if lines == 2:
        assert shown[1] == "   judgement"
    assert shown[sites * lines :] == [
        "Verdicts: 0 differ, 0 the same. Numbers: 0 differ, 0 the same.",
        "No verdict or number differs.", compare_screen.MORE,
    ]  # fmt: skip


def differing(place: int, hurts: bool = False) -> Any:
    return SimpleNamespace(subject=f"v{place:02}", key="k", statuses=("pass", "fail"),
                           safety=hurts, differs=True, shared=True)  # fmt: skip


def number(place: int) -> Any:
    both = Quantity(1.0, kinds.COUNT), Quantity(2.0, kinds.COUNT)
    return SimpleNamespace(part=f"n{place:02}", label="l", differs=True, shared=True, values=both)


@pytest.mark.parametrize(
    ("hurt", "fail", "numbers", "told", "left"),
    [
        # 24 less two sites, the head, the table's head and the last line are 19.
        (0, 10, 9, (10, 9), ""), (0, 19, 0, (19, 0), ""),
        (0, 20, 0, (18, 0), "2 verdicts"), (0, 10, 10, (10, 8), "2 numbers"),
        (0, 20, 2, (16, 2), "4 verdicts"), (0, 20, 9, (14, 4), "6 verdicts, 5 numbers"),
        (0, 0, 20, (0, 18), "2 numbers"), (18, 20, 9, (18, 0), "2 verdicts, 9 numbers"),
        (21, 21, 9, (21, 0), "9 numbers"), (16, 17, 9, (16, 2), "1 verdicts, 7 numbers"),
    ],
)  # fmt: skip
def test_verdicts_and_a_few_numbers_share_a_screen(
    hurt: int, fail: int, numbers: int, told: tuple[int, int], left: str
) -> None:
    both = compared(2, [differing(place, place >= fail - hurt) for place in range(fail)],
                    [number(place) for place in range(numbers)])  # fmt: skip
    with mock.patch.object(compare_screen, "judged", return_value="well"):
        lines = compare_screen.compare_screen(both, "US").splitlines()
    assert tuple(sum(each[0] == mark for each in lines) for mark in "vn") == told
    assert [each for each in lines if each.startswith("Left")] == [f"Left out: {left}"] * bool(
        left
    )
    assert lines[-1] == compare_screen.MORE
    rows = [each for each in lines if each[0] == "v"]
    hurting = [f"v{place:02}" for place in range(fail - hurt, fail)]
    assert [each[:3] for each in rows[:hurt]] == hurting


def test_a_screen_has_80_columns_at_most() -> None:
    """40 letters with a blank between them are 79 columns; a wider screen has no more."""
    results = found(1, notes=("no " + "w " * 70 + "in the file",))
    for width in (80, 81, 200):
        with mock.patch.object(screen, "headline", return_value="h " * 60):
            lines = screen.screen(results, width).splitlines()
        assert lines[0] == ("h " * 40).rstrip()
    with mock.patch.object(screen, "headline", return_value="h " * 60):
        assert screen.screen(results, 40).splitlines()[0] == ("h " * 20).rstrip()
    both = compared(2, [differing(0)])
    with mock.patch.object(compare_screen, "judged", return_value="j " * 60):
        wide, narrow = (
            compare_screen.compare_screen(both, "US", width).splitlines()[0] for width in (200, 60)
        )
    # 6 columns before the judgement: 37 letters and their blanks are 73 more.
    assert wide == f"A  t: {'j ' * 37}".rstrip()
    assert narrow == f"A  t: {'j ' * 27}".rstrip()


def test_a_long_answer_grows_as_far_as_the_screen_has_lines() -> None:
    """Head, end and 20 answers of a line are 22: two are left for the long one."""
    results = found(20)
    results.answers[0].text = say(" ".join(["word"] * 80))
    lines = drawn(results)
    assert len(lines) == 24
    assert [line[:2] for line in lines] == [
        "he", "s0", "  ", "  ", *[f"s{place}"[:2] for place in range(1, 20)], "en",
    ]  # fmt: skip
