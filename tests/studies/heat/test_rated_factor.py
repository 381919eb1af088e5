"""The rated factor belongs to the heater's own test, whatever the household draws."""

from __future__ import annotations

import pytest

from tests.site_texts import edited
from tests.studies.safety.sites import RIGHT
from wellsolar import kinds
from wellsolar.data.hot_water_tables import bin_of
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.heat.tank import heat_loss_of

GALLON = 3.785411784e-3
LABELLED = edited(
    RIGHT,
    ('heat_loss = "1.5 W/K"', "uniform_energy_factor = 0.92"),
    ('volume = "80 gal"', 'volume = "50 gal"'),
)


def loss(text: str) -> tuple[float, list[str]]:
    heater = parse_site(text).site.water_heater
    assert heater is not None
    found, assumed = heat_loss_of(heater)
    return found, [each.path for each in assumed]


def test_bins_by_the_regulations_edges() -> None:
    # 10 CFR 430 Subpart B App. E, 5.4.1 (from memory): below 18, 51, 75 gal.
    rated = [17.9, 18.0, 50.9, 51.0, 74.9, 75.0]
    named = ["very small", "low", "low", "medium", "medium", "high"]
    assert [bin_of(each * GALLON) for each in rated] == named


def test_the_households_pattern_does_not_change_the_tanks_loss() -> None:
    draw = "[water_heater.draw]\n"
    losses = {
        loss(edited(LABELLED, (draw, f'{draw}pattern = "{pattern}"\n')))[0]
        for pattern in ("very small", "low", "medium", "high")
    }
    assert len(losses) == 1


def test_the_label_tells_the_bin_and_what_it_leaves_open_is_told() -> None:
    assumed, paths = loss(LABELLED)
    # 70 % of 50 gal and 20.5 gal of recovery: 55.5 gal by the trade's rule, a medium heater.
    assert "water_heater.first_hour_rating" in paths
    key = "uniform_energy_factor = 0.92\nfirst_hour_rating"
    told, paths = loss(edited(LABELLED, ("uniform_energy_factor = 0.92", f'{key} = "60 gal"')))
    assert told == assumed
    assert paths == ["water_heater.heat_loss"]
    low, _ = loss(edited(LABELLED, ("uniform_energy_factor = 0.92", f'{key} = "45 gal"')))
    # The low pattern draws 38 gal, the medium 55: the same factor leaves 38/55 of the loss.
    assert low / told == pytest.approx(38 / 55, rel=1e-6)
    # A second, smaller element recovers nothing beside the first. Seven tenths of 50 gal come hot
    # (trade, from memory), and what an hour of 4500 W, at 1055.056 J a Btu, warms by 90 degF at
    # 8.33 lb/gal (common practice, no source).
    more = '[[water_heater.element]]\nposition = "upper"\nrated_power = "2000 W"\n'
    more += 'rated_voltage = "240 V"\nfed_by = "grid"\n'
    heater = parse_site(LABELLED + more).site.water_heater
    assert heater is not None
    value = heat_loss_of(heater)[1][1].value
    recovered = 4500.0 / 1055.056 * 3600.0 / (8.33 * 90.0)
    assert (value.kind, value) == (kinds.VOLUME, pytest.approx((35.0 + recovered) * GALLON))
