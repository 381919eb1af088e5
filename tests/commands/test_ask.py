"""The interview at a real terminal of 80 columns, as its user has it."""

from __future__ import annotations

import io
import os
import re
import signal
import subprocess
import sys
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pexpect
import pytest

from wellsolar.site.loading.read import load_site
from wellsolar.studies.case import study_site

CHECKOUT = Path(__file__).parents[2]
PROMPT = r"> $"
STEERING = re.compile(r"\x1b\[[0-9;?]*[a-zA-Z]|\x1b[=>]|\r")

# What a driver of wells, a homesteader and an installer would say; all of it invented.
WHOLE = [
    ("How deep is the well", "180'"),
    ("How far below the ground", "85-110'"),
    ("How wide is the casing", ""),
    ("driller's test", "8 gpm at 101 feet"),
    ("How many powered pumps", "2"),
    ("How deep does the house pump hang", "150'"),
    ("Flow and head points of the house pump", "0, 4, 8, 10, 12, 14 gpm"),
    ("the head of the house pump at each", "310, 300, 262, 230, 185, 125 ft"),
    ("motor's plate of the house pump", "3/4 hp, 230V, 28 A LRA"),
    ("Which wire runs to the house pump", "12 AWG, 240'"),
    ("How deep does the frugal pump hang", ""),
    ("Flow and head points of the frugal pump", "0 gpm at 330 ft, 2 at 262, 4 at 120"),
    ("motor's plate of the frugal pump", "1/2 hp, 230 V, soft start"),
    ("Which wire runs to the frugal pump", "#12"),
    ("Does something stop each pump", "yes"),
    ("At what pressures", "40/60"),
    ("How large is the pressure tank", "86 gal"),
    ("What is its precharge", ""),
    ("What pipe carries the water", "1-1/4\" poly, 60', 5 ft"),
    ("How many people", "4"),
    ("Is there a hand pump", "1-3/4 in, 6 in"),
    ("How deep does its cylinder hang", "125', tank"),
    ("How wide at their widest", "4.4 in, 3 in, 2.4 in"),
    ("Is there an inverter", "6 kW, 12 kVA, 15 kWh"),
    ("Are there PV modules", "39.9 V, 9.7 A, 32.6 V, 9.2 A, 300W"),
    ("Where is it: latitude", "41.2 N, 900 ft, -18F"),
    ("How much sun", ""),
    ("How many modules feed the water heater", "4 in series, 10 AWG, 250 ft"),
    ("How many modules feed the battery", "8 x 4, #8, 120 ft"),
    ("How large is the tank that the modules heat", "50 gal, 4500 W, 240 V, straight"),
    ("What is its thermostat set to", "140F, relay, 300 V, 32 A"),
    ("Is there an upper element", "120F"),
    ("Is there a mixing valve", "120F, ASSE 1017"),
    ("At what temperature does the high limit", "170F"),
    ("What share of the year's hot-water heat", "60%"),
    ("Which edition of the National Electrical Code", "2020"),
    ("Is there a generator", "no"),
    ("joined to the public grid", ""),
    ("keep grid and inverter from ever", "yes"),
    ("joined by a wire", "yes"),
    ("What stops the motor of the house pump", "in the motor"),
    ("What stops the motor of the frugal pump", "its box"),
    ("a ground-fault breaker", "yes"),
    ("Where do the modules stand", "roof, building, 35 deg, south"),
    ("turns off the water heater array", "600 V, 32 A, both"),
    ("turns off the house array", "600 V, 60 A, both"),
    ("Which of these have the modules", "all"),
    ("the circuit of the lower element", "the same relay"),
    ("the circuit of the upper element", "AC contacts, both"),
    ("wires at the heater apart", "no"),
    ("whose house is it", "for the owner, by the installer, 2027-05-04"),
    ("Check valve place", "pump"),
    ("Greatest input voltage", "450 V, 0 A"),
    ("Greatest pressure", "100 psi, 75 psi"),
    ("Relief pressure", "75 psi"),
    ("Fixture valves", "check valve"),
    ("Relief temperature", "210F, 150 psi, 30 kW"),
    ("Working pressure", "150 psi"),
    ("Expansion tank", "yes"),
    ("Expansion tank volume", "2 gal, 38 psi"),
]

Begin = Callable[..., Any]

pytestmark = pytest.mark.filterwarnings("ignore:This process .* is multi-threaded")


@pytest.fixture
def ask(tmp_path: Path) -> Iterator[Begin]:
    """Begins `wellsolar ask` at a terminal of 24 lines and 80 columns."""
    begun: list[Any] = []

    def begin(*arguments: str) -> Any:
        child = pexpect.spawn(
            sys.executable,
            ["-m", "wellsolar", "ask", *arguments],
            cwd=tmp_path,
            env={**_environment(), "TERM": "xterm"},
            preexec_fn=_on_one_core,
            dimensions=(24, 80),
            encoding="utf-8",
            timeout=60,
        )
        child.shown = ""
        # It waits for each prompt, and need not wait besides.
        child.delaybeforesend = None
        child.ptyproc.delayafterclose = child.ptyproc.delayafterterminate = 0.01
        begun.append(child)
        return child

    yield begin
    for child in begun:
        if child.isalive():  # killed and waited for: a busy machine takes its time to end it
            child.kill(signal.SIGKILL)
            child.wait()
        child.close()


def _environment() -> dict[str, str]:
    steering = ("COLUMNS", "NO_COLOR", "FORCE_COLOR", "PYTHONIOENCODING", "WELLSOLAR_DEBUG")
    kept = {key: value for key, value in os.environ.items() if key not in steering}
    return {**kept, "PYTHONPATH": str(CHECKOUT)}


def _on_one_core() -> None:
    """What is studied in a process beside is found anew at the next answer: on one core nothing
    is, and the whole talk takes two thirds of the time of its cores."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})


def until_asked(child: Any) -> str:
    """What was printed up to the next prompt."""
    child.expect(PROMPT)
    said = STEERING.sub("", child.before)
    child.shown += said
    return " ".join(said.split())


def until_over(child: Any) -> str:
    """The rest of what is printed, and the exit code in `child.exitstatus`."""
    child.expect(pexpect.EOF)
    child.close()
    said = STEERING.sub("", child.before)
    child.shown += said
    return " ".join(said.split())


def interrupted(child: Any) -> str:
    """What is printed after Ctrl-C, pressed again where nothing follows: between a prompt and its
    wait for a line Python does not hear it until another key is pressed."""
    for _ in range(5):
        child.sendintr()
        if child.expect([pexpect.EOF, pexpect.TIMEOUT], timeout=3) == 0:
            break
    said = STEERING.sub("", child.before)
    child.close()
    child.shown += said
    return " ".join(said.split())


def say(child: Any, answer: str) -> str:
    """Type an answer; what is printed up to the next prompt."""
    child.sendline(answer)
    return until_asked(child)


@pytest.fixture
def piped(run_here: Any, monkeypatch: pytest.MonkeyPatch) -> Begin:
    """Holds `wellsolar ask` in this process, with what comes through a pipe."""

    def hold(typed: bytes, *arguments: str, **environment: str) -> Any:
        monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(typed), "utf-8"))
        return run_here("ask", "site.toml", *arguments, **environment)

    return hold


def tables(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def test_a_whole_interview_ends_in_a_file_that_check_reads(
    ask: Begin, run_here: Any, tmp_path: Path
) -> None:
    child = ask("site.toml")
    asked = until_asked(child)
    for number, (question, answer) in enumerate(WHOLE):
        assert question in asked, (number, asked[-300:])
        child.sendline(answer)
        asked = until_over(child) if number == len(WHOLE) - 1 else until_asked(child)
    assert child.exitstatus == 0
    assert "wellsolar check site.toml" in asked
    assert "What follows so far" in " ".join(child.shown.split())
    assert all(len(line) <= 80 for line in child.shown.split("\n"))
    site = load_site(tmp_path / "site.toml").site
    assert [pump.name for pump in site.pump] == ["house pump", "frugal pump"]
    assert site.well.static_level.high == pytest.approx(110 * 0.3048)
    assert site.hand_pump is not None
    assert site.water_heater is not None
    assert site.power.kept_apart == ("grid and inverter",)
    assert [group.rapid_shutdown for group in site.array] == [True, True]
    assert [group.isolator_poles for group in site.array] == [2, 2]
    checked = run_here("check", "site.toml")
    assert checked.returncode in (0, 1)
    assert checked.stderr == b""
    assert "waits" not in (tmp_path / "site.toml").read_text(encoding="utf-8")
    # As many screens as a person bears, and all that can hurt somebody is known.
    assert len(WHOLE) <= 60
    verdicts = study_site(load_site(tmp_path / "site.toml")).verdicts
    assert not [each.subject for each in verdicts
                if each.rule.safety and each.status == "unknown"]  # fmt: skip


@pytest.mark.sample
def test_it_is_left_and_gone_on_with(ask: Begin, tmp_path: Path) -> None:
    """By a word, by Ctrl-C and by the end of the input; each time the next open question comes."""
    path = tmp_path / "site.toml"
    child = ask("site.toml")
    until_asked(child)
    say(child, "180'")
    child.sendline("stop")
    assert "Kept in site.toml. To go on: wellsolar ask site.toml" in until_over(child)
    assert child.exitstatus == 0
    child = ask("site.toml")
    assert "How far below the ground" in until_asked(child)
    say(child, "85'")
    assert "Kept in site.toml" in interrupted(child)
    assert child.exitstatus == 130
    assert tables(path)["well"] == {"depth": "180 ft", "static_level": "85 ft"}
    child = ask("site.toml")
    assert "How wide is the casing" in until_asked(child)
    child.sendeof()
    assert "Kept in site.toml" in until_over(child)
    assert child.exitstatus == 0
    load_site(path)


def test_going_back_help_and_not_knowing(ask: Begin, piped: Begin, tmp_path: Path) -> None:
    child = ask("site.toml")
    until_asked(child)
    say(child, "180'")
    say(child, "85'")
    assert "Measure it at the top" in say(child, "help")
    assert "Enter keeps: water at rest 85 ft" in say(child, "back")
    assert "How wide is the casing" in say(child, "95'")
    assert "Left open" in say(child, "don't know")
    child.sendline("stop")
    until_over(child)
    assert tables(tmp_path / "site.toml")["well"]["static_level"] == "95 ft"
    assert b"How wide" not in piped(b"").stdout
    assert b"How wide" in piped(b"", "--again").stdout


def test_what_cannot_be_is_told_and_asked_again(ask: Begin) -> None:
    child = ask("site.toml")
    until_asked(child)
    assert 'expected a number and a unit of length, e.g. "85 ft"' in say(child, "deep enough")
    say(child, "180'")
    said = say(child, "200 ft")
    assert "200 ft lies at or below the bottom of the well (180 ft)" in said
    assert "How wide is the casing" in say(child, "85'")


def test_a_hand_written_file_keeps_its_remarks(ask: Begin, tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    text = (
        "# The well behind the barn.\n\n[well]   # invented\nstatic_level = '85 ft' # in May\n"
        'depth = "180 ft"\n\n# no pump yet\n'
    )
    path.write_text(text, encoding="utf-8")
    child = ask("site.toml")
    assert "How wide is the casing" in until_asked(child)
    say(child, '6"')
    say(child, "8 gpm")
    child.sendeof()
    until_over(child)
    lines = path.read_text(encoding="utf-8").split("\n")
    assert lines[:7] == [
        *text.split("\n")[:5], 'casing_bore = "6 in"', 'tested_yield = "8 gpm"'
    ]  # fmt: skip
    assert [line for line in text.split("\n") if line not in lines] == []


def test_a_broken_file_gives_the_usual_error(run_here: Any, tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    path.write_text('[well]\ndepth = "180 gal"\n', encoding="utf-8")
    before = path.read_bytes()
    done = run_here("ask", "site.toml")
    assert done.returncode == 2
    assert done.stdout == b""
    assert done.stderr == run_here("check", "site.toml").stderr
    assert b"site.toml:2: well.depth:" in done.stderr
    assert path.read_bytes() == before


def test_a_place_that_cannot_be_written_to_is_refused_first(run_here: Any) -> None:
    done = run_here("ask", "no_such_folder/site.toml")
    assert done.returncode == 2
    assert done.stdout == b""
    assert b"make it first" in done.stderr


@pytest.mark.parametrize("units", ["US", "si"])
def test_answers_may_come_through_a_pipe(tmp_path: Path, piped: Begin, units: str) -> None:
    """In feet from another process, in metres in this one."""
    typed = b"55\n26 - 33\n\xff\xfe\n150mm\n"
    if units == "si":
        done = piped(typed, "--units", units, COLUMNS="80")
    else:
        done = subprocess.run(
            [sys.executable, "-m", "wellsolar", "ask", "site.toml", "--units", units],
            input=typed,
            cwd=tmp_path,
            env=_environment(),
            capture_output=True,
            check=False,
            timeout=60,
        )
    assert done.returncode == 0
    assert done.stderr == b""
    unit = "ft" if units == "US" else "m"
    well = tables(tmp_path / "site.toml")["well"]
    assert well["depth"] == f"55 {unit}"
    assert well["static_level"] == f"26 {unit} .. 33 {unit}"
    assert well["casing_bore"] == "150 mm"
    assert all(len(line) <= 80 for line in done.stdout.decode().split("\n"))


def test_a_terminal_without_fine_letters_is_no_trouble(piped: Begin, tmp_path: Path) -> None:
    done = piped(b"", PYTHONIOENCODING="ascii", COLUMNS="50")
    assert done.returncode == 0
    assert done.stderr == b""
    assert all(len(line) <= 50 for line in done.stdout.decode("ascii").split("\n"))
    assert not (tmp_path / "site.toml").exists()
