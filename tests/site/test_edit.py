"""A value goes into a file and leaves every other line as it was."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.interview.notes import put_back, taken_out
from wellsolar.site.edit import NotEditable, drop, put
from wellsolar.site.locate import Path, set_at, value_at
from wellsolar.site.starter import starter_text

HAND_WRITTEN = """\
# My well.

site = { name = "Invented", people = 3 } # in one line

[well] # by the log
static_level = "85 ft"   # in a dry spring
depth        = "180 ft"
# casing_bore = "6 in"

# ---------------- pumps
[[pump]]
name = "one"
flow = "0, 4, 8 gpm"
head = "300, 250, 180 ft"
cable = { gauge = "12 AWG" } # as printed

[piping.drop_pipe]
size = "1 in"
"""


def lines_lost(before: str, after: str) -> list[str]:
    there = after.split("\n")
    return [line for line in before.split("\n") if line not in there]


@pytest.mark.parametrize(
    ("path", "value", "beside"),
    [
        (("well", "tested_yield"), "8 gpm", 'depth        = "180 ft"'),
        (("pump", 0, "intake_depth"), "150 ft", 'cable = { gauge = "12 AWG" } # as printed'),
        (("piping", "pitless_depth"), "4 ft", "[piping]"),
        (("piping", "drop_pipe", "material"), "PVC sch 40", 'size = "1 in"'),
    ],
)
def test_a_new_key_stands_behind_its_like(path: Path, value: str, beside: str) -> None:
    made = put(HAND_WRITTEN, path, value)
    assert not lines_lost(HAND_WRITTEN, made)
    lines = made.split("\n")
    assert lines[lines.index(beside) + 1] == f'{path[-1]} = "{value}"'


def test_a_new_table_stands_in_the_order_of_a_site_file() -> None:
    made = put(HAND_WRITTEN, ("pressure_switch", "cut_in"), "40 psi", "a remark")
    assert not lines_lost(HAND_WRITTEN, made)
    assert '\n[pressure_switch]\ncut_in = "40 psi"  # a remark\n' in made
    made = put(made, ("demand", "peak_flow"), "6 gpm")
    heads = [line for line in made.split("\n") if line.startswith("[")]
    assert heads == ["[demand]", "[well] # by the log", "[[pump]]", "[piping.drop_pipe]",
                     "[pressure_switch]"]  # fmt: skip


def test_a_second_pump_stands_behind_the_first() -> None:
    made = put(HAND_WRITTEN, ("pump", 1, "name"), "two")
    assert [each["name"] for each in tomllib.loads(made)["pump"]] == ["one", "two"]
    assert not lines_lost(HAND_WRITTEN, made)


def test_a_value_is_replaced_and_its_remark_stays() -> None:
    made = put(HAND_WRITTEN, ("well", "static_level"), "90 ft")
    assert lines_lost(HAND_WRITTEN, made) == ['static_level = "85 ft"   # in a dry spring']
    assert 'static_level = "90 ft"   # in a dry spring' in made


def test_what_stands_in_braces_stays_there() -> None:
    made = put(put(HAND_WRITTEN, ("site", "people"), 4), ("site", "latitude"), "41 deg")
    head = 'site = { name = "Invented", people = 4, latitude = "41 deg" } # in one line'
    assert head in made.split("\n")
    made = put(HAND_WRITTEN, ("pump", 0, "cable", "length"), "240 ft")
    assert 'cable = { gauge = "12 AWG", length = "240 ft" } # as printed' in made.split("\n")


def test_the_reason_of_an_offer_goes_with_the_value() -> None:
    made = put(HAND_WRITTEN, ("well", "casing_bore"), "6 in", "offered: usual")
    assert 'casing_bore = "6 in"  # offered: usual' in made.split("\n")
    made = put(made, ("well", "casing_bore"), "5 in")
    assert 'casing_bore = "5 in"' in made.split("\n")


def test_a_table_goes_and_the_rest_stays() -> None:
    made = drop(HAND_WRITTEN, ("pump", 0))
    assert "pump" not in tomllib.loads(made) or tomllib.loads(made)["pump"] == []
    assert "[well] # by the log" in made.split("\n")
    assert drop(HAND_WRITTEN, ("module",)) == HAND_WRITTEN


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ('well.depth = "180 ft" # deep\nwell.static_level = "85 ft"\n', ("well", "casing_bore")),
        ('# one line\npump = [ { name = "one" }, { name = "two" } ]\n', ("pump", 1, "voltage")),
        ('[well]\ndepth = "180 ft"', ("well", "casing_bore")),
        ('[well]\nstep_test.flow = "3, 5 gpm" # by the log\n', ("well", "step_test", "drawdown")),
        ('["well"]\n"depth" = """180 ft"""\n', ("well", "casing_bore")),
    ],
)
def test_other_layouts_of_toml_are_taken_too(text: str, path: Path) -> None:
    made = put(text, path, "6")
    wanted = tomllib.loads(text)
    set_at(wanted, path, "6")
    assert tomllib.loads(made) == wanted
    assert made.count("#") == text.count("#")


def test_a_layout_that_allows_no_change_is_refused() -> None:
    with pytest.raises(NotEditable):
        put('well = { depth = "180 ft" }\n', ("well", "depth", "more"), "1 ft")


VALUES = st.one_of(
    st.text(st.characters(blacklist_categories=["Cc", "Cs"]), max_size=20),
    st.integers(0, 10**6),
    st.booleans(),
)
PATHS: list[Path] = [
    ("site", "note"), ("well", "casing_bore"), ("well", "depth"), ("pump", 0, "voltage"),
    ("pump", 1, "name"), ("pump", 1, "cable", "gauge"), ("pump", 2, "name"),
    ("piping", "lateral", "size"), ("piping", "drop_pipe", "size"), ("piping", "tank_elevation"),
    ("pressure_switch", "cut_in"), ("hand_pump", "bore"), ("water_heater", "volume"),
    ("water_heater", "element", 0, "position"), ("water_heater", "element", 1, "fed_by"),
    ("water_heater", "mixing_valve", "outlet"), ("array", 0, "name"), ("sun", "clearness"),
    ("limits", "velocity"), ("power", "grid"),
]  # fmt: skip


@settings(max_examples=50, deadline=None)
@given(
    st.sampled_from([HAND_WRITTEN, starter_text(), "# nothing yet\n", ""]),
    st.lists(st.tuples(st.sampled_from(PATHS), VALUES), max_size=12),
)
def test_whatever_is_put_in_stands_there_and_nothing_else_changes(
    text: str, puts: list[tuple[Path, str | int | bool]]
) -> None:
    wanted = tomllib.loads(text)
    remarks = [line.strip() for line in text.split("\n") if line.strip().startswith("#")]
    for path, value in puts:
        place = next((i for i, part in enumerate(path) if isinstance(part, int)), None)
        if (
            place is not None
            and path[place]
            and value_at(wanted, (*path[:place], int(path[place]) - 1)) is None
        ):
            continue
        text = put(text, path, value)
        set_at(wanted, path, value)
    assert tomllib.loads(text) == wanted
    kept = [line.strip() for line in text.split("\n") if line.strip().startswith("#")]
    assert kept == remarks


@given(
    st.dictionaries(
        st.sampled_from(["pumps", "well.depth", "pump[a name].curve", "hand_pump"]),
        st.sampled_from(["no", "not known", "2"]),
    ),
    st.dictionaries(st.sampled_from(PATHS), VALUES),
)
def test_remarks_come_back_as_they_went(settled: dict[str, str], waiting: dict[Path, str]) -> None:
    remarks = dict.fromkeys(list(waiting)[:2], "offered: as usual")
    notes = taken_out(put_back(HAND_WRITTEN, settled, waiting, remarks))
    assert (notes.settled, notes.waiting, notes.remarks) == (settled, waiting, remarks)
    assert notes.text == HAND_WRITTEN
    assert notes.there == bool(settled or waiting)
    assert taken_out(HAND_WRITTEN).text == HAND_WRITTEN
