"""Nothing is lost by writing: not what is read, what somebody wrote or changed, or is no file."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.running import CHECKOUT, here
from wellsolar import output
from wellsolar.__main__ import main
from wellsolar.errors import OutputError
from wellsolar.reports import files, stamps
from wellsolar.results import Results
from wellsolar.results.sizing import DesignFigures
from wellsolar.site.starter import starter_text

SITE = """
[site]
latitude = "40 deg"
[well]
depth = "200 ft"
static_level = "85 ft"
[well.drawdown_test]
file = "levels.csv"
flow = "5 gpm"
[sun]
file = "sky/weather.csv"
"""
LEVELS = "time (min), level (ft)\n1, 90\n10, 95\n100, 100\n"
READ = ["readings", "site.toml", "--from", "rd.toml", "--json"]
READINGS = '[[reading]]\nstatic_level = "85 ft"\n'


@pytest.fixture
def folder(results: Results, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A folder with a site and all that it reads; results stand in the place of the studies."""
    from wellsolar.studies import case
    from wellsolar.studies.parts import whole_design
    from wellsolar.studies.reading import study

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(
        case, "study_site", lambda file, parts, system=None, *_: replace(results, system=system)
    )
    monkeypatch.setattr(study, "study_readings", lambda *_: results)
    monkeypatch.setattr(whole_design, "comes_to", lambda *_: DesignFigures())
    (tmp_path / "sky").mkdir()
    for name, text in (
        ("site.toml", SITE), ("levels.csv", LEVELS), ("rd.toml", READINGS),
        ("sky/weather.csv", "hour\n"), ("other.toml", starter_text()),
    ):  # fmt: skip
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def on_disk(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


# ---- what is read, and what somebody else wrote


@pytest.mark.parametrize("force", [[], ["--force"]])
@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ([*READ, "rd.toml"], "the file of readings"),
        ([*READ, "./site.toml"], "the site file"),
        (["check", "site.toml", "--json", "sky/weather.csv"], "the weather file"),
        (["hand", "site.toml", "--json", "sky/../levels.csv"], "the file of levels"),
        (["report", "site.toml", "-o", "hard.html"], "the site file"),
        (["compare", "site.toml", "other.toml", "--json", "other.toml"], "the site file"),
    ],
)  # fmt: skip
def test_what_is_read_is_never_written_over(
    folder: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], said: str,
    force: list[str],
) -> None:  # fmt: skip
    (folder / "hard.html").hardlink_to(folder / "site.toml")
    before = on_disk(folder)
    assert main([*arguments, *force]) == 2
    assert f"is {said}" in (told := capsys.readouterr().err)
    assert "name another" in told
    assert on_disk(folder) == before


@pytest.mark.parametrize(
    "arguments",
    [
        ["card", "site.toml", "-o"], ["card", "site.toml", "--json"], ["schema"], READ,
        ["tank", "site.toml", "--json"],
    ],
)  # fmt: skip
def test_a_file_that_is_no_output_stays_unless_forced(
    folder: Path, capsys: pytest.CaptureFixture[str], arguments: list[str]
) -> None:
    before = on_disk(folder)
    assert main([*arguments, "other.toml"]) == 2
    assert "is no output of wellsolar: name another, or say by --force" in capsys.readouterr().err
    assert on_disk(folder) == before
    assert main([*arguments, "other.toml", "--force"]) in (0, 1)
    kind, unchanged = stamps.kind_of((folder / "other.toml").read_text("utf-8"))
    assert kind.startswith(arguments[0])
    assert unchanged
    assert main([*arguments, "other.toml"]) in (0, 1), "an earlier output may go"


def test_an_output_of_another_kind_or_changed_since_stays(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["tank", "site.toml", "--json", "out"]) == 1
    assert main(["hand", "site.toml", "--json", "out"]) == 2
    assert "holds tank JSON of wellsolar, no hand JSON" in capsys.readouterr().err
    made = (folder / "out").read_text("utf-8")
    assert json.loads(made)["output"]["kind"] == "tank JSON"
    pick = random.Random(14)
    for _ in range(40):
        place = pick.randrange(len(made))
        other = pick.choice([each for each in "x7 \n" if each != made[place]])
        changed = pick.choice(
            [made[:place] + other + made[place + 1 :], made[:place], made[place + 1 :],
             made[:place] + other + made[place:]]
        )  # fmt: skip
        (folder / "out").write_text(changed, encoding="utf-8")
        with pytest.raises(OutputError, match=r"was changed since|is there already|of wellsolar"):
            files.refuse_foreign(files.Output(folder / "out", "tank JSON"))


def test_stamps_are_known_again_in_every_form() -> None:
    forms = {
        "check JSON": '{\n  "a": "sha256 wellsolar: x; sha256 ' + "0" * 64 + '"\n}\n',
        "schema": '{\n  "type": "object"\n}\n',
        "report page": "<!doctype html>\n<html><body>é</body>\n</html>\n",
        "parts CSV": "line,why\r\n1,\"a, b\"\r\n",
    }  # fmt: skip
    for kind, text in forms.items():
        stamped = stamps.stamped(text, kind)
        assert stamps.kind_of(stamped) == (kind, True)
        assert stamps.kind_of(text)[1] is False
        assert stamps.stamped(text, kind) == stamped
    assert json.loads(stamps.stamped(forms["schema"], "schema"))["$comment"].startswith(
        "wellsolar"
    )
    with pytest.raises(ValueError, match="says not whether"):
        stamps.stamped("", "tank")


# ---- two outputs in one file


@pytest.mark.parametrize("second", ["./a.html", "hard", "soft", "sky/../a.html"])
def test_two_outputs_can_not_be_one_file(
    folder: Path, capsys: pytest.CaptureFixture[str], second: str
) -> None:
    if second in ("hard", "soft"):
        (folder / "a.html").touch()
        (folder / "hard").hardlink_to(folder / "a.html")
        (folder / "soft").symlink_to("a.html")
    before = on_disk(folder)
    assert main(["card", "site.toml", "-o", "a.html", "--json", second, "--force"]) == 2
    assert "can't go to the same place: name two" in capsys.readouterr().err
    assert on_disk(folder) == before


def test_names_in_capitals_are_the_same_where_the_system_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    one, other = tmp_path / "Größe.html", tmp_path / "GRÖSSE.html"
    assert files.same_file(one, other) is files.ignores_case(tmp_path)
    assert not list(tmp_path.iterdir()), "nothing stays of the trial"
    monkeypatch.setattr(files, "ignores_case", lambda folder: True)
    assert files.same_file(one, other)
    assert not files.same_file(one, tmp_path / "other.html")


# ---- places that are no files


def test_what_is_no_file_is_told_with_a_remedy(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(folder / "pipe")
    (folder / "one").symlink_to("two")
    (folder / "two").symlink_to("one")
    said = {
        "pipe": "is a pipe: name a file", "one": "lead back to themselves", "sky": "is a folder",
        "sky/": "is a folder", "none/x": "there is no folder", "x" * 300: "give a shorter name",
        "/dev/null": "is a device: name a file", "": "is empty: give a file name",
        "/".join(["y" * 200] * 30): "give a shorter name", "one/x": "lead back to themselves",
        "site.toml/x": "there is no folder",
    }  # fmt: skip
    before = on_disk(folder)
    for place, told in said.items():
        for arguments in (["schema", place], ["tank", "site.toml", "--json", place]):
            assert main(arguments) == 2, place
            assert told in capsys.readouterr().err
    for place in ("pipe", "one", "sky", "x" * 300, "/dev/zero", "none/x"):
        for arguments in (
            ["check", place],
            ["readings", "site.toml", "--from", place],
            ["ask", place],
        ):
            if (arguments[0], place) != ("ask", "none/x"):
                assert main(arguments) == 2, arguments
                assert ":" in capsys.readouterr().err
    assert on_disk(folder) == before


def test_a_weather_file_or_levels_that_are_a_pipe_are_told(folder: Path) -> None:
    (folder / "levels.csv").unlink()
    os.mkfifo(folder / "levels.csv")
    ran = here("tank", "site.toml", folder=folder)
    assert ran.returncode == 2
    assert b"a pipe: save what comes out of it as a file" in ran.stderr


# ---- failures on the way


def test_nothing_is_written_where_standard_output_is_closed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "site.toml").write_text(starter_text(), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    for run in ("tank site.toml --json x.json", "schema x.json", "starter x.toml", "ask x.toml"):
        with monkeypatch.context() as closed:
            closed.setattr("sys.stdout", None)
            assert main(run.split()) == 2, run
        assert "standard output is closed" in capsys.readouterr().err
    for run, redirected in (("schema x.json", ">&-"), ("starter x.toml", "1</dev/null")):
        done = subprocess.run(
            ["/bin/sh", "-c", f"{sys.executable} -m wellsolar {run} {redirected}"],
            cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(CHECKOUT)},
            capture_output=True, check=False, timeout=60,
        )  # fmt: skip
        assert done.returncode == 2, run
        assert b"standard output is closed" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["site.toml"]


def test_nothing_is_written_where_standard_output_is_full(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What is told goes out before any file gets its name."""
    before = on_disk(folder)
    runs = ["tank site.toml --json x.json", "card site.toml -o x.html", "starter x.toml",
            "card site.toml -o x.html --json -", "report site.toml -o x.html",
            "parts site.toml --csv x.csv", "sheet site.toml -o x.html",
            "compare site.toml other.toml --json x.json"]  # fmt: skip
    for run in runs:
        with Path("/dev/full").open("w", encoding="utf-8") as full:
            monkeypatch.setattr("sys.stdout", full)
            code = main(run.split())
            with suppress(OSError):
                full.close()
        assert code == 2, run
        assert "No space left" in capsys.readouterr().err
        assert on_disk(folder) == before, run


def test_of_several_files_none_is_written_where_one_can_not_be(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = [(files.Output(folder / name, f"card {what}"), name) for name, what in (
        ("a.html", "page"), ("b.json", "JSON"))]  # fmt: skip
    files.write_outputs(made, force=False)
    before = on_disk(folder)
    written, count = files.os.fsync, iter(range(9))

    def full_later(handle: int) -> None:
        if next(count):
            raise OSError(28, "No space left on device")
        written(handle)

    monkeypatch.setattr(files.os, "fsync", full_later)
    with pytest.raises(OutputError, match=r"b\.json: could not be written \(No space left"):
        files.write_outputs(made, force=True)
    assert on_disk(folder) == before


def test_a_file_that_came_meanwhile_stays(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from wellsolar.site import json_schema

    def slow() -> str:
        (folder / "new.json").write_text("mine", encoding="utf-8")
        return "{\n  \"a\": 1\n}\n"  # fmt: skip

    monkeypatch.setattr(json_schema, "schema_text", slow)
    assert main(["schema", "new.json"]) == 2
    assert (folder / "new.json").read_text("utf-8") == "mine"
    assert "is no output of wellsolar" in capsys.readouterr().err


# ---- paths and the terminal


def steer(text: str) -> bool:
    return any(not each.isprintable() and each != "\n" for each in text)


@pytest.mark.parametrize("mark", ["\x1b[31m", "\x07", "\u202e", "\r", "\x9b31m"])
def test_a_path_of_ones_own_steers_no_terminal(
    folder: Path, capsys: pytest.CaptureFixture[str], mark: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    site, other = f"{mark}s.toml", f"{mark}o.toml"
    for name in (site, other):
        (folder / name).write_text(SITE, encoding="utf-8")
    runs: list[list[Any]] = [
        ["card", site, "-o", f"{mark}.html"],
        ["starter", f"{mark}new.toml"], ["starter", site], ["schema", f"{mark}none/x"],
        ["compare", site, other], ["check", f"{mark}none.toml"], ["check", site, mark],
        [f"che{mark}ck"], ["check", f"--{mark}"], ["check", site, "--units", mark],
        ["check", site, "--with", f"{mark}=1"], ["tank", site, "--with", f"well.depth={mark}"],
        ["readings", site, "--from", f"{mark}rd.toml"], ["readings", site, "--fill-time", mark],
        ["pump", site, "--cases", mark], ["schema", site], ["check", site, "--json", site],
        ["tank", site, "--json", "-"], ["card", site, "-o", "-"],
        ["compare", site, other, "--json", "-"],
    ]  # fmt: skip
    for arguments in runs:
        assert main(arguments) in (0, 1, 2), arguments
        said = capsys.readouterr()
        assert not steer(said.out + said.err), arguments


def test_text_of_a_stream_of_pythons_own_is_no_closed_output(
    capsys: pytest.CaptureFixture[str],
) -> None:
    output.need_stdout()
    output.print_text("a\tb\x1b\nc\n")
    assert capsys.readouterr().out == "a b?\nc\n"
