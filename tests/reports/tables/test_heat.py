"""The tables of a report: none of a tank's days is a column of dashes."""

from __future__ import annotations

from typing import Any

import pytest

DAYS = ("clear_days", "typical_days", "poor_days")


@pytest.mark.parametrize("name", ["ridge_house", "south_slope"])
def test_a_day_that_does_nothing_in_any_month_has_no_column_for_it(
    reports: dict[str, Any], name: str
) -> None:
    grids = reports[name].json["sections"]["heated_tank"]["grids"]
    for key in DAYS:
        grid = grids[key]
        assert len(grid["rows"]) == 12
        for column in grid["columns"]:
            assert any(row[column] is not None for row in grid["rows"]), (key, column)
    left_out = set(grids["clear_days"]["labels"]) - set(grids["poor_days"]["labels"])
    assert left_out
    for label in left_out:
        assert label in grids["poor_days"]["note"]


@pytest.mark.parametrize("name", ["ridge_house", "south_slope"])
def test_what_the_grid_heats_is_a_column_where_it_heats(
    reports: dict[str, Any], name: str
) -> None:
    sections = reports[name].json["sections"]
    alone = [section for section in sections.values() if isinstance(section, dict)]
    grids = {key: grid for section in alone for key, grid in section.get("grids", {}).items()}
    assert "pv_alone" in grids
    for key in {"pv_alone", "upper_element", "second_tank"} & {*grids}:
        labels = " ".join(grids[key]["labels"])
        assert ("grid" in labels) == (key != "pv_alone"), labels


def test_the_share_of_a_tanks_heat_is_what_the_day_gives_of_it(reports: dict[str, Any]) -> None:
    """50 gal from 55 to 150 degF take 11.6 kWh: 189.3 L x 0.999 kg/L x 52.8 K x 4.19 kJ/(kg K)
    / 3.6 MJ/kWh (density and heat capacity of water from memory)."""
    rows = reports["ridge_house"].json["sections"]["heated_tank"]["grids"]["poor_days"]["rows"]
    whole = 189.27 * 0.999 * 52.78 * 4.187e3
    for row in rows:
        assert row["one_tank_fraction"] == pytest.approx(row["element_energy_J"] / whole, rel=0.01)
        assert row["one_tank_fraction"] < 0.1
