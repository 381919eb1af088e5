"""Overload of a motor, NEC (2008) 430.32(A) (second hand), its ground-fault breaker,
(2020) 210.8(F) (from memory), its breaker and its load."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from tests.site_texts import EXAMPLES
from tests.studies.printed import compared, told
from wellsolar import kinds
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.electric.motor_guards import (
    at_the_best,
    breaker_verdicts,
    guarded,
    load_verdicts,
    motor_cycle,
    motor_guard_verdicts,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import Verdict, changes_of

HORSEPOWER = 745.7

RELAY = ("pump[1].overload=in a starter", "pump[1].full_load_current=8 A")


def judged(*settings: str, example: str = "smallest") -> dict[str, Verdict]:
    text = (EXAMPLES / f"{example}.toml").read_text(encoding="utf-8")
    site = parse_site(text, settings=list(settings)).site
    found = motor_guard_verdicts(site, site.pump[0], "pump[1]")
    return {each.rule.key: each for each in found}


@pytest.mark.parametrize(
    ("amperes", "status"),
    # 1.15 and 1.25 x the 8 A of the plate.
    [("9.2 A", "pass"), ("9.3 A", "caution"), ("10 A", "caution"), ("10.2 A", "fail")],
)
def test_a_relay_by_the_plates_current(amperes: str, status: str) -> None:
    told = (*RELAY, f"pump[1].overload_current={amperes}")
    found = judged(*told)["motor overload"]
    assert found.status == status
    if status != "pass":
        (change,) = changes_of(found.remedy)
        mended = judged(*told, f"{change.path}={change.value}")
        assert mended["motor overload"].status == "pass"


def test_what_guards_a_motor_is_asked_of_alternating_current_alone() -> None:
    assert judged()["motor overload"].needs == ("pump[1].overload",)
    for where, words in (
        ("in the motor", "a protector in the motor does"),
        ("in its box", "its control box, drive or soft starter does"),
    ):
        found = judged(f"pump[1].overload={where}")["motor overload"]
        assert (found.status, found.reason.text("US")) == ("pass", words)
    assert judged("pump[1].overload=none")["motor overload"].status == "fail"
    assert judged(*RELAY)["motor overload"].needs == ("pump[1].overload_current",)
    assert judged(example="village_borehole") == {}


@pytest.mark.parametrize(
    ("settings", "status", "needs"),
    [
        ((), "unknown", ("pump[1].ground_fault_breaker", "site.code_edition")),
        (("site.code_edition=2017",), "pass", ()),
        (("site.code_edition=2020",), "unknown", ("pump[1].ground_fault_breaker",)),
        (("pump[1].ground_fault_breaker=false",), "unknown", ("site.code_edition",)),
        (("pump[1].ground_fault_breaker=true",), "pass", ()),
        # That a pump in a well is an outlet outdoors is our reading: no more than a caution.
        (
            ("pump[1].ground_fault_breaker=false", "site.code_edition=2023"),
            "caution",
            (),
        ),
    ],
)
def test_a_ground_fault_breaker_by_the_edition(
    settings: tuple[str, ...], status: str, needs: tuple[str, ...]
) -> None:
    found = judged(*settings)["ground-fault breaker"]
    assert (found.status, found.needs) == (status, needs)


@pytest.mark.parametrize(
    "setting", ["pump[1].kind=suction", "pump[1].phases=3", "pump[1].voltage=480 V"]
)
def test_it_is_asked_of_a_house_circuit_in_a_well(setting: str) -> None:
    assert "ground-fault breaker" not in judged(setting)


def motor_of(**other: Any) -> Any:
    """A pump of 1 hp in a well, of nothing else told."""
    return SimpleNamespace(**({
        "name": "deep", "supply": "AC", "phases": 1, "service_factor": None, "duty": None,
        "rated_power": Quantity(HORSEPOWER, kinds.SHAFT_POWER), "breaker": None,
    } | other))  # fmt: skip


@pytest.mark.parametrize(
    ("rating", "most", "status", "limit", "right", "reason"),
    [
        # 8 A at full load: 10 A hold it for long, 20 A are 250 %, and 32 A four times as much.
        (7.75, 20.0, "fail", "8 A", "20 A", ": it trips while the pump runs"),
        (8.0, 20.0, "caution", "10 A", "20 A", ": on a long run or at a start it may trip"),
        (9.75, 20.0, "caution", "10 A", "20 A", ": on a long run or at a start it may trip"),
        (10.0, 20.0, "pass", "10 A", None, ""),
        (20.0, 20.0, "pass", "10 A", None, ""),
        (21.0, 20.0, "caution", "20 A", "20 A",
         ": more than 20.0 A only where that does not let the motor start"),
        (32.0, 20.0, "caution", "20 A", "20 A",
         ": more than 20.0 A only where that does not let the motor start"),
        (33.0, 20.0, "fail", "20 A", "20 A", ": it clears a fault late"),
        # Of a drive, whose sheet tells the largest.
        (33.0, None, "pass", "10 A", None, ""),
        (9.0, None, "caution", "10 A", "10 A", ": on a long run or at a start it may trip"),
    ],
)  # fmt: skip
def test_a_breaker_beside_the_motors_current(
    rating: float, most: float | None, status: str, limit: str, right: str | None, reason: str
) -> None:
    table = motor_of(breaker=Quantity(rating, kinds.CURRENT))
    (found,) = breaker_verdicts(table, "pump[1]", 8.0, most)
    assert compared(found) == (status, f"{rating:g} A, current", f"{limit}, current")
    words = f"it has {rating:.1f} A for a motor of 8.0 A"
    assert found.reason.text("US").replace("8.00 A", "8.0 A").replace(
        f"{rating:.2f} A", f"{rating:.1f} A") == words + reason  # fmt: skip
    if right:
        assert told(found.remedy) == {"right": f"{right}, current"}
        (change,) = changes_of(found.remedy)
        assert (change.path, change.value) == ("pump[1].breaker", f'"{right}"')
    assert breaker_verdicts(motor_of(), "pump[1]", 8.0, most) == []


def a_load(water: float, drawn: float = 0.0, is_told: bool = False, **other: Any) -> list[Verdict]:
    table = motor_of(**other)
    return load_verdicts(table, "pump[1]", drawn * HORSEPOWER, water * HORSEPOWER, is_told)


@pytest.mark.parametrize(
    ("drawn", "other", "status", "shaft", "most", "sold", "factor"),
    [
        # A motor of 1 hp turns 64 % of what it draws into work, 69 % of three phases, and bears
        # 1.4 times its size (data/motor_plates.csv).
        (2.18, {}, "pass", 1.3952, 1.4, None, "the usual service factor of 1.4"),
        (2.2, {}, "caution", 1.408, 1.4, "1.5 hp", "the usual service factor of 1.4"),
        (2.02, {"phases": 3}, "pass", 1.3938, 1.4, None, "the usual service factor of 1.4"),
        (2.05, {"phases": 3}, "caution", 1.4145, 1.4, "1.5 hp", "the usual service factor of 1.4"),
        (1.9, {"service_factor": 1.2}, "caution", 1.216, 1.2, "1 hp",
         "the service factor of 1.2"),
        # 10 hp bear 11.5 hp, and no larger one is named.
        (18.0, {}, "caution", 11.52, 1.4, None, "the usual service factor of 1.4"),
        (17.9, {}, "caution", 11.456, 1.4, "10 hp", "the usual service factor of 1.4"),
    ],
)  # fmt: skip
def test_what_a_pump_of_a_sheet_asks_of_its_motor(
    drawn: float,
    other: dict[str, Any],
    status: str,
    shaft: float,
    most: float,
    sold: str | None,
    factor: str,
) -> None:
    (found,) = a_load(0.5, drawn, True, **other)
    assert found.status == status
    assert found.quantity == pytest.approx(shaft * HORSEPOWER)
    assert found.limit == pytest.approx(most * HORSEPOWER)
    assert factor.removeprefix("the ") in found.reason.text("US")
    if status != "pass":
        assert found.remedy is not None
        assert found.remedy.parts["needed"] == pytest.approx(shaft * HORSEPOWER)
        bought = "a motor of {sold}" if sold else "a motor that carries {needed:up}"
        assert found.remedy.template.startswith(bought)
        asked = float(sold.split()[0]) if sold else shaft
        assert found.remedy.parts["sold"] == pytest.approx(asked * HORSEPOWER)


@pytest.mark.parametrize(
    ("water", "status", "shaft"),
    # 1.4 hp at the shaft: 0.7 hp of water at one half, 0.91 hp at the best 65 %.
    [(0.69, "pass", 0.69 / 0.5), (0.71, "unknown", None), (0.9, "unknown", None),
     (0.92, "caution", 0.92 / 0.65)],
)  # fmt: skip
def test_what_a_pump_without_a_sheet_asks_of_its_motor(
    water: float, status: str, shaft: float | None
) -> None:
    (found,) = a_load(water)
    assert found.status == status
    if shaft is None:
        assert found.needs == ("pump[1].power",)
        words = "a pump of 50% efficiency overloads the motor, one of 65% does not"
        assert words in found.reason.text("US")
    else:
        assert found.quantity == pytest.approx(shaft * HORSEPOWER)


@pytest.mark.parametrize(
    ("flow", "factor", "water", "status", "shaft", "most", "words", "sold"),
    [
        # At 5 gpm 33 % is the least allowed, and usual is one half: 3.03 of the water's power in
        # a motor that bears 1.4, against twice of it in its size. Up to 0.462 hp of water.
        (3.15e-4, None, 0.46, "pass", 0.46 / 0.33, 1.4,
         "at 33% efficiency, the least that EU 547/2012 allows such a pump, it asks 1.39 hp at "
         "the shaft of a motor of 1.00 hp with a service factor of 1.4", None),
        (3.15e-4, None, 0.47, "caution", 0.47 / 0.33, 1.4, "at 33% efficiency", 1.5),
        # At 30 gpm the least is 62 % and the usual no less: the motor's size bears it.
        (18.93e-4, None, 0.61, "pass", 0.61 / 0.62, 1.0,
         "at 62% efficiency, usual for such a pump, it asks 0.98 hp at the shaft of a motor of "
         "1.00 hp, its service factor left in hand", None),
        (18.93e-4, None, 0.63, "caution", 0.63 / 0.62, 1.0, "at 62% efficiency", 1.5),
        # Half way from 10 gpm of 47 % to 15 gpm of 54 %; one half is 50.5 %, hence the least.
        (7.885e-4, 1.0, 0.5, "pass", 0.5 / 0.505, 1.0, "at 50% efficiency, usual", None),
        # 10 hp bear 11.5 hp at 33 %: 3.795 hp of water.
        (3.15e-4, None, 3.79, "caution", 3.79 / 0.33, 1.4, "at 33% efficiency", 10.0),
        (3.15e-4, None, 3.81, "caution", 3.81 / 0.33, 1.4, "at 33% efficiency", None),
    ],
)  # fmt: skip
def test_what_whatever_pump_of_a_duty_asks_of_its_motor(
    flow: float,
    factor: float | None,
    water: float,
    status: str,
    shaft: float,
    most: float,
    words: str,
    sold: float | None,
) -> None:
    (found,) = a_load(water, duty=SimpleNamespace(flow=flow), service_factor=factor)
    assert found.status == status
    assert found.quantity == pytest.approx(shaft * HORSEPOWER)
    assert found.limit == pytest.approx(most * HORSEPOWER)
    assert found.reason.text("US").startswith(words)
    if status == "caution":
        assert found.remedy is not None
        bought = "a motor of {sold}" if sold else "a motor that carries {needed:up}"
        assert found.remedy.template == bought
        needed = shaft / 1.4 if "33%" in words else shaft
        assert found.remedy.parts["needed"] == pytest.approx(needed * HORSEPOWER)
        assert found.remedy.parts["sold"] == pytest.approx((sold or needed) * HORSEPOWER)


def test_of_what_motor_no_load_is_asked() -> None:
    assert a_load(0.5, rated_power=None) == []
    assert a_load(0.5, supply="DC") == []
    assert a_load(0.0) == []
    assert a_load(5.0, rated_power=Quantity(11 * HORSEPOWER, kinds.SHAFT_POWER)) == []
    assert len(a_load(0.001, rated_power=Quantity(10 * HORSEPOWER, kinds.SHAFT_POWER))) == 1


@pytest.mark.parametrize(
    ("power", "run", "starts", "shortest", "wanted", "daily", "hourly"),
    [
        # Below 1 hp a minute, 300 starts a day and 15 an hour; from 1 hp two, 100 and 7.5; above
        # 5.5 hp 50 a day.
        (0.5, None, None, 60.0, 60.0, 300.0, 15.0),
        (1.0, None, None, 60.0, 120.0, 100.0, 7.5),
        (7.5, None, None, 60.0, 120.0, 50.0, 7.5),
        # The site's own: of a run of 180 s a quarter is 5 starts an hour.
        (1.0, 180.0, None, 180.0, 180.0, 100.0, 5.0),
        (1.0, None, 24.0, 60.0, 120.0, 24.0, 7.5),
        # Of an unknown size what the largest bears, and at the best the smallest.
        (None, None, None, 60.0, (120.0, 60.0), (50.0, 300.0), (7.5, 15.0)),
    ],
)  # fmt: skip
def test_what_a_motor_bears(
    power: float | None,
    run: float | None,
    starts: float | None,
    shortest: float,
    wanted: Any,
    daily: Any,
    hourly: Any,
) -> None:
    day, hour = 86400.0, 3600.0
    site: Any = SimpleNamespace(
        limits=SimpleNamespace(run_time=run, starts_a_day=starts and starts / day)
    )
    table = motor_of(rated_power=power and Quantity(power * HORSEPOWER, kinds.SHAFT_POWER))
    for number, cycle_of in enumerate((motor_cycle, at_the_best)):
        found = cycle_of(site, table)
        made = (wanted, daily, hourly)
        least, most, often = (
            each[number] if isinstance(each, tuple) else each for each in made
        )  # fmt: skip
        assert found.shortest_run == shortest
        assert found.wanted_run == least
        assert found.daily_starts == pytest.approx(most / day)
        assert found.hourly_starts == pytest.approx(often / hour)


@pytest.mark.parametrize(
    ("volts", "wanted"), [(300.0, True), (301.0, False), (None, True), (115.0, True)]
)
def test_circuits_that_may_want_a_ground_fault_breaker(volts: float | None, wanted: bool) -> None:
    assert guarded(motor_of(kind="submersible", draws="well", voltage=volts)) is wanted
    assert not guarded(motor_of(kind="submersible", draws="well", voltage=volts, supply="DC"))


@pytest.mark.parametrize(("amperes", "limit"), [("9 A", 9.2), ("9.5 A", 9.2), ("11 A", 10.0)])
def test_a_relay_beside_its_limit(amperes: str, limit: float) -> None:
    found = judged(*RELAY, f"pump[1].overload_current={amperes}")["motor overload"]
    assert found.limit == pytest.approx(limit)
    assert found.quantity == pytest.approx(float(amperes.split()[0]))
    if found.status != "pass":
        assert found.remedy is not None
        assert found.remedy.parts["plain"] == pytest.approx(9.2)
