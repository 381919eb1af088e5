"""Broken site files, each beside the exact message that its author should read.

`NAME.toml` holds one mistake, `many_*.toml` several; `NAME.txt` the whole text of the error. The
files are written by hand and say what is expected of the reader; they check no physics. Files that
no editor should touch (bytes, line ends, sheer size) are made here.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from wellsolar.errors import SiteFileError
from wellsolar.site.loading.read import SiteFile, load_site

HERE = Path(__file__).parent
WELL = '[well]\ndepth = "220 ft"\nstatic_level = "85 ft"\n'
WRONG = WELL.replace("220 ft", "220 psi")
WRONG_SAYS = (
    'site.toml:2: well.depth: "220 psi" is a gauge pressure: expected a length, e.g. "85 ft"'
)


def refused(path: Path | str) -> SiteFileError:
    with pytest.raises(SiteFileError) as caught:
        load_site(path)
    assert caught.value.exit_code == 2
    return caught.value


@pytest.mark.parametrize("name", sorted(path.stem for path in HERE.glob("*.toml")))
def test_message_is_the_one_beside_the_file(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(HERE)
    error = refused(f"{name}.toml")
    assert f"{error}\n" == Path(f"{name}.txt").read_text(encoding="utf-8")
    lines = Path(f"{name}.toml").read_text(encoding="utf-8").split("\n")
    for problem in error.problems:
        assert problem.line is None or lines[problem.line - 1].strip()
        key = problem.path.rpartition(".")[2].partition("[")[0]
        where = lines[problem.line - 1] if problem.line else ""
        whole = where.lstrip().startswith("[") or "missing" in problem.message
        if problem.path and not whole:
            assert key in where or "\\u" in where


def test_every_text_has_its_file() -> None:
    assert {path.stem for path in HERE.glob("*.txt")} == {
        path.stem for path in HERE.glob("*.toml")
    }


def read_bytes(folder: Path, monkeypatch: pytest.MonkeyPatch, content: bytes) -> SiteFile:
    monkeypatch.chdir(folder)
    Path("site.toml").write_bytes(content)
    return load_site("site.toml")


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (bytes(range(256)) * 4, "site.toml: is no text file: a site file is a text in TOML"),
        (
            WELL.encode("utf-16"),
            "site.toml: is not UTF-8 text but UTF-16: save the site file as UTF-8",
        ),
        (
            WELL.replace('85 ft"', '85 ft" # Br\xfccke').encode("latin-1"),
            "site.toml:3: is not UTF-8 text: save the site file as UTF-8",
        ),
        (
            b"#" * 1_000_001,
            "site.toml: is larger than 1 MB: a site file is a text of some kilobytes",
        ),
        (b"\xef\xbb\xbf" + WRONG.encode(), WRONG_SAYS),
        (WRONG.replace("\n", "\r\n").encode(), WRONG_SAYS),
        (WRONG.replace("\n", "\r").encode(), WRONG_SAYS),
        (b"\xef\xbb\xbf", "site.toml: is empty: it needs at least the table [well] with depth and "
         "static_level"),
    ],
    ids=["binary", "utf-16", "latin-1", "huge", "bom", "crlf", "cr", "only a bom"],
)  # fmt: skip
def test_bytes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, content: bytes, says: str) -> None:
    with pytest.raises(SiteFileError) as caught:
        read_bytes(tmp_path, monkeypatch, content)
    assert str(caught.value) == says


DOTTED = 'well.depth = "220 ft"\nwell.static_level = "85 ft"\n'
INLINE = (
    'well = { depth = "220 ft", static_level = "85 ft" }\n'
    'pump = [\n  { name = "spare", flow = "0, 2 gpm", head = "300, 200 ft" },  # kept\n]\n'
)


@pytest.mark.parametrize(
    "content",
    [
        b"\xef\xbb\xbf" + WELL.encode(),
        WELL.replace("\n", "\r\n").encode(),
        WELL.rstrip("\n").encode(),
        DOTTED.encode(),
        INLINE.encode(),
    ],
    ids=["bom", "crlf", "no last line end", "dotted keys", "inline tables"],
)
def test_unusual_but_right(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, content: bytes
) -> None:
    site = read_bytes(tmp_path, monkeypatch, content).site
    assert site.well.depth == pytest.approx(220 * 0.3048)
    assert site.well.static_level == pytest.approx(85 * 0.3048)


def test_most_text_nests_too_deep(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for nonsense in (
        "a = " + "[" * 100_000,
        "a = " + "{a=" * 100_000,
        "[" + "a." * 100_000 + "a]",
    ):
        with pytest.raises(SiteFileError):
            read_bytes(tmp_path, monkeypatch, nonsense.encode())


def test_no_such_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert str(refused("site.toml")) == (
        "site.toml: no such file; `wellsolar starter PATH` writes one to begin from"
    )


def test_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("site.toml").mkdir()
    assert str(refused("site.toml")) == "site.toml: is a folder: name the site file in it"


def test_file_used_as_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("site.toml").write_text(WELL)
    assert str(refused("site.toml/a")) == "site.toml/a: can't be read (Not a directory)"


def test_impossible_name() -> None:
    assert "is no name that a file can have" in str(refused("site\0.toml"))


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="root may read every file")
def test_unreadable_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("site.toml").write_text(WELL)
    Path("site.toml").chmod(0)
    assert str(refused("site.toml")) == "site.toml: can't be read (Permission denied)"
