"""`wellsolar report` as a user types it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.running import CHECKOUT, apart, here

SITE = CHECKOUT / "examples" / "smallest.toml"


@pytest.mark.outside
def test_the_same_site_gives_the_same_bytes(reports: dict[str, Any], tmp_path: Path) -> None:
    """To the bit, in a process that has others beside it as in this one with nothing beside."""
    page, data = tmp_path / "again.html", tmp_path / "again.json"
    site, made = CHECKOUT / "examples" / "ridge_house.toml", reports["ridge_house"].path
    ran = apart("report", site, "-o", page, "--json", data, PYTHONHASHSEED="7")
    assert ran.returncode == 0
    assert page.read_bytes() == made.read_bytes()
    assert data.read_bytes() == made.with_suffix(".json").read_bytes()
    assert ran.stdout.decode().startswith(f"Wrote {page}")


def test_a_dash_writes_the_page_to_standard_output(reports: dict[str, Any]) -> None:
    ran = here("report", "examples/smallest.toml", "-o", "-")
    assert ran.stderr == b""
    assert ran.stdout.startswith(b"<!doctype html>")
    text, told = ran.stdout.decode(), reports["smallest"]
    other = told.text.replace(str(SITE), "examples/smallest.toml")
    assert text.split("<!-- wellsolar")[0] == other.split("<!-- wellsolar")[0]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("-o", "{site}"), "is the site file itself"),
        (("-o", "{folder}/none/page.html"), "there is no folder"),
        (("-o", "{folder}"), "is a folder"),
        (("-o", "-", "--json", "-"), "can't go to the same place"),
        (("-o", "{folder}/x", "--json", "{folder}/x"), "can't go to the same place"),
        (("-o", "{folder}/x", "--json", "{site}"), "is the site file itself"),
        ((), "-o"),
    ],
)
def test_what_can_not_be_written_is_refused(
    tmp_path: Path, options: tuple[str, ...], said: str
) -> None:
    site = tmp_path / "site.toml"
    site.write_bytes(SITE.read_bytes())
    given = [each.format(site=site, folder=tmp_path) for each in options]
    ran = here("report", site, *given)
    assert ran.returncode == 2
    assert said in ran.stderr.decode()
    assert ran.stdout == b""
    assert site.read_bytes() == SITE.read_bytes()
    assert [each.name for each in tmp_path.iterdir()] == ["site.toml"]


def test_a_broken_site_writes_nothing(tmp_path: Path) -> None:
    site, page = tmp_path / "site.toml", tmp_path / "page.html"
    site.write_text("[well]\ndepth = 3\n", "utf-8")
    page.write_text("the old page", "utf-8")
    ran = here("report", site, "-o", page)
    assert ran.returncode == 2
    assert b"Traceback" not in ran.stderr
    assert page.read_text("utf-8") == "the old page"
