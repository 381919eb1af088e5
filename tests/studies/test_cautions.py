"""What can hurt or kill shows where its equipment is, most deadly first, and nowhere else."""

from __future__ import annotations

import re

import pytest

from tests.site_texts import EXAMPLES
from wellsolar.reports.cautions import CAUTIONS
from wellsolar.site.loading.read import parse_site
from wellsolar.site.part_names import part_names
from wellsolar.site.schema import Site
from wellsolar.studies.asked.cautions import cautions_of, there

USUAL = ("pump", "supply", "tank", "hand", "heat", "match", "outage")


def shown(name: str, *settings: str) -> tuple[str, ...]:
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    return cautions_of(parse_site(text, settings=settings).site, USUAL)


@pytest.mark.parametrize(
    ("name", "setting", "key"),
    [
        ("ridge_house", 'power.generator_rating="5 kVA"', "generator fumes"),
        ("ridge_house", 'array[1].place="roof"', "roof"),
        ("ridge_house", 'storage_tank.volume="500 gal"', "stored water"),
        ("smallest", 'power.battery_energy="10 kWh"', "battery"),
    ],
)
def test_a_caution_shows_with_its_equipment(name: str, setting: str, key: str) -> None:
    assert key in shown(name, setting)


@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("high_pass", {"electric shock", "mains", "scald", "legionella", "battery", "roof"}),
        ("smallest", {"generator fumes", "battery", "roof", "scald", "pumps together"}),
        ("creek_cabin", {"scald", "legionella", "overheating", "heater water"}),
    ],
)
def test_a_caution_does_not_show_without_it(name: str, keys: set[str]) -> None:
    assert not keys & set(shown(name))


@pytest.mark.parametrize(
    ("name", "setting", "key", "there"),
    [
        ("ridge_house", 'hand_pump.delivers="spout"', "pumps together", False),
        ("ridge_house", 'hand_pump.kind="deep well"', "pumps together", True),
        ("village_borehole", 'well.depth="80 m"', "closed valve", False),
        ("village_borehole", 'well.depth="80 m"', "lifting", True),
        ("high_pass", 'well.depth="30 m"', "lifting", False),
    ],
)
def test_a_caution_of_valves_and_weights_needs_them(
    name: str, setting: str, key: str, there: bool
) -> None:
    """An open spout or tank has no shut valve; a pump that sucks hangs on nothing."""
    assert (key in shown(name, setting)) == there


BARE = """
[well]
depth = "60 m"
static_level = "20 m"
casing_bore = "{bore}"
casing_height = "{height}"
"""
PUMP = """
[[pump]]
name = "p"
kind = "{kind}"
supply = "{supply}"
flow = "0, 10, 20 L/min"
head = "90, 70, 30 m"
{more}"""
HAND = '[hand_pump]\nkind = "{kind}"\ndelivers = "{to}"\nbore = "2 in"\nstroke = "6 in"\n'
HEATER = """
[water_heater]
volume = "50 gal"
[[water_heater.element]]
position = "lower"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "grid"
"""
VESSEL = '[pressure_tank]\nvolume = "40 gal"\n'
SWITCH = '[pressure_switch]\ncut_in = "30 psi"\ncut_out = "50 psi"\n'
GROUP = """
[module]
voc = "45 V"
isc = "9 A"
vmp = "37 V"
imp = "8.5 A"
cells = 60
[[array]]
name = "a"
feeds = "{feeds}"
series = 2
parallel = 1
{place}"""
LIFT = """
[[lift]]
name = "l"
kind = "{kind}"
head = "10 m"
flow = "10 L/min"
"""
ALL = (*USUAL, "ranking", "heat ranking", "sheet")
WORKED = {"electric shock", "lifting"}


def bare(more: str, bore: str = "6 in", height: str = "1 ft") -> Site:
    return parse_site(BARE.format(bore=bore, height=height) + more).site


def pump(kind: str = "submersible", supply: str = "AC", more: str = "") -> str:
    return PUMP.format(kind=kind, supply=supply, more=more)


@pytest.mark.parametrize(
    ("more", "added"),
    [
        ("", set()),
        (pump(), WORKED),
        (pump("suction"), {"electric shock"}),
        (pump(supply="DC"), WORKED | {"direct current"}),
        # A pressure switch, a vessel or a drive closes the pipes; a vessel alone presses too.
        (pump() + SWITCH, WORKED | {"closed valve"}),
        (pump() + VESSEL, WORKED | {"closed valve", "pressure"}),
        (pump(more='start = "variable speed"\nheld_pressure = "40 psi"\n'),
         WORKED | {"closed valve"}),
        (VESSEL, {"pressure"}),
        ('[storage_tank]\nvolume = "500 gal"\n', {"pits and open wells", "stored water"}),
        (HEATER, {"electric shock", "overheating", "pressure", "scald", "legionella",
                  "heater water"}),
        ('[power]\nbattery_energy = "5 kWh"\n', {"mains", "direct current", "battery"}),
        ('[power]\ninverter_rating = "5 kVA"\n', {"mains"}),
        ('[power]\ngenerator_rating = "5 kVA"\n', {"mains", "generator fumes"}),
        (GROUP.format(feeds="battery", place='place = "ground"'),
         {"mains", "direct current", "battery"}),
        (GROUP.format(feeds="pump", place='place = "ground"') + pump(supply="DC"),
         WORKED | {"direct current"}),
        (GROUP.format(feeds="pump", place="") + pump(supply="DC"),
         WORKED | {"direct current", "roof"}),
        (HAND.format(kind="deep well", to="spout"), {"lifting"}),
        (HAND.format(kind="suction", to="spout"), set()),
        (HAND.format(kind="suction", to="tank"), {"closed valve"}),
        (HAND.format(kind="suction", to="tank") + pump("suction"),
         {"electric shock", "closed valve", "pumps together"}),
        (LIFT.format(kind="bucket and windlass"), {"pits and open wells"}),
        (LIFT.format(kind="rope pump"), set()),
    ],
)  # fmt: skip
def test_every_piece_of_equipment_brings_its_own_cautions_alone(
    more: str, added: set[str]
) -> None:
    """Of a well by itself only its water and the frost are told."""
    assert set(cautions_of(bare(more), ALL)) == {"drinking water", "freezing"} | added


@pytest.mark.parametrize(
    ("bore", "height", "open_"),
    [
        ("6 in", "1 ft", False),
        ("6 in", "0 ft", False),
        ("6 in", "-1 ft", True),
        ("0.49 m", "1 ft", False),
        ("0.5 m", "1 ft", True),
    ],
)
def test_a_well_to_fall_into_is_wide_or_in_a_pit(bore: str, height: str, open_: bool) -> None:
    site = bare("", bore, height)
    assert ("pits and open wells" in cautions_of(site, ALL)) == open_
    unknown = site.well.model_copy(update={"casing_bore": None})
    assert "pits and open wells" in cautions_of(site.model_copy(update={"well": unknown}), ALL)


def test_a_section_shows_the_cautions_of_its_own_work() -> None:
    """At a site that has everything: electricity with pumps and heat, steam and scald with heat
    alone, stagnant and boiled water where people live on it."""
    everything = (
        pump() + SWITCH + VESSEL + HEATER + HAND.format(kind="deep well", to="tank")
        + '[storage_tank]\nvolume = "500 gal"\n[power]\nbattery_energy = "5 kWh"\n'
        + 'generator_rating = "5 kVA"\n' + GROUP.format(feeds="battery", place="")
    )  # fmt: skip
    site = bare(everything)
    assert cautions_of(site, ALL) == tuple(CAUTIONS)
    heat = {"electric shock", "direct current", "roof", "overheating", "pressure", "scald",
            "legionella"}  # fmt: skip
    supply = {"electric shock", "mains", "direct current", "generator fumes", "roof", "battery",
              "pressure", "stored water"}  # fmt: skip
    expected = {
        "pump": supply | {"pits and open wells", "lifting", "closed valve", "drinking water"},
        "supply": supply,
        "ranking": supply,
        "tank": {"pressure", "closed valve"},
        "hand": {"pits and open wells", "lifting", "closed valve", "pumps together",
                 "drinking water", "freezing"},
        "heat": heat,
        "match": heat,
        "heat ranking": heat,
        "outage": {"electric shock", "mains", "generator fumes", "pits and open wells", "battery",
                   "closed valve", "pumps together", "drinking water", "stored water",
                   "heater water", "freezing"},
        "sheet": {"electric shock", "mains", "direct current", "generator fumes",
                  "pits and open wells", "roof", "battery", "pressure", "scald",
                  "pumps together", "drinking water", "stored water"},
    }  # fmt: skip
    assert set(expected) == set(ALL)
    for section, keys in expected.items():
        assert set(cautions_of(site, (section,))) == keys, section
    assert cautions_of(site, ()) == ()
    both = there(bare(pump()), ("scald", "lifting", "electric shock"))
    assert both == ("electric shock", "lifting")


def test_cautions_call_a_valve_by_its_one_name() -> None:
    others = ("a relief valve", "mixing valve", "closed valve", "that valve", "first valve",
              "cap or valve")  # fmt: skip
    known = (*part_names(), *others)
    for text in CAUTIONS.values():
        for found in re.finditer(r"\bvalves?\b|\bdrain\b(?! it| from)", text):
            before = text[: found.end()]
            assert before.endswith(known) or before.endswith("let them drain"), before[-40:]


def test_what_kills_stands_before_what_harms() -> None:
    keys = shown("ridge_house")
    assert keys[0] == "electric shock"
    assert keys.index("direct current") < keys.index("scald") < keys.index("freezing")
