"""What is asked of a pressure tank and of what stands beside it, on numbers made by hand.

Sizes that are sold: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tests.properties.whole.plain import STEADY
from tests.studies.printed import compared, told
from tests.studies.pump.deep_pump import PSI
from tests.studies.pump.test_verdicts import _plain, site_with
from wellsolar import Case, kinds
from wellsolar.constants import DAY, HORSEPOWER, HOUR
from wellsolar.results.pumps import PressureTankResult, TankCycle
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.pump import pressure_tank as asked
from wellsolar.units import Quantity
from wellsolar.verdicts import changes_of, say

GALLON = 231 * 0.0254**3
GAUGE = "gauge pressure"


def psi(number: float) -> Quantity:
    return Quantity(number * PSI, kinds.PRESSURE)


def tank(precharge: float = 38.0) -> PressureTankResult:
    """86 gal between 40 and 60 psi, of which 20 gal are to be had, 23 gal with the best air."""
    return PressureTankResult(
        86 * GALLON, 1, precharge * PSI, 40 * PSI, 60 * PSI, 101_325.0, 0.25, 2 * GALLON,
        22 * GALLON, 20 * GALLON, 38 * PSI, 23 * GALLON, (),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("precharge", "status", "words"),
    [
        # Never above the cut-in of 40 psi, for which 38 psi is right (Water Systems Council,
        # Pressure Tanks, January 2007, page 3); 5 psi below it: common practice, no source.
        (41.0, "fail", "{precharge} is above the cut-in of {cut_in}: the tank is empty"),
        (40.0, "pass", "{precharge} suits the cut-in"),
        (35.0, "pass", "{precharge} suits the cut-in"),
        (34.0, "caution", "{precharge} is low for a cut-in of {cut_in}: the tank gives"),
    ],
)
def test_the_air_of_a_tank_on_a_switch(precharge: float, status: str, words: str) -> None:
    found = asked._precharge(tank(precharge), True, "US")
    air, limit = f"{precharge:.0f} psi, {GAUGE}", f"40 psi, {GAUGE}"
    assert compared(found) == (status, air, limit)
    assert found.reason.template.startswith(words)
    assert told(found.reason) == {
        "precharge": air, "cut_in": limit, "drawdown": "20 gal, volume", "best": "23 gal, volume"
    }  # fmt: skip
    if status != "pass":
        assert [str(each) for each in changes_of(found.remedy)] == [
            'pressure_tank.precharge="38 psi"'
        ]
    assert asked._precharge(tank(), False, "US").needs == ("pressure_tank.precharge",)


@pytest.mark.parametrize(
    ("precharge", "status", "share"),
    [
        # 70 % of the 60 psi that a drive holds, from memory, and 60 to 85 % by our choice; from
        # 60 psi on there is no water in it, which is physics.
        (61.0, "fail", "102%"),
        (60.0, "fail", "100%"),
        (59.0, "caution", "98.3%"),
        (52.0, "caution", "86.7%"),
        (51.0, "pass", "85%"),
        (36.0, "pass", "60%"),
        (35.0, "caution", "58.3%"),
    ],
)
def test_the_air_of_a_tank_on_a_drive(precharge: float, status: str, share: str) -> None:
    table: Any = SimpleNamespace(precharge=psi(precharge))
    found = asked._held_precharge(table, 60 * PSI, "US")
    assert compared(found) == (status, f"{precharge:.0f} psi, {GAUGE}", f"60 psi, {GAUGE}")
    assert told(found.reason)["share"].removesuffix(", fraction") in (share, share + "%")
    assert told(found.reason)["held"] == f"60 psi, {GAUGE}"
    assert ("no water in the tank" in found.reason.template) == (status == "fail")
    assert ("70 % is usual" in found.reason.template) == (status == "caution")
    if status != "pass":
        # 70 % of 60 psi.
        (change,) = changes_of(found.remedy)
        assert str(change) == 'pressure_tank.precharge="42 psi"'
    bare: Any = SimpleNamespace(precharge=None)
    assert asked._held_precharge(bare, 60 * PSI, "US").needs == ("pressure_tank.precharge",)


@pytest.mark.parametrize(
    ("found", "limits", "status"),
    [
        (10.0, (10.0, 20.0), "pass"),
        # Of a motor whose size is not told: what the large bear, and what the small do.
        (10.5, (10.0, 20.0), "unknown"),
        (20.0, (10.0, 20.0), "unknown"),
        (20.5, (10.0, 20.0), "caution"),
        (10.5, (10.0, 10.0), "caution"),
    ],
)
@pytest.mark.parametrize(("rule", "kind", "per"), [
    (asked.STARTS, kinds.STARTS_A_DAY, DAY), (asked.HOURLY, kinds.STARTS_AN_HOUR, HOUR)
])  # fmt: skip
def test_how_seldom_a_motor_starts(
    rule: Any, kind: Any, per: float, found: float, limits: tuple[float, float], status: str
) -> None:
    many = 10.0 if kind is kinds.STARTS_A_DAY else 1.0
    starts = Quantity(many * found / per, kind)
    both = (many * limits[0] / per, many * limits[1] / per)
    larger: Any = object()
    judged = asked._seldom(rule, "steady", "its.size", starts, both, say("so"), larger)
    assert (judged.status, judged.subject, judged.rule) == (status, "steady", rule)
    if status == "unknown":
        assert judged.needs == ("its.size",)
        return
    assert (judged.quantity, judged.limit) == (starts, both[0])
    assert judged.quantity.kind is judged.limit.kind is kind  # type: ignore[union-attr]
    assert judged.remedy is (larger if status == "caution" else None)


RUN, DAILY, HOURLY = "run time", "starts a day", "starts an hour"


@pytest.mark.parametrize(
    ("power", "run", "daily", "hourly", "statuses", "needs"),
    [
        # From 1 hp two minutes, 100 starts a day of one phase (Kill, Tank Selection by the
        # Numbers, Water Well Journal), 7.5 an hour (Water Systems Council, second hand).
        (1.0, 120.0, 100.0, 7.5, ("pass", "pass", "pass"), ()),
        (1.0, 119.0, 101.0, 7.6, ("caution", "caution", "caution"), ()),
        (1.0, 60.0, 99.0, 7.4, ("caution", "pass", "pass"), ()),
        (1.0, 59.0, 99.0, 7.4, ("fail", "pass", "pass"), ()),
        # Below it one minute, 300 and 15.
        (0.5, 60.0, 300.0, 15.0, ("pass", "pass", "pass"), ()),
        (0.5, 59.0, 301.0, 15.1, ("fail", "caution", "caution"), ()),
        # What lies between hangs on a size that is not told: the largest start 50 times a day.
        (None, 119.0, 51.0, 7.6, ("unknown", "unknown", "unknown"), ("pump[1].rated_power",)),
        (None, 120.0, 50.0, 7.5, ("pass", "pass", "pass"), ()),
        (None, 60.0, 300.0, 15.0, ("unknown", "unknown", "unknown"), ("pump[1].rated_power",)),
        (None, 59.0, 301.0, 15.1, ("fail", "caution", "caution"), ()),
        (1.0, 120.0, None, 7.5, ("pass", "unknown", "pass"), ("demand.daily_use",)),
    ],
)
def test_what_a_tank_asks_of_the_motor(
    power: float | None,
    run: float,
    daily: float | None,
    hourly: float,
    statuses: tuple[str, ...],
    needs: tuple[str, ...],
) -> None:
    watts = None if power is None else Quantity(power * HORSEPOWER, kinds.POWER)
    cycle = TankCycle("steady", 10 * GALLON / 60, run, hourly / HOUR,
                      None if daily is None else daily / DAY, 119 * GALLON)  # fmt: skip
    found = asked._cycle_verdicts(site_with(rated_power=watts), tank(), cycle)
    assert tuple(each.rule.key for each in found) == (RUN, DAILY, HOURLY)
    assert tuple(each.status for each in found) == statuses
    for each in found:
        assert each.subject == "steady"
        assert each.needs == (needs if each.status == "unknown" else ())
        if each.status in ("caution", "fail"):
            assert [str(change) for change in changes_of(each.remedy)] == [
                'pressure_tank.volume="119 gal"', "pressure_tank.count=1"
            ]  # fmt: skip
    if statuses[0] != "unknown":
        least = 60.0 if power == 0.5 else 120.0
        assert (found[0].quantity, found[0].limit) == (run, least)
        assert told(found[0].reason)["drawdown"] == "20 gal, volume"
        assert told(found[0].reason)["flow"] == "10 gpm, flow"
    if daily is not None and statuses[1] != "unknown":
        assert found[1].quantity == pytest.approx(daily / DAY)
    if statuses[2] != "unknown":
        assert found[2].quantity == pytest.approx(hourly / HOUR)


@pytest.mark.parametrize(
    ("needed", "sold", "count", "words"),
    [
        # Sold are 20, 32, 44, 52, 62, 86 and 119 gal.
        (119.0, 119, 1, "a {sold} tank"),
        (120.0, 62, 2, "2 tanks of {sold}"),
        (238.0, 119, 2, "2 tanks of {sold}"),
        (240.0, 86, 3, "3 tanks of {sold}"),
        (21.0, 32, 1, "a {sold} tank"),
    ],
)
@pytest.mark.parametrize("precharge", [38.0, 30.0])
def test_the_tanks_that_are_sold(
    needed: float, sold: int, count: int, words: str, precharge: float
) -> None:
    cycle: Any = SimpleNamespace(volume_needed=needed * GALLON)
    found = asked._larger_tank(tank(precharge), cycle, "US")
    assert found.template.startswith(words + " (needs")
    assert told(found) == {"sold": f"{sold} gal, volume", "needed": f"{needed:.0f} gal, volume",
                           "best": f"38 psi, {GAUGE}"}  # fmt: skip
    set_right = [] if precharge == 38.0 else ['pressure_tank.precharge="38 psi"']
    assert [str(each) for each in found.changes] == [
        f'pressure_tank.volume="{sold} gal"', f"pressure_tank.count={count}", *set_right
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("precharge", "held", "best"),
    # 2 psi below the cut-in of 40 psi, or seven tenths of what a drive holds (from memory).
    [(38.0, None, 38.0), (30.0, None, 38.0), (None, None, 38.0), (None, 50.0, 35.0)],
)
def test_two_tanks_by_the_law_of_boyle(
    precharge: float | None, held: float | None, best: float
) -> None:
    """Of 86 gal each, 40 to 60 psi, at sea level."""
    site = site_with(held_pressure=None if held is None else psi(held))
    air = best if precharge is None else precharge
    told_of = {"count": 2, "precharge": None if precharge is None else psi(precharge)}
    site = site.model_copy(update={"pressure_tank": site.pressure_tank.model_copy(update=told_of)})
    (pump,) = Case(parse_site(STEADY)).with_site(site).pumps
    result, part = asked.study_pressure_tank(site, (pump,))
    assert result is not None

    def stored(pressure: float, at: float) -> float:
        return 2 * 86 * GALLON * (1 - (at * PSI + 101_325) / (pressure * PSI + 101_325))

    assert (result.count, result.volume) == (2, pytest.approx(172 * GALLON))
    assert result.precharge == pytest.approx(air * PSI)
    assert result.best_precharge == pytest.approx(best * PSI)
    assert result.stored_at_cut_in == pytest.approx(stored(40, air))
    assert result.stored_at_cut_out == pytest.approx(stored(60, air))
    given = stored(60, air) - stored(40, air)
    assert result.drawdown == pytest.approx(given)
    assert result.acceptance_factor == pytest.approx(given / (172 * GALLON))
    assert result.best_drawdown == pytest.approx(stored(60, best) - stored(40, best))
    assumed = [(each.path, float(each.value)) for each in part.assumptions]
    assert assumed == (
        [] if precharge else [("pressure_tank.precharge", pytest.approx(best * PSI))]
    )
    if held is None:
        # At 10 gpm all the way, within 0.002 gpm.
        (cycle,) = result.cycles
        assert cycle.run_time == pytest.approx(given / (10 * GALLON / 60), rel=1e-3)
        assert pump.fill.points[-1].water == pytest.approx(given)


@pytest.mark.parametrize(
    ("held", "switched", "most"), [((50, 65), False, 65), ((65, 50), False, 65), ((), False, None),
                                   ((50, 65), True, None)],
)  # fmt: skip
def test_what_drives_hold_where_none_is_switched(
    monkeypatch: pytest.MonkeyPatch, held: tuple[float, ...], switched: bool, most: float | None
) -> None:
    links = [SimpleNamespace(to_house=True, by_switch=False, pressures=(each,)) for each in held]
    links += [SimpleNamespace(to_house=switched, by_switch=switched, pressures=(30, 90))]
    monkeypatch.setattr(asked, "links", lambda _: links)
    site: Any = None
    assert asked.held_by_all(site) == most


def cycle_of(share: tuple[float, float] | None = None, daily: float | None = 400.0,
             **fill: float) -> TankCycle:  # fmt: skip
    """A tank of 86 gal with 20 gal between starts, 23 gal with the best air, on 10 gpm."""
    site, plain = _plain()
    assert plain.fill is not None
    usual = {"mean_flow": 10 * GALLON / 60, "duration": 120.0, "best_duration": 138.0}
    filled = replace(plain.fill, **(usual | fill))
    pump = replace(plain, daily_volume=None if daily is None else daily * GALLON)
    return asked._cycle(site, pump, filled, 86 * GALLON, (20 * GALLON, 23 * GALLON), share)


def test_how_large_a_tank_a_motor_asks_for() -> None:
    """1 hp: 120 s of run, 100 starts a day, 7.5 an hour. At worst half of 10 gpm is drawn: 23 gal
    fill and empty in 4.6 min each, 6.52 starts an hour; 20 gal in 4 min, 7.5 an hour."""
    found = cycle_of()
    assert found.pump == "steady"
    assert found.run_time == pytest.approx(120.0)
    assert found.greatest_starts == pytest.approx(7.5 / HOUR)
    assert found.starts_a_day == pytest.approx(20 / DAY)  # 400 gal by 20 gal
    # 6.52 of 7.5, 120 s of 138 s: both 0.8696 of the tank, the daily starts less.
    assert found.volume_needed == pytest.approx(86 * GALLON * 120 / 138)
    longer = cycle_of(best_duration=100.0)
    assert longer.volume_needed == pytest.approx(86 * GALLON * 1.2)
    busier = cycle_of(mean_flow=15 * GALLON / 60)  # half as many starts again
    assert busier.volume_needed == pytest.approx(86 * GALLON * 1.5 * 120 / 138)
    thirsty = cycle_of(daily=4600.0)  # 200 fills of 23 gal for 100 starts
    assert thirsty.volume_needed == pytest.approx(86 * GALLON * 2)
    assert thirsty.starts_a_day == pytest.approx(230 / DAY)
    assert cycle_of(daily=None).starts_a_day is None


def test_a_throttled_fill_starts_the_pump_by_what_its_valve_lets_through() -> None:
    """A quarter of 20 gal fills at 1 gpm: (sqrt 20 + sqrt 5)^2 gal, 45 gal, are 45 min a start; of
    23 gal and the best air 51.75 min, by which the starts ask for less than the run does."""
    found = cycle_of((0.25, 1 * GALLON / 60))
    assert found.greatest_starts == pytest.approx(1 / (45 * 60))
    assert found.volume_needed == pytest.approx(86 * GALLON * 120 / 138)
    # At 10 gpm 5.175 min a start are 11.59 an hour, for 7.5.
    often = cycle_of((0.25, 10 * GALLON / 60))
    assert often.volume_needed == pytest.approx(86 * GALLON * 60 / 5.175 / 7.5)
