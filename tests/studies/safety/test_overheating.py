"""High limit and thermostat of a tank that an array can boil in an empty house."""

from __future__ import annotations

import pytest

from tests.site_texts import edited, printed
from tests.studies.safety.sites import RIGHT, hazard, studied, verdict, wrong


@pytest.mark.parametrize("system", ["US", "SI"])
def test_a_thermostat_below_the_high_limit(system: str) -> None:
    text, found = hazard("thermostat above high limit")
    most = printed(found, r"no more than ([\d.]+ °[FC])", system)
    mended = edited(text, ('"190 degF"', f'"{most}"'))
    assert wrong(studied(mended)) == {}


def test_a_high_limit_for_an_empty_house() -> None:
    text, found = hazard("array that boils an empty house's tank")
    limit = printed(found, r"of (\d+ °F) to")
    mended = edited(
        text,
        ('relief_temperature = "210', f'high_limit = "{limit}"\nrelief_temperature = "210'),
    )
    assert wrong(studied(mended)) == {}


def test_an_array_too_small_to_boil_it_needs_no_guard() -> None:
    # 80 gal at 40 W/K above a room of 65 degF: a mean kilowatt ends 25 K above it.
    text = edited(RIGHT, ('heat_loss = "1.5 W/K"', 'heat_loss = "40 W/K"'))
    found = verdict(text, "overheating")
    assert found.status == "pass"
    assert "even without a thermostat" in found.reason.text("US")


def test_a_thermostat_that_no_one_names() -> None:
    text = edited(RIGHT, ('thermostat = "150 degF"\n', ""))
    assert wrong(studied(text)) == {"overheating": "fail"}
