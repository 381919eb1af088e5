"""A site's heated tank ranked: limits against arithmetic of the test's own, and the winners built.

A design of the ranking, written into the site file, must give what the ranking says of it; volts
at the element are solved with pvlib's curve and scipy's root on a straight load line.
"""

from __future__ import annotations

import json
import re
from functools import cache

import pytest
from pvlib import pvsystem
from scipy.optimize import brentq

from wellsolar.physics.array import module, module_fit
from wellsolar.results import Results
from wellsolar.results.match import HeaterRow
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Options, study_site

GALLON = 3.785411784e-3
COLD = -23.0
SITE = """
[site]
name = "A tank to rank (invented)"
latitude = "36 deg"
people = 3
[well]
depth = "220 ft"
static_level = "85 ft"
[module]
voc = "39.9 V"
isc = "9.7 A"
vmp = "32.6 V"
imp = "9.2 A"
cells = 60
voc_coefficient = "-0.30 %/K"
isc_coefficient = "0.05 %/K"
on_hand = 4
[[array]]
name = "hot water"
feeds = "heater"
series = {series}
parallel = {strings}
tilt = "45 deg"
azimuth = "180 deg"
cable = {{ gauge = "8 AWG", length = "100 ft" }}
isolator_voltage = "150 V"
[sun]
monthly = "2.4, 3.2, 4.3, 5.4, 5.9, 6.3, 6.1, 5.5, 4.7, 3.8, 2.7, 2.2 kWh/m2/day"
temperature = "38, 41, 50, 58, 66, 74, 77, 76, 70, 59, 50, 41 degF"
record_low = "-23 degC"
[water_heater]
volume = "{gallons} gal"
heat_loss = "{loss} W/K"
[[water_heater.element]]
position = "lower"
rated_power = "{watts} W"
rated_voltage = "{volts} V"
count = {count}
wired = "{wired}"
fed_by = "hot water"
thermostat = "140 degF"
[water_heater.draw]
volume = "40 gal"
temperature = "110 degF"
"""
YOURS = {
    "series": 2, "strings": 1, "gallons": 40, "loss": 1.6, "watts": 2000, "volts": 240,
    "count": 1, "wired": "parallel",
}  # fmt: skip


def text_of(row: HeaterRow) -> str:
    """The site file with a design of the ranking in it."""
    mark = re.fullmatch(r"(?:(2) x )?(\d+) W (\d+) V(?: in (series|parallel))?", row.element)
    assert mark is not None, row.element
    count, watts, volts, wired = mark.groups()
    return SITE.format(
        series=row.series, strings=row.strings, gallons=row.tank_volume / GALLON,
        loss=row.heat_loss, watts=watts, volts=volts, count=count or 1, wired=wired or "parallel",
    )  # fmt: skip


def ranked(text: str, top: int = 4, workers: int = 1) -> Results:
    options = Options(top=top, workers=workers)
    return study_site(parse_site(text, "site.toml"), ["heat ranking"], options=options)


@cache
def here() -> Results:
    return ranked(SITE.format(**YOURS))


def rows() -> tuple[HeaterRow, ...]:
    """All designs that the report shows."""
    ranking = here().heater_ranking
    steps = [each for step in ranking.steps for each in (step.own_tank, step.any_tank) if each]
    return (*ranking.rows, *steps)


def share_of(text: str) -> float:
    """The household's share from PV as the command `heat` reckons it, draw by draw."""
    heated = study_site(parse_site(text, "site.toml"), ["heat"]).heated_tank
    assert heated.annual_share is not None
    return heated.annual_share


def test_as_it_is_is_what_the_tank_says_of_itself() -> None:
    ranking = here().heater_ranking
    assert ranking.own.own
    assert ranking.own.share == pytest.approx(share_of(SITE.format(**YOURS)), abs=1e-3)


@pytest.mark.parametrize("place", [0, 3])
def test_a_design_built_gives_what_the_ranking_says(place: int) -> None:
    ranking = here().heater_ranking
    row = ranking.rows[place]
    assert row.share == pytest.approx(share_of(text_of(row)), abs=1e-3)
    assert row.heat_missing == pytest.approx((1.0 - row.share) * ranking.heat_wanted)


def test_the_order_is_the_one_it_tells() -> None:
    ranking = here().heater_ranking
    order = [
        (-(round(100 * each.share, 1) // 1), each.modules, each.tank_volume)
        for each in ranking.rows
    ]
    assert order == sorted(order)
    assert len({(each.series, each.strings, each.element, each.tank_volume)
                for each in ranking.rows}) == len(ranking.rows) == 4  # fmt: skip
    counts = [step.any_tank.modules for step in ranking.steps]
    assert counts == [1, 2, 3, 4]


def test_limits_by_hand() -> None:
    """Three modules keep below the isolator's 150 V in the cold, four do not; two rows want
    1.25 x 1.25 x 2 x 9.7 A = 30.3 A of a wire that bears 40 A, three want 45.5 A."""
    ranking = here().heater_ranking
    by_hand = 39.9 * (1.0 + 0.003 * (25.0 - COLD))
    assert 3 * by_hand < 150.0 < 4 * by_hand
    assert {each.series for each in rows()} <= {1, 2, 3}
    assert max(each.modules for each in rows()) == 4
    assert {each.strings for each in rows()} <= {1, 2}
    # Of up to four modules: 4 in a row; 3 and 4 rows of one.
    assert ranking.left_out.over_voltage == 1
    assert ranking.left_out.over_current == 2
    assert ranking.left_out.cold_limit == 150.0
    assert ranking.left_out.wire_limit == 40.0


def test_no_element_comes_above_its_plate() -> None:
    """Volts at the element in a gap between bright clouds, 1250 W/m2, at the record low."""
    sheet = module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.0030 * 39.9, 0.0005 * 9.7)
    fit = module_fit.fit_five_parameters(sheet)
    light, dark, series, shunt, slope = pvsystem.calcparams_desoto(
        1250.0, COLD, fit.current_coefficient, fit.modified_ideality_voltage, fit.photocurrent,
        fit.saturation_current, fit.shunt_resistance, fit.series_resistance,
    )  # fmt: skip
    # From memory:
    cable = 2 * 100.0 * 0.778e-3  # 8 AWG stranded, 0.778 ohm/kft at 75 degC, NEC ch. 9 table 8
    for row in rows():

        def surplus(volts: float, row: HeaterRow = row) -> float:
            amperes = volts / row.resistance
            inside = (volts + amperes * cable) / row.series
            current = pvsystem.i_from_v(inside, light, dark, series, shunt, slope)
            return float(current) * row.strings - amperes

        volts = brentq(surplus, 0.0, 49.0 * row.series)
        assert row.greatest_voltage == pytest.approx(volts, rel=2e-3)
        plate = float(re.search(r"(\d+) V", row.element)[1])  # type: ignore[index]
        assert volts <= plate * (2.0 if "in series" in row.element else 1.0)


def test_the_remedy_works() -> None:
    """What the caution advises is built, and then passes."""
    (verdict,) = [each for each in here().verdicts if each.rule.key == "modules of the tank used"]
    ranking = here().heater_ranking
    step = next(each for each in ranking.steps if each.any_tank.modules == 2)
    assert verdict.status == "caution"
    assert step.own_tank.element in verdict.remedy.text("US")
    built = ranked(text_of(step.own_tank).replace("on_hand = 4", "on_hand = 2"), top=1)
    assert [each.status for each in built.verdicts if each.rule == verdict.rule] == ["pass"]


@pytest.mark.usefixtures("study_anew")
def test_it_is_the_same_again_and_in_two_processes() -> None:
    again = ranked(SITE.format(**YOURS), workers=2)
    assert again.heater_ranking == here().heater_ranking


def test_electronics_give_every_element_the_same() -> None:
    text = SITE.format(**YOURS).replace(
        'fed_by = "hot water"',
        'fed_by = "hot water"\ncoupling = "tracking"\ntracker_converter = "both"',
    )
    ranking = ranked(text.replace("on_hand = 4", "on_hand = 2"), top=2).heater_ranking
    assert ranking.tracking
    designs = {(each.series, each.strings, each.tank_volume) for each in ranking.rows}
    assert len(designs) == len(ranking.rows)
    assert ranking.own.share == pytest.approx(share_of(text), abs=1e-3)


def test_a_design_above_its_plate_has_no_place() -> None:
    """Three modules on an element of 120 V: 45 V a module in the cold sun is too much."""
    text = SITE.format(**YOURS | {"series": 3, "watts": 1000, "volts": 120})
    ranking = ranked(text.replace("on_hand = 4", "on_hand = 2"), top=2).heater_ranking
    assert not ranking.own_suits
    assert ranking.own.greatest_voltage > 120.0
    assert not any(each.own for each in ranking.rows)
    assert not any(
        each.own for step in ranking.steps for each in (step.own_tank, step.any_tank) if each
    )


@pytest.mark.parametrize(
    ("away", "key"),
    [
        (r'volume = "40 gal"\ntemperature', "water_heater.draw.volume"),
        (r"monthly = .*\n", "sun.monthly"),
        (r'latitude = "36 deg"\n', "site.latitude"),
        (r"\[module\](.*\n)*?on_hand = 4\n", "module"),
    ],
)
def test_what_it_lacks_it_names(away: str, key: str) -> None:
    text = re.sub(away, "temperature" if "temperature" in away else "", SITE.format(**YOURS))
    if key == "water_heater.draw.volume":
        text = text.replace("people = 3\n", "")
    found = ranked(text)
    assert found.heater_ranking is None
    (verdict,) = [each for each in found.verdicts if each.status == "unknown"]
    assert key in json.dumps(verdict.needs)


def test_without_a_heater_it_says_so() -> None:
    text = SITE.format(**YOURS).split("[water_heater]")[0].replace('"heater"', '"battery"')
    found = ranked(text)
    assert found.heater_ranking is None
    assert any("[water_heater]" in note for note in found.notes)
