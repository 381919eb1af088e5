"""Every command that answers does so on one screen, whose first words answer its question."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from tests.running import CHECKOUT, here
from wellsolar import commands
from wellsolar.reports.text.layout import columns
from wellsolar.reports.text.screen import LINES, WIDTH, Block, coloured, headline, screen
from wellsolar.results import Results
from wellsolar.results.whole import Answer, ToDo
from wellsolar.site.cautions import CAUTIONS
from wellsolar.site.loading.read import load_site
from wellsolar.studies.case import Section, study_site
from wellsolar.studies.rules import all_rules
from wellsolar.verdicts import remedy, say

EXAMPLES = sorted((CHECKOUT / "examples").glob("*.toml"))
SITES = sorted((CHECKOUT / "tests" / "sites").glob("*.toml"))
QUESTIONS: dict[str, tuple[Section, ...]] = {
    "check": commands.EVERYTHING,
    "pump": commands.PUMP,
    "tank": commands.TANK,
    "hand": commands.HAND,
    "heat": commands.HEAT,
    "outage": commands.OUTAGE,
}
JUDGED = re.compile(r"\b(fails?|nothing to judge|no [\w ]+ in the file)\b")


@cache
def studied(path: Path, question: str) -> Results:
    return study_site(load_site(path), QUESTIONS[question])


def read(results: Results) -> list[str]:
    """The lines of a screen, which keeps within its bounds."""
    lines = screen(results).splitlines()
    assert len(lines) <= LINES
    assert max(map(columns, lines)) <= WIDTH
    assert "--full" in lines[-1]
    return lines


@pytest.mark.parametrize("question", QUESTIONS)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_first_fifty_words_answer(path: Path, question: str) -> None:
    results = studied(path, question)
    first = " ".join(" ".join(read(results)).split()[:50])
    assert first.startswith(results.site_name)
    assert JUDGED.search(first)
    assert "nothing to judge" not in first, "it says what the file lacks"
    assert not re.search(r"[.] [a-z]", headline(results).removeprefix(results.site_name))
    if results.answers:
        assert results.answers[0].subject in first
        clause = re.split("[,;]", results.answers[0].text.text(results.system, short=True))[0]
        assert " ".join(clause.split()) in first


@pytest.mark.parametrize("path", [*EXAMPLES, *SITES], ids=lambda path: path.stem)
def test_no_work_is_lost(path: Path) -> None:
    """What fails or can hurt is named; what has no room is counted."""
    results = studied(path, "check")
    lines = read(results)
    text = " ".join(" ".join(lines).split())
    for line in results.todo:
        if line.safety and line.act == "read":
            assert all(key in text for key in line.needs)
        elif line.safety:
            assert f"{line.status.upper()}! {line.subject}" in " ".join(text.split())
    fails = [line for line in results.todo if line.status == "fail"]
    named = sum(each.startswith("FAIL") for each in lines)
    counted = re.search(r"Left out: .*?(\d+) fail", text)
    assert named + (int(counted[1]) if counted else 0) == len(fails)
    judged = sum(verdict.status == "fail" for verdict in results.verdicts)
    assert (f"{judged} of {len(results.verdicts)} checks fail" in text) == (judged > 0)


def test_readings_tell_first_what_is_off() -> None:
    done = here(
        "readings", "examples/ridge_house.toml", "--from", "examples/readings/ridge_house.toml",
        whole=False, COLUMNS="80",
    )  # fmt: skip
    lines = done.stdout.decode().splitlines()
    assert len(lines) <= LINES
    assert max(map(columns, lines)) <= WIDTH
    first = " ".join(lines[:3])
    assert first.startswith(
        "Ridge house (invented): 2 of 10 readings are off. In short, hot water: current"
    )


def test_what_can_hurt_outgrows_the_screen_rather_than_being_left_out() -> None:
    results = studied(CHECKOUT / "tests" / "sites" / "twoatonce.toml", "check")
    unsafe = next(line for line in results.todo if line.safety)
    many = type(results)(
        file="", site_name="many", site_note="", system="US", verdicts=results.verdicts,
        todo=tuple(
            type(unsafe)(
                "work", unsafe.why, unsafe.why, unsafe.why, "plumber", unsafe.clears[:1]
            )
            for _ in range(40)
        ),
    )  # fmt: skip
    lines = screen(many).splitlines()
    assert sum(line.startswith("UNKNOWN!") for line in lines) == 40


def of_many(hurt: int, fail: int, caution: int, told: int) -> Results:
    """A site with so much work that can hurt, as much that fails or is a caution, and answers."""
    rules = all_rules()
    way = remedy("do so", "by hand")
    work = [
        ToDo("work", say(f"do {name} {n}"), say(f"do {name} {n}"), say("why"), "owner",
             (rules[rule].verdict(status, f"{name} {n}", say("why"), remedy=way),))
        for name, status, rule, count in (
            ("guard", "fail", "tank relief", hurt), ("pump", "fail", "yield", fail),
            ("pipe", "caution", "yield", caution))
        for n in range(count)
    ]  # fmt: skip
    answers = tuple(Answer(f"part {n}", say(f"answer {n}, in short")) for n in range(told))
    return Results(
        file="", site_name="Many", site_note="", system="US", todo=tuple(work), answers=answers,
        verdicts=tuple(each for line in work for each in line.clears),
    )  # fmt: skip


@pytest.mark.parametrize("told", [0, 1, 3, 9, 30])
@pytest.mark.parametrize(
    ("hurt", "fail", "caution"),
    [(0, 0, 0), (0, 1, 1), (1, 5, 3), (0, 30, 0), (0, 9, 30), (12, 12, 12), (30, 3, 3)],
)
def test_what_is_not_shown_is_counted_and_answers_keep_their_place(
    hurt: int, fail: int, caution: int, told: int
) -> None:
    lines = screen(of_many(hurt, fail, caution, told)).splitlines()
    shown = {
        "fail": sum(line.startswith(("FAIL ", "FAIL! ")) for line in lines),
        "caution": sum(line.startswith("CAUTION ") for line in lines),
        "answer": sum(bool(re.match(r"part \d+ {5}", line)) for line in lines),
    }
    left = next((line for line in lines if line.startswith("Left out: ")), "")
    counted = {word: int(many) for many, word in re.findall(r"(\d+) ([a-z]+?)s?\b", left)}
    for word, there in (("fail", hurt + fail), ("caution", caution), ("answer", told)):
        assert shown[word] + counted.get(word, 0) == there, (word, left)
    assert sum(line.startswith("FAIL! ") for line in lines) == hurt
    assert len(lines) <= LINES or (shown["fail"], shown["caution"], shown["answer"]) == (
        hurt,
        0,
        0,
    )
    if left and hurt < 20:
        assert shown["answer"] >= min(3, told)
        assert len(lines) == LINES
    total = hurt + fail + caution
    assert lines[0].startswith(
        f"Many: {hurt + fail} of {total} check{'s' * (total > 1)} fail" if hurt + fail
        else "Many: nothing to judge"
    )  # fmt: skip
    begun = re.findall(r"part \d+: answer \d+", " ".join(lines[:4]))
    assert len(begun) >= min(told, 3)


@pytest.mark.parametrize("name", ["ridge_house", "south_slope"])
def test_scalds_are_named_where_water_is_heated_however_much_else_can_hurt(name: str) -> None:
    results = studied(CHECKOUT / "examples" / f"{name}.toml", "check")
    lines = screen(results).splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith("CARE"))
    care = [lines[at], *(line for line in lines[at + 1 :] if line.startswith(" "))]
    assert len(care) <= 2
    told = " ".join(" ".join(care).split())
    assert told.startswith("CARE electric shock, mains, direct current, ")
    assert ", scald: licensed trades" in told
    everything = replace(results, cautions=CAUTIONS)
    assert "scald" in screen(everything).partition("CARE")[2]


def test_a_site_without_what_is_asked_for_says_so_first() -> None:
    text = screen(studied(CHECKOUT / "examples" / "smallest.toml", "hand"))
    assert text.startswith("Smallest file (invented): no hand pump in the file: add [hand_pump]")


def test_a_narrow_terminal_loses_no_warning() -> None:
    results = studied(CHECKOUT / "examples" / "village_borehole.toml", "hand")
    lines = screen(results, 40).splitlines()
    assert max(map(columns, lines)) <= 40
    assert any(line.startswith("CARE      pits and open wells") for line in lines)


def test_a_value_typed_on_the_command_line_is_told() -> None:
    done = here(
        "tank", "examples/smallest.toml", "--with", "pressure_tank.volume=20 gal",
        "--with", "pressure_tank.precharge=38 psi", whole=False,
    )  # fmt: skip
    assert "pressure_tank.volume = 20.0 gal" in done.stdout.decode()


def test_states_are_coloured_and_nothing_else() -> None:
    text = "FAIL      a pump\nUNKNOWN!  read it\nthe FAIL of words\n"
    shown = coloured(text)
    assert shown.count("\033[0m") == 2
    assert re.sub(r"\033\[[\d;]+m", "", shown) == text


def test_a_name_that_is_longer_than_its_lines_is_cut() -> None:
    block = Block("a very long name " * 12, 10, "what it gives")
    assert len(block.lines(80, 2)) == 2


class TestAbout:
    @staticmethod
    def about(word: str, site: str = "smallest") -> tuple[int, str]:
        done = here("check", f"examples/{site}.toml", "--about", word, COLUMNS="80")
        return done.returncode, (done.stdout + done.stderr).decode()

    def test_one_verdict_with_its_reasons(self) -> None:
        code, text = self.about("frost")
        assert code == 0
        assert text.startswith("UNKNOWN  line to the house: does the line lie below the frost?")
        for word in ("Needs: piping.frost_depth", "Rule: ", "[frost depth]", "By: owner"):
            assert word in text

    def test_several_are_listed_and_more_words_name_one(self) -> None:
        _, text = self.about("pump[1].cable")
        found = ("voltage at start", "motor conductor", "voltage drop", "a key of the file")
        assert all(each in text for each in found)
        _, text = self.about("motor conductor well pump")
        assert text.startswith("UNKNOWN  well pump: does the cable carry the motor's current?")

    def test_a_number_by_its_label(self) -> None:
        _, text = self.about("shut-off head")
        assert re.match(r"Pump: well pump, shut-off head: \d+ ft", text)

    def test_a_source_by_its_key_and_a_rule_that_judged_nothing(self) -> None:
        assert self.about("nec voltage drop")[1].startswith("[nec voltage drop] NEC 210.19(A)")
        assert "Nothing of this site was judged by it" in self.about("rapid shutdown")[1]

    @pytest.mark.parametrize(
        ("word", "named"),
        [("pumps", "well pump, yield"), ("pump breakers", "pump breaker"),
         ("voltage-drop", "voltage drop"),
         ("Frost Depth", "line to the house"), ("wire size", "motor conductor"),
         ("inverter size", "inverter rating"), ("GFCI", "ground-fault breaker"),
         ("legionaires", "near it"), ("pump[1].overload", "motor overload")],
    )  # fmt: skip
    def test_what_people_say_finds_what_the_reports_call_it(self, word: str, named: str) -> None:
        _, text = self.about(word)
        assert named in text
        assert len(text.splitlines()) <= 24

    @pytest.mark.parametrize(("word", "near"), [("volage drip", "voltage drop"), (" ", "")])
    def test_a_word_that_names_nothing_is_a_mistake(self, word: str, near: str) -> None:
        code, text = self.about(word)
        assert code == 2
        assert "--about: no rule, number, key or source has" in text
        assert near in text


def test_all_is_printed_where_it_is_asked_for() -> None:
    short = here("check", "examples/smallest.toml", whole=False).stdout
    full = here("check", "examples/smallest.toml", "--full").stdout
    assert len(short.splitlines()) <= LINES < len(full.splitlines()) / 10
    assert b"Sources\n=======" in full
