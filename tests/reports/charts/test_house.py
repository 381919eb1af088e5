"""What stands in the house, and its names."""

from __future__ import annotations

from itertools import combinations

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import FancyBboxPatch

from wellsolar import kinds
from wellsolar.reports.charts.house import HEIGHT, HOUSE, VESSELS, draw_well
from wellsolar.reports.charts.style import WIDTH
from wellsolar.reports.figures.plots import Above, Axis, WellPanel, value
from wellsolar.results.figures import WellDrawing
from wellsolar.verdicts import say

GALLON = 231 * 0.0254**3
"""The gallon of the United States [m3]: 231 cubic inches by definition."""


def above(booster: str) -> tuple[Above, ...]:
    """A storage tank, a booster, a pressure tank and a water heater."""
    volumes = {
        "tank": say("pressure tank {v}", v=value(86.0 * GALLON, kinds.VOLUME)),
        "heater": say("water heater {v}", v=value(50.0 * GALLON, kinds.VOLUME)),
    }
    stored = say("storage tank {v}, {h} down", v=value(12e3 * GALLON, kinds.VOLUME),
                 h=value(1.5, kinds.LENGTH))  # fmt: skip
    return (
        Above("cistern", stored),
        Above("booster", booster),
        Above("tank", volumes["tank"]),
        Above("heater", volumes["heater"]),
    )


@pytest.mark.parametrize("booster", ["booster", "a booster with a long name " + "w" * 40])
def test_four_names_in_the_house_stand_beside_each_other_with_their_numbers(booster: str) -> None:
    drawn = WellDrawing(
        60.0, 0.15, 20.0, 20.0, 20.0, 1.5, None, True, 0.0, 30.0, 45.4, -1.5, False, True, ()
    )
    panel = WellPanel("", Axis("depth", kinds.LENGTH, down=True), drawn, 60.0, None, (), (),
                      above(booster))  # fmt: skip
    figure = Figure(figsize=(WIDTH / 72, HEIGHT / 72), dpi=72)
    canvas = FigureCanvasAgg(figure)
    draw_well(figure, panel, "US", (0.0, HEIGHT, HEIGHT))
    canvas.draw()
    names = [each for each in figure.axes[0].texts if each.get_position()[0] > HOUSE[0]]
    said = " ".join(each.get_text() for each in names).replace("\N{NO-BREAK SPACE}", " ")
    words = " ".join(said.split())
    assert len(names) == 4
    for number in ("storage tank 12000 gal,", "pressure tank 86.0 gal", "water heater 50.0 gal"):
        assert number in words
    boxes = [each.get_window_extent(canvas.get_renderer()) for each in names]
    assert not any(one.overlaps(other) for one, other in combinations(boxes, 2))
    assert all(HOUSE[0] <= box.x0 and box.x1 <= HOUSE[1] for box in boxes)


def test_two_boosters_stand_one_over_the_other_between_tank_and_tank() -> None:
    """They press beside each other: neither draws from the other."""
    drawn = WellDrawing(
        60.0, 0.15, 20.0, 20.0, 20.0, 1.5, None, True, 0.0, 30.0, 45.4, -1.5, False, True, ()
    )
    stored, first, *rest = above("first")
    panel = WellPanel("", Axis("depth", kinds.LENGTH, down=True), drawn, 60.0, None, (), (),
                      (stored, first, Above("booster", "second"), *rest))  # fmt: skip
    figure = Figure(figsize=(WIDTH / 72, HEIGHT / 72), dpi=72)
    draw_well(figure, panel, "US", (0.0, HEIGHT, HEIGHT))
    boosters = [
        each.get_bbox() for each in figure.axes[0].patches
        if isinstance(each, FancyBboxPatch) and each.get_height() == VESSELS["booster"][1]
    ]  # fmt: skip
    assert len({round(each.x0, 6) for each in boosters}) == 1
    low, high = sorted(each.y0 for each in boosters)
    assert high - low > VESSELS["booster"][1]
    assert any("first and second" in " ".join(each.get_text().split())
               for each in figure.axes[0].texts)  # fmt: skip
