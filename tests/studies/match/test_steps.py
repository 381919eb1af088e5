"""The rows of a ranked tank and the first of each number of modules, from made-up runs."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from wellsolar.physics.tank.ranking import HeaterDesign, RankedHeater
from wellsolar.studies.match import ranking
from wellsolar.studies.match.designs import Choice


def heater(number: int, modules: int, litres: float, own_tank: bool, share: float) -> RankedHeater:
    tank: Any = SimpleNamespace(volume=litres / 1e3, heat_loss_coefficient=litres / 100.0)
    group = ranking.OWN_TANK if own_tank else ""
    return RankedHeater(number, HeaterDesign(modules, 0, tank, group), 1e9 * (1 - share), share)


def choice(series: int, strings: int) -> Choice:
    element: Any = SimpleNamespace(
        text="1500 W 120 V", power=1500.0, voltage=120.0, count=2, joined="series", own=False,
        resistance=19.2,
    )  # fmt: skip
    return Choice(series, strings, element, 133.0, np.zeros(24))


def test_the_first_of_each_number_of_modules_in_the_order_of_the_ranking() -> None:
    """Two modules come first on another tank, three on the site's own, five on another alone."""
    listed = [
        heater(7, 3, 150, True, 0.8), heater(2, 2, 300, False, 0.7), heater(5, 3, 300, False, 0.7),
        heater(1, 2, 150, True, 0.6), heater(9, 2, 150, True, 0.5), heater(4, 5, 300, False, 0.4),
    ]  # fmt: skip
    rows = {each.number: ranking._row(each, choice(each.design.modules, 1), 1) for each in listed}
    steps = ranking._steps(listed, rows)
    assert [step.any_tank.modules for step in steps] == [2, 3, 5]
    assert [step.any_tank for step in steps] == [rows[2], rows[7], rows[4]]
    assert [step.own_tank for step in steps] == [rows[1], rows[7], None]
    assert [number for number, row in rows.items() if row.own] == [1]


def test_a_row_is_its_design() -> None:
    row = ranking._row(heater(3, 6, 180, False, 0.62), choice(2, 3), 4)
    assert (row.series, row.strings, row.modules) == (2, 3, 6)
    assert (row.rated_power, row.rated_voltage, row.resistance) == (1500.0, 120.0, 19.2)
    assert (row.count, row.joined, row.element) == (2, "series", "1500 W 120 V")
    assert (row.greatest_voltage, row.share) == (133.0, 0.62)
    assert (row.tank_volume, row.heat_loss) == (0.18, 1.8)
    assert row.heat_missing == pytest.approx(0.38e9)
    assert not row.own
    assert not row.own_element
