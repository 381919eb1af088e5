"""Figures drawn in a second process."""

from __future__ import annotations

from typing import Any

import pytest

from wellsolar import kinds
from wellsolar.reports.charts.beside import draw_all, drawing
from wellsolar.reports.figures.plots import Axis, CurvePanel, Line, Plot
from wellsolar.verdicts import say


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
        made[0].kill()
        made[0].join()
        return made

    monkeypatch.setattr(module, "_started", dying)
    with drawing() as draw:
        assert draw([plot("one"), plot("two")], "US") == draw_all([plot("one"), plot("two")], "US")
