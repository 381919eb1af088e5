"""The whole interview: every question, what raises it, what answers mean, whole talks.

It lies in `whole.txt`, written once and read: what is asked and offered, where an answer goes in
the file and as what, what is refused and why, and talks line by line with the file they leave.
These are the program's own words: they tell that something moved, not that it is right.
"""

from __future__ import annotations

import os
import random
import tempfile
from collections.abc import Iterable, Iterator
from copy import deepcopy
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from tests.interview.test_conversation import talk
from tests.interview.test_reading import SETTLED, TABLES
from tests.reports.text.test_beside_results import judged
from wellsolar import kinds
from wellsolar.interview.answers.control import control_in
from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.question import Question, Unclear
from wellsolar.interview.answers.reading import read_answer
from wellsolar.interview.answers.spellings import spelled
from wellsolar.interview.news import Judge, Told
from wellsolar.interview.questions.plan import plan
from wellsolar.interview.screen import Screen, terminal
from wellsolar.site.edit import NotEditable, drop, put
from wellsolar.site.locate import key_text, set_at
from wellsolar.units import SYSTEMS, System

WHOLE = Path(__file__).with_name("whole.txt")

STATES: dict[str, tuple[dict[str, Any], dict[str, str]]] = {
    "nothing known": ({}, {}),
    "no pumps": ({"well": TABLES["well"]}, {"pumps": "no"}),
    "no pumps, said again": ({"pump": [{"name": "house pump"}]}, {"pumps": "1"}),
    "a specific capacity": ({"well": {"specific_capacity": "1 gpm/ft"}}, {}),
    "one pump": ({"pump": [{"name": "house pump", "role": "existing"}]}, {"pumps": "1"}),
    "a sucking pump": ({"pump": [{"name": "p", "kind": "suction"}]}, {}),
    "a pump on direct current": ({"pump": [{"name": "p", "supply": "DC"}]}, {}),
    "a pump of three phases": ({"pump": [{"name": "p", "phases": 3}]}, {}),
    "an old edition": ({"site": {"code_edition": 2014}, "pump": [{"name": "p"}]}, {}),
    "a new edition": ({"site": {"code_edition": 2020}, "pump": [{"name": "p"}]}, {}),
    "modules and no pump": (
        {"module": {"voc": "39.9 V"}, "array": [{"name": "a"}]},
        {"pumps": "no"},
    ),
    "a pump in another well": (
        {
            "other_well": [{"name": "other well", "depth": "30 ft", "static_level": "12 ft"}],
            "pump": [{"name": "house pump"}, {"name": "frugal pump", "well": "other well"}],
        },
        {},
    ),
    "a village": ({"site": {"people": 17}}, {}),
    "a large household": ({"site": {"people": 16}}, {}),
    "a sucking hand pump": (
        {"hand_pump": {"kind": "suction"}, "pump": [{"name": "house pump", "role": "existing"}]},
        {},
    ),
    "a hand pump beside a pump": (
        {
            "hand_pump": {"bore": "2 in"},
            "pump": [{"name": "house pump", "role": "existing"}, {"name": "o", "role": "other"}],
        },
        {},
    ),
    "a generator alone": (
        {"power": {"generator_rating": "7 kVA", "grid": False}, "pump": [{"name": "p"}]},
        {},
    ),
    "an inverter alone": ({"power": {"inverter_voltage": "230 V"}, "pump": [{"name": "p"}]}, {}),
    "a heater without element": (
        {
            "module": {"voc": "39.9 V"},
            "array": [{"name": "a", "feeds": "heater"}],
            "water_heater": {"volume": "50 gal"},
        },
        {},
    ),
    "a battery's modules": (
        {"module": {"voc": "39.9 V"}, "array": [{"name": "b", "feeds": "battery"}]},
        {"array.heater": "no"},
    ),
    **{
        f"a {role} pump at {depth} without a sheet, {cut_out or 'no switch'}": (
            {"pump": [{"name": "p", "role": role, "intake_depth": depth}],
             "well": {"depth": "1000 ft"}} | ({"pressure_switch": {"cut_in": "20 psi", "cut_out":
             cut_out}} if cut_out else {}),
            {"pump[p].curve": "not known"},
        )
        for role in ("existing", "backup")
        for depth in ("50 ft", "150 ft", "230 ft", "282 ft", "300 ft", "330 ft", "363 ft",
                      "420 ft", "900 ft")
        for cut_out in ("", "40 psi", "80 psi")
    },
    "everything": (TABLES, SETTLED),
}  # fmt: skip
"""What is known so far, by which questions are raised."""

FURTHER: dict[str, tuple[str, ...]] = {
    "well.depth": (
        "180", "180.5 ft", "55 m", "180' 6\"", "12 ft 3 in", "about 180 feet", "1,200 ft", "0 ft",
        "4000 ft", "100-120 ft", "one hundred", "180 ft deep or so", "1e3 ft",
    ),
    "well.static_level": (
        "85-110'", "85 to 110 ft", "between 85 and 110 ft", "95 ft (85 .. 110 ft)", "26-33 m",
        "110-85", "85..110", "-3",
    ),
    "well.casing_bore": ("6 1/4", "6-5/8\"", "6.065", "150 mm", "\u00bd in", "6 inches"),
    "well.tested_yield": ("8 gpm at 101 ft", "8 at 101", "30 L/min", "8 gpm @ 101'", "101'"),
    "pressure_switch": ("30/50", "2 bar / 3.5 bar", "40 psi", "30 50 70", "200 kPa - 300 kPa"),
    "pressure_tank": ("44", "3 x 44", "two 20 gal tanks", "1 x 44 gal", "0 gal"),
    "pressure_tank.precharge": ("38", "2 bar", "38 lbs", "100000 psi"),
    "site.people": (
        "4", "0", "4.5", "seventeen", "200000", "a", "one", "two", "three", "four", "five", "six",
        "seven", "eight", "nine", "ten people", "eleven", "twelve persons",
    ),
    "demand": ("300 gal", "6 gpm", "300, 6", "20 L"),
    "pump[frugal pump].curve": (
        "0 at 420, 3 at 390, 6 gpm at 330 ft", "5 gpm at 300 ft and 2 gpm at 380 ft",
        "0, 3, 6 gpm 420, 390, 330 ft", "0-3 gpm at 20 ft, 4 gpm at 10 ft", "5 gpm, 300 ft",
        "10 L/min at 90 m, 5 gpm at 100 m", "0, 10, 20 L/min; 100, 90, 70 m", "300 W",
        "5 gpm at 300 ft, 2 gpm", "1, 2", "3, 4 in", "3, 4 ft", "30, 40 m",
    ),
    "pump[house pump].head": ("420, 390", "420, 390, 330 ft", "128 119 m"),
    "pump[frugal pump].stand_in": ("1", "number 3", "8", "0", "yes", "three"),
    "pump[house pump].plate": (
        "99 V", "100 V", "230", "1 hp 230V 48 A lra direct", "1/2 hp, 115 V, AC", "0.55 kW 230 V",
        "230 V, 3 phase", "300 W, 48 V DC",
    ),
    "pump[house pump].cable": ("14", "12 AWG", "4 mm2, 75 m", "#10, 300", "240 ft"),
    "hand_pump": ("2 in", "2 in x 6 in", "50 mm 150 mm suction"),
    "hand_pump.place": ("125 ft, spout", "spout", "38 m tank"),
    "power": ("6", "6 kW", "6 kVA, 12", "battery 15 kWh", "6 kW 240 V", "6 kW, 12 kVA, 15 kWh"),
    "module": (
        "39.9, 9.7, 32.6, 9.2", "Isc 9.7, Voc 45, Imp 9.2, Vmp 37", "20 V, 5 A, 17 V, 4.7 A",
        "60 V, 5 A, 50 V, 4.7 A", "300 W", "57.7 V, 5 A, 50 V, 4.7 A",
    ),
    "site.latitude": (
        "41.2", "41 12 N", "41\u00b0 30' S", "-12, 30 m", "41.2 N 75.5 W, 900 ft", "10 S",
        "41.2 N, 30 E, 900 ft, -18 C", "north", "67 N", "-12.5 S", "41.2 deg",
    ),
    "sun.sky": ("60", ".6", "0.05", "55 %", "1, 2", "5", ",".join(["4"] * 12)),
    "array.heater": ("4", "4 x 2", "4s2p", "4 in series, 2 in parallel", "0", "4 panels", "x"),
    "water_heater": ("50 gal, 4500 W, 240 V", "190 L 3 kW 230 V", "50, 4500, 240", "50 gal"),
    "water_heater.thermostat": ("140F", "60 C, DC", "AC, 120", "relay", "140 and a relay"),
    "water_heater.upper": ("120F", "50 C", "600 F"),
    "water_heater.mixing_valve": ("120F", "49 C 1017", "ASSE 1070, 110", "asse1017 120"),
    "water_heater.high_limit": ("170", "77 C", "300 F"),
    "power.generator": ("7", "7 kVA", "7000 W"),
    "power.grid": ("y", "nope", "perhaps"),
    "power.kept_apart": ("all", "grid and generator", "inverter to the grid", "y", "none"),
    "power.generator_neutral": ("bonded, switched", "floating, joined", "bonded", "both"),
    "pump[house pump].overload": ("in the motor", "starter", "7 A", "thermal", "vfd", "none"),
    "array.place": ("roof", "ground, outside wall", "carport, building", "hut", "no building"),
    "array.guards": ("all", "arc", "rapid shutdown and arc", "no", "gfci"),
    "array[water heater array].isolator": ("600, 32", "both 600 V 32 A", "32 A", "600 V AC"),
    "water_heater.high_limit_lower": ("AC contacts, one", "DC, both", "its own relay", "nothing"),
    "water_heater.high_limit_upper": ("AC contacts, both conductors", "relay", "both"),
    "water_heater.supplies_apart": ("yes", "n"),
    "site.code_edition": ("2020", "2019", "20", "NEC 2023"),
}  # fmt: skip
"""Answers to questions, understood and not."""

STEERING = (
    "yes", "y", "yes please", "sure", "no", "n", "nope", "none", "0", "no tank", "no 2 tank", "",
    " ", "?", "help", "h", "what", "why?", "back", "b", "go back", "q", "quit!", "stop.", "bye",
    "dk", "skip", "-", "n/a", "no log", "not tested", "dunno", "nothing", "nil",
    "there is no tank", "there's no sun", "not any", "not any pump", "no idea", "?!", "!", ".",
    "n.", "x",
)  # fmt: skip

HOUSE = [
    "help", "1800'", "no", "180'", "nonsense", "85-110'", "", "8 gpm at 101 feet", "2", "150'",
    "0, 4, 8, 10, 12, 14 gpm", "310, 300, 262, 230, 185, 125 ft", "3/4 hp, 230V, 28 A LRA",
    "12 AWG, 240'", "no", "", "0 gpm at 330 ft, 2 at 262, 4 at 120", "back",
    "0 gpm at 330 ft, 2 gpm at 262 ft, 4 gpm at 120 ft", "1/2 hp, 230 V, soft", "#12", "yes",
    "60/40", "40/60", "86 gal", "", "1-1/4\" poly, 60', 5 ft", "4", "1-3/4 in, 6 in", "125', tank",
    "4.4 in, 3 in, 2.4 in", "6 kW, 12 kVA, 15 kWh", "39.9 V, 9.7 A, 32.6 V, 9.2 A, 300W",
    "41.2 N, 900 ft, -18F", "", "4 in series", "8 x 4", "50 gal, 4500 W, 240 V", "140F, relay",
    "120F", "120F, ASSE 1017", "don't know", "2020", "no", "yes", "yes", "yes", "in the motor",
    "control box", "yes", "roof, building", "600 V, 32 A, both", "no", "all",
    "relay of its own, 300 V, 32 A, both", "AC contacts, both conductors", "yes", "yes", "yes",
]  # fmt: skip
"""What one person says, with slips, looks back and what is not known."""

HUT = ["55 m", "26-33 m", "", "don't know", "1", "", "don't know", "", "0.55 kW, 230 V",
       "don't know", "no", "2.8/4.1 bar", "don't know", "stop"]  # fmt: skip
CHANGED = ["back", "back", "back", "95'", "", "stop"]


def facts(state: str, system: System) -> Facts:
    tables, settled = STATES[state]
    return Facts(deepcopy(tables), settled, system)


def all_questions(system: System) -> dict[str, Question]:
    found = [*plan(facts("everything", system))]
    for state in STATES:
        found += plan(facts(state, system))
    made: dict[str, Question] = {}
    for each in found:
        made.setdefault(each.key, each)
    return made


def in_full(question: Question, system: System) -> Iterator[str]:
    yield f"{question.key} [{question.group}] {question.asks}"
    yield f"  such as {question.example(system)}"
    for part in question.parts:
        also = ", ".join(map(key_text, part.also))
        yield (f"  {key_text(part.path)}: {part.label} {part.said} {part.unit} "
               f"{'optional' if part.optional else ''} also {also}")  # fmt: skip
    if question.offer is not None:
        yield f"  offers {question.offer.text}: {question.offer.why}"
    yield (f"  open: {question.open} | declines {question.declines}, takes {question.no_takes} | "
           f"remark {question.remark}")  # fmt: skip
    yield f"  needless {[*map(key_text, question.needless)]}"
    yield f"  sets { ({key_text(path): value for path, value in question.sets.items()}) }"


def understood(question: Question, text: str, system: System) -> str:
    """What an answer means, or why it means nothing."""
    try:
        reading = read_answer(text, question, system)
    except Unclear as error:
        return f"unclear: {error}"
    values = {key_text(path): value for path, value in reading.values.items()}
    notes = f" {reading.notes}" if reading.notes else ""
    return f"{values}{notes}{f' {reading.choice}' if reading.choice else ''}"


def of_questions() -> Iterator[str]:
    for system in SYSTEMS:
        for question in all_questions(system).values():
            yield from in_full(question, system)
            texts = FURTHER.get(question.key, ()) if system == "US" else ()
            for text in (*question.example(system).split("; or "), *texts):
                yield f"  {text!r} -> {understood(question, text, system)}"
    for state in STATES:
        raised = plan(facts(state, "US"))
        yield f"{state}: {', '.join(each.key for each in raised)}"
        for each in raised:
            if each.offer is not None:
                yield f"  {each.key} offers {each.offer.text}"
    for text in STEERING:
        yield f"{text!r} steers {control_in(text, False)}, {control_in(text, True)}"


def of_units() -> Iterator[str]:
    from wellsolar.interview.answers import unit_words

    for kind in (kinds.LENGTH, kinds.BORE, kinds.HEAD, kinds.FLOW, kinds.VOLUME, kinds.PRESSURE,
                 kinds.TEMPERATURE, kinds.SHAFT_POWER, kinds.POWER, kinds.VOLTAGE, kinds.CURRENT,
                 kinds.ENERGY, kinds.ANGLE, kinds.FRACTION, kinds.IRRADIATION):  # fmt: skip
        for word in sorted(unit_words._MEANT):
            told = spelled(f"7 {word}", kind, "")
            if told != f"7 {word}":
                yield f"{kind.name}: 7 {word} -> {told}"
        texts = ("1-1/4", "2 1/2", "5' 3\"", "5 ft 3 in", "1,234.5", "3 to 4", "3-4", "about 3")
        yield f"{kind.name}: {'; '.join(spelled(text, kind, 'x') for text in texts)}"


def talked(lines: Iterable[str], begun: str = "", *, again: bool = False) -> Iterator[str]:
    """What was on the screen and what is in the file."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patched:
        patched.chdir(folder)
        path = Path("old-mill_house.toml")
        if begun:
            path.write_text(begun, "utf-8")
        patched.setattr(Judge, "look", lambda self, file: Told())
        shown, finished = talk(path, lines, again=again)
        yield from shown.splitlines()
        yield f"finished: {finished}"
        if path.exists():
            yield from path.read_text("utf-8").splitlines()


def told() -> Iterator[str]:
    """Verdicts as they come, and those at the end."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patched:
        patched.chdir(folder)
        look = Told(judged(), judged())
        patched.setattr(Judge, "look", lambda self, file: look)
        shown, _ = talk(Path("a.toml"), HOUSE)
        yield from shown.splitlines()[-120:]
        shown, _ = talk(Path("a.toml"), [])
        yield from shown.splitlines()[:20]
        patched.setattr(Judge, "look", lambda self, file: Told(trouble="it can't be"))
        shown, _ = talk(Path("a.toml"), [])
        yield from shown.splitlines()[:20]


LAID_OUT = (
    "", "\n", "# only a remark\n", "# first\n\n[site]\nname = \"a\"\n",
    "[[pump]]\nname = \"p\"\n\n# behind\n[power]\ngrid = true\n",
    "# head\n[sun]\nalbedo = \"20 %\"\n# foot\n", "well = { depth = \"50 m\" }\n",
    "[site]\nname = \"a\"\n# one\n# two\n\n# three\n[sun]\n# four\n",
    "[well]\ndepth = \"50 m\" # deep\n\n\n[demand]\n", "site.name = \"a\"\n",
    "[[pump]]\nname = \"p\"\ncable = { gauge = \"12 AWG\" }\n[[pump]]\nname = \"q\"",
)  # fmt: skip
"""Files as people lay them out."""

PUT = (
    (("site", "name"), "b"), (("well", "static_level"), "9 m"), (("pump", 0, "head"), "1, 2 m"),
    (("pump", 1, "name"), "r"), (("pump", 0, "cable", "length"), "3 m"),
    (("power", "grid"), False), (("water_heater", "element", 0, "position"), "lower"),
    (("sun", "albedo"), "30 %"), (("limits", "velocity"), "4 ft/s"),
    (("power", "kept_apart"), ["grid and inverter"]),
)  # fmt: skip


def edits() -> Iterator[str]:
    for text in LAID_OUT:
        for path, value in PUT:
            yield f"{text!r} with {key_text(path)}"
            try:
                yield repr(put(text, path, value, "a remark"))  # type: ignore[arg-type]
                yield repr(drop(text, path))
            except NotEditable as error:
                yield str(error)
    tables: dict[str, Any] = {}
    for path, value in PUT:
        set_at(tables, path, value)  # type: ignore[arg-type]
    yield str(tables)


def screens() -> Iterator[str]:
    for width in (40, 57, 80):
        lines: list[str] = []
        screen = Screen(lines.append, lambda prompt: None, width, "ascii")
        screen.heading("A heading of many words that is wider than the narrowest page", " (2)")
        screen.heading("Short")
        screen.say(
            "A paragraph that is long enough to be wrapped once or so, 21 \u00b0C.", 4, "  "
        )
        screen.say("")
        screen.say("no indent but a first", first="* ")
        for each in judged():
            screen.verdict(each, "US")
        screen.blank()
        yield from "".join(lines).splitlines()


PARTS: dict[str, Any] = {
    "questions": of_questions, "units": of_units, "edits": edits, "screens": screens,
    "a house": lambda: talked(HOUSE), "a hut": lambda: talked(HUT), "told": told,
    "nothing": lambda: talked(["", "no", "stop"]),
    "changed": lambda: talked([*HOUSE[:12], *CHANGED]),
    "again": lambda: talked(["8 gpm", "stop"], "# asked: x = no\n[well]\ndepth = \"180 ft\"\n"
                            "static_level = \"85 ft\"\n", again=True),
    "no longer": lambda: talked(["back", "no", "yes", "stop"], "[well]\ndepth = \"180 ft\"\n"
                                "static_level = \"85 ft\"\ncasing_bore = \"6 in\"\n"
                                "tested_yield = \"8 gpm\"\n[[pump]]\nname = \"p\"\n"
                                "flow = \"0, 3 gpm\"\nhead = \"90, 30 ft\"\n"),
}  # fmt: skip


def written(part: str) -> list[str]:
    return [f"######## {part}", *(line.rstrip() for line in PARTS[part]())]


@pytest.mark.parametrize("part", PARTS)
def test_the_interview_goes_like_this(part: str) -> None:
    lines = WHOLE.read_text("utf-8").splitlines()
    begin = lines.index(f"######## {part}")
    end = next((n for n, line in enumerate(lines) if n > begin and line.startswith("########")),
               len(lines))  # fmt: skip
    assert written(part) == lines[begin:end]


@pytest.mark.parametrize(("columns", "width"), [
    ("30", 40), ("40", 40), ("63", 63), ("80", 80), ("120", 80), ("1", 40), ("99999", 80),
    ("0", 55), ("", 55), ("-63", 55), ("wide", 55), ("100000", 55),
])  # fmt: skip
def test_a_terminal_is_40_to_80_columns_wide(
    columns: str, width: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As COLUMNS has it, or as the terminal says where that is no width."""
    monkeypatch.setattr("os.get_terminal_size", lambda *_: os.terminal_size((55, 24)))
    monkeypatch.setattr("sys.stdout", SimpleNamespace(fileno=lambda: 1, encoding="utf-8"))
    monkeypatch.setenv("COLUMNS", columns)
    assert terminal(lambda text: None).width == width


def test_words_of_an_answer_may_be_in_any_case() -> None:
    """An upper-case answer means what the same one in small letters does."""
    pick = random.Random(7)
    questions = all_questions("US")
    for key, texts in FURTHER.items():
        if key in questions:
            text = pick.choice(texts)
            if "L/min" not in text and "kVA" not in text and "kW" not in text:
                small = understood(questions[key], text, "US")
                assert understood(questions[key], text.upper(), "US").lower() == small.lower()


if __name__ == "__main__":
    WHOLE.write_text("\n".join(line for part in PARTS for line in written(part)) + "\n", "utf-8")
