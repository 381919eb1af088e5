"""The talk itself, with a person made of lines: what it keeps, asks again, and never loses."""

from __future__ import annotations

import io
import tomllib
from collections.abc import Iterable
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from wellsolar.errors import OutputError, SiteFileError
from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.conversation import Conversation
from wellsolar.interview.draft import Draft, open_draft
from wellsolar.interview.news import Judge, Told
from wellsolar.interview.screen import Screen, terminal
from wellsolar.interview.telling import _waiting
from wellsolar.site.edit import Value
from wellsolar.site.loading.read import load_site
from wellsolar.site.locate import Path as SitePath
from wellsolar.site.starter import starter_text

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
WELL = ["180'", "85'", '6"', "8 gpm at 101'"]
PUMP = ["150'", "0 gpm at 330 ft, 4 gpm at 120 ft", "1/2 hp, 230 V, soft", "12 AWG", "yes"]


@pytest.fixture
def unjudged(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leaves the studies out, which have tests of their own and take their time."""
    monkeypatch.setattr(Judge, "look", lambda self, file: Told())


def talk(path: Path, lines: Iterable[str], *, again: bool = False) -> tuple[str, bool]:
    """What was on the screen, and whether the end was reached."""
    shown: list[str] = []
    given_lines = iter(lines)
    screen = Screen(shown.append, lambda prompt: next(given_lines, None))
    finished = Conversation(open_draft(str(path), None), screen, again).hold()
    return "".join(shown), finished


def tables(path: Path) -> dict[str, object]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


pytestmark = pytest.mark.usefixtures("unjudged")


def test_nothing_said_writes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    talk(path, [])
    talk(path, ["help", "", "nonsense", "back", "stop"])
    assert not path.exists()


def test_each_answer_is_in_the_file_at_once(tmp_path: Path) -> None:
    path = tmp_path / "old_mill.toml"
    talk(path, WELL[:1])
    assert '# waits: well.depth = "180 ft"' in path.read_text(encoding="utf-8")
    talk(path, WELL[1:2])
    assert tables(path)["well"] == {"depth": "180 ft", "static_level": "85 ft"}
    assert tables(path)["site"] == {"name": "old mill", "print_units": "US"}
    assert load_site(path).site.well.static_level == pytest.approx(85 * 0.3048)
    assert "waits" not in path.read_text(encoding="utf-8")


def test_what_is_outside_the_ordinary_is_asked_after(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    shown, _ = talk(path, ["1800'", "no", "1600'", "yes", "85'", '36"', "", "6 in"])
    assert shown.count("Type yes to keep it") == 3
    assert (
        "Outside what is ordinary: 1800 ft, most are 20.0 ft to 1200 ft; is it meant?"
        in " ".join(shown.split())
    )
    assert "Left as it was: answer again." in shown
    assert tables(path)["well"]["depth"] == "1600 ft"  # type: ignore[index]
    assert tables(path)["well"]["casing_bore"] == "6 in"  # type: ignore[index]
    shown, _ = talk(tmp_path / "other.toml", ["1800'"])
    assert "waits: well.depth" not in shown
    assert not (tmp_path / "other.toml").exists(), "an end of input is no yes"


def test_only_what_is_missing_is_asked(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    talk(path, [*WELL, "1", PUMP[0]])
    shown, _ = talk(path, [])
    assert "Flow and head points of the house pump" in shown
    assert "How deep" not in shown


def test_answers_that_fit_only_together_are_all_kept(tmp_path: Path) -> None:
    # A pump that hangs in another well needs a line of its own, which is told with the well.
    path = tmp_path / "site.toml"
    talk(path, [*WELL, "2, one in another well", *PUMP[:4], "60 ft, 20 ft, 120 ft"])
    before = path.read_text(encoding="utf-8")
    assert '# waits: pump[2].well = "other well"' in before
    shown, _ = talk(path, [])
    assert "What did a test of the other well give" in shown
    talk(path, ["3 gpm"])
    assert '# waits: pump[2].well = "other well"' in path.read_text(encoding="utf-8")


def test_what_is_not_known_is_asked_again_only_if_wished(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    talk(path, [*WELL[:3], "don't know"])
    question = "What did the driller's test give"
    assert question not in talk(path, [])[0]
    shown, _ = talk(path, ["8 gpm"], again=True)
    assert question in shown
    assert load_site(path).site.well.tested_yield is not None
    assert "well.tested_yield = not known" not in path.read_text(encoding="utf-8")


def test_one_no_declines_a_whole_group(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    shown, finished = talk(path, [*WELL, "no", "4", "no", "no", "no", "no"])
    assert finished
    assert shown.count("For example") == 10
    assert "none" not in tables(path)


def test_part_of_an_answer_is_kept_and_the_rest_asked_at_once(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    start = [
        *WELL,
        "no",
        "4",
        "no",
        "no",
        "40 V, 9.7 A, 32 V, 9.2 A",
        "42N",
        "",
        "",
        "4",
        "",
        "no",
    ]
    shown, _ = talk(path, [*start, "50 gal", "4500 W"])
    said = " ".join(shown.split())
    assert "= tank 50 gal Kept. Still to tell: element; volts. Or say: don't know." in said
    assert '# waits: water_heater.volume = "50 gal"' in path.read_text(encoding="utf-8")
    assert said.endswith("= element 4500 W Kept. Still to tell: volts. Or say: don't know.")
    # The end of the input lost nothing: what lacks comes first, whatever is known stays.
    shown, _ = talk(path, ["240"])
    assert "Known so far: tank 50 gal, element 4500 W" in " ".join(shown.split())
    heater = tables(path)["water_heater"]
    assert heater["volume"] == "50 gal"  # type: ignore[index]
    assert heater["element"][0]["rated_voltage"] == "240 V"  # type: ignore[index]
    shown, _ = talk(path, ["ordinary thermostat", "150F", "no", "yes", "ASSE 1017", "don't know"])
    said = " ".join(shown.split())
    assert "Still to tell: thermostat." in said
    assert "Then say what is known of it, such as 120F, ASSE 1017; or don't know." in said
    assert "Still to tell: mixing valve." in said
    assert "water_heater.mixing_valve = yes" in path.read_text(encoding="utf-8")


def test_of_a_part_that_is_not_understood_the_rest_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    shown, _ = talk(path, [*WELL[:3], "8 gpm, never dry"])
    assert 'Left out: cannot read "never dry"' in " ".join(shown.split())
    assert tables(path)["well"]["tested_yield"] == "8 gpm"  # type: ignore[index]
    shown, _ = talk(tmp_path / "other.toml", [*WELL[:3], "dry, 8"])
    assert "Not understood" in shown, "the bare number might be meant for what was not understood"


def test_a_yes_is_kept_where_no_more_is_known_and_the_thing_is_sized(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    shown, _ = talk(path, [*WELL, "no", "4", "yes", "don't know"])
    assert "Then say what is known of it, such as 2 in, 6 in" in " ".join(shown.split())
    assert "# asked: hand_pump = yes" in path.read_text(encoding="utf-8")
    assert "hand_pump" not in tables(path)
    assert open_draft(str(path), None).to_size() == ["hand pump"]
    shown, _ = talk(path, ["no", "2 in", "no", "6 in"], again=True)
    assert "Still to tell: stroke." in " ".join(shown.split())
    assert tables(path)["hand_pump"] == {"bore": "2 in", "stroke": "6 in"}


def test_back_changes_an_earlier_answer_and_goes_on(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    shown, _ = talk(path, [*WELL[:3], "back", "back", "95'"])
    assert tables(path)["well"]["static_level"] == "95 ft"
    assert "Enter keeps: water at rest 85 ft" in shown
    assert shown.rstrip().endswith("For example: 8 gpm at 101'; or 8 gpm")
    shown, _ = talk(tmp_path / "other.toml", ["back"])
    assert "This is the first question." in shown


def test_a_contradiction_is_told_at_once_and_asked_again(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    shown, _ = talk(path, ["180'", "200'", "85'"])
    assert "That can't be: well.static_level: 200 ft lies at or below the bottom" in shown
    assert tables(path)["well"]["static_level"] == "85 ft"
    shown, _ = talk(path, [*WELL[2:], "1", *PUMP, "60/40", "40/60"])
    assert "40 psi is not above the cut-in (60 psi)" in " ".join(shown.split())
    assert tables(path)["pressure_switch"] == {"cut_in": "40 psi", "cut_out": "60 psi"}
    modules = ["no", "1 in", "", "4", "no", "no", "39.9, 9.7, 41, 9.2", "39.9, 9.7, 32.6, 9.2"]
    shown, _ = talk(path, modules)
    assert "41 V is not below voc (39.9 V)" in " ".join(shown.split())
    assert tables(path)["module"]["vmp"] == "32.6 V"


def test_an_offer_is_taken_by_enter_and_says_why(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    talk(path, [*WELL, "1", ""])
    talk(path, [*PUMP[1:], "40/60", "44 gal", ""])
    text = path.read_text(encoding="utf-8")
    assert 'intake_depth = "170 ft"  # offered: 10 ft (3 m) above the bottom' in text
    assert 'precharge = "38 psi"  # offered: 2 psi' in text


def test_a_pump_without_a_sheet_is_marked_as_invented(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    shown, _ = talk(path, [*WELL, "1", "150'", "3/4 hp", "don't know", "", "230 V"])
    assert "does not say what the pump gives" in " ".join(shown.split())
    pump = load_site(path).site.pump[0]
    assert pump.name == "house pump (invented curve)"
    assert pump.power is not None
    assert "# invented: put the sheet's own points here" in path.read_text(encoding="utf-8")
    back = ["back", "back", "back", "0 gpm at 330 ft, 4 gpm at 120 ft"]
    talk(path, back)
    pump = load_site(path).site.pump[0]
    assert pump.name == "house pump"
    assert pump.power is None
    assert "invented" not in path.read_text(encoding="utf-8")


def test_a_pump_without_a_curve_waits_and_the_other_is_used(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    first = ["150'", "don't know", "no", "3/4 hp, 230 V", "12 AWG"]
    talk(path, [*WELL, "2", *first, *PUMP])
    assert [pump.name for pump in load_site(path).site.pump] == ["frugal pump"]
    assert '# waits: pump[2].name = "house pump"' in path.read_text(encoding="utf-8")
    shown, _ = talk(path, [], again=True)
    assert "house pump" in shown


def test_a_second_pump_may_hang_in_another_well(tmp_path: Path) -> None:
    """Its well stands in the file with its name, and its pump with a pipe of its own."""
    path = tmp_path / "site.toml"
    other = ["30 ft, 12 ft, 90 ft", "3 gpm at 20'", "36 in", "27 ft", *PUMP[1:]]
    talk(path, [*WELL, "2, one in another well", *PUMP[:-1], *other, "stop"])
    site = load_site(path).site
    assert [(each.name, each.well) for each in site.pump] == [
        ("house pump", None), ("pump in the other well", "other well"),
    ]  # fmt: skip
    (well,) = site.other_well
    assert [float(each or 0.0) / 0.3048 for each in (well.depth, well.static_level)] == [
        pytest.approx(30.0), pytest.approx(12.0),
    ]  # fmt: skip
    assert float(site.pump[1].line.length or 0.0) == pytest.approx(90 * 0.3048)


@pytest.mark.parametrize(
    "answer",
    [
        "40/60, valve 50",
        "valve 50 psi, 40/60",
        "cut-in 40, cut-out 60, constant pressure valve 50",
    ],
)
def test_a_valve_that_holds_the_pressure_is_told_with_the_switch(
    tmp_path: Path, answer: str
) -> None:
    path = tmp_path / "site.toml"
    talk(path, [*WELL, "1", *PUMP[:-1], "yes", answer, "stop"])
    site = load_site(path).site
    both = (site.pressure_switch.cut_in, site.pressure_switch.cut_out)
    assert [each.text("US") for each in both] == ["40.0 psi", "60.0 psi"]
    assert site.constant_pressure_valve.set_pressure.text("US") == "50.0 psi"


def test_a_table_goes_only_when_one_is_sure(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    begin = [*WELL, "no", "4", "2 in, 6 in"]
    shown, _ = talk(path, [*begin, "back", "no", "hm"])
    assert "Left as it is." in shown
    assert "hand_pump" in tables(path)
    shown, _ = talk(path, ["back", "no", "yes"])
    assert "That takes out of the file: hand_pump" in shown
    assert "hand_pump" not in tables(path)


@pytest.mark.parametrize("text", [
    '[well]\ndepth = "180 ft"\nstatic_level = "300 ft"\n',
    # Remarks alone, none of them an answer that waits; such an answer beside a broken table.
    "# nothing yet\n",
    '# asked: hand_pump = no\n[well]\ndepth = 5\n',
])  # fmt: skip
def test_a_broken_file_stays_untouched(text: str, tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    path.write_text(text, encoding="utf-8")
    before = path.read_bytes()
    with pytest.raises(SiteFileError):
        open_draft(str(path), None)
    assert path.read_bytes() == before


def test_a_file_that_something_else_changed_meanwhile_stays(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    talk(path, WELL[:2])

    def lines() -> Iterable[str]:
        path.write_text('[well]\ndepth = "99 ft"\nstatic_level = "9 ft"\n', encoding="utf-8")
        yield "6 in"

    with pytest.raises(OutputError, match="changed by something else"):
        talk(path, lines())
    assert tables(path)["well"]["depth"] == "99 ft"


def test_line_ends_and_remarks_of_a_file_stay(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    text = '# mine\r\n[well]\r\nstatic_level = "85 ft" # dry\r\ndepth = "180 ft"\r\n'
    path.write_bytes(text.encode())
    talk(path, ["6 in"])
    assert path.read_bytes().decode() == text + 'casing_bore = "6 in"\r\n'


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_looking_through_a_file_changes_nothing(tmp_path: Path, example: Path) -> None:
    path = tmp_path / "site.toml"
    path.write_bytes(example.read_bytes())
    talk(path, ["help", "what?", "back", "back", "back", "nonsense", "stop"])
    assert path.read_bytes() == example.read_bytes()


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_a_hand_written_file_loses_no_line(tmp_path: Path, example: Path) -> None:
    path = tmp_path / "site.toml"
    path.write_bytes(example.read_bytes())
    talk(path, ["don't know"] * 40)
    kept = path.read_text(encoding="utf-8").split("\n")
    lost = [line for line in example.read_text(encoding="utf-8").split("\n") if line not in kept]
    assert not lost
    assert load_site(path).site == load_site(example).site


LINES = st.one_of(
    st.sampled_from(
        [*WELL, *PUMP, "", "", "", "no", "yes", "1", "2", "back", "don't know", "help", "40/60",
         "44 gal", "1 in", "4", "2 in, 6 in", "125', tank", "4.4, 3, 2.5", "6 kW, 12 kVA, 15 kWh",
         "39.9, 9.7, 32.6, 9.2", "41 N", "60%", "8 x 4", "50 gal, 4500 W, 240 V", "140F, relay",
         "120F", "170F", "0, 3, 6 gpm", "420, 390, 330 ft"]
    ),
    st.text(max_size=20),
)  # fmt: skip


def check_talk(path: Path, begin: str, lines: list[str], again: bool) -> None:
    """Whatever is said, the file can be gone on with."""
    path.unlink(missing_ok=True)
    if begin:
        path.write_text(begin, encoding="utf-8")
    shown, _ = talk(path, lines, again=again)
    assert all(len(line) <= 80 for line in shown.split("\n"))
    if path.exists():
        before = path.read_bytes()
        talk(path, [])
        assert path.read_bytes() == before
        if any(line and not line.startswith("#") for line in before.decode().split("\n")):
            load_site(path)


TALKS = given(st.sampled_from(["", starter_text()]), st.lists(LINES, max_size=45), st.booleans())
FIXTURES = [HealthCheck.function_scoped_fixture]


@settings(max_examples=20, deadline=None, suppress_health_check=FIXTURES)
@TALKS
def test_whatever_is_said_the_file_can_be_gone_on_with(
    tmp_path: Path, begin: str, lines: list[str], again: bool
) -> None:
    """Twenty talks; sixty with `-m long`."""
    check_talk(tmp_path / "site.toml", begin, lines, again)


@pytest.mark.long
@settings(max_examples=50, deadline=None, suppress_health_check=FIXTURES)
@TALKS
def test_whatever_is_said_at_length(
    tmp_path: Path, begin: str, lines: list[str], again: bool
) -> None:
    check_talk(tmp_path / "site.toml", begin, lines, again)


@pytest.mark.parametrize(
    ("pumps", "more", "parts"),
    [
        ("don't know", "", ["pump", "pressure tank"]),
        ("no", "", []),
        ("1", '[pressure_tank]\nvolume = "44 gal"\n', ["pump"]),
    ],
)
def test_what_nobody_could_tell_of_pump_and_tank_is_offered_to_be_sized(
    tmp_path: Path, pumps: str, more: str, parts: list[str]
) -> None:
    path = tmp_path / "site.toml"
    path.write_text(f'[well]\ndepth = "180 ft"\nstatic_level = "85 ft"\n{more}', encoding="utf-8")
    shown: list[str] = []

    def line(prompt: str) -> str:
        if "Type yes" in shown[-1]:
            return "yes"
        return pumps if "How many powered pumps" in "".join(shown[-8:]) else "don't know"

    held = Conversation(open_draft(str(path), None), Screen(shown.append, line))
    assert held.hold()
    assert held.draft.to_size() == parts
    assert held.to_be_sized() is bool(parts)
    assert ("wellsolar size" in shown[-1]) is bool(parts)


def test_fewer_pumps_take_those_above_their_number_away(tmp_path: Path) -> None:
    """One in place of two, once it is agreed to."""
    path = tmp_path / "site.toml"
    two = [*WELL, "2", "150'", "back", "back", "1"]
    assert "Type yes to" in talk(path, [*two, "stop"])[0]
    assert "frugal pump" in path.read_text("utf-8")
    path.unlink()
    talk(path, [*two, "yes", "stop"])
    assert "house pump" in path.read_text("utf-8")
    assert "frugal pump" not in path.read_text("utf-8")


SITE = '[site]\nname = "a"\n[well]\ndepth = "180 ft"\nstatic_level = "85 ft"\n'
PARTS = {
    "pump": '[[pump]]\nname = "p"\nflow = "0, 8 gpm"\nhead = "300, 200 ft"\n',
    "tank": '[pressure_tank]\nvolume = "44 gal"\n',
    "module": '[module]\nvoc = "39.9 V"\nisc = "9.7 A"\nvmp = "32.6 V"\nimp = "9.2 A"\n'
    "cells = 60\n",
    "array": '[[array]]\nname = "house array"\nfeeds = "battery"\nseries = 4\n',
}


@pytest.mark.parametrize(
    ("parts", "settled", "waiting", "open_"),
    [
        ("", {}, {}, ["pump", "pressure tank"]),
        ("", {"pumps": "no"}, {}, []),
        ("tank", {}, {}, ["pump"]),
        ("pump", {}, {}, ["pressure tank"]),
        ("pump tank", {}, {}, []),
        ("tank", {}, {("pump", 0, "name"): "p"}, ["pump"]),
        ("pump tank", {}, {("pump", 1, "name"): "p"}, ["pump"]),
        ("pump tank", {"hand_pump": "yes"}, {}, ["hand pump"]),
        ("pump tank", {"hand_pump": "no"}, {}, []),
        ("pump tank module", {}, {}, ["modules"]),
        ("pump tank module array", {}, {}, []),
        ("pump tank module", {}, {("water_heater", "volume"): "50 gal"},
         ["modules and their element"]),
        ("pump tank module array", {}, {("water_heater", "volume"): "50 gal"},
         ["modules and their element"]),
    ],
)  # fmt: skip
def test_what_nobody_told_and_no_answer_declined_is_to_be_sized(
    parts: str, settled: dict[str, str], waiting: dict[SitePath, Value], open_: list[str]
) -> None:
    text = SITE + "".join(PARTS[part] for part in parts.split())
    assert Draft("a.toml", text, settled, waiting).to_size() == open_
    assert Draft("a.toml", text.partition("[well]")[0], settled, waiting).to_size() == []


def test_what_was_settled_of_a_pump_goes_with_its_new_name() -> None:
    settled = {"pump[first].curve": "not known", "pump[second].curve": "no", "pumps": "2"}
    named: dict[SitePath, Value] = {("pump", 0, "name"): "first", ("pump", 1, "name"): "second"}
    draft = Draft("site.toml", "", settled, named)
    for key, renamed in ((("pump", 1, "name"), True), (("pump", 1, "role"), False)):
        changed = draft.with_values({key: "third"}).settled
        assert changed == {"pump[first].curve": "not known", "pumps": "2",
                           f"pump[{'third' if renamed else 'second'}].curve": "no"}  # fmt: skip


def test_what_waits_is_told_by_its_name() -> None:
    """A pump by its own name, another table by the file's word for it."""
    facts = Facts({"pump": [{"name": "first"}, {"name": "second"}]}, {}, "US")
    waiting = {("pump", 1, "flow"): "1, 2 gpm", ("pump", 1, "head"): "9, 8 ft",
               ("water_heater", "volume"): "50 gal"}  # fmt: skip
    draft = SimpleNamespace(facts=lambda: facts, waiting=waiting)
    assert _waiting(draft) == ["second", "water heater"]  # type: ignore[arg-type]


@pytest.mark.parametrize("typed", [True, False])
def test_a_line_is_typed_at_a_terminal_and_read_from_anything_else(
    typed: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Read, it stands on the page as if it had been typed; at the end there is none."""
    written: list[str] = []
    read = io.TextIOWrapper(io.BytesIO(b"85 \xff ft\r\n"), "utf-8")
    monkeypatch.setattr(read, "isatty", lambda: True)
    monkeypatch.setattr("sys.stdin", read)
    monkeypatch.setattr("sys.stdout", SimpleNamespace(isatty=lambda: typed, encoding="ascii"))
    monkeypatch.setattr("builtins.input", lambda prompt: f"{prompt}by hand")
    screen = terminal(written.append)
    assert screen.encoding == "ascii"
    if typed:
        assert screen.line("? ") == "? by hand"
        assert written == []
        return
    assert screen.line("? ") == "85 \ufffd ft"
    assert written == ["? ", "85 \ufffd ft\n"]
    assert screen.line("? ") is None
    monkeypatch.setattr("sys.stdin", None)
    assert screen.line("? ") is None
