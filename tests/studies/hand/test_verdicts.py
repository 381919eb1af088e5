"""A hand pump in the low season, at altitude and at depth; what its maker's table can't be."""

from __future__ import annotations

import re
from types import SimpleNamespace
from typing import Any

import pytest

from tests.properties.whole.sides import base_tables, with_given
from tests.studies.hand.village import L_MIN, VILLAGE, changed, studied, verdict
from wellsolar import Case, kinds, site_from
from wellsolar.studies.hand import verdicts as asked
from wellsolar.studies.hand.effort import minutes_for
from wellsolar.units import Quantity
from wellsolar.verdicts import Verdict, changes_of

HILL = """
[site]
altitude = "1500 m"
people = 4
print_units = "SI"
[well]
depth = "30 m"
static_level = "4 m .. 4.6 m"
specific_capacity = "60 L/min/m"
[hand_pump]
kind = "suction"
bore = "75 mm"
stroke = "120 mm"
lever_ratio = "6"
spout_height = "1 m"
"""


def of_lengths(found: Verdict) -> bool:
    """Whether all that a verdict tells and compares are depths, as depths are told."""
    more = {} if found.remedy is None else found.remedy.parts
    told = [found.quantity, found.limit, *found.reason.parts.values(), *more.values()]
    return all(each.kind is kinds.LENGTH for each in told if isinstance(each, Quantity))


class TestLowSeason:
    def test_a_cylinder_that_the_low_season_leaves_dry(self) -> None:
        text = changed(VILLAGE, ('cylinder_depth = "55 m"', 'cylinder_depth = "46.5 m"'))
        results = studied(text)
        found = verdict(results, "cylinder under water")
        assert found.status == "fail"
        assert "low season" in found.reason.text("SI")
        assert of_lengths(found)
        hand = results.hand_pump
        assert hand.draws_water
        # 46 m and 13.9 L/min over 15 L/min/m.
        assert hand.low_level == pytest.approx(46 + 13.9 / 15, abs=0.01)
        below = re.search(r"below ([\d.]+ m)", found.remedy.text("SI"))  # type: ignore[union-attr]
        mended = changed(text, ('"46.5 m"', f'"{below.group(1)}"'))
        assert verdict(studied(mended), "cylinder under water").status == "pass"

    def test_above_the_water_at_rest_no_job_gets_water(self) -> None:
        # Above the water at rest in every season.
        results = studied(changed(VILLAGE, ('cylinder_depth = "55 m"', 'cylinder_depth = "37 m"')))
        hand = results.hand_pump
        assert not hand.draws_water
        assert hand.tasks == ()
        assert minutes_for(hand, 0.02, "spout") is None
        assert [each.rule.key for each in results.verdicts] == ["cylinder under water"]
        assert of_lengths(results.verdicts[0])
        assert "draws no water" in results.answers[-1].text.text("SI")

    def test_a_weak_well_gives_no_more_than_it_has(self) -> None:
        text = changed(
            VILLAGE, ('"15 L/min/m"', '"0.5 L/min/m"'), ("40 m (38 m .. 46 m)", "40 m"),
            ('depth = "70 m"', 'depth = "57 m"'),
        )  # fmt: skip
        results = studied(text)
        found = verdict(results, "cylinder under water")
        assert found.status == "fail"
        hand = results.hand_pump
        # 15 m of drawdown at 0.5 L/min for each.
        assert hand.duties[0].full_flow == pytest.approx(7.5 * L_MIN, rel=1e-6)
        words = found.remedy.text("SI")  # type: ignore[union-attr]
        match = re.search(r"at ([\d.]+ m) and pump no faster than ([\d.]+ strokes/min)", words)
        assert match is not None, words
        mended = changed(
            text, ('"55 m"', f'"{match.group(1)}"'), ('"40 strokes/min"', f'"{match.group(2)}"')
        )
        assert verdict(studied(mended), "cylinder under water").status == "pass"

    def test_suction_by_altitude_and_season(self) -> None:
        # At 1500 m the air holds up 8.6 m of water, in practice 0.60 of it, 5.2 m; the water
        # stands 4.6 m down in the low season, and 19 L/min draw it down by 0.3 m.
        results = studied(HILL)
        assert verdict(results, "hand suction lift").status == "pass"
        hand = results.hand_pump
        assert hand.suction_limit == pytest.approx(5.13, abs=0.07)
        assert hand.suction_lift == pytest.approx(4.6 + 19.1 / 60, abs=0.01)
        low = changed(HILL, ("4 m .. 4.6 m", "4 m .. 5.4 m"))
        found = verdict(studied(low), "hand suction lift")
        assert found.status == "fail"
        assert found.quantity.kind is found.limit.kind is kinds.LENGTH
        # 84.56 kPa by the standard atmosphere, less 1.2 kPa of vapour, over 999.7 x 9.807 N/m3.
        for name, told in (("lift", 5.4 + 19.1 / 60), ("theory", 8.50), ("practical", 5.10)):
            part: Any = found.reason.parts[name]
            assert (float(part), part.kind) == (pytest.approx(told, abs=0.05), kinds.LENGTH)

    def test_deeper_than_such_pumps_go(self) -> None:
        text = changed(VILLAGE, ("40 m (38 m .. 46 m)", "52 m"), ('"55 m"', '"60 m"'))
        found = verdict(studied(text), "depth of the hand pump")
        assert found.status == "caution"
        assert of_lengths(found)
        rated = re.search(r"for ([\d.]+ m)", found.remedy.text("SI"))  # type: ignore[union-attr]
        mended = text + f'rated_depth = "{rated.group(1)}"\n'
        assert verdict(studied(mended), "depth of the hand pump").status == "pass"


class TestMakersTable:
    # Published for the public-domain pump at 75 W: 1.8 and 1.3 m3/h at 10 and 15 m, 65.4 and
    # 70.8 % overall; for its extra-deep version 0.55 and 0.45 m3/h at 50 and 60 m, 99.9 and
    # 98.1 %.
    GOOD = (
        'discharge_head = "10, 15 m"\ndischarge_flow = "1.8, 1.3 m3/h"\ndischarge_power = "75 W"\n'
    )
    BAD = (
        'discharge_head = "10, 50, 60 m"\ndischarge_flow = "1.8, 0.55, 0.45 m3/h"\n'
        'discharge_power = "75, 75, 75 W"\n'
    )

    def test_a_table_that_can_be_right_stands_beside_the_computed_flow(self) -> None:
        shallow = changed(VILLAGE, ("40 m (38 m .. 46 m)", "12 m"))
        results = studied(shallow + self.GOOD)
        assert verdict(results, "maker's discharge table").status == "pass"
        hand = results.hand_pump
        first, second = hand.discharge
        assert first.efficiency == pytest.approx(0.654, abs=0.001)
        assert second.efficiency == pytest.approx(0.708, abs=0.001)
        # 75 W x 0.72 over 15 m of water are 22.0 L/min, but 40 strokes give 14.2 L/min.
        assert second.computed == pytest.approx(14.2 * L_MIN, rel=0.01)
        spout = hand.duties[0]
        head = 12.5 + spout.full_flow / (15 * L_MIN)
        between = 1.8 + (1.3 - 1.8) * (head - 10) / 5
        assert spout.table_flow == pytest.approx(between / 3600, rel=1e-4)

    def test_rows_of_a_hundred_percent_are_called_implausible(self) -> None:
        text = VILLAGE + self.BAD
        results = studied(text)
        found = verdict(results, "maker's discharge table")
        assert found.status == "fail"
        assert "implausible" in found.reason.text("SI")
        assert "50.0 m" in found.reason.text("SI")
        assert float(found.quantity or 0) == pytest.approx(0.999, abs=0.001)
        # Short of a pump without any loss it may be a good one: 0.53 m3/h from 50 m are 96 %.
        near = text.replace("0.55, 0.45", "0.53, 0.43")
        assert verdict(studied(near), "maker's discharge table").status == "caution"
        assert all(duty.table_flow is None for duty in results.hand_pump.duties)
        most = re.findall(r"more than ([\d.]+) L/min at", found.remedy.text("SI"))  # type: ignore[union-attr]
        assert len(most) == 2
        flows = f"30, {most[0]}, {most[1]} L/min"
        mended = changed(text, ('"1.8, 0.55, 0.45 m3/h"', f'"{flows}"'))
        assert verdict(studied(mended), "maker's discharge table").status == "pass"

    def test_without_power_it_cannot_be_checked(self) -> None:
        text = VILLAGE + self.GOOD.replace('discharge_power = "75 W"\n', "")
        found = verdict(studied(text), "maker's discharge table")
        assert found.status == "unknown"
        assert found.needs == ("hand_pump.discharge_power",)


@pytest.mark.parametrize(
    ("given", "keys"),
    [
        # Of each of one or two whose power holds the pace back: what a bucket in 3 min asks.
        ({"person_power": "8 W", "people_pumping": "2"}, ["person_power"]),
        ({"person_power": "3 W"}, ["person_power"]),
        # Two of 15 W have what one of 30 W would need.
        ({"person_power": "20 W"}, ["people_pumping"]),
        # At 18 strokes a minute of 125 mm no strength does: 125 mm x 18.8 / 18.
        ({"stroke_rate": "18 strokes/min"}, ["stroke", "person_power"]),
        ({"stroke_rate": "18 strokes/min", "people_pumping": "2"}, ["stroke", "person_power"]),
        # Nearly fast enough already.
        ({"stroke_rate": "18.7 strokes/min"}, ["stroke", "person_power"]),
    ],
)
def test_a_bucket_in_time_by_what_the_remedy_tells(given: dict[str, str], keys: list[str]) -> None:
    """The least of what it tells, rounded as printed, does; less of it does not."""
    base = with_given(base_tables("by_hand"), {f"hand_pump.{k}": v for k, v in given.items()})

    def said(more: dict[str, object]) -> Verdict:
        file = site_from(with_given(base, {f"hand_pump.{k}": v for k, v in more.items()}))
        told = {each.rule.key: each for each in Case(file).said("hand_pump").verdicts}
        return told["bucket time"]

    found = said({})
    assert found.status == "caution"
    assert found.remedy is not None
    if keys == ["people_pumping"]:
        assert [str(each) for each in found.remedy.changes] == ["hand_pump.people_pumping=2"]
        assert said({"people_pumping": 2}).status == "pass"
        return
    words = found.remedy.text("SI")
    watts = re.search(r"([\d.]+) W of each", words)
    assert watts is not None, words
    long = re.search(r"stroke of ([\d.]+ mm)", words)
    strokes = {} if long is None else {"stroke": long[1]}
    assert [*strokes, "person_power"] == keys
    assert said({**strokes, "person_power": f"{watts[1]} W"}).status == "pass"
    less = 0.93 if long is None else 0.85  # a longer stroke leaves 2 % to spare
    assert said({**strokes, "person_power": f"{less * float(watts[1])} W"}).status == "caution"
    if long is not None:
        pace = float(given["stroke_rate"].split()[0])
        assert float(long[1].split()[0]) == pytest.approx(125 * 18.8 / pace, rel=0.03)
        assert said({"stroke": f"{0.97 * float(long[1].split()[0])} mm"}).status == "caution"


HOUR = 3600.0


@pytest.mark.parametrize(
    ("hours", "people", "status", "limit", "who", "turns"),
    [
        # An hour is easy, and eight are a day's work.
        (1.0, 1, "pass", 1.0, "one person", None),
        (1.01, 1, "caution", 8.0, "one person", "2 people"),
        (8.0, 2, "caution", 8.0, "two people", "8 crews of 2"),
        (8.1, 2, "fail", 8.0, "two people", "9 crews of 2"),
        (2.5, 3, "caution", 8.0, "3 people", "3 crews of 3"),
    ],
)
def test_a_day_of_survival_water(
    hours: float, people: int, status: str, limit: float, who: str, turns: str | None
) -> None:
    task: Any = SimpleNamespace(
        time=hours * HOUR, people=people, power=75.0, strokes=120.0, volume=0.08
    )
    found = asked.survival_verdict(asked.SURVIVAL, "hand pump", task)
    assert (found.status, found.quantity, found.limit) == (status, hours * HOUR, limit * HOUR)
    late = "; more than a day's work" if status == "fail" else ""
    template = "{volume} take {who} {time} at {power}, {strokes} strokes" + late
    assert found.reason.template == template
    parts = {"volume": 0.08, "who": who, "time": hours * HOUR, "power": 75.0, "strokes": 120.0}
    assert found.reason.parts == parts
    made: Any = [found.reason.parts[each] for each in ("volume", "time", "power", "strokes")]
    assert [each.kind for each in made] == [
        kinds.VOLUME, kinds.DURATION, kinds.POWER, kinds.SUMMED_COUNT]  # fmt: skip
    if turns:
        assert found.remedy is not None
        assert found.remedy.text("US").startswith(f"{turns} in turns")
    task.power = task.strokes = None
    bare = asked.survival_verdict(asked.SURVIVAL, "hand pump", task)
    assert bare.reason.template == "{volume} take {who} {time}" + late


@pytest.mark.parametrize(
    ("seconds", "people", "pair", "full", "remedy"),
    [
        # 20 L in 180 s are 6.667 L/min.
        (180.0, 1, 100.0, 10.0, None),
        (181.0, 1, 180.0, 10.0, {}),
        # Of two the flow asks 66.7 W by a table of 10 W for each L/min, of one as much.
        (181.0, 1, 181.0, 10.0, {"power": 66.667}),
        (181.0, 2, 100.0, 10.0, {"power": 33.333}),
        # A stroke 2 % longer than the flow asks of one that gives 5 L/min: 1.36 of 100 mm, and
        # 40 W with its square.
        (200.0, 1, 200.0, 5.0, {"stroke": 0.136, "power": 40.0 * 1.36**2}),
        (200.0, 2, 100.0, 5.0, {"stroke": 0.136, "power": 20.0 * 1.36**2}),
    ],
)
def test_a_bucket_beside_three_minutes(
    seconds: float, people: int, pair: float, full: float, remedy: dict[str, float] | None
) -> None:
    times = {people: seconds} | ({2: pair} if people == 1 else {})
    result: Any = SimpleNamespace(
        people_pumping=people,
        duties=[SimpleNamespace(stroke_volume=0.5e-3, full_flow=full * L_MIN, power=40.0)],
        places=[SimpleNamespace(
            flows=[0.0, 10 * L_MIN], powers=[0.0, 100.0])],
        task=lambda _, many: SimpleNamespace(
            time=times[many], flow=0.020 / times[many]) if many in times else None,
    )  # fmt: skip
    table: Any = SimpleNamespace(stroke=0.1)
    found = asked._bucket(table, result)
    status = "pass" if remedy is None else "caution"
    assert (found.status, found.quantity, found.limit) == (status, seconds, 180.0)
    flow = 0.020 / seconds
    told_so = {"flow": flow, "rate": flow / 0.5e-3, "time": seconds}
    assert found.reason.parts == {key: pytest.approx(each) for key, each in told_so.items()}
    shown: Any = [found.reason.parts[each] for each in told_so]
    assert [each.kind for each in shown] == [kinds.FLOW, kinds.STROKE_RATE, kinds.DURATION]
    if remedy is not None:
        assert found.remedy is not None
        assert found.remedy.parts == {
            key: pytest.approx(value, rel=1e-4) for key, value in remedy.items()
        }
        made = [str(each) for each in changes_of(found.remedy)]
        assert made == (["hand_pump.people_pumping=2"] if not remedy else [])


@pytest.mark.parametrize(
    ("shares", "status", "wrong"),
    # Nine tenths may be, all of it may not; the row of no power tells nothing.
    [((0.5, 0.90), "pass", []), ((0.5, 0.91), "caution", [0.91]), ((0.91, 0.99), "caution",
     [0.91, 0.99]), ((0.5, 0.996), "fail", [0.996]), ((0.995, None), "fail", [0.995])],
)  # fmt: skip
def test_a_table_of_flows_beside_what_can_be(
    shares: tuple[float | None, ...], status: str, wrong: list[float]
) -> None:
    rows: Any = tuple(
        SimpleNamespace(efficiency=share, flow=1e-3 * number, head=10.0 * number,
                        water_power=70.0 * number, power=80.0 * number)
        for number, share in enumerate(shares, 1)
    )  # fmt: skip
    (found,) = asked.discharge_verdicts(asked.SURVIVAL, "pump", "key", rows)
    best = max(share for share in shares if share is not None)
    row = shares.index(best) + 1
    assert found.status == status
    assert (found.quantity, found.limit) == (pytest.approx(best), pytest.approx(0.90))
    parts = {"flow": 1e-3, "head": 10.0, "water": 70.0, "power": 80.0}
    assert found.reason.parts == {
        "state": "implausible: " if wrong else "at most ", "share": pytest.approx(best)
    } | {key: pytest.approx(value * row) for key, value in parts.items()}  # fmt: skip
    if wrong:
        assert found.remedy is not None
        expected = {}
        for number, share in enumerate(wrong):
            place = shares.index(share) + 1
            expected[f"flow{number}"] = pytest.approx(1e-3 * place * 0.9 / share)
            expected[f"head{number}"] = pytest.approx(10.0 * place)
        assert found.remedy.parts == expected
        made = [getattr(each, "kind", None) for each in found.remedy.parts.values()]
        assert made == [kinds.FLOW, kinds.HEAD] * len(wrong)
    kept = [getattr(each, "kind", None) for each in found.reason.parts.values()]
    assert kept == [None, kinds.FLOW, kinds.HEAD, kinds.POWER, kinds.POWER, kinds.FRACTION]
    bare: Any = tuple(SimpleNamespace(efficiency=None) for _ in rows)
    assert asked.discharge_verdicts(asked.SURVIVAL, "pump", "key", bare)[0].needs == ("key",)
    assert asked.discharge_verdicts(asked.SURVIVAL, "pump", "key", ()) == []


@pytest.mark.parametrize(
    ("stretch", "status", "rod", "needed"),
    [
        # A tenth of 200 mm; a rod of 10 mm has to be thicker by the root of what is too much.
        (0.020, "pass", None, None),
        (0.025, "caution", 12.0, 10.0 * 1.25**0.5),
        (0.050, "caution", 16.0, 10.0 * 2.5**0.5),
        (0.081, "caution", None, None),
        (0.200, "fail", None, None),
        (0.199, "caution", None, None),
    ],
)
def test_rods_that_stretch(
    stretch: float, status: str, rod: float | None, needed: float | None
) -> None:
    site: Any = SimpleNamespace(site=SimpleNamespace(print_units="SI"))
    table: Any = SimpleNamespace(stroke=0.2, rod_diameter=0.010)
    result: Any = SimpleNamespace(
        duties=[SimpleNamespace(stretch=stretch / 2, label="low"),
                SimpleNamespace(stretch=stretch, label="cut-out")]
    )  # fmt: skip
    found = asked._stretch(site, table, result)
    assert (found.status, found.quantity) == (status, pytest.approx(stretch / 0.2))
    assert found.limit == pytest.approx(0.10)
    assert found.reason.parts == {
        "label": "cut-out", "stretch": stretch, "lost": pytest.approx(stretch / 0.2)
    }  # fmt: skip
    if rod and needed:
        assert found.remedy is not None
        parts = {"rod": rod / 1e3, "needed": needed / 1e3}
        assert found.remedy.parts == {key: pytest.approx(each) for key, each in parts.items()}
        assert [str(each) for each in changes_of(found.remedy)] == [
            f'hand_pump.rod_diameter="{rod:g} mm"'
        ]
    elif status != "pass" and stretch > 0.06:
        assert changes_of(found.remedy) == ()


@pytest.mark.parametrize(
    ("level", "status", "rated"),
    [
        # Down to a limit of 45 m, ours.
        (44.0, "pass", None), (45.0, "pass", None), (45.01, "caution", 46),
        (45.3, "caution", 46), (50.0, "caution", 50),
    ],
)  # fmt: skip
@pytest.mark.parametrize("told", [None, 45.0])
def test_how_deep_a_hand_pump_draws(
    level: float, status: str, rated: int | None, told: float | None
) -> None:
    table: Any = SimpleNamespace(rated_depth=told)
    result: Any = SimpleNamespace(low_level=level, depth_limit=45.0)
    found = asked._depth(table, result)
    assert (found.status, found.quantity, found.limit) == (status, level, 45.0)
    whose = "ordinary hand pumps" if told is None else "pumps rated like this one"
    assert found.reason.parts == {"level": level, "whose": whose, "limit": 45.0}
    assert [str(each) for each in changes_of(found.remedy)] == (
        [] if rated is None else [f'hand_pump.rated_depth="{rated} m"']
    )


def metres(value: float) -> Quantity:
    return Quantity(value, kinds.LENGTH)


@pytest.mark.parametrize(
    ("lift", "known", "status", "depth"),
    [
        # 60 % of 10 m; a deep-well pump hangs 20 ft, 6.096 m, lower in steps of a quarter metre,
        # no deeper than 98 % of the well's 40 m.
        (6.0, True, "pass", None), (6.1, True, "fail", 12.0), (6.0, False, "unknown", None),
        (6.1, False, "fail", 12.0), (39.0, True, "fail", 39.0), (0.0, True, "pass", None),
    ],
)  # fmt: skip
def test_suction_lifts_six_tenths_of_what_the_air_bears(
    lift: float, known: bool, status: str, depth: float | None
) -> None:
    site: Any = SimpleNamespace(well=SimpleNamespace(depth=40.0),
                                site=SimpleNamespace(altitude=metres(0.0)))  # fmt: skip
    result: Any = SimpleNamespace(suction_lift=lift or None, level_known=known)
    found = asked._suction(site, result, 10.0)
    assert found.status == status
    if status == "unknown":
        return
    assert (found.quantity, found.limit) == (lift, pytest.approx(6.0))
    if depth is not None:
        assert found.remedy is not None
        assert found.remedy.parts == {"depth": depth, "level": lift}
        kind, there = (str(each) for each in changes_of(found.remedy))
        assert (kind, "cylinder_depth" in there) == ('hand_pump.kind="deep well"', True)


@pytest.mark.parametrize(
    ("depth", "rest", "low_rest", "level", "known", "status", "season"),
    [
        (30.0, 20.0, 20.0, 29.9, True, "pass", False),
        (30.0, 20.0, 20.0, 30.0, True, "fail", False),
        (30.0, 20.0, 22.0, 25.0, True, "pass", True), (30.0, 20.0, 30.0, 30.0, True, "fail", True),
        (30.0, 20.0, 29.9, 25.0, False, "unknown", True),
        (None, 20.0, 20.0, 25.0, True, "unknown", False),
    ],
)  # fmt: skip
def test_a_cylinder_hangs_below_the_water(
    depth: float | None, rest: float, low_rest: float, level: float, known: bool, status: str,
    season: bool,
) -> None:  # fmt: skip
    site: Any = SimpleNamespace(well=SimpleNamespace(depth=80.0))
    table: Any = SimpleNamespace(cylinder_depth=None if depth is None else metres(depth))
    result: Any = SimpleNamespace(
        low_static_level=low_rest, static_level=rest, low_level=level, level_known=known
    )
    found = asked._cylinder(site, table, result)
    assert found.status == status
    if status == "unknown":
        return
    dry = depth is not None and depth <= low_rest
    assert (found.quantity, found.limit) == (depth, low_rest if dry else level)
    assert ("season" in found.reason.parts and bool(found.reason.parts["season"])) == season
    assert ("above the water at rest" in found.reason.template) == dry
    if status == "fail":
        assert found.remedy is not None
        # 20 ft below the level of 30 m are 36.096 m.
        assert found.remedy.parts == {"depth": 36.0, "level": level}


@pytest.mark.parametrize(
    ("level", "known", "rest", "parts"),
    [
        # A well of 40 m: 39.2 m at the lowest, 39.0 in quarters; with 38.9 m there is room yet.
        (38.9, True, 20.0, {"depth": 39.0, "level": 38.9}),
        (50.0, False, 20.0, {"depth": 39.0, "level": 50.0}),
        # 0.9 of 19 m over 30 of the 40 strokes a minute are 22.8.
        (50.0, True, 20.0, {"depth": 39.0, "rate": 22 / 60}),
        # No more than 38.99 m of drawdown are left for a rest of 39.19, and none for 39.2.
        (50.0, True, 38.9, {}), (50.0, True, 39.2, {"level": 50.0}),
    ],
)  # fmt: skip
def test_how_a_cylinder_comes_under_the_water(
    level: float, known: bool, rest: float, parts: dict[str, float]
) -> None:
    site: Any = SimpleNamespace(well=SimpleNamespace(depth=40.0))
    table: Any = SimpleNamespace(stroke_rate=40 / 60)
    result: Any = SimpleNamespace(low_level=level, level_known=known, low_static_level=rest)
    found = asked._deeper(site, table, result)
    assert found.parts == {key: pytest.approx(value) for key, value in parts.items()}
    changed = [str(each).split("=")[0] for each in changes_of(found)]
    keys = {"depth": "hand_pump.cylinder_depth", "rate": "hand_pump.stroke_rate"}
    assert changed == [name for key, name in keys.items() if key in parts]


def test_a_value_is_rounded_down_to_steps_but_for_rounding() -> None:
    for value, step, rounded in ((36.096, 0.25, 36.0), (36.25, 0.25, 36.25), (36.49, 0.25, 36.25),
                                 (0.3, 0.1, 0.3), (22.8 / 60, 1 / 60, 22 / 60)):  # fmt: skip
        assert asked._rounded_down(value, step) == pytest.approx(rounded)
