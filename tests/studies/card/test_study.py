"""Which failures stand on the owner's card, and under which title."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from tests.site_texts import EXAMPLES
from tests.studies.card.cards import (
    HAND,
    HEATER,
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
    texts,
)
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.card.study import _closing
from wellsolar.studies.case import study_site

SITE_FILES = EXAMPLES.parent / "tests" / "sites"


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


GENERATOR, ARC, DRAIN, DRINK, HANDLE, LINE, RELIEF, TWO, DRY, FROST = (
    "run a generator indoors", "pull solar plugs", "drain the water heater before its solar",
    "drink, or hold", "work the hand pump with", "switch an electric pump ON with hand pump line",
    "plug or cap", "run two electric pumps", "let a pump that spits air", "leave a pipe full",
)  # fmt: skip


@pytest.mark.parametrize(
    ("text", "never"),
    [
        # Read off the files: both pumps of the first have a guard against running dry.
        (of_site("ridge_house"), (GENERATOR, ARC, DRAIN, DRINK, HANDLE, LINE, RELIEF, TWO, FROST)),
        (of_site("creek_cabin"), (GENERATOR, ARC, TWO, DRY, FROST)),
        # A spout of its own, where it never freezes; a hand pump that reaches no water.
        (of_site("village_borehole"), (ARC,)), (of_site("high_pass"), ()),
        (of_site("south_slope"), (GENERATOR, ARC, DRAIN, DRINK, RELIEF, FROST)),
        (of_site("smallest"), (GENERATOR, DRY, FROST)),
        (HOUSE + HEATER, (GENERATOR, "drain the water heater before its breaker", DRINK, RELIEF,
                          DRY, FROST)),
        (HOUSE + HAND + 'delivers = "tank"\nspout_valve = false\n',
         (GENERATOR, f"{HANDLE} hand pump line valve shut", LINE, RELIEF, DRY, FROST)),
        # Floats start the one pump of a cistern and its pressure the other; two of a house never.
        (of_site("poor_well"), (GENERATOR, FROST)),
        ((SITE_FILES / "twoatonce.toml").read_text("utf-8"), (GENERATOR, TWO, DRY, FROST)),
    ],
)  # fmt: skip
def test_what_nobody_may_do_at_a_site(text: str, never: tuple[str, ...]) -> None:
    found = texts(card(text).never)
    assert len(found) == len(never)
    assert all(one.startswith(begin) for one, begin in zip(found, never, strict=True)), found
