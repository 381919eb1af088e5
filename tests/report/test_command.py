"""The command as a user types it, and the drawing beside the studies."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from wellsolar import kinds
from wellsolar.reports.charts.beside import draw_all, drawing
from wellsolar.reports.figures.plots import Axis, CurvePanel, Line, Plot
from wellsolar.verdicts import say

CHECKOUT = Path(__file__).parents[2]
SITE = CHECKOUT / "examples" / "smallest.toml"


def wellsolar(*arguments: str | Path, **environment: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "wellsolar", *map(str, arguments)],
        cwd=CHECKOUT,
        env={**os.environ, "PYTHONPATH": str(CHECKOUT), **environment},
        capture_output=True,
        check=False,
    )


def test_the_same_site_gives_the_same_bytes(reports: dict[str, Any], tmp_path: Path) -> None:
    again = tmp_path / "again.html"
    site = CHECKOUT / "examples" / "ridge_house.toml"
    ran = wellsolar("report", site, "-o", again, PYTHONHASHSEED="7")
    assert ran.returncode == 0
    assert again.read_text("utf-8") == reports["ridge_house"].text
    assert ran.stdout.decode().startswith(f"Wrote {again}. ")


def test_a_dash_writes_the_page_to_standard_output(reports: dict[str, Any]) -> None:
    ran = wellsolar("report", "examples/smallest.toml", "-o", "-")
    assert ran.stderr == b""
    assert ran.stdout.startswith(b"<!doctype html>")
    text, told = ran.stdout.decode(), reports["smallest"]
    assert text == told.text.replace(str(SITE), "examples/smallest.toml")


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
    ran = wellsolar("report", site, *given)
    assert ran.returncode == 2
    assert said in ran.stderr.decode()
    assert ran.stdout == b""
    assert site.read_bytes() == SITE.read_bytes()
    assert [each.name for each in tmp_path.iterdir()] == ["site.toml"]


def test_a_broken_site_writes_nothing(tmp_path: Path) -> None:
    site, page = tmp_path / "site.toml", tmp_path / "page.html"
    site.write_text("[well]\ndepth = 3\n", "utf-8")
    page.write_text("the old page", "utf-8")
    ran = wellsolar("report", site, "-o", page)
    assert ran.returncode == 2
    assert b"Traceback" not in ran.stderr
    assert page.read_text("utf-8") == "the old page"


def plot(key: str) -> Plot:
    line = Line("line", "a < b & $c_1$", (0.0, 1.0, 2.0), (1.0, 3.0, 2.0), 0)
    panel = CurvePanel("", Axis("x", kinds.LENGTH), Axis("y", kinds.HEAD), (line,))
    return Plot(key, "title", "caption", (say("words"),), "", (panel,))


def test_figures_drawn_elsewhere_are_the_same_as_here() -> None:
    plots = [plot("one"), plot("two"), plot("three")]
    with drawing() as draw:
        there = draw(plots, "US")
    assert there == draw_all(plots, "US")
    assert "a &lt; b &amp; $c_1$" in there[0]
    assert 'id="two-title"' in there[1]


def test_figures_are_drawn_where_no_process_can_be_started(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("wellsolar.reports.charts.beside._started", lambda: None)
    with drawing() as draw:
        assert draw([plot("one")], "SI") == draw_all([plot("one")], "SI")


def test_a_process_that_dies_is_made_up_for(monkeypatch: pytest.MonkeyPatch) -> None:
    from wellsolar.reports.charts import beside as module

    started = module._started

    def dying() -> Any:
        made = started()
        assert made is not None
        made[0].kill()
        made[0].join()
        return made

    monkeypatch.setattr(module, "_started", dying)
    with drawing() as draw:
        assert draw([plot("one"), plot("two")], "US") == draw_all([plot("one"), plot("two")], "US")
