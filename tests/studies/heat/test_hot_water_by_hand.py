"""What a tank holds, and what would heat it in a day, by arithmetic on made-up results."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from tests.studies.safety.sites import RIGHT
from wellsolar import kinds
from wellsolar.physics.tank.stratified import Tank
from wellsolar.results.heat import OneDayDesign
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.heat import one_day, stored, tank
from wellsolar.studies.house.demand import TapDraw
from wellsolar.units import Quantity
from wellsolar.verdicts import Change, changes_of

MIXED = (60.0 - 10.0) / (40.0 - 10.0)
"""Water of 40 degC that a litre of 60 degC makes with water of 10 degC [L]."""

GALLON = 3.785411784e-3


def of_tank(draw: float | None, setpoint: float = 60.0) -> Any:
    """A tank of 200 L, of which seven tenths are drawn hot (common practice, no source)."""
    return SimpleNamespace(
        tap=SimpleNamespace(temperature=40.0), inlet_temperature=10.0, setpoint=setpoint,
        draw_volume=draw, tank_volume=0.2,
    )  # fmt: skip


def test_a_tank_at_work_by_hand() -> None:
    """100 L of 60 and 100 L of 50 degC make 300 L of 40 degC with water of 10 degC, and without
    end where the tap wants none warmer; sun is turned away where less than it was taken. The
    heights are common practice, no source."""
    for tap, volume in ((40.0, 0.3), (10.0, np.inf), (9.0, np.inf)):
        work = tank.TankAtWork(Tank(0.2, 2, 1.5), 10.0, 20.0, tap, 60.0, 5.0)
        assert work.tap_volume(np.array([50.0, 60.0])) == pytest.approx(volume)
    took: Any = SimpleNamespace(accepted_power=np.array([0.0, 0.2, 80.0, 100.0 - 1e-9]))
    power = np.array([0.0, 0.5, 100.0, 100.0])
    assert work.satisfied(power, took).tolist() == [False, True, True, False]
    for position, height, told in (
        ("lower", None, 0.1),
        ("upper", None, 0.7),
        ("upper", 0.5, 0.5),
    ):
        element: Any = SimpleNamespace(position=position, height=height)
        assert tank.element_height(element) == told


@pytest.mark.parametrize(("draw", "status"), [(0.230, "pass"), (0.240, "caution")])
def test_a_tank_that_modules_alone_heat_holds_the_day(draw: float, status: str) -> None:
    """0.7 x 200 L x 5/3 are 233 L."""
    (found,) = stored.stored_verdicts(parse_site(RIGHT).site, of_tank(draw))
    assert found.status == status
    assert found.quantity == pytest.approx(0.7 * MIXED * 0.2)
    assert found.limit == pytest.approx(draw)
    if status == "caution":
        needs = found.remedy.parts["large"]
        assert isinstance(needs, float)
        assert float(needs) == pytest.approx(draw / (0.7 * MIXED))
        (change,) = changes_of(found.remedy)
        gallons, unit = change.value.strip('"').split()
        assert (change.path, unit) == ("water_heater.volume", "gal")
        assert float(gallons) * GALLON > float(needs)


@pytest.mark.parametrize(("draw", "setpoint"), [(None, 60.0), (0.2, 39.0), (0.2, 9.0)])
def test_nothing_is_said_of_a_draw_that_nobody_knows_or_a_tank_too_cold(
    draw: float | None, setpoint: float
) -> None:
    assert stored.stored_verdicts(parse_site(RIGHT).site, of_tank(draw, setpoint)) == []


def element(fed_by: str, power: float, count: int = 1) -> SimpleNamespace:
    return SimpleNamespace(fed_by=fed_by, rated_power=power, count=count)


@pytest.mark.parametrize(
    ("elements", "second", "litres"),
    # A litre from 10 to 40 degC takes 30 K x 4.18 kJ/(kg K) x 0.9997 kg: 125.4 kJ (values of
    # water from memory); 4.5 kW make 129.2 L an hour.
    [
        ([element("grid", 4500.0)], None, 129.2),
        ([element("grid", 2250.0, 2), element("roof", 900.0)], None, 129.2),
        ([element("roof", 4500.0)], None, None),
        # A second tank heats what comes from the first: 0.7 x 80 L x 40/30 of its own besides.
        ([element("grid", 900.0)], (4500.0, 50.0), 129.2 + 0.7 * 80 * 4 / 3),
        ([], (4500.0, 5.0), 129.2),
    ],
)
def test_what_the_grid_heats_in_an_hour(
    elements: list[Any], second: tuple[float, float] | None, litres: float | None
) -> None:
    downstream = None
    if second is not None:
        downstream = SimpleNamespace(volume=0.08, rated_power=second[0], thermostat=second[1])
    heater: Any = SimpleNamespace(element=elements, second_tank=downstream)
    beside = stored._heated_beside(heater, of_tank(0.2))
    assert beside == (None if litres is None else pytest.approx(litres * 1e-3, rel=2e-3))


def test_the_hour_of_most_use() -> None:
    """50 L at seven, 30 at half past, 20 an hour after the first; 60 at noon and at one."""
    day = [(7.0, 50), (7.5, 30), (8.0, 20), (12.0, 60), (13.0, 60)]
    draws = [TapDraw(hour * 3600.0, 60.0, litres * 1e-3) for hour, litres in day]
    assert stored._of_the_hour(draws) == pytest.approx(0.08)
    assert stored._of_the_hour([]) == 0.0


def design(series: int, parallel: int, same: bool, gauge: str | None) -> OneDayDesign:
    return OneDayDesign(6, series, parallel, 3000.0, 240.0, same, gauge)


@pytest.mark.parametrize(
    ("wanted", "on_hand", "text", "changes"),
    [
        (
            design(5, 1, True, None), None,
            "5 modules in series on the same element of 3000 W, 240 V",
            ["array[2].series=5", "array[2].parallel=1"],
        ),
        # 2 x 3 beside four of another group are ten: two more than eight.
        (
            design(2, 3, False, "8 AWG"), 8,
            "2 modules in series by 3 rows on an element of 3000 W, 240 V, on wire of 8 AWG, "
            "which is 2 modules more than are on hand",
            ["array[2].series=2", "array[2].parallel=3",
             'water_heater.element[1].rated_power="3000 W"',
             'water_heater.element[1].rated_voltage="240 V"', "water_heater.element[1].count=1",
             'array[2].cable.gauge="8 AWG"', "module.on_hand=10"],
        ),
        (
            design(2, 2, True, None), 8,
            "2 modules in series by 2 rows on the same element of 3000 W, 240 V",
            ["array[2].series=2", "array[2].parallel=2"],
        ),
    ],
)  # fmt: skip
def test_a_design_for_one_day_in_words_and_changes(
    wanted: OneDayDesign, on_hand: int | None, text: str, changes: list[str]
) -> None:
    from wellsolar.verdicts import say

    other, own = (SimpleNamespace(series=2, parallel=2), SimpleNamespace(series=3, parallel=1))
    site: Any = SimpleNamespace(array=[other, own], module=SimpleNamespace(on_hand=on_hand))
    on: Any = SimpleNamespace(group=own, group_path="array[2]", path="water_heater.element[1]")
    parts: dict[str, Quantity | str] = {}
    template, found = one_day._design(site, on, wanted, parts)
    assert say(template, **parts).text("SI") == text
    assert [str(change) for change in found] == changes


@pytest.mark.parametrize(
    ("volume", "begins", "changes"),
    [
        (0.180, "a tank of ", "water_heater.volume"),
        (0.004, "a tank of no more than 4.0", None),  # none so small is sold
        (None, "other switches, wire or element", None),
    ],
)
def test_a_smaller_tank_for_one_day_and_the_most_of_the_modules(
    monkeypatch: pytest.MonkeyPatch, volume: float | None, begins: str, changes: str | None
) -> None:
    """Two rows of 9 A on 10 ohm give no more than (18 A)2 x 10 ohm, 3240 W."""
    on = SimpleNamespace(element=SimpleNamespace(coupling="direct"))
    monkeypatch.setattr(one_day, "element_on_array", lambda site: on)
    site: Any = SimpleNamespace(site=SimpleNamespace(print_units="SI"))
    result: Any = SimpleNamespace(
        one_day=None, one_day_volume=volume, photocurrent=9.0, parallel=2, element_resistance=10.0
    )
    found = one_day.hot_in_one_day(site, result, SimpleNamespace(month=12))  # type: ignore[arg-type]
    text = found.text("SI")
    assert text.startswith(begins)
    assert "one clear day of December" in text
    assert found.parts["ceiling"] == Quantity(3240.0, kinds.POWER)
    made: list[Change] = list(changes_of(found))
    assert [change.path for change in made] == ([] if changes is None else [changes])
    if changes is not None:
        litres = float(made[0].value.strip('"').split()[0])
        assert 100.0 < litres <= 180.0
