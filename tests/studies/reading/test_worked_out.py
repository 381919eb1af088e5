"""Readings of pumps, wells and tanks made up by hand: bands, ways to be wrong and what they imply,
each worked out beside it. Weights and slacks are our choice, entered twice.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest

from tests.studies.by_hand import ends, some
from tests.studies.reading.test_hot_water import by_hand, warmth
from wellsolar import kinds
from wellsolar.results.readings import Band, Cause
from wellsolar.studies.reading import (
    element,
    fill,
    hot_water,
    level,
    meter,
    motor,
    pressure,
    pumps,
    study,
    together,
    visit,
)
from wellsolar.studies.reading import reading as readings
from wellsolar.studies.reading import sun as suns
from wellsolar.studies.reading.reading import Candidate, Lacking
from wellsolar.units import Quantity

PSI = 6894.757


def bare(kind: type[Any], **attributes: Any) -> Any:
    """A reading with nothing but what it is given."""
    reading = object.__new__(kind)
    vars(reading).update(attributes)
    return reading


def length(value: float, *ends: float) -> Quantity:
    return Quantity(value, kinds.LENGTH, *ends)


def told(candidates: Any) -> list[tuple[list[float], float]]:
    return [(np.ravel(each.values).tolist(), each.weight) for each in candidates]


def check(candidates: Any, expected: list[tuple[list[float], float]]) -> None:
    found = told(candidates)
    assert [weight for _, weight in found] == pytest.approx([weight for _, weight in expected])
    for (values, _), (composed, _) in zip(found, expected, strict=True):
        assert values == pytest.approx(composed)


CUTS = some(cut_in=2e5, cut_out=4e5)


@dataclass(frozen=True)
class OnWell:
    """A pump at a level, for what is made of several of them."""

    level: Any
    intake_depth: float = 60.0
    link: Any = None


@pytest.mark.parametrize(("values", "air", "own"), [({}, 1.0, 1.0), ({"precharge"}, 0.1, 0.05)])
def test_ways_of_a_fill(
    values: Any, air: float, own: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where a second of filling is a pascal of precharge, or a metre of depth."""
    monkeypatch.setattr(fill, "_with_precharge", lambda site, precharge: precharge)
    monkeypatch.setattr(fill, "_fill_seconds", lambda site, on_well, level=None: (
        site if level is None else level.static_level))  # fmt: skip
    link = some(from_tank=False)
    for intake, rest in ((60.0, 21.0), (20.0, 21.0), (60.0, -4.0)):
        on_well = OnWell(some(at=lambda flow, rest=rest: rest + 1e3 * flow), intake, link)
        reading = bare(
            fill.FillTime, site=some(pressure_switch=CUTS), visit=some(values=values),
            at=some(on_well=on_well, bucket=None if own == 1.0 else 1e-3),
        )  # fmt: skip
        check(reading._airs(), [
            ([0.0, 1e5, 1.8e5], 1.0 * air), ([2.2e5, 3e5], 0.4 * air),
        ])  # fmt: skip
        first = max(rest, 0.0) + 3.0
        last = max(intake, first)
        depths = [first + part * (last - first) / 3 for part in range(4)]
        band = Quantity(100.0, kinds.WATCH)
        check(reading._slow(band), [
            ([100.0, *depths], 0.8 * own), ([110.0, 200.0, 400.0], 0.6 * own),
            ([110.0, 200.0], 0.2 * air),
        ])  # fmt: skip
        check(reading._fast(band), [
            ([100.0, 0.0], 0.6 * own), ([5.0, 50.0, 90.0], 0.7 * air),
        ])  # fmt: skip


def test_the_slowness_of_a_fill_is_its_water_over_its_flows(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of a cubic metre at 1 bar and its atmosphere, 1 - 2/(p + 1) at 2, 3 and 4 bar: a third, a
    half and 0.6; at 1, 2 and 4 L/s a sixth takes 1/1 and 1/2, a tenth 1/2 and 1/4."""
    air = pressure.TankAir(3.0, 1e5, 1e5)
    monkeypatch.setattr(fill, "tank_air_of", lambda site: air)
    flows = {2e5: 1e-3, 3e5: 2e-3, 4e5: 4e-3}
    at = some(site=some(pressure_switch=CUTS), flow=lambda on_well, p: flows[p] * on_well)
    expected = (1 / 6 * 1500.0 + 1 / 10 * 750.0) / 2
    assert fill._slowness(at, 1.0) == pytest.approx(expected)  # type: ignore[arg-type]
    assert fill._slowness(at, 0.0) is None  # type: ignore[arg-type]


def test_a_fill_over_the_levels_is_as_much_slower_as_they(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of 100 s at a slowness of its own; the highest level is tried at rest as well."""
    monkeypatch.setattr(fill, "_fill_seconds", lambda site, on_well: 100.0)
    monkeypatch.setattr(fill, "_slowness", lambda at, on_well: on_well.level.static_level)
    one, two = (OnWell(some(static_level=depth)) for depth in (20.0, 50.0))
    at: Any = some(site=None, on_well=OnWell(some(static_level=40.0)), at_levels=(one, two),
                   at_work=(two,))  # fmt: skip
    # 20 of 40 is half the time, 50 is 125 s, each with its twentieth.
    assert ends(fill._expected_fill(at)) == pytest.approx((47.5, 100.0, 131.25))  # type: ignore[arg-type]
    assert ends(fill._expected_fill(at, 200.0)) == pytest.approx((95.0, 200.0, 262.5))  # type: ignore[arg-type]
    at.on_well = OnWell(some(static_level=None))
    assert ends(fill._expected_fill(at)) == pytest.approx((95.0, 100.0, 105.0))  # type: ignore[arg-type]
    monkeypatch.setattr(fill, "_fill_seconds", lambda site, on_well: None)
    assert fill._expected_fill(at) is None


def test_a_fill_by_the_bucket(monkeypatch: pytest.MonkeyPatch) -> None:
    """The curve has 1 and 3 L/s where the bucket had 1: half, so that a fill of 2 L/s is one of
    1; 0.3 m3 at 1 bar of air give 80 L from 2 to 4 bar, 0.3 x 2 x (1/3 - 1/5) m3."""
    monkeypatch.setattr(fill, "tank_air_of", lambda site: pressure.TankAir(0.3, 1e5, 1e5))
    monkeypatch.setattr(fill, "fill_of", lambda site, at_work: some(mean_flow=2e-3))
    flows = {2e5: 1e-3, 4e5: 3e-3}
    bucket = Quantity(1e-3, kinds.FLOW, 0.8e-3, 1.25e-3)
    at: Any = some(site=some(pressure_switch=CUTS), bucket=bucket, pressures=(2e5, 4e5),
                   on_well=some(link=some(valve=None)),
                   flow=lambda on_well, p: flows[p])  # fmt: skip
    assert fill._mean_flow_by_bucket(at) == pytest.approx(1e-3)
    time = fill._fill_by_bucket(at)
    assert ends(time) == pytest.approx((80.0 * 0.95 * 0.8, 80.0, 80.0 * 1.05 * 1.25))  # type: ignore[arg-type]
    at.bucket = Quantity(1e-3, kinds.FLOW, 0.0, 1.25e-3)  # no more than a thousandfold
    assert fill._fill_by_bucket(at).high == pytest.approx(80.0 * 1.05 * 1e3)  # type: ignore[union-attr]
    at.on_well = some(link=some(valve="valve"))
    assert fill._fill_by_bucket(at) is None
    at.on_well, flows[2e5], flows[4e5] = some(link=some(valve=None)), 0.0, 0.0
    assert fill._mean_flow_by_bucket(at) is None
    at.bucket = None
    assert fill._mean_flow_by_bucket(at) is None


@pytest.mark.parametrize(
    ("read", "from_tank", "weight"),
    [({}, False, 1.0), ({"pumping_level"}, False, 0.05), ({}, True, 1.0)],
)
def test_ways_of_a_bucket(read: Any, from_tank: bool, weight: float) -> None:
    """Where the pump gives 5 L/s less 50 mL a metre of depth, and a litre less at 4 bar."""

    def duty(key: str, at: float, level: Any) -> Any:
        return some(flow=5e-3 - 5e-5 * level.static_level - (1e-3 if at == 4e5 else 0.0))

    on_well = some(intake_depth=60.0, duty=duty, link=some(from_tank=from_tank))
    reading = bare(fill.BucketFlow, visit=some(values=read), site=some(pressure_tank="tank"),
                   at=some(on_well=on_well, pressures=(2e5, 4e5)))  # fmt: skip
    band = Quantity(2e-3, kinds.FLOW)
    check(reading._too_little(band), [([2e-3, 1e-3], 0.9 * weight), ([0.6e-3, 1.8e-3], 0.8)])
    check(reading._too_much(band), [
        ([2.2e-3, 3e-3, 8e-3], 1.0), ([2e-3, 4e-3], 0.6 * weight),
    ])  # fmt: skip


def test_a_bucket_is_expected_over_levels_and_pressures() -> None:
    """Least and greatest of all with a twentieth; in the middle the mean at the likeliest."""
    flows = {(1, 2e5): 3e-3, (1, 4e5): 2e-3, (2, 2e5): 2.5e-3, (2, 4e5): 1e-3}
    at = some(at_work=(1, 2), likeliest=1, pressures=(2e5, 4e5), levels_told="", at_pressures="",
              flow=lambda on_well, p: flows[on_well, p])  # fmt: skip
    reading = bare(fill.BucketFlow, at=at)
    value = reading.expected().value
    assert ends(value) == pytest.approx((0.95e-3, 2.5e-3, 3.15e-3))
    assert [each.reads for each in reading.boxes()] == [("bucket_volume", "bucket_time")]
    flows[2, 4e5] = 0.0
    assert reading.boxes() == []


@pytest.mark.parametrize(
    ("static", "band"),
    [
        # Half a foot by tape, or a fiftieth of the depth where that is more.
        (length(5.0), (4.85, 5.0, 5.15)), (length(30.0, 20.0, 50.0), (19.4, 30.0, 50.6)),
        (length(0.1), (0.0, 0.1, 0.25)),
    ],
)  # fmt: skip
def test_the_band_of_the_water_at_rest(static: Quantity, band: tuple[float, ...]) -> None:
    found = level.at_rest(some(static_level=static))
    assert ends(found) == pytest.approx(band)
    assert found.kind is kinds.LENGTH


@pytest.mark.parametrize("read", [False, True])
def test_ways_of_a_pumping_level(read: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of 30 m at rest and 40 pumped, a metre for each 0.1 L/s; where the pump gives 1 L/s, and
    another one 2."""
    well = some(static_level=30.0, settled=lambda flow: 30.0 + 1e4 * flow)
    values = {"static_level": 1, "pumping_time": 1} if read else {}
    me, other = some(name="me"), some(name="other")
    at = some(on_well=some(level=well), given=some(values=values), bucket=1.0 if read else None,
              site=some(pump=(me, other)), table=me)  # fmt: skip
    flow = Quantity(1e-3, kinds.FLOW)
    reading = bare(level.PumpingLevel, at=at, flow=flow)
    monkeypatch.setattr(level, "is_here", lambda site, table: True)
    monkeypatch.setattr(level, "ReadPump", lambda site, table, given: some(
        pressures=(2e5, 4e5),
        on_well=some(duty=lambda key, at: some(flow=2e-3 if at == 2e5 else 1.0))))  # fmt: skip
    band = length(40.0)
    check(reading._deeper(band), [
        ([40.5, 44.0, 55.0], 1.0), ([40.0, 43.0, 50.0], 0.1 if read else 0.7),
        ([40.5, 43.0], 0.3), ([60.0], 0.6),
    ])  # fmt: skip
    check(reading._higher(band), [
        ([30.0, 40.0], 0.3 if read else 1.0), ([33.0, 39.5], 0.1 if read else 0.8),
        ([30.0, 40.0], 0.6),
    ])  # fmt: skip
    assert reading._higher(length(7.0))[-1].values.tolist() == [0.0, 7.0]
    # At least half a foot of drawdown, and nothing of a pump alone or in another well.
    alone = reading._deeper(length(30.0))[0].values
    assert alone.tolist() == pytest.approx([30.0 + 0.15 * part for part in (1.05, 1.4, 2.5)])
    monkeypatch.setattr(level, "is_here", lambda site, table: False)
    assert len(reading._deeper(band)) == 3


@pytest.mark.parametrize(
    ("low", "shares"),
    # An intake at 60 m, and half a foot by the tape.
    [(60.1, []), (60.2, [0.6, 0.4])],
)
def test_a_level_below_the_intake_is_a_slip_or_air(low: float, shares: list[float]) -> None:
    reading = bare(level.PumpingLevel, measured=length(low + 1.0, low, low + 2.0),
                   at=some(on_well=some(intake_depth=60.0)))  # fmt: skip
    assert [each.share for each in reading.evident(length(40.0))] == shares


def test_the_flow_of_a_pump_at_a_level_that_was_read() -> None:
    """3 L/s less 20 mL a metre, and a litre less at 4 bar: of 40 m, 30 to 50, at 2 and 4 bar."""

    def duty(key: str, at: float, there: Any) -> Any:
        return some(flow=3e-3 - 2e-5 * there.static_level - (1e-3 if at == 4e5 else 0.0))

    at = some(bucket=None, on_well=some(duty=duty), pressures=(2e5, 4e5))
    reading = bare(level.PumpingLevel, at=at, measured=length(40.0, 30.0, 50.0))
    assert ends(reading.flow) == pytest.approx((1e-3, (2.2e-3 + 1.2e-3) / 2, 2.4e-3))
    at.bucket = "bucket"
    del reading.flow
    assert reading.flow == "bucket"


def test_drawdown_and_capacity_of_a_level() -> None:
    """60 m read, 58 to 63, over 30 at rest, 29 to 32: from 26 to 34 m, and 3 L/s over them."""
    rest = length(30.0, 29.0, 32.0)
    flow = Quantity(3e-3, kinds.FLOW, 2.6e-3, 3.4e-3)
    at = some(site=some(well=some(static_level=rest)), bucket=1.0, at_pressures="")
    for values, there in (({}, rest), ({"static_level": length(40.0)}, length(40.0))):
        reading = bare(level.PumpingLevel, at=at, measured=length(60.0, 58.0, 63.0), flow=flow,
                       visit=some(values=values))  # fmt: skip
        drop, given, capacity = (each.value for each in reading.implied())
        assert ends(drop) == pytest.approx((58 - there.high, 60 - there, 63 - there.low))
        assert given is flow
        assert ends(capacity) == pytest.approx(
            (2.6e-3 / drop.high, 3e-3 / drop, 3.4e-3 / drop.low)
        )
        assert [each.kind for each in (drop, capacity)] == [kinds.LENGTH,
                                                            kinds.SPECIFIC_CAPACITY]  # fmt: skip
    reading.measured = length(32.0, 31.9, 34.0)  # perhaps none at all
    reading.visit.values.clear()
    assert [each.key for each in reading.implied()] == ["implied_drawdown", "implied_flow"]


def test_the_band_of_a_pumping_level(monkeypatch: pytest.MonkeyPatch) -> None:
    """Drawdowns with their twentieth and the tape, of the file's levels; the middle is of its own
    level alone. After a time those of the casing at each level, or anything down to settled."""
    rest = length(30.0, 20.0, 50.0)
    settled = [(20.0, 8.0), (30.0, 10.0), (30.0, 14.0), (50.0, 20.0)]
    monkeypatch.setattr(level, "_settled", lambda at: settled)
    at: Any = some(site=some(well=some(static_level=rest)), given=some(values={}))
    found = level._expected(at, None).value  # type: ignore[arg-type]
    assert found.kind is kinds.LENGTH
    assert ends(found) == pytest.approx((20 + 7.6 - 0.15, 42.0, 50 + 21.0 + 0.15))
    at.given.values["pumping_time"] = "time"
    monkeypatch.setattr(level, "_in_time", lambda at, case, time: [5.0, 9.0])
    found = level._expected(at, None).value  # type: ignore[arg-type]
    assert ends(found) == pytest.approx((20 + 4.75 - 0.15, 37.0, 50 + 9.45 + 0.15))
    monkeypatch.setattr(level, "_in_time", lambda at, case, time: [])
    found = level._expected(at, None).value  # type: ignore[arg-type]
    assert ends(found) == pytest.approx((20 - 0.15, (40 + 44 + 30 + 30) / 4, 50 + 21.0 + 0.15))


def test_drawdowns_once_settled() -> None:
    """Of 20 and 30 m at rest a metre each 0.1 L/s of the bucket, 0.1 to 0.3; else at each
    pressure, of 2 and 4 bar 8 and 4 m."""

    def on_well(rest: float) -> Any:
        return some(
            level=some(static_level=rest, at=lambda flow: rest + 1e4 * flow),
            duty=lambda key, at: some(pumping_level=rest + (8.0 if at == 2e5 else 4.0)),
        )

    at: Any = some(at_levels=(on_well(20.0), on_well(30.0)), pressures=(2e5, 4e5),
                   bucket=Quantity(2e-4, kinds.FLOW, 1e-4, 3e-4))  # fmt: skip
    found = [each for pair in level._settled(at) for each in pair]
    assert found == pytest.approx([20, 1, 20, 2, 20, 3, 30, 1, 30, 2, 30, 3])
    at.bucket = None
    assert level._settled(at) == [(20.0, 8.0), (20.0, 4.0), (30.0, 8.0), (30.0, 4.0)]


@pytest.mark.parametrize(("bucket", "drops"), [(None, [9.0, 6.0]), (2e-3, [12.0, 8.0])])
def test_drawdowns_in_time(
    bucket: float | None, drops: list[float], monkeypatch: pytest.MonkeyPatch
) -> None:
    """By the most flow and then the least; as much more as the bucket has of the mean of 1 and 2
    L/s."""
    duties = (some(flow=1e-3), some(flow=2e-3))
    monkeypatch.setattr(level, "_from_cut_out", lambda result: "turned")
    monkeypatch.setattr(level, "levels_through", lambda site, results, times: (
        {"me": [36.0] if results == ("turned",) else [39.0]}))  # fmt: skip
    at: Any = some(site=some(well=some(static_level=30.0)), table=some(name="me"), bucket=bucket)
    case: Any = some(pumps=(some(name="me", duties=duties),))
    found = level._in_time(at, case, Quantity(1800.0, kinds.WATCH))
    assert found == pytest.approx(drops)


@pytest.mark.parametrize(
    ("in_time", "intake", "band"),
    [
        # Of a duty that gives nothing there is no drawdown.
        ((32.5, 30.0), 90.0, (25 - 0.15, 31.25, 40 + 2.625 + 0.15)),
        # 30 m, 25 to 40, with drawdowns of 4 and 10; in time 10 are 5 and 4 are 2.
        (None, 90.0, (25 + 3.8 - 0.15, 37.0, 40 + 10.5 + 0.15)),
        (35.0, 90.0, (25 + 1.9 - 0.15, 33.5, 40 + 5.25 + 0.15)),
        (None, 45.0, (28.65, 37.0, 45.0)), (None, 36.0, (28.65, 36.0, 36.0)),
        (None, 20.0, (28.65, 28.65, 28.65)),
    ],
)  # fmt: skip
def test_the_box_of_a_pumping_level(
    in_time: Any, intake: float, band: tuple[float, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    in_time, least = in_time if isinstance(in_time, tuple) else (in_time, 34.0)
    monkeypatch.setattr(level, "_after_half_an_hour", lambda case, name: in_time)
    duties = [some(pumping_level=depth) for depth in (least, 40.0)]
    result = some(level_known=True, name="p", duties=duties, intake_depth=intake)
    at = some(on_well=some(link=some(from_tank=False)),
              site=some(well=some(static_level=length(30.0, 25.0, 40.0))))  # fmt: skip
    reading = bare(level.PumpingLevel, at=at, visit=some(pump_result=result, job=some(case=None)))
    (line,) = reading.boxes()
    assert ends(line.expected) == pytest.approx(band)
    assert line.expected.kind is kinds.LENGTH
    assert ("pumping_time" in line.reads) == (in_time is not None)


def test_ways_of_a_motors_current() -> None:
    usual = np.array([10.0])
    table = some(supply="AC", phases=1, start="direct")
    at: Any = some(on_well=some(table=table))
    check(motor._too_much(at, usual), [
        ([11.5, 60.0], 0.8), ([10 / 0.98, 12.5], 0.8), ([13.0, 25.0], 0.4),
    ])  # fmt: skip
    for key, value in (("supply", "DC"), ("phases", 3), ("start", "soft starter")):
        other: Any = some(on_well=some(table=some(**{**vars(table), key: value})))
        assert len(motor._too_much(other, usual)) == 2
    check(motor._too_little(usual), [([2.5, 6.5], 1.0), ([10 / 1.15, 10 / 1.02], 0.3)])
    # A twentieth of the current or less is none at all.
    for high, still in ((0.49, True), (0.51, False)):
        reading = bare(motor.PumpAmps, at=at, measured=Quantity(0.3, kinds.CURRENT, 0.1, high))
        with pytest.MonkeyPatch.context() as patch:
            for name in ("_of_curve", "_of_level"):
                patch.setattr(motor, name, lambda at, high: [])
            found = reading.explained(Quantity(10.0, kinds.CURRENT, 9.0, 11.0), low=True)
        assert [isinstance(each, Cause) for each in found] == [still, still]
        assert not still or [each.share for each in found] == [0.5, 0.4]


@pytest.mark.parametrize(("end", "of_level", "of_curve"),
                         [(10.31, 1, 1), (10.29, 0, 0), (9.71, 0, 0), (9.69, 0, 0)])  # fmt: skip
def test_ends_of_a_curve_and_of_the_water_that_differ_by_three_per_cent(
    end: float, of_level: int, of_curve: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of 10 A, with one of the two ends another; where less was read the other way round."""
    monkeypatch.setattr(motor, "current_of", lambda table, power: power)
    monkeypatch.setattr(motor.pump, "water_power", lambda flow, head, density: 0.0)
    curve = some(first_flow=1e-3, greatest_flow=2e-3, head_at=lambda flow: 50.0)

    def duty(key: str, at: float, level: Any = None) -> Any:
        deep = level is not None and level.static_level == 60.0
        # Neither the first pressure nor the last tells anything of one between them.
        return some(flow=1e-3, input_power=99.0 if at == 3e5 else end if deep else 10.0)

    on_well = some(curve=curve, table=None, line=some(density=1e3), intake_depth=60.0, duty=duty,
                   input_power=lambda flow, water: end if flow == 1e-3 else 10.0)  # fmt: skip
    at: Any = some(on_well=on_well, pressures=(2e5, 3e5, 4e5))
    assert (len(motor._of_level(at, True)), len(motor._of_curve(at, True))) == (of_level, of_curve)
    low = int(end < 9.7)
    assert (len(motor._of_level(at, False)), len(motor._of_curve(at, False))) == (low, low)
    if of_level:
        check(motor._of_level(at, True), [([10.0, end], 0.6)])
        check(motor._of_curve(at, True), [([10.0, end], 0.8)])


@pytest.mark.parametrize(
    ("held", "switch", "band"),
    [
        # 40 psi of cut-in: 38, no less than 6 psi below; of a pressure held 70 %, 65 to 75.
        (None, 40.0 * PSI, None), (3e5, None, (0.7 * 3e5,)), (None, None, ()),
    ],
)  # fmt: skip
def test_the_best_precharge(
    held: float | None, switch: float | None, band: tuple[float, ...] | None,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setattr(pressure, "held_by_all", lambda site: held)
    cut = None if switch is None else Quantity(switch, kinds.PRESSURE)
    site = some(pressure_switch=None if cut is None else some(cut_in=cut), pressure_tank=None)
    reading = bare(pressure.Precharge, site=site)
    if band is None:
        assert reading.best == pytest.approx(38 * PSI)
        value = reading.expected().value
        assert (float(value), value.high) == pytest.approx((38 * PSI, 40 * PSI))
        assert value.kind is kinds.PRESSURE
    elif band:
        assert reading.best == pytest.approx(band[0])
        assert reading.expected().value.low < band[0] < reading.expected().value.high
    else:
        assert reading.best is None
        assert reading.expected().needs == ("pressure_switch.cut_in",)
    assert reading.boxes() == []
    site.pressure_tank = some(count=2)
    assert len(reading.boxes()) == (reading.best is not None)
    if reading.best is not None:
        (line,) = reading.boxes()
        assert ends(line.expected) == pytest.approx((reading.best - PSI, reading.best,
                                                     reading.best + PSI))  # fmt: skip
        assert "each of 2 tanks" in line.text


GAUGE = some(water_heater=None, pressure_tank=None,
             pressure_switch=some(cut_in=40 * PSI, cut_out=60 * PSI))  # fmt: skip


def test_bands_of_a_gauge() -> None:
    """Cut-in to cut-out, or what is held, and 2 psi."""
    reading = bare(
        pressure.GaugePressure, site=GAUGE, held=None, open=False, visit=some(pump=None)
    )
    assert ends(reading.expected().value) == pytest.approx((38 * PSI, 50 * PSI, 62 * PSI))
    lines = reading.boxes()
    assert [float(each.expected) for each in lines] == pytest.approx([40 * PSI, 60 * PSI])
    assert lines[0].expected.high == pytest.approx(42 * PSI)
    reading.held = 55 * PSI
    assert ends(reading.expected().value) == pytest.approx((53 * PSI, 55 * PSI, 57 * PSI))
    (line,) = reading.boxes()
    assert ends(line.expected) == pytest.approx((53 * PSI, 55 * PSI, 57 * PSI))
    low = some(**{**vars(GAUGE), "pressure_switch": some(cut_in=PSI, cut_out=9 * PSI)})
    reading.site, reading.held = low, None
    assert ends(reading.expected().value) == pytest.approx((0.0, 5 * PSI, 11 * PSI))
    reading.open = True
    assert reading.boxes() == []


@pytest.mark.parametrize(
    ("tank", "heater", "read", "state", "warns"),
    [
        # 100 psi where no plate says less; the relief valve and 2 psi; past its band while on.
        (None, None, (99.0, 99.9), "off", ""), (None, None, (99.0, 100.1), "off", "BURSTS"),
        ((90.0, None), None, (70.0, 90.1), "off", "BURSTS"),
        ((90.0, None), 80.0, (70.0, 80.1), "off", "BURSTS"),
        ((120.0, None), None, (70.0, 100.1), "off", "BURSTS"),
        ((None, 75.0), None, (76.9, 80.0), "off", ""),
        ((None, 75.0), None, (77.1, 80.0), "off", "RELIEF_SHUT"),
        (None, None, (62.1, 63.0), "on", "RUNS_ON"), (None, None, (61.9, 63.0), "on", ""),
        (None, None, (62.1, 63.0), "off", ""), (None, None, (62.1, 63.0), None, ""),
    ],
)  # fmt: skip
def test_what_a_gauge_warns_of(
    tank: tuple[float | None, float | None] | None, heater: float | None,
    read: tuple[float, float], state: str | None, warns: str,
) -> None:  # fmt: skip
    def plate(psi: float | None) -> float | None:
        return None if psi is None else psi * PSI

    site = some(
        water_heater=None if heater is None else some(relief_pressure=plate(heater)),
        pressure_tank=None if tank is None else some(
            greatest_pressure=plate(tank[0]), relief_pressure=plate(tank[1])),
    )  # fmt: skip
    low, high = (each * PSI for each in read)
    reading = bare(pressure.GaugePressure, site=site, state=state,
                   measured=Quantity(low, kinds.PRESSURE, low, high))  # fmt: skip
    band = Quantity(50 * PSI, kinds.PRESSURE, 38 * PSI, 62 * PSI)
    assert reading.warns(band) == (getattr(pressure, warns) if warns else "")


def test_what_a_night_loses() -> None:
    """60 psi, 59 to 61, to 50, 48 to 51; of 0.3 m3 with 2 bar of air under 1 bar by Boyle."""
    first, last = (Quantity(a * PSI, kinds.PRESSURE, b * PSI, c * PSI)
                   for a, b, c in ((60, 59, 61), (50, 48, 51)))  # fmt: skip
    hours = Quantity(36_000.0, kinds.DURATION, 32_400.0, 39_600.0)
    values = {"evening_pressure": first, "morning_pressure": last, "hours_between": hours}
    site = some(pressure_tank=some(precharge=2e5, volume=0.15, count=2), pressure_switch=None,
                site=some(altitude=0.0))  # fmt: skip
    reading = bare(pressure.PressureDecay, visit=some(values=values), site=site, shut=False)
    assert ends(reading.measured) == pytest.approx((8 * PSI, 10 * PSI, 13 * PSI))
    assert ends(reading.expected().value) == pytest.approx((-2 * PSI, 0.0, 2 * PSI))

    def leak(before: float, after: float, seconds: float) -> float:
        air = 101_325.0
        held = 0.3 * (2e5 + air)
        return held * (1 / (after * PSI + air) - 1 / (before * PSI + air)) / seconds

    (leaks,) = reading.implied()
    assert ends(leaks.value) == pytest.approx(
        (leak(59, 51, 39_600), leak(60, 50, 36_000), leak(61, 48, 32_400)), rel=1e-6
    )
    (line,) = reading.boxes()
    assert ends(line.expected) == pytest.approx((0.0, 0.0, 2 * PSI))
    assert line.expected.kind is kinds.PRESSURE_LOSS


def test_levels_and_flows_of_a_pump_that_is_read() -> None:
    """2 L/s of 100 m less 10 m a L/s, at 2 to 4 bar of 10 m each, friction left out."""
    line = some(total=lambda level, flow, p: level.static_level + p / 1e4)
    curve = some(first_flow=1e-3, greatest_flow=5e-3, head_at=lambda flow: 100.0 - 1e4 * flow)
    on_well: Any = some(curve=curve, line=line)
    flow = Quantity(2e-3, kinds.FLOW, 1.5e-3, 3e-3)
    found = pumps.level_of_flows(on_well, flow, (2e5, 4e5))
    # 80 - 30, 70 - 40 at the most flow and pressure, 85 - 20 at the least of both.
    assert ends(found) == pytest.approx((30.0, 50.0, 65.0))  # type: ignore[arg-type]
    # An end that the curve does not reach is left at the middle; without a middle there is none.
    wide = Quantity(2e-3, kinds.FLOW, 0.9e-3, 5.1e-3)
    assert ends(pumps.level_of_flows(on_well, wide, (2e5,))) == pytest.approx((60.0, 60.0, 60.0))  # type: ignore[arg-type]
    for out in (0.9e-3, 5.1e-3):
        assert pumps.level_of_flows(on_well, Quantity(out, kinds.FLOW), (2e5,)) is None
    for end in (1e-3, 5e-3):
        assert pumps.level_of_flows(on_well, Quantity(end, kinds.FLOW), (2e5,)) is not None


def pump_at(rest: Quantity, known: bool, read: Any = None, intake: float = 60.0) -> Any:
    """A pump in a well with that water at rest; a level that was read, or none."""
    link = some(from_tank=False)
    own = OnWell(some(known=known, static_level=float(rest)), intake, link)
    values = {} if read is None else {"pumping_level": read}
    return bare(pumps.ReadPump, on_well=own, given=some(values=values), at_levels=("file's",),
                site=some(well=some(static_level=rest)))  # fmt: skip


@pytest.mark.parametrize(
    ("known", "read", "intake", "depths", "likeliest"),
    [
        # From rest at its highest to the intake, half way between; or as it was read.
        (False, None, 60.0, [20.0, 40.0, 60.0], 40.0), (False, None, 10.0, [20.0] * 3, 20.0),
        (False, length(44.0, 42.0, 47.0), 60.0, [42.0, 44.0, 47.0], 44.0),
        (True, length(44.0), 60.0, [44.0], 44.0),
    ],
)  # fmt: skip
def test_levels_that_a_pump_may_work_at(
    known: bool, read: Any, intake: float, depths: list[float], likeliest: float
) -> None:
    at = pump_at(length(30.0, 20.0, 50.0), known, read, intake)
    assert [each.level.static_level for each in at.at_work] == depths
    assert at.likeliest.level.static_level == likeliest
    at.on_well.link.from_tank = True
    vars(at)["at_work"] = tuple("abcde")  # of the storage tank from full to its lowest
    assert at.likeliest == "c"


def test_a_pump_gives_no_more_than_its_well() -> None:
    at = bare(pumps.ReadPump)
    for most, flow in ((2e-3, 2e-3), (4e-3, 3e-3)):
        level_there: Any = some(greatest_flow=lambda most=most: most)
        on_well: Any = some(level=level_there)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(pumps.ReadPump, "point", lambda self, on_well, p: 3e-3)
            assert at.flow(on_well, 2e5) == flow
    assert pumps.flow_of(1.0, 2.0, 3.0).kind is kinds.FLOW


def test_flow_by_bucket() -> None:
    """20 L, 19 to 22, in 40 s, 38 to 44; no faster than a thousandfold."""
    values = {"bucket_volume": Quantity(20e-3, kinds.VOLUME, 19e-3, 22e-3),
              "bucket_time": Quantity(40.0, kinds.WATCH, 38.0, 44.0)}  # fmt: skip
    found = bare(pumps.ReadPump, given=some(values=values)).bucket
    assert ends(found) == pytest.approx((19e-3 / 44, 20e-3 / 40, 22e-3 / 38))
    values["bucket_time"] = Quantity(40.0, kinds.WATCH, 0.0, 44.0)
    assert bare(pumps.ReadPump, given=some(values=values)).bucket.high == pytest.approx(
        22e-3 / 0.04
    )
    assert bare(pumps.ReadPump, given=some(values={})).bucket is None


@pytest.mark.parametrize(
    ("values", "prior", "fit"),
    [
        # Read as 10, 9 to 11: half of the 2 between them is more than a twentieth of 10. A bell
        # 1 wide is root 2 pi = 2.5066 of cases; 2 off are two of them.
        ([10.0], 0.4, 1.0), ([13.0], 0.4, math.exp(-2.0)), ([7.0], 0.4, math.exp(-2.0)),
        ([8.0, 10.0, 13.0], 0.4 * 2.50663 / 7.50663, 1.0), ([9.5, math.nan], 0.4, 1.0),
        # A twentieth of the greatest case, 40, is 2.
        ([40.0, 19.0], 0.4 * 5.01326 / 26.01326, math.exp(-8.0)),
        ([1e9], 0.4, math.exp(-200.0)),
    ],
)  # fmt: skip
def test_how_well_a_way_fits(values: list[float], prior: float, fit: float) -> None:
    read = Quantity(10.0, kinds.CURRENT, 9.0, 11.0)
    way = Candidate("way", np.array(values), 0.4)
    (found,) = readings.scored(read, way)
    assert found.prior == pytest.approx(prior, rel=1e-5)
    assert found.fit == pytest.approx(fit, rel=1e-5)
    assert found.likelihood == pytest.approx(prior * fit, rel=1e-5)
    there = sorted(each for each in values if each == each)
    assert ends(found.value) == (there[0], there[len(there) // 2], there[-1])
    assert readings.scored(read, Candidate("none", np.array([math.nan]), 1.0)) == []


@pytest.mark.parametrize(
    ("read", "off"), [((8, 9, 10), False), ((8, 9, 9.9), True), ((20, 21, 22), False),
                      ((20.1, 21, 22), True), ((12, 13, 14), False)]
)  # fmt: skip
def test_a_reading_is_off_where_none_of_it_lies_in_its_band(
    read: tuple[float, float, float], off: bool
) -> None:
    measured = Quantity(read[1], kinds.CURRENT, read[0], read[2])
    assert readings.is_off(measured, Quantity(15.0, kinds.CURRENT, 10.0, 20.0)) is off


def test_a_value_with_as_much_either_side() -> None:
    assert ends(readings.near(5.0, kinds.PRESSURE, 2.0)) == (3.0, 5.0, 7.0)
    assert ends(readings.near(1.0, kinds.PRESSURE, 2.0)) == (0.0, 1.0, 3.0)


class Read:
    """A reading for what explains several."""

    def __init__(self, value: float, ways: Any, clears: Any = (), evident: Any = ()) -> None:
        self.measured = Quantity(value, kinds.CURRENT)
        self.band: Any = Band(Quantity(15.0, kinds.CURRENT, 10.0, 20.0), "")
        self.ways, self.clears, self.sure = ways, clears, evident

    def evident(self, band: Quantity) -> Any:
        return self.sure

    def explained(self, band: Quantity, low: bool) -> Any:
        assert low is (self.measured < band)
        return self.ways


def cause(share: float, *of: str, text: str = "text") -> Cause:
    return Cause(f"{text} {share}", None, share, of)


def test_what_explains_several_readings_together() -> None:
    """Pump: the greater of its priors, 0.6; pipe: 0.5 once and a slip, 0.002, where it is not
    known. What a right reading speaks against counts a twentieth."""
    one = Read(5.0, (cause(0.6, "pump"), cause(0.5, "pipe")))
    two = Read(25.0, (cause(0.3, "pump"),))
    right = Read(15.0, (cause(0.9, "pipe"),))
    first, second = together.suspects([one, two, right])  # type: ignore[list-item]
    total = 0.6 + 0.5 * 0.002
    assert (first.share, second.share) == pytest.approx((0.6 / total, 0.001 / total))
    assert (first.explains, second.explains) == (2, 1)
    assert (first.text, second.text) == ("text 0.6", "text 0.5")
    clear = Read(15.0, (), clears=("pump",))
    first, second = together.suspects([one, two, clear])  # type: ignore[list-item]
    total = 0.6 * 0.05 + 0.001
    assert (first.share, second.share) == pytest.approx((0.03 / total, 0.001 / total))
    # One reading alone tells its own, and one that nothing is expected of none.
    lacking = Read(25.0, (cause(0.3, "pump"),))
    lacking.band = Lacking()
    assert together.suspects([one, lacking, right]) == ()  # type: ignore[list-item]
    assert together.suspects([right]) == ()  # type: ignore[list-item]
    # What is evident is off though it lies in its band, and its words go before.
    sure = Read(15.0, (), evident=(cause(0.4, "pump"),))
    assert together.suspects([one, sure])[0].explains == 2  # type: ignore[list-item]


def test_words_of_a_fault_alone_go_before_those_of_several() -> None:
    both = Read(5.0, (cause(0.9, "pump", "pipe"),))
    alone = Read(5.0, (cause(0.4, "pump"),))
    first, *_ = together.suspects([both, alone])  # type: ignore[list-item]
    assert first.text == "text 0.4"
    # Of several ways to one fault the likeliest is its own.
    many = Read(5.0, (cause(0.2, "pump"), cause(0.7, "pump"), cause(0.5, "pump")))
    assert together.suspects([many, alone])[0].text == "text 0.7"  # type: ignore[list-item]
    # So are they weighed by how they fit as well: 6 A where 5 were read is three bells away.
    near, apart = (
        Candidate(text, np.array([value]), weight, of=("pump",))
        for text, value, weight in (("near", 5.0, 0.4), ("apart", 6.0, 0.9))
    )
    for ways in (
        ((near, apart),) * 2, ((apart, near),) * 2, ((near,), (apart,)), ((apart,), (near,)),
    ):  # fmt: skip
        found = together.suspects([Read(5.0, way) for way in ways])  # type: ignore[misc]
        assert found[0].text == "near"
    # A way that hardly fits, by less than a slip would, explains nothing.
    far = Candidate("far", np.array([40.0]), 0.5, of=("pump",))
    assert together.suspects([Read(5.0, (far,)), alone]) == ()  # type: ignore[list-item]


def test_boxes_of_tank_and_tap_are_temperatures() -> None:
    """A thermostat at 60 degC, 5 K off, and a valve at 49, 3 K off; one element has none."""
    elements = (some(thermostat=60.0, position="lower"), some(thermostat=None, position="upper"))
    tank = by_hand(hot_water.TankTemperature, warmth(45.0), element=elements)
    (line,) = tank.boxes()
    assert (float(line.expected), line.expected.kind) == (60.0, kinds.TEMPERATURE)
    assert (line.expected.low, line.expected.high) == (55.0, 65.0)
    tap = by_hand(hot_water.TapTemperature, warmth(45.0), mixing_valve=some(outlet=49.0))
    (line,) = tap.boxes()
    assert (float(line.expected), line.expected.kind) == (49.0, kinds.TEMPERATURE)
    assert (line.expected.low, line.expected.high) == (46.0, 52.0)
    assert by_hand(hot_water.TapTemperature, warmth(45.0)).boxes() == []


def test_heat_that_a_tank_holds_and_lacks() -> None:
    """A MJ/K over water of 10 degC; up to 50, the coolest that is expected."""
    heat = some(work=some(tank=some(heat_capacity=1e6)))
    tank = by_hand(hot_water.TankTemperature, warmth(30.0, 28.0, 33.0), tank=heat)
    tank.expected = lambda: some(value=some(low=50.0))
    held, missing = tank._heat()
    assert ends(held.value) == pytest.approx((18e6, 20e6, 23e6))
    assert ends(missing.value) == pytest.approx((17e6, 20e6, 22e6))
    assert held.value.kind is missing.value.kind is kinds.ENERGY
    for coolest, told_of in ((33.1, 2), (33.0, 1), (30.0, 1)):
        tank.expected = lambda low=coolest: some(value=some(low=low))
        assert len(tank._heat()) == told_of


def test_how_far_a_tap_is_off_its_valve() -> None:
    """52 degC, 50 to 55, where the valve is at 49: by differences, and burns with their ends."""
    tap = by_hand(hot_water.TapTemperature, warmth(52.0, 50.0, 55.0),
                  mixing_valve=some(outlet=49.0))  # fmt: skip
    off = tap.implied()[0].value
    assert ends(off) == pytest.approx((1.0, 3.0, 6.0))
    assert off.kind is kinds.TEMPERATURE_DIFFERENCE
    for each in tap.implied()[1:]:
        assert each.value.low < each.value < each.value.high
        assert each.value.kind is kinds.DURATION


def test_the_array_at_its_electronics() -> None:
    """Where it stands at a tenth of the sun and its cells: least, middle and most of a noon."""
    circuit = some(at=lambda light, cells: some(array_voltage=light / 10 + cells))
    now: Any = some(irradiance=np.array([300.0, 100.0, 200.0, 500.0, 400.0]),
                    cells=np.array([9.0, 5.0, 7.0, 11.0, 10.0]))  # fmt: skip
    line = bare(element.ElementOnArray, array=some(circuit=circuit))._at_electronics(now)
    assert ends(line.expected) == (15.0, 39.0, 61.0)
    assert line.expected.kind is kinds.VOLTAGE


def test_the_most_of_a_clear_sky() -> None:
    """800 W/m2 in the warmest air, 20 degC, cells by Faiman; never less than the band's end."""
    shown: Any = some(read=lambda circuit, lights, cells: lights / 100 - cells / 100)
    reading = bare(element.ElementOnArray, array=some(circuit=None), meter=shown)
    most = 8.0 - (20.0 + 800.0 / (25.0 + 6.84)) / 100
    for high, told in ((3.0, most), (9.0, 9.0)):
        now: Any = some(clear=800.0, down=False, air=np.array([5.0, 20.0, 8.0]))
        found = reading._most(now, Quantity(2.0, kinds.CURRENT, 1.0, high))
        assert found == pytest.approx(told)
        assert found.kind is kinds.CURRENT
    for clear, down in ((None, False), (800.0, True)):
        assert reading._most(some(clear=clear, down=down), Quantity(2.0, kinds.CURRENT)) is None


def test_whose_work_it_is_to_look_for_what_a_reading_tells() -> None:
    for trade, measured in {
        "electrician": (kinds.CURRENT, kinds.VOLTAGE, kinds.RESISTANCE, kinds.POWER),
        "driller": (kinds.LENGTH,), "plumber": (kinds.PRESSURE, kinds.FLOW, kinds.TEMPERATURE),
    }.items():  # fmt: skip
        for kind in measured:
            assert study._trade(some(measured=Quantity(1.0, kind))) == trade


def test_the_least_sun_at_which_a_meter_shows_so_much() -> None:
    """Up to 5 at 500 W/m2, down to 3 at 700, and up again; or at one place from 1 to 5."""

    def look(at: Any) -> Any:
        asked: Any = some(read=lambda circuit, lights, cells: at(lights) + cells)
        return meter._by_looking(None, asked, lambda lights: 0.0 * lights)  # type: ignore[arg-type]

    bent = look(lambda lights: np.interp(lights, [0, 500, 700, 1600], [1.0, 5.0, 3.0, 12.0]))
    for shown, light in ((3.0, 250.0), (1.0 + 4 / 3, 500 / 3), (6.0 + 1 / 7, 1000.0 + 100 / 7)):
        assert bent(shown) == pytest.approx(light, abs=1e-6)
    assert (bent(0.5), bent(1.0), bent(12.0), bent(12.1)) == (0.0, 0.0, 1600.0, math.inf)
    steep = look(lambda lights: np.where(lights < 1000 / 3, 1.0, 5.0))
    assert steep(3.0) == pytest.approx(1000 / 3, abs=2e-3)  # three times finer, from 10 W/m2


def test_a_sky_that_the_year_hardly_has_is_a_share_of_the_clear_one() -> None:
    """Of 800 W/m2 at the most: up to 0.45 for overcast, of which none is below 0.05; for clear up
    to 1.1, of which none is above 1.05. With enough hours the year's own are told."""
    hours = some(hour_of_day=np.full(8, 12.0), month=np.full(8, 6))
    sun = np.array([700.0, 710.0, 720.0, 730.0, 300.0, 310.0, 320.0, 330.0])
    plane = some(hours=hours, plane_of_array_irradiance=sun, air_temperature=np.full(8, 10.0),
                 cell_temperature=np.full(8, 30.0))  # fmt: skip
    clear = some(hours=hours, plane_of_array_irradiance=np.linspace(500.0, 800.0, 8))
    shares = np.array([0.9, 0.9, 0.9, 0.9, 0.4, 0.4, 0.4, 0.4])
    at: Any = some(plane=plane, clear_plane=clear, clearness=shares)
    for sky, least, most in (("overcast", 0.05, 0.45), ("clear", 0.85, 1.05),
                             ("thin cloud", 0.45, 0.85)):  # fmt: skip
        now = suns.sun_now(at, some(values={}, sky=sky, hour=12.0, month=6))
        assert now is not None
        assert now.irradiance == pytest.approx(800.0 * np.linspace(least, most, 9))
        # Faiman's two numbers in a wind of 1 m/s.
        assert now.cells == pytest.approx(10.0 + now.irradiance / (25.0 + 6.84))
    shares[4] = 0.86
    now = suns.sun_now(at, some(values={}, sky="clear", hour=12.0, month=6))
    assert now is not None
    assert sorted(now.irradiance) == [300.0, 700.0, 710.0, 720.0, 730.0]
    sun[:] = 0.0
    now = suns.sun_now(at, some(values={}, sky=None, hour=12.0, month=6))
    assert now is not None
    assert (now.down, [*now.irradiance], [*now.air]) == (True, [0.0], [10.0])


def test_the_element_that_is_heated_by_modules_or_else_by_the_inverter(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    at: Any = some(on=some(element="on modules"))
    for found, named in ((("on inverter", "its path"), "on inverter"), (None, None)):
        monkeypatch.setattr(visit, "element_on_inverter", lambda site, found=found: found)
        assert visit._element(some(), at) == "on modules"
        assert visit._element(some(), None) == named
