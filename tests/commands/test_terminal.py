"""What a person reads: complete, in order, uncropped, and unharmed by any name or encoding."""

from __future__ import annotations

import io
import os
import re
from collections.abc import Callable
from dataclasses import replace
from itertools import product

import pytest

from tests.commands.conftest import MADE
from tests.sampled import sampled
from wellsolar import kinds
from wellsolar.reports import rows
from wellsolar.reports.cautions import CAUTIONS
from wellsolar.reports.plain import encodable, plain
from wellsolar.reports.tables import sections as table
from wellsolar.reports.text import terminal
from wellsolar.results import Results
from wellsolar.site.cautions import CAUTIONS as KEYS
from wellsolar.sources import SOURCES
from wellsolar.units import SYSTEMS, Quantity, System
from wellsolar.verdicts import Place, Rule, Sentence, say


class Terminal(io.TextIOWrapper):
    """A stream that says it is a terminal, with an encoding that refuses what it lacks."""

    def __init__(self, encoding: str = "utf-8", *, tty: bool = False) -> None:
        super().__init__(io.BytesIO(), encoding=encoding, errors="strict", newline="")
        self.tty = tty

    def isatty(self) -> bool:
        return self.tty

    def text(self) -> str:
        self.flush()
        return self.buffer.getvalue().decode(self.encoding)  # type: ignore[attr-defined]


STEERING = ("COLUMNS", "NO_COLOR", "FORCE_COLOR", "TTY_COMPATIBLE", "TTY_INTERACTIVE", "TERM")
PRINTED: dict[tuple[object, ...], str] = {}
"""What the results that tests share were printed as, with all that steers it."""


def printed(
    results: Results, system: System = "US", encoding: str = "utf-8", *, tty: bool = False
) -> str:
    asked = system, encoding, tty, *map(os.environ.get, STEERING)
    if results is MADE and asked in PRINTED:
        return PRINTED[asked]
    stream = Terminal(encoding, tty=tty)
    terminal.write(table.sections(results), results, stream, system)
    if results is MADE:
        PRINTED[asked] = stream.text()
    return stream.text()


def words(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture(autouse=True)
def _plain_surroundings(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in STEERING:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")


def test_parts_stand_in_the_order_in_which_they_are_read(results: Results) -> None:
    text = printed(results)
    order = [
        "Hillside house", "from site.toml", "1 fail, 1 unknown, 1 caution, 2 pass",
        "Not as it stands: 1 check fails.", "Note: no hand pump in the file",
        "\nVerdicts\n========", "FAIL ", "UNKNOWN ", "CAUTION ", "PASS ",
        "\nPump: house pump\n", "\nPump: backup pump\n", "\nPumps side by side\n",
        "\nArray for backup pump\n", "\nPressure tank\n", "\nHand pump\n",
        "\nArray on the heating element\n", "\nHeated tank\n", "\nHot water at the tap\n",
        "\nAssumptions\n", "\nWhat can hurt or kill\n", "\nSources\n",
    ]  # fmt: skip
    places = [text.index(part) for part in order]
    assert places == sorted(places)


def test_a_fail_is_told_in_full(results: Results) -> None:
    text = printed(results)
    block = text[text.index("FAIL ") : text.index("UNKNOWN ")]
    assert [line.strip() for line in block.strip().splitlines()] == [
        "FAIL     backup pump: does the pump reach the cut-out pressure?",
        "It stops delivering at 46.4 psi.",
        "To pass: set the cut-out no higher than 41.3 psi.",
        "Try: --with 'pressure_switch.cut_out=\"41 psi\"'",
        "found 46.4 psi, limit 50.0 psi, margin -3.59 psi",
        "Rule: the pump must exceed the cut-out by a margin, or it never shuts off [cut-out]",
    ]


def test_an_unknown_names_the_keys_that_would_settle_it(results: Results) -> None:
    assert "Needs: well.tested_yield" in printed(results)


def test_a_pass_is_short_but_has_reason_and_source(results: Results) -> None:
    text = words(printed(results))
    assert "The water runs at 2.72 ft/s. Margin 2.28 ft/s. [tdh worksheet]" in text


def test_a_safety_rule_says_so(results: Results) -> None:
    assert "can the thermostat break the array's current? (safety)" in printed(results)


def test_a_name_at_the_head_of_a_reason_keeps_its_case(results: Results) -> None:
    assert "\n         house pump runs near the limit.\n" in printed(results)


def test_assumptions_cautions_and_sources_are_complete(results: Results) -> None:
    text = words(printed(results))
    assert "site.altitude = 0 ft sea level [common practice]" in text
    for key in results.cautions:
        assert CAUTIONS[key] in text
    for key in ("cut-out", "dc contacts", "tdh worksheet", "common practice"):
        assert f"[{key}] {SOURCES[key].citation}" in text
        assert SOURCES[key].provenance in text


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_number_is_printed_with_its_unit(results: Results, system: System) -> None:
    text = words(printed(results, system))
    for section in table.sections(results):
        for row in section.rows:
            assert rows.cell_text(row.quantity, system, row.nothing) in text, row.key
            if isinstance(row.quantity, Quantity):
                assert words(f"{row.label} {rows.cell_text(row.quantity, system)}") in text
        for grid in section.grids:
            for row in grid.rows:
                numbers = [
                    rows.number_text(cell, system) for cell in row if isinstance(cell, Quantity)
                ]
                assert all(number in text for number in numbers)
            for column in grid.columns:
                unit = rows.header_unit(column.kind, system)
                assert not unit or f"({unit})" in text


@pytest.mark.parametrize(
    ("system", "columns"),
    sampled(product(("US", "SI"), (40, 60, 80, 100)), ("US", 40), ("US", 80), ("SI", 60)),
)
def test_nothing_is_cropped_and_no_line_is_too_long(
    results: Results, monkeypatch: pytest.MonkeyPatch, columns: int, system: System
) -> None:
    """In either system at both ends of what is usual; at each width with `-m long`."""
    monkeypatch.setenv("COLUMNS", str(columns))
    text = printed(results, system)
    assert max(map(len, text.splitlines())) <= columns
    assert "…" not in text
    assert not any(line.endswith(" ") for line in text.splitlines())
    cells = [
        rows.number_text(cell, system)
        for section in table.sections(results)
        for grid in section.grids
        for row in grid.rows
        for cell in row
        if isinstance(cell, Quantity) and cell.kind is not kinds.DURATION
    ]
    here = set(text.split())
    assert [cell for cell in cells if cell not in here] == []


def test_a_table_that_is_too_wide_goes_on_below_with_its_first_column(
    results: Results, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    text = printed(results)
    block = text[text.index("A clear day of each month") : text.index("A typical day")]
    assert block.count("  Jan ") == 2
    assert block.count("  Dec ") == 2


def test_the_head_build_up_has_a_total_and_a_cross_check(results: Results) -> None:
    text = printed(results)
    block = text[text.index("Head build-up") : text.index("Pump: backup pump")]
    assert re.search(r"-+\n +total dynamic head +198 +244 ", block)
    assert re.search(r"friction, Hazen-Williams +4\.5 +3\.6 +cross-check .*C = 140", block)
    assert "at cut-in: static 85.0 ft + drawdown 8.2 ft" in words(block)
    assert "at cut-out: static 85.0 ft + drawdown 6.6 ft" in words(block)


def test_redirected_output_is_100_wide_and_colourless(results: Results) -> None:
    text = printed(results)
    assert 80 < max(map(len, text.splitlines())) <= 100
    assert "\x1b" not in text


def test_columns_beyond_100_are_not_used(
    results: Results, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    assert max(map(len, printed(results).splitlines())) <= 100


@pytest.mark.parametrize("said", ["", "wide", "-5", "0"])
def test_senseless_columns_are_passed_over(
    results: Results, monkeypatch: pytest.MonkeyPatch, said: str
) -> None:
    before = printed(results)
    monkeypatch.setenv("COLUMNS", said)
    assert printed(results) == before


def test_a_terminal_gets_colour_and_the_same_words(
    results: Results, monkeypatch: pytest.MonkeyPatch
) -> None:
    coloured = printed(results, tty=True)
    assert "\x1b[" in coloured
    assert words(re.sub(r"\x1b\[[0-9;]*m", "", coloured)) == words(printed(results))
    monkeypatch.setenv("NO_COLOR", "1")
    bare = re.sub(r"\x1b\[[01]m", "", printed(results, tty=True))
    assert "\x1b" not in bare, "bold may stay, colours may not"


def test_a_dumb_terminal_keeps_the_width(
    results: Results, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "dumb")
    monkeypatch.setenv("COLUMNS", "60")
    text = printed(results, tty=True)
    assert 50 < max(map(len, text.splitlines())) <= 60
    assert "\x1b" not in text


@pytest.mark.parametrize(
    "name", ["[/x] tank [old] :wave: well {0} 100 %", "[bold red]pump[/] a\\[b]"]
)
def test_names_print_as_they_are(renamed: Callable[[str], Results], name: str) -> None:
    text = printed(renamed(name))
    assert text.startswith(f"{name}\n")
    assert f"Pump: {name} 0\n" in text
    assert f"PASS     {name}: is the pipe wide enough?" in text


def test_a_name_cannot_steer_the_terminal(renamed: Callable[[str], Results]) -> None:
    text = printed(renamed("a\x1b[2Jb\x07\nc\u202ed\r\te\ud800"))
    assert text.startswith("a?[2Jb? c?d e?\n")
    assert "\x1b" not in text


def test_a_long_name_is_folded_and_not_cut(
    renamed: Callable[[str], Results], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    name = "W" * 300
    text = printed(renamed(name))
    assert max(map(len, text.splitlines())) <= 80
    assert text[:400].count("W") == 300


@pytest.mark.parametrize(
    ("system", "encoding"),
    sampled(
        product(("US", "SI"), ("ascii", "latin-1", "cp437", "utf-8")),
        ("US", "ascii"), ("SI", "ascii"), ("SI", "cp437"), ("SI", "utf-8"),
    ),
)  # fmt: skip
def test_every_encoding_gets_readable_text(
    renamed: Callable[[str], Results], encoding: str, system: System
) -> None:
    """Each encoding, and both systems where units are spelled; each in both with `-m long`."""
    text = printed(renamed("Brunnen am Hügel \N{EN DASH} 井"), system, encoding)
    if encoding == "ascii":
        assert text.startswith("Brunnen am Hugel - ?\n")
        assert "(kWh/m2)" in text
        assert ("(degF)" if system == "US" else "(degC)") in text
        assert "45.0 deg" in text
    if encoding == "utf-8":
        assert text.startswith("Brunnen am Hügel \N{EN DASH} 井\n")
        assert "(kWh/m²)" in text


def test_only_what_an_encoding_lacks_is_replaced() -> None:
    assert encodable("Hügel 5 °C", "latin-1") == "Hügel 5 °C"
    assert encodable("Hügel 5 °C", "ascii") == "Hugel 5 degC"
    assert encodable("x", "no such codec") == "x"
    assert plain("plain  text stays") == "plain  text stays"


def test_what_is_no_number_prints_as_nothing(results: Results) -> None:
    assert results.heated_tank is not None
    old = results.heated_tank
    tap = replace(old.tap, volume=float("inf"))
    tank = replace(old, stall_temperature=float("nan"), tap=tap)
    text = printed(replace(results, heated_tank=tank))
    assert re.search(r"stall temperature +not known", text)
    assert re.search(r"mixed water from one tank +not known", text)


def test_results_without_anything_still_make_a_page(results: Results) -> None:
    bare = replace(
        results, pumps=(), supply=(), pressure_tank=None, hand_pump=None, heated_tank=None,
        matching=None, lifts=(), verdicts=(), assumptions=(), cautions=(), notes=(),
    )  # fmt: skip
    text = printed(bare)
    assert "Nothing was judged: the site file lacks what the question needs." in text
    assert "Verdicts\n" not in text
    assert table.sections(bare) == ()


@pytest.mark.parametrize(
    ("kept", "line"),
    [
        (("pass",), "Everything that was asked passes."),
        (("pass", "caution"), "Nothing fails; read the cautions."),
        (("pass", "caution", "unknown"), "Nothing fails, but the site file leaves questions open"),
    ],
)
def test_the_answer_in_one_line(results: Results, kept: tuple[str, ...], line: str) -> None:
    verdicts = tuple(each for each in results.verdicts if each.status in kept)
    assert table.answer(replace(results, verdicts=verdicts)).startswith(line)


def test_keys_are_unique_within_each_section_and_grid(results: Results) -> None:
    sections = table.sections(results)
    assert len({section.key for section in sections}) == len(sections)
    for section in sections:
        keys = [row.key for row in section.rows]
        assert len(set(keys)) == len(keys), section.key
        assert len({grid.key for grid in section.grids}) == len(section.grids)
        for grid in section.grids:
            names = [column.key for column in grid.columns]
            assert len(set(names)) == len(names), grid.key
            assert all(len(row) == len(names) for row in grid.rows)


def test_a_reason_that_differs_between_duties_keeps_both_numbers(results: Results) -> None:
    grid = next(grid for grid in table.sections(results)[0].grids if grid.key == "head")
    why = grid.rows[0][-1]
    assert isinstance(why, Sentence)
    assert why.text("SI") == (
        "at cut-in: static 25.9 m + drawdown 2.5 m; at cut-out: static 25.9 m + drawdown 2.0 m"
    )
    assert grid.rows[1][-1] == say("above the ground")


def test_a_time_of_day_is_printed_as_a_clock_shows_it(results: Results) -> None:
    assert re.search(r"Jan .* 14:20 ", printed(results))


def test_cautions_for_both_hands_and_law() -> None:
    assert list(CAUTIONS) == list(KEYS)
    for key in ("electric shock", "scald", "direct current", "mains", "lifting", "drinking water"):
        assert "licensed" in CAUTIONS[key], key


def test_a_rule_of_every_status_is_ordered_stably(
    results: Results, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("wellsolar.verdicts.RULES", {})  # the rule is of this test alone
    rule = Rule("r", "is it?", "so", "frost depth", by="owner", place=Place())
    verdicts = tuple(
        rule.verdict(status, str(number), say("because"))
        for number, status in enumerate(("pass", "fail", "caution", "fail", "pass"))
    )
    assert [each.subject for each in table.ordered(verdicts)] == ["1", "3", "2", "0", "4"]
