"""The commands as a user types them: exit codes, messages, and what is left on the disk."""

from __future__ import annotations

import json
import os
import stat
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from wellsolar import __main__, output
from wellsolar.errors import OutOfRange, OutputError
from wellsolar.reports import files
from wellsolar.results import Results

CHECKOUT = Path(__file__).parents[2]
COMMANDS = ("check", "pump", "heat", "hand", "tank")
SITE = """
[well]
depth = "200 ft"
static_level = "85 ft"
[pressure_switch]
cut_in = "30 psi"
cut_out = "50 psi"
[[pump]]
name = "small"
intake_depth = "150 ft"
flow = "0, 2, 4 gpm"
head = "{heads} ft"
power = "200, 250, 260 W"
"""
STRONG = SITE.format(heads="400, 330, 250")
WEAK = SITE.format(heads="120, 90, 40")
HARD_TANK = """
[pressure_tank]
volume = "20 gal"
precharge = "44 psi"
"""
BROKEN = """
[well]
depth = 200 ft
static_level = "85 psi"
dpeth = "3 ft"
[pressure_switch]
cut_in = "50 psi"
cut_out = "30 psi"
"""


@pytest.fixture
def studied(results: Results, monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Puts results, or an error, in the place of the studies."""

    def put(found: Results | Exception = results) -> None:
        from wellsolar.studies import case

        def study_site(file: object, parts: object, system: Any, options: object) -> Results:
            if isinstance(found, Exception):
                raise found
            return replace(found, system=system)

        monkeypatch.setattr(case, "study_site", study_site)

    return put


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "site.toml"
    path.write_text(STRONG, encoding="utf-8")
    return path


# ---- exit codes


def test_nothing_fails_is_0_and_a_fail_is_1(run_here: Any, tmp_path: Path) -> None:
    (tmp_path / "strong.toml").write_text(STRONG, encoding="utf-8")
    (tmp_path / "weak.toml").write_text(WEAK, encoding="utf-8")
    strong, weak = run_here("pump", "strong.toml"), run_here("pump", "weak.toml")
    assert (strong.returncode, weak.returncode) == (0, 1)
    assert strong.stderr == weak.stderr == b""
    assert b"\nFAIL " not in strong.stdout
    assert b"\nFAIL " in weak.stdout


@pytest.mark.parametrize("command", COMMANDS)
def test_mistakes_in_the_file_are_all_told_and_nothing_is_written(
    run_here: Any, tmp_path: Path, command: str
) -> None:
    (tmp_path / "bad.toml").write_text(BROKEN, encoding="utf-8")
    done = run_here(command, "bad.toml", "--json", "out.json")
    assert done.returncode == 2
    assert done.stdout == b""
    lines = done.stderr.decode().splitlines()
    assert [line.split(": ")[0] for line in lines[:-1]] == [
        "bad.toml:3", "bad.toml:4", "bad.toml:5", "bad.toml:8",
    ]  # fmt: skip
    assert 'a quantity takes quotes: write depth = "200 ft"' in lines[0]
    assert lines[1].startswith("bad.toml:4: well.static_level: ")
    assert 'did you mean "depth"?' in lines[2]
    assert lines[3].startswith("bad.toml:8: pressure_switch.cut_out: ")
    assert lines[4] == "4 mistakes in bad.toml; nothing was written"
    assert [path.name for path in tmp_path.iterdir()] == ["bad.toml"]


def test_one_mistake_is_counted_as_one(run_here: Any) -> None:
    done = run_here("check", "nowhere.toml")
    assert done.returncode == 2
    assert done.stderr.decode().splitlines() == [
        "nowhere.toml: no such file; `wellsolar starter PATH` writes one to begin from",
        "1 mistake in nowhere.toml; nothing was written",
    ]


def test_a_mistake_stays_on_one_line_and_steers_no_terminal(run_here: Any, tmp_path: Path) -> None:
    text = '[well]\ndepth = "9\\u001b[2J\\n ft"\nstatic_level = "5 ft"\n'
    (tmp_path / "site.toml").write_text(text, encoding="utf-8")
    done = run_here("check", "site.toml")
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 2
    assert b"\x1b" not in done.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["chekc", "site.toml"],
        ["check"],
        ["check", "a.toml", "b.toml"],
        ["check", "site.toml", "--units", "imperial"],
        ["check", "site.toml", "--colour"],
        ["check", "site.toml", "--json"],
        ["starter"],
    ],
)
def test_a_command_line_that_cannot_be_used_is_2(run: Any, arguments: list[str]) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert b"Usage: wellsolar" in done.stderr or done.stderr.startswith(b"Error: ")
    assert b"Traceback" not in done.stderr
    assert done.stdout == b""


def test_help_and_version_are_0(run: Any) -> None:
    assert run("--help").returncode == run("-h").returncode == 0
    assert run("--version").stdout == b"wellsolar 0.1.0\n"
    listed = run("--help").stdout
    for command in (*COMMANDS, "starter"):
        assert run(command, "--help").returncode == 0
        assert command.encode() in listed


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (RuntimeError("odd\x1b thing"), "RuntimeError: odd? thing"),
        (ZeroDivisionError(), "ZeroDivisionError"),
        (OutOfRange("flow is 9 m3/s; 0 to 1"), "OutOfRange: flow is 9 m3/s; 0 to 1"),
    ],
)
def test_any_other_error_is_3_without_a_traceback(
    studied: Callable[..., None], site: Path, capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch, error: Exception, said: str,
) -> None:  # fmt: skip
    monkeypatch.delenv("WELLSOLAR_DEBUG", raising=False)
    studied(error)
    assert __main__.main(["check", "site.toml", "--json", "out.json"]) == 3
    told = capsys.readouterr()
    assert told.err == f"wellsolar failed: {said}; this is a bug\n"
    assert told.out == ""
    assert not Path("out.json").exists()
    monkeypatch.setenv("WELLSOLAR_DEBUG", "1")
    assert __main__.main(["check", "site.toml"]) == 3
    assert "Traceback" in capsys.readouterr().err


def test_an_interruption_is_told_apart(
    studied: Callable[..., None], site: Path, capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    from wellsolar.studies import case

    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(case, "study_site", interrupted)
    assert __main__.main(["check", "site.toml"]) == 130
    assert capsys.readouterr().err.endswith("wellsolar: interrupted\n")


# ---- what is asked of the studies


@pytest.mark.parametrize(
    ("command", "parts"),
    [
        ("check", ("pump", "supply", "tank", "hand", "heat", "match", "outage")),
        ("pump", ("pump", "supply", "ranking", "ranges")),
        ("tank", ("tank",)),
        ("hand", ("hand",)),
        ("heat", ("heat", "match")),
        ("heat --match", ("match",)),
    ],
)
def test_each_command_asks_for_its_parts(
    results: Results, site: Path, monkeypatch: pytest.MonkeyPatch, command: str,
    parts: tuple[str, ...],
) -> None:  # fmt: skip
    from wellsolar.studies import case

    asked: list[tuple[object, object]] = []

    def study_site(file: object, parts: object, system: object, options: object) -> Results:
        asked.append((parts, system))
        return results

    monkeypatch.setattr(case, "study_site", study_site)
    words = command.split()
    assert __main__.main([*words, "site.toml", "--units", "si"]) == 1
    assert __main__.main([*words, "site.toml"]) == 1
    assert asked == [(parts, "SI"), (parts, "US")]


# ---- standard output


def test_json_to_standard_output_is_nothing_but_json(
    studied: Callable[..., None], site: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    studied()
    assert __main__.main(["check", "site.toml", "--json", "-"]) == 1
    assert json.loads(capfdbinary.readouterr().out)["schema"] == "wellsolar.results"
    assert [path.name for path in site.parent.iterdir()] == ["site.toml"]


def test_json_to_a_file_comes_beside_the_report(
    studied: Callable[..., None], site: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    studied()
    assert __main__.main(["check", "site.toml", "--json", "out.json"]) == 1
    assert capsys.readouterr().out.startswith("Hillside house: ")
    assert json.loads(Path("out.json").read_bytes())["site"]["name"] == "Hillside house"
    assert sorted(path.name for path in site.parent.iterdir()) == ["out.json", "site.toml"]


def test_json_is_utf_8_and_the_report_readable_where_output_is_ascii(
    run_here: Any, tmp_path: Path
) -> None:
    text = '[site]\nname = "Hügel [/x]"\n' + STRONG
    (tmp_path / "site.toml").write_text(text, encoding="utf-8")
    as_json = run_here("check", "site.toml", "--json", "-", PYTHONIOENCODING="ascii")
    assert json.loads(as_json.stdout.decode("utf-8"))["site"]["name"] == "Hügel [/x]"
    report = run_here("check", "site.toml", PYTHONIOENCODING="ascii")
    assert report.returncode == as_json.returncode == 0
    assert report.stdout.startswith(b"Hugel [/x]\n")


@pytest.mark.parametrize(
    "arguments", [["tank", "site.toml"], ["tank", "site.toml", "--json", "-"]]
)
def test_a_reader_that_goes_away_is_no_failure(tmp_path: Path, arguments: list[str]) -> None:
    (tmp_path / "site.toml").write_text(WEAK + HARD_TANK, encoding="utf-8")
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(
        [sys.executable, "-m", "wellsolar", *arguments],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(CHECKOUT)},
        stdout=writing,
        stderr=subprocess.PIPE,
        check=False,
        timeout=60,
    )
    os.close(writing)
    assert done.stderr == b""
    assert done.returncode == 1, "the verdict still stands"


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs a device that is always full")
def test_a_full_disk_behind_standard_output_is_told(tmp_path: Path) -> None:
    (tmp_path / "site.toml").write_text(STRONG, encoding="utf-8")
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "wellsolar", "tank", "site.toml"],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(CHECKOUT)},
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
            timeout=60,
        )
    assert done.returncode == 2
    assert done.stderr == (
        b"wellsolar: standard output could not be written (No space left on device)\n"
    )


def test_a_closed_standard_output_is_told(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    for use in (lambda: output.print_text("text"), output.need_stdout):
        with pytest.raises(OutputError, match="standard output is closed"):
            use()


# ---- where JSON is written


def test_the_site_file_is_never_overwritten(
    studied: Callable[..., None], site: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    studied()
    (site.parent / "link.toml").symlink_to(site)
    for name in ("site.toml", "link.toml", str(site)):
        assert __main__.main(["check", "site.toml", "--json", name]) == 2
        assert "is the site file itself" in capsys.readouterr().err
    assert site.read_text(encoding="utf-8") == STRONG


@pytest.mark.parametrize(
    ("place", "said"),
    [("no/out.json", "there is no folder"), (".", "is a folder"), ("", "is empty")],
)
def test_an_unusable_place_is_told_before_anything_is_studied(
    studied: Callable[..., None], site: Path, capsys: pytest.CaptureFixture[str], place: str,
    said: str,
) -> None:  # fmt: skip
    studied(AssertionError("studied in vain"))
    assert __main__.main(["check", "site.toml", "--json", place]) == 2
    assert said in capsys.readouterr().err
    assert [path.name for path in site.parent.iterdir()] == ["site.toml"]


def test_a_file_is_replaced_whole_and_keeps_its_permissions(tmp_path: Path) -> None:
    path = tmp_path / "out.json"
    path.write_text("old and longer than the new", encoding="utf-8")
    path.chmod(0o640)
    files.write_whole(path, "Hügel")
    assert path.read_bytes() == "Hügel".encode()
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert list(tmp_path.iterdir()) == [path]


def test_a_failure_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "out.json"
    path.write_text("old", encoding="utf-8")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files.os, "fsync", full)
    with pytest.raises(OutputError, match=r"out\.json: could not be written \(No space left"):
        files.write_whole(path, "new")
    with pytest.raises(OutputError, match="No space left"):
        files.write_new(tmp_path / "new.toml", "new")
    assert path.read_text(encoding="utf-8") == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_a_link_is_followed_and_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real.json").write_text("old", encoding="utf-8")
    (tmp_path / "link.json").symlink_to("real.json")
    files.write_whole(tmp_path / "link.json", "new")
    assert (tmp_path / "link.json").is_symlink()
    assert (tmp_path / "real.json").read_text(encoding="utf-8") == "new"


def test_a_file_system_without_links_will_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(files.os, "link", refuse)
    files.write_new(tmp_path / "site.toml", "mine")
    assert (tmp_path / "site.toml").read_text(encoding="utf-8") == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["site.toml"]


def test_a_name_taken_meanwhile_is_not_overwritten(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "site.toml"
    written_beside = files._beside

    def slow(target: Path, text: str) -> Path:
        path.write_text("someone else's", encoding="utf-8")
        return written_beside(target, text)

    monkeypatch.setattr(files, "_beside", slow)
    with pytest.raises(OutputError, match="exists already"):
        files.write_new(path, "mine")
    assert path.read_text(encoding="utf-8") == "someone else's"
    assert list(tmp_path.iterdir()) == [path]
