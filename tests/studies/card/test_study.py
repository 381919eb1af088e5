"""Which failures stand on the owner's card, and under which title."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from tests.studies.card.cards import (
    HAND,
    HOUSE,
    SITES,
    box,
    card,
    everything,
    example,
    failure,
    of_site,
    place,
    steps,
)
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.card.study import _closing
from wellsolar.studies.case import study_site


@pytest.mark.parametrize("name", SITES)
def test_point_to_no_power_only_where_that_failure_stands(name: str) -> None:
    found = card(of_site(name))
    pointed = "NO POWER AT ALL" in " ".join(line for e in found.failures for line in steps(e))
    titles = " ".join(each.title.text("SI").lower() for each in found.failures)
    assert not pointed or "no power at all" in titles


def test_every_outage_of_the_study_is_under_one_title() -> None:
    found = study_site(parse_site(example("ridge_house")), ("outage", "card"))
    keys = [key for each in found.card.failures for key in each.key.split("+")]
    assert sorted(keys) == sorted(each.key for each in found.outages.outages)


def test_failures_with_the_same_steps_stand_together() -> None:
    found = card(example("ridge_house"))
    titles = [each.title.text("US") for each in found.failures]
    assert titles == [
        "Power line down, even with little sun for 7 days",
        "Inverter dead, or battery dead",
        "Pump dead: house pump or frugal pump",
        "Pressure tank's bladder torn",
        "No power at all",
    ]
    assert len({tuple(steps(each)) for each in found.failures}) == len(found.failures)


def test_only_what_the_site_has_is_spoken_of() -> None:
    told = everything(card(example("smallest")))
    for word in (
        "hand pump", "spout", "heater", "solar", "transfer", "inverter", "battery", "bladder",
        "house valve", "handle", "relief",
    ):  # fmt: skip
        assert word not in told
    told = everything(card(HOUSE + HAND))
    for word in ("spout valve", "house valve", "heater", "solar", "transfer switch"):
        assert word not in told


def test_where_nothing_lifts_water_it_says_so_and_what_to_get() -> None:
    lines = steps(failure(card(HOUSE), "grid"))
    assert lines[0].startswith("Nothing here lifts water now")
    assert place(lines, "Before the next time get") == 1
    high = steps(failure(card(example("high_pass")), "whole"))
    assert place(high, "suction does not reach") == 1


def test_how_many_live_there_may_be_unknown() -> None:
    told = everything(card(HOUSE.replace("people = 6\n", "") + HAND))
    assert "none" not in told
    assert "people" not in told.replace("licensed people", "")


def test_outages_of_the_file_are_on_the_card() -> None:
    own = '[[outage]]\nname = "flood {x}"\nfailed = ["grid", "hand pump"]\ndays = 4\n'
    found = card(HOUSE + HAND + own)
    assert failure(found, "own_1").title.text("SI") == "flood {x}"
    assert steps(failure(found, "own_1"))[0].startswith("Nothing here lifts water")


def test_names_with_braces_and_markup_are_names() -> None:
    name = "{0} {x!r} <b>"
    found = card(HOUSE.replace("house pump", name))
    assert name in box(found, "pump").title.text("SI")


def test_without_a_source_there_is_no_card() -> None:
    text = '[well]\ndepth = "60 m"\nstatic_level = "20 m"\n'
    assert study_site(parse_site(text), ("card",)).card is None


@pytest.mark.parametrize(
    ("job", "said"),
    [
        (None, []),
        ({"date": None, "phone": None, "made_by": None}, []),
        ({"date": "2026-05-01", "phone": None, "made_by": None}, ["Card of 2026-05-01."]),
        ({"date": None, "phone": "555 0100", "made_by": None}, ["Call: 555 0100."]),
        ({"date": "2026-05-01", "phone": "555 0100", "made_by": "A fitter (invented)"},
         ["Call A fitter (invented): 555 0100.", "Card of 2026-05-01."]),
    ],
)  # fmt: skip
def test_who_is_called_and_the_day_of_a_card_close_it(
    job: dict[str, str | None] | None, said: list[str]
) -> None:
    site = SimpleNamespace(job=job and SimpleNamespace(**job), array=(), water_heater=None,
                           pressure_tank=None)  # fmt: skip
    seen = SimpleNamespace(site=site, outages=SimpleNamespace(low=None),
                           has=SimpleNamespace(pumps=()))  # fmt: skip
    closing = [each.text("US") for each in _closing(seen)]  # type: ignore[arg-type]
    assert closing[:-2] == said
    assert closing[-1].startswith("Open well: licensed people")
