"""What colours tell apart is told apart in grey, and by those who do not see all colours."""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path

import pytest

from tests.running import CHECKOUT
from tests.sampled import sampled
from wellsolar import kinds
from wellsolar.commands import EVERYTHING
from wellsolar.reports.charts import diagram, style
from wellsolar.reports.charts.draw import draw
from wellsolar.reports.figures.all import plots
from wellsolar.reports.figures.plots import Axis, BarPanel, BarSeries, CurvePanel, Plot
from wellsolar.reports.pages.html import TEMPLATES
from wellsolar.site.loading.read import load_site
from wellsolar.studies.case import study_site

Colour = tuple[float, float, float]

SEEN: dict[str, tuple[Colour, Colour, Colour]] = {
    "all": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
"""What becomes of linear red, green and blue for whom one kind of cone lacks: Machado, Oliveira
and Fernandes, A Physiologically-based Model for Simulation of Color Vision Deficiency, IEEE
Transactions on Visualization and Computer Graphics 15(6), 2009, severity 1.0 (second hand)."""

APART = 15.0
"""Difference in CIE lightness by which two areas are told apart: our own mark."""

STATES = ("fail", "unknown", "caution", "pass")
EXAMPLES = sorted((CHECKOUT / "examples").glob("*.toml"))


def linear(colour: str) -> Colour:
    """A colour such as "#0072b2" as linear red, green and blue: IEC 61966-2-1."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in parts
    )
    return red, green, blue


def luminance(colour: str, seen: str) -> float:
    """What is left of a colour without its hue, from 0 to 1."""
    given = linear(colour)
    red, green, blue = (
        min(1.0, max(0.0, sum(a * b for a, b in zip(row, given, strict=True))))
        for row in SEEN[seen]
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def lightness(colour: str, seen: str) -> float:
    """CIE 1976 lightness, from 0 to 100."""
    share = luminance(colour, seen)
    return 116 * share ** (1 / 3) - 16 if share > 0.008856 else 903.3 * share


def contrast(letters: str, ground: str, seen: str) -> float:
    """By Web Content Accessibility Guidelines 2.1, 1.4.3."""
    dark, light = sorted((luminance(letters, seen), luminance(ground, seen)))
    return (light + 0.05) / (dark + 0.05)


def of_style(name: str) -> str:
    """A colour of the pages by the name that the style sheet gives it."""
    found = re.search(rf"--{name}: (#[0-9a-f]{{6}})", (TEMPLATES / "style.css").read_text("utf-8"))
    assert found is not None
    return found.group(1)


def test_the_simulation_keeps_white_black_and_grey() -> None:
    for seen in SEEN:
        assert lightness("#ffffff", seen) == pytest.approx(100.0, abs=0.1)
        assert lightness("#000000", seen) == pytest.approx(0.0, abs=0.1)
        assert lightness("#777777", seen) == pytest.approx(lightness("#777777", "all"), abs=0.1)
    # Pure red is nearly black to whom the cones for long waves lack.
    assert lightness("#ff0000", "protanopia") < lightness("#ff0000", "all") - 10.0


def test_every_look_of_a_line_has_dashes_and_of_an_area_a_hatch_of_its_own() -> None:
    assert len(set(style.DASHES)) == len(style.DASHES) == len(style.COLOURS)
    assert len(set(style.HATCHES)) == len(style.HATCHES) == len(style.COLOURS)
    looks = [style.look_of(number) for number in range(3 * len(style.COLOURS))]
    assert len({(look.colour, look.dash) for look in looks}) == len(looks)
    assert len({(look.colour, look.hatch) for look in looks}) == len(looks)


def test_a_head_of_more_pieces_than_there_are_colours_is_drawn() -> None:
    """Each piece is named in the key, as a valve behind the switch and a throttled pump have."""
    pieces = [BarSeries(f"piece_{at}", f"piece {at}", (1.0, 2.0), at) for at in range(11)]
    axis = Axis("head", kinds.HEAD)
    panel = BarPanel("", ("one", "other"), axis, tuple(pieces), stacked=True)
    drawn = draw(Plot("head", "Head", "", (), "", (panel,)), "US")
    assert all(f">{bars.label}<" in drawn for bars in pieces)


@pytest.mark.parametrize("seen", SEEN)
def test_letters_stand_out_from_their_ground_for_every_eye(seen: str) -> None:
    for colour in style.LETTERS:
        assert contrast(colour, style.PAPER, seen) >= 4.5
    for state in STATES:
        for ground in (of_style("paper"), of_style(f"{state}-tint")):
            assert contrast(of_style(state), ground, seen) >= 4.5, state
    page = (TEMPLATES / "on_site.css").read_text("utf-8")
    rule = r'data-verdict="(\w+)"\]{1}.*?\{ color: (#\w{6}); background: (#\w{6}|var\(--[\w-]+\));'
    told = re.findall(rule, page)
    assert {each[0] for each in told} >= {"pass", "caution", "fail"}
    for _, letters, ground in told:
        paper = ground if ground.startswith("#") else of_style(ground[6:-1])
        assert contrast(letters, paper, seen) >= 4.5


def test_states_are_told_apart_by_a_sign_and_a_word() -> None:
    marks = re.search(r"SHAPES = (\{.*?\})", (TEMPLATES / "parts.html.j2").read_text("utf-8"))
    words = re.search(r"WORDS = \{(.*?)\}", (TEMPLATES / "on_site.js").read_text("utf-8"), re.S)
    assert marks is not None
    assert words is not None
    signs = dict(re.findall(r'"(\w+)": "(.)"', marks.group(1)))
    assert set(signs) == set(STATES)
    assert len(set(signs.values())) == len(STATES)
    said = dict(re.findall(r'(\w+): "([^"]+)"', words.group(1)))
    assert set(said) >= set(STATES)
    assert len({each[0] for each in said.values()}) == len(said)


def test_pipes_and_wires_of_two_kinds_differ_by_dashes_or_stand_apart_in_grey() -> None:
    pipes = [diagram.LOOKS[each] for each in ("water", "hot water")]
    wires = [diagram.LOOKS[each] for each in ("alternating current", "direct current")]
    for one, other in (pipes, wires):
        assert one.get("linestyle", "-") != other.get("linestyle", "-")


@pytest.mark.parametrize(
    "path",
    sampled(EXAMPLES, "creek_cabin", "hill_tank", "ridge_house"),
    ids=lambda path: path.stem,
)
def test_what_stands_in_one_panel_is_told_apart(path: Path) -> None:
    """Lines by dashes, areas by hatches or lightness for every eye, marks by their shape."""
    results = study_site(load_site(path), EVERYTHING)
    panels = [panel for plot in plots(results) for panel in plot.panels]
    for panel in panels:
        if isinstance(panel, CurvePanel):
            named = [each for each in panel.lines if each.label]
            for line, next_line in combinations(named, 2):
                assert style.look_of(line.look).dash != style.look_of(next_line.look).dash
            for mark, next_mark in combinations(panel.marks, 2):
                assert mark.shape != next_mark.shape
        if isinstance(panel, BarPanel):
            for bars, next_bars in combinations(panel.series, 2):
                looks = style.look_of(bars.look), style.look_of(next_bars.look)
                hatched = looks[0].hatch != looks[1].hatch
                one, other = (look.colour for look in looks)
                assert hatched or all(
                    abs(lightness(one, seen) - lightness(other, seen)) >= APART for seen in SEEN
                )
