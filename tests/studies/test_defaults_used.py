"""Which of a file's defaults are told beside which part."""

from __future__ import annotations

import pytest

from tests.site_texts import EXAMPLES
from wellsolar.site.loading.read import load_site
from wellsolar.studies.defaults_used import assumptions_of


@pytest.mark.parametrize(
    ("site", "parts", "told"),
    [
        ("south_slope", ("heat",), False), ("south_slope", ("tank",), False),
        ("south_slope", ("match",), True), ("south_slope", ("match", "heat"), True),
        ("south_slope", ("supply",), True), ("creek_cabin", ("match",), False),
    ],
)  # fmt: skip
def test_the_battery_is_told_where_something_rests_on_it(
    site: str, parts: tuple[str, ...], told: bool
) -> None:
    """Its surplus heats an element, which is a part's match, where there is a heater; the tank's
    heat by modules knows no battery."""
    file = load_site(EXAMPLES / f"{site}.toml")
    paths = [found.path for found in assumptions_of(file, [], parts)]
    assert any(path.startswith("power.battery_") for path in paths) is told, paths
