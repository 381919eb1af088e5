"""The lines on which the keys of a TOML text stand."""

from __future__ import annotations

import tomllib
from pathlib import Path
from textwrap import dedent

import pytest

from wellsolar.site.locate import key_text, line_of, lines_of, statements

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


def located(text: str) -> dict[tuple[str | int, ...], int]:
    plain = dedent(text)
    tomllib.loads(plain)
    return lines_of(plain)


def test_tables_and_keys() -> None:
    lines = located(
        """\
        # head
        top = 1

        [well]
        depth = "220 ft"   # by the log
          static_level = "85 ft"
        """
    )
    assert lines == {
        ("top",): 2,
        ("well",): 4,
        ("well", "depth"): 5,
        ("well", "static_level"): 6,
    }


@pytest.mark.parametrize("quotes", ['"""', "'''"])
def test_texts_of_several_lines(quotes: str) -> None:
    lines = located(
        f"""\
        note = {quotes}
        fake = 1
        [not_a_table]
        # "no remark
        {quotes}
        depth = "220 ft"
        """
    )
    assert lines == {("note",): 1, ("depth",): 6}


def test_quotes_at_the_end_of_a_long_text() -> None:
    lines = located(
        'a = """he said "go""""\nb = """\\"""" # still open: no\nc = \'\'\'x\'\'\'\'\nd = 1\n'
    )
    assert lines == {("a",): 1, ("b",): 2, ("c",): 3, ("d",): 4}


def test_arrays_over_several_lines() -> None:
    lines = located(
        """\
        flow = [
          "0 ] gpm",  # ]
          [1, 2],
        ]
        pump = [
          { name = "a", cable = { gauge = "12 AWG" } },
          { name = "b } {" },
        ]
        depth = 1
        """
    )
    assert lines == {("flow",): 1, ("pump",): 5, ("depth",): 9}
    assert line_of(lines, ("pump", 1, "name")) == 5


def test_inline_table_has_the_line_of_its_statement() -> None:
    lines = located(
        """\
        [[pump]]
        cable = { gauge = "12 AWG", length = "330 ft" }
        """
    )
    assert line_of(lines, ("pump", 0, "cable", "length")) == 2


def test_quoted_and_dotted_keys() -> None:
    lines = located(
        """\
        "a.b" = 1
        'c = d' = 2
        "e\\u0041]" = 3
        well.depth = 4
        well . "static level" = 5
        ["x.y".z]
        k = 6
        ["]"]
        k = 7
        """
    )
    assert lines == {
        ("a.b",): 1,
        ("c = d",): 2,
        ("eA]",): 3,
        ("well",): 4,
        ("well", "depth"): 4,
        ("well", "static level"): 5,
        ("x.y",): 6,
        ("x.y", "z"): 6,
        ("x.y", "z", "k"): 7,
        ("]",): 8,
        ("]", "k"): 9,
    }


def test_arrays_of_tables_within_each_other() -> None:
    lines = located(
        """\
        [[house]]
        [[house.tap]]
        name = "sink"
        [[house.tap]]
        name = "tub"
        [house.tap.valve]
        size = 1

        [[house]]
        [[house.tap]]
        name = "yard"
        [house.roof]
        area = 2
        """
    )
    assert lines[("house", 0)] == 1
    assert lines[("house", 0, "tap", 0, "name")] == 3
    assert lines[("house", 0, "tap", 1)] == 4
    assert lines[("house", 0, "tap", 1, "name")] == 5
    assert lines[("house", 0, "tap", 1, "valve", "size")] == 7
    assert lines[("house", 1)] == 9
    assert lines[("house", 1, "tap", 0, "name")] == 11
    assert lines[("house", 1, "roof", "area")] == 13


def test_remarks_are_no_keys() -> None:
    assert located('# a = 1\n   # [b]\n\t\nc = "x # y" # d = 2\n') == {("c",): 4}


def test_table_named_after_its_inner_table() -> None:
    lines = located("[piping.lateral]\nsize = 1\n[piping]\ndepth = 2\n")
    assert lines[("piping",)] == 3


def test_missing_key_is_placed_at_the_nearest_table() -> None:
    lines = located("[[pump]]\nname = 1\n[[pump]]\nname = 2\n")
    assert line_of(lines, ("pump", 1, "head")) == 3
    assert line_of(lines, ("pump",)) == 1
    assert line_of(lines, ("sun", "monthly")) is None


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_line_ends(end: str) -> None:
    text = end.join(["[well]", 'note = "a\u2028b\u0085c"', "depth = 1", ""])
    assert lines_of(text)[("well", "depth")] == 3


def test_broken_text_is_still_located() -> None:
    text = '[well\ndepth = 220 ft\nlevel: 3\nnote = "open\nflow = 0, 2 gpm\n[site]\nname = x y\n'
    lines = lines_of(text)
    assert lines[("well", "depth")] == 2
    assert lines[("well", "note")] == 4
    assert lines[("well", "flow")] == 5
    assert lines[("site", "name")] == 7
    assert ("other", ("well", "level"), 3) in [
        (each.kind, each.path, each.line) for each in statements(text)
    ]


def test_statements_know_their_last_line() -> None:
    text = 'a = [\n 1,\n]\n\nb = """\nx"""\n[c]'
    assert [(each.kind, each.line, each.last) for each in statements(text)] == [
        ("key", 1, 3),
        ("key", 5, 6),
        ("head", 7, 7),
    ]


@pytest.mark.parametrize(
    "text", ["[" * 50_000, "a." * 50_000, '"' * 50_001, "a = " + "'" * 50_001]
)
def test_nonsense_takes_no_time(text: str) -> None:
    assert isinstance(lines_of(text), dict)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_plain_value_of_an_example_is_on_its_line(path: Path) -> None:
    """Outside of any reading of ours: the value that tomllib gives stands on the line named."""
    text = path.read_text(encoding="utf-8")
    lines = lines_of(text)
    checked = 0
    for key, value in leaves(tomllib.loads(text), ()):
        if key in lines and isinstance(value, str) and "\n" not in value:
            assert f'"{value}"' in text.split("\n")[lines[key] - 1]
            checked += 1
    assert checked >= 5


def leaves(
    value: object, above: tuple[str | int, ...]
) -> list[tuple[tuple[str | int, ...], object]]:
    if isinstance(value, dict):
        return [leaf for key, each in value.items() for leaf in leaves(each, (*above, key))]
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return [leaf for i, each in enumerate(value) for leaf in leaves(each, (*above, i))]
    return [(above, value)]


def test_key_text_counts_from_one() -> None:
    assert key_text(("pump", 1, "cable", "length")) == "pump[2].cable.length"
    assert key_text(()) == ""
