"""Pumps ranked by the modules they want, each as in its year alone."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from tests.studies.supply.houses import HOUSE, KWH, house, studied
from wellsolar.__main__ import main
from wellsolar.data.starter_pumps import starter_pumps
from wellsolar.physics.supply.battery import BatterySystem
from wellsolar.site.loading.read import parse_site
from wellsolar.site.loading.stock import Stock, load_stock
from wellsolar.studies.supply import ranking as study
from wellsolar.studies.supply.ranking import listed_pumps
from wellsolar.studies.supply.system import PumpSupply


def listed(tmp_path: Path) -> Path:
    """A stock of the pumps that the interview offers where no sheet is at hand."""
    path = tmp_path / "pumps.csv"
    rows = (f'{each.name},{each.supply},"{each.flow}","{each.head}","{each.power}"\n'
            for each in starter_pumps())  # fmt: skip
    path.write_text("name,supply,flow,head,power\n" + "".join(rows), encoding="utf-8")
    return path


@pytest.fixture
def stock(tmp_path: Path) -> Stock:
    return load_stock([listed(tmp_path)])


def test_ranked_pumps_are_in_order_and_no_more_than_asked_are_printed(
    tmp_path: Path, stock: Stock, capsys: pytest.CaptureFixture[str]
) -> None:
    path = house(tmp_path, "Greensboro")
    ranking = studied(path, "ranking", top=3, stock=stock).ranking
    order = [
        (math.inf if row.modules[1] is None else row.modules[1], row.battery)
        for row in ranking.rows
    ]
    assert order == sorted(order)  # type: ignore[type-var]
    assert ranking.shown == 3
    assert {row.of_stock for row in ranking.rows} == {True, False}
    lifted = {row.pump for row in ranking.rows} | set(ranking.left_out)
    assert lifted == {"frugal", *(each.name for each in starter_pumps())}
    assert main(["pump", "--full", str(path), "--top", "2", "--stock", str(listed(tmp_path))]) in (
        0,
        1,
    )
    said = capsys.readouterr()
    assert said.err == ""
    printed = said.out.split("Pumps and batteries, the best first")[1]
    rows = printed.split("-\n", 1)[1].split("2 of ")[0].strip().splitlines()
    assert len(rows) == 2
    assert "(stock)" in printed
    assert main(["pump", "--full", str(path)]) in (0, 1)
    assert "(stock)" not in capsys.readouterr().out


def test_every_pump_of_the_ranking_agrees_with_its_year_alone(
    tmp_path: Path, stock: Stock
) -> None:
    """Side by side and in groups of one current; asked again of a file with that one pump."""
    path = house(tmp_path, "Greensboro")
    ranking = studied(path, "ranking", top=3, stock=stock).ranking
    text = path.read_text(encoding="utf-8")
    starters = {each.name: each for each in starter_pumps()}
    chosen = [row for row in ranking.rows if row.of_stock and row.modules[1]][::9]
    assert len(chosen) > 2
    for row in chosen:
        curve = starters[row.pump]
        start, end = text.index('flow = "0, 1'), text.index("[module]")
        swapped = (
            f'flow = "{curve.flow}"\nhead = "{curve.head}"\npower = "{curve.power}"\n'
            f'supply = "{curve.supply}"\n'
        )
        alone = text[:start] + swapped + text[end:]
        alone = alone.replace('"5 kWh"', f'"{row.battery / KWH!r} kWh"')
        for count, within in ((row.modules[1], True), ((row.modules[1] or 0) - 1, False)):
            if not count:
                continue
            path.write_text(alone.replace("series = 4\n[power]", f"series = {count}\n[power]"))
            assert (studied(path).supply_years[0].days_short <= 3) is within, row


def test_starter_pumps_can_be_pumps_of_a_file(stock: Stock) -> None:
    site = parse_site(HOUSE.format(latitude=36.1, altitude="0 ft", file="x", losses="")).site
    for table in listed_pumps(site, stock):
        assert all(a < b for a, b in zip(table.flow, table.flow[1:], strict=False))
        assert all(a > b for a, b in zip(table.head, table.head[1:], strict=False))
        assert len(table.power) == len(table.flow) == len(table.head)
        best = max(
            1000 * 9.80665 * flow * head / power
            for flow, head, power in zip(table.flow, table.head, table.power, strict=True)
        )
        assert 0.15 < best < 0.50
        assert table.intake_depth == site.pump[0].intake_depth


def test_progress_is_told_up_to_the_end(tmp_path: Path, stock: Stock) -> None:
    told: list[tuple[int, int]] = []
    studied(
        house(tmp_path, "Greensboro"),
        "ranking",
        stock=stock,
        progress=lambda done, of: told.append((done, of)),
    )
    assert len(told) > 2
    shares = [done / of for done, of in told]
    assert shares == sorted(shares)
    assert 0 < shares[0] < shares[-1] <= 1


def test_the_rows_of_a_ranking_by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    """2.7 m3 a day at half a litre a second and 400 W are 0.6 kWh, and by an inverter of 0.8 with
    50 W that stand on it 0.75 and 1.2 kWh. A module of 100 W, derated to 0.75, brings 0.3 kWh in
    four hours of peak sun: two for the water alone, three by the inverter, seven for all."""
    usable = BatterySystem(1.0, 1.0, 1.0, 0.8, 25.0, other_load=20.0)
    pump = PumpSupply(
        "pump", 0.5e-3, 400.0, np.full(48, 2.7 / 24), 1.0, math.inf, usable, None, 1.0
    )
    power = SimpleNamespace(
        array_derate=0.75, battery_energy=5.0 * KWH, battery_usable=0.64, inverter_efficiency=0.8
    )
    site: Any = SimpleNamespace(power=power, module=SimpleNamespace(vmp=20.0, imp=5.0))
    result: Any = SimpleNamespace(
        name="pump", duties=[SimpleNamespace(input_power=watts) for watts in (600.0, 450.0)]
    )

    def of(supply: str, demand: float = 1.0) -> Any:
        given = replace(pump, demand=demand * pump.demand)
        return study._Candidate(SimpleNamespace(supply=supply), result, False, given)  # type: ignore[arg-type]

    for supply, battery, own, sun, rules in (
        ("AC", 5.0 * KWH, True, 4.0, (3, 7)), ("AC", 4.0 * KWH, False, 4.0, (3, 7)),
        ("DC", 5.0 * KWH, True, 4.0, (2, 7)), ("DC", 5.0 * KWH, True, 3.95, (3, 7)),
        # Without a battery the modules carry the running pump, 600 W.
        ("DC", None, False, 4.0, (8, 8)),
    ):  # fmt: skip
        row = study._row(site, of(supply), battery, (4, 6, 9), sun * KWH)
        assert (row.battery, row.own_battery) == (battery, own)
        assert (row.hand_rule, row.hand_rule_loaded) == rules
        assert row.daily_energy == pytest.approx(0.6 * KWH)
        assert study._place(row) == (6, battery or 0.0, row.daily_energy)
    for dark in (None, 0.9):
        lacking = study._row(site, of("AC"), None, (4, None, 9), dark)
        assert (lacking.hand_rule, lacking.hand_rule_loaded) == (None, None)
        assert study._place(lacking) == (math.inf, 0.0, lacking.daily_energy)
    # A mean load of 1.95 and 1.2 kWh, of a battery of which 64 % are usable, to two digits.
    pumps = [of("AC"), of("AC", 0.0)]
    sizes = [1.2, 2.5, 4.9, 5.0, 9.8]
    assert [each / KWH for each in study._batteries(site, pumps)] == pytest.approx(sizes)
    power.battery_energy = None
    assert [each / KWH for each in study._batteries(site, pumps)] == pytest.approx(
        [1.2, 2.5, 4.9, 9.8]
    )
    # Four times seven modules, twice those that are there, or 24; never more than 400.
    worst = 4.0 * KWH
    for there, light, most in (
        (10, worst, 28),
        (15, worst, 30),
        (10, None, 24),
        (300, worst, 400),
    ):
        array: Any = SimpleNamespace(modules=there)
        assert study._most(site, array, pumps, light) == most
    told: list[tuple[int, int]] = []
    second = study._part_of(lambda done, whole: told.append((done, whole)), 1, 3)
    assert second is not None
    for done in (5, 30):
        second(done, 20)
    assert told == [(25, 60), (40, 60)]
    # Straight off the modules, where each saves two of twelve short days: six, five or one.
    told.clear()
    short = lambda _, watts: SimpleNamespace(days_short=12 - 2 * int(watts))  # noqa: E731
    monkeypatch.setattr(PumpSupply, "run", short)
    array = SimpleNamespace(direct=True, mean=1.0)
    rows = study._ranked(site, [of("DC"), of("DC")], array, None, 24, lambda *of: told.append(of))
    assert [(row.modules, row.battery) for row in rows] == [((6, 5, 1), None)] * 2
    assert told == [(1, 2), (2, 2)]
