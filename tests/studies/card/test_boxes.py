"""Numbers of the owner's card, by arithmetic written out here."""

from __future__ import annotations

import math
import re
from types import SimpleNamespace
from unittest import mock

import pytest

from tests.site_texts import EXAMPLES
from tests.studies.card.cards import (
    HAND,
    HEATER,
    HOUSE,
    SITES,
    box,
    card,
    failure,
    of_site,
    place,
    sentences,
    steps,
)
from wellsolar.studies.card import boxes


@pytest.mark.parametrize("name", SITES)
def test_every_box_that_is_named_is_there_and_each_is_named(name: str) -> None:
    found = card(of_site(name))
    told = " ".join(line for each in (*found.failures, *found.boxes) for line in steps(each))
    named = set(re.findall(r"box ([A-Z])", told))
    assert named == {each.letter for each in found.boxes if each.letter}


@pytest.mark.parametrize("name", SITES)
def test_every_number_is_finite_and_prints_in_both_systems(name: str) -> None:
    for each in sentences(card(of_site(name))):
        assert all(math.isfinite(number) for number in each.quantities().values())
        for system, other in (("US", r"\d (L|kPa|m)\b"), ("SI", r"\d (gal|psi|ft)\b")):
            text = each.text(system)  # type: ignore[arg-type]
            assert not re.search(other, text), text


def test_strokes_of_a_bucket_and_of_the_tank() -> None:
    """By hand: a stroke of 150 mm in 50 mm bore gives 0.9 x 0.15 x pi / 4 x 0.05^2 = 0.2651 L,
    less what the rods stretch, a few per cent here; the tank gives by Boyle's law
    300 L x (186 + 101.325) / ... = 300 x 287.325 x (1 / 301.325 - 1 / 401.325) = 71.3 L."""
    found = card(HOUSE + HAND + 'delivers = "tank"\n')
    stroke = 0.9 * 0.15 * math.pi / 4 * 0.05**2
    filled = box(found, "hand_spout").steps[place(steps(box(found, "hand_spout")), "bucket")]
    told = filled.quantities()
    assert 0.020 / stroke <= told["strokes"] <= 1.03 * 0.020 / stroke
    # 40 strokes a minute is the pace where strength does not limit it.
    assert told["time"] == pytest.approx(told["strokes"] / 40 * 60, rel=1e-6)
    drawdown = 0.300 * 287.325 * (1 / 301.325 - 1 / 401.325)
    lines = box(found, "hand_house")
    fill = lines.steps[place(steps(lines), "gauge")].quantities()
    assert fill["volume"] == pytest.approx(drawdown, rel=1e-3)
    assert drawdown / stroke <= fill["strokes"] <= 1.04 * drawdown / stroke


def test_stored_water_and_its_days() -> None:
    """300 L x 287.325 x (1 / 287.325 - 1 / P) is in the tank at P; half way between cut-in and
    cut-out 49.6 L, with the heater's 200 L 249.6 L; six people live on 90 L a day: 2.8 days."""
    found = card(HOUSE + HEATER)
    at = [0.300 * (1 - 287.325 / each) for each in (301.325, 401.325)]
    volume = 0.200 + sum(at) / 2
    line = failure(found, "hands")
    told = line.steps[place(steps(line), "Stored")].quantities()
    assert told["volume"] == pytest.approx(volume, rel=1e-3)
    assert told["days"] == pytest.approx(volume / 0.090, rel=1e-3)


def test_time_from_cut_in_to_cut_out_is_what_the_tank_study_finds() -> None:
    """Drawdown 71.3 L over the flow that the curve gives: between 20 and 30 L/min from 200 to
    300 kPa at the tank, so between 2.3 and 3.6 minutes."""
    note = box(card(HOUSE), "pump").notes[0].quantities()
    assert 71.3 / 30 * 60 < note["time"] < 71.3 / 20 * 60


@pytest.mark.parametrize(
    ("kind", "needs", "poured"),
    [
        ("suction", None, True),
        ("suction", True, True),
        ("suction", False, False),
        ("deep well", None, False),
    ],
)
def test_a_suction_pump_is_primed_unless_it_need_not_be(
    kind: str, needs: bool | None, poured: bool
) -> None:
    seen = SimpleNamespace(site=SimpleNamespace(hand_pump=SimpleNamespace(needs_priming=needs)))
    with mock.patch.object(boxes.layout, "meets_pumps", return_value=False):
        begun = boxes._hand_begin(seen, SimpleNamespace(kind=kind), ())  # type: ignore[arg-type]
    assert ["Pour" in step.text("US") for step in begun] == [True] * poured


def test_strokes_of_a_hundred_litres_into_the_storage_tank() -> None:
    """Of 6 in in a bore of 2 in nine tenths, less what the rods stretch, a few per cent."""
    text = (EXAMPLES.parent / "tests" / "sites" / "hill_by_hand.toml").read_text("utf-8")
    told = box(card(text), "hand_house").steps[1].quantities()
    assert told["volume"] == pytest.approx(0.1)
    assert told["strokes"] == pytest.approx(told["rate"] * told["time"])
    stroke = 0.9 * 6 * math.pi / 4 * 2**2 * 0.0254**3
    assert 0.1 / stroke <= told["strokes"] <= 1.05 * 0.1 / stroke
