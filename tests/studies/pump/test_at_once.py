"""Two pumps at once on one well, one pipe and one inverter."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest

from tests.studies.printed import compared, told
from tests.studies.pump.deep_pump import BASE, FOOT, GPM, PUMP, SWITCH, studied
from wellsolar import kinds
from wellsolar.results import Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.studies.pump import at_once
from wellsolar.studies.pump.at_once import AtOnce, flow_at_once
from wellsolar.studies.pump.study import intake_depth, pump_on_well
from wellsolar.units import Quantity
from wellsolar.verdicts import Verdict, changes_of

MOTOR = 'rated_power = "1 hp"\n'
TWO = BASE + SWITCH.format(volume=119, precharge=28) + PUMP + MOTOR
TWO += PUMP.replace('"pump"', '"yard"') + MOTOR
POWER = '[power]\ninverter_rating = "4 kVA"\ninverter_surge = "30 kVA"\n'
RULES = {
    "pumps at once on the well", "pumps at once in the pipe", "pumps at once on the inverter",
    "pumps that start at once",
}  # fmt: skip


def verdicts_of(text: str) -> dict[str, Verdict]:
    return {each.rule.key: each for each in studied(text).verdicts if "at once" in each.rule.key}


def together(text: str) -> tuple[float, Results]:
    file = parse_site(text)
    results = study_site(file)
    pumps = []
    for number, (table, result) in enumerate(zip(file.site.pump, results.pumps, strict=True), 1):
        on_well = pump_on_well(file.site, table, f"pump[{number}]")
        pumps.append(AtOnce(table, on_well.path, result, on_well.curve, on_well.line))
    return flow_at_once(file.site, pumps), results


def test_together_they_give_less_than_their_sum_and_more_than_one() -> None:
    flow, results = together(TWO)
    alone = [pump.duties[0].flow for pump in results.pumps]
    assert max(alone) < flow < sum(alone)
    # Without a drawdown and through a wide pipe nothing is shared.
    wide = TWO.replace("0.8 gpm/ft", "9000 gpm/ft").replace(
        '[piping.lateral]\nmaterial = "polyethylene SIDR"\nsize = "1 in"',
        '[piping.lateral]\nmaterial = "PVC sch 40"\nsize = "2 in"',
    )
    assert "2 in" in wide
    flow, results = together(wide)
    assert flow == pytest.approx(sum(pump.duties[0].flow for pump in results.pumps), rel=1e-2)


@pytest.mark.parametrize(
    ("key", "status"),
    [("", "unknown"), ("pump_changeover = false\n", "fail"), ("pump_changeover = true\n", "pass")],
)
def test_a_well_that_bears_one_of_them(key: str, status: str) -> None:
    # Each takes some 9 gpm of the 12 gpm that the well was tested for, both more.
    found = verdicts_of(TWO + POWER + key)
    assert found["pumps at once on the well"].status == status
    if status == "fail":
        assert found.keys() == RULES
        for verdict in found.values():
            changes = [str(each) for each in changes_of(verdict.remedy)]
            assert changes in ([], ["power.pump_changeover=true"])
    if status == "pass":
        assert list(found) == ["pumps at once on the well"]
    if status == "unknown":
        assert found["pumps at once on the well"].needs == ("power.pump_changeover",)


@pytest.mark.parametrize(("tested", "status"), [(1.02, "pass"), (0.98, "fail")])
def test_a_well_tested_for_both_bears_them(tested: float, status: str) -> None:
    flow, _ = together(TWO)
    text = TWO.replace('12 gpm"\ncasing', f'{tested * flow / GPM} gpm"\ncasing')
    assert text != TWO
    found = verdicts_of(text + "[power]\npump_changeover = false\n")
    assert found["pumps at once on the well"].status == status


@pytest.mark.parametrize(
    ("rating", "surge", "runs", "starts"),
    # A 1 hp motor at 230 V takes 48 A locked: 11.04 kVA each, and a fifth to spare.
    [(9.0, 27.7, "pass", "pass"), (9.0, 27.5, "pass", "caution"), (1.5, 22.0, "fail", "fail")],
)
def test_an_inverter_that_carries_each_alone(
    rating: float, surge: float, runs: str, starts: str
) -> None:
    power = f'[power]\ninverter_rating = "{rating} kVA"\ninverter_surge = "{surge} kVA"\n'
    results = studied(TWO + power + "pump_changeover = false\n")
    status = {each.rule.key: each.status for each in results.verdicts}
    assert status["pumps at once on the inverter"] == runs
    assert status["pumps that start at once"] == starts


def test_a_pump_that_lifts_nothing_starts_all_the_same() -> None:
    lifts, _, other = TWO.rpartition("head = ")
    weak = lifts + 'head = "40, 35, 30, 20, 10 ft"' + other[other.index("\n") :]
    found = verdicts_of(weak + POWER + "pump_changeover = false\n")
    # The well and the pipe have the water of one alone.
    assert found.keys() == {"pumps at once on the inverter", "pumps that start at once"}


def test_one_pump_alone_has_nothing_to_share() -> None:
    one = BASE + SWITCH.format(volume=119, precharge=28) + PUMP + MOTOR
    assert verdicts_of(one + POWER) == {}


@pytest.mark.parametrize(("start", "takes"), [(None, 500.0), (5.0, 5 * 230.0)])
def test_what_a_pump_takes_while_it_runs(start: float | None, takes: float) -> None:
    """At most 400 W by a power factor of 0.8; where its current is known, that by its voltage."""
    told = start and SimpleNamespace(running_current=start)
    duties = [SimpleNamespace(input_power=watts) for watts in (400.0, 300.0)]
    table = SimpleNamespace(power_factor=0.8, voltage=230.0, phases=1)
    working = SimpleNamespace(table=table, result=SimpleNamespace(start=told, duties=duties))
    assert at_once._running(working) == pytest.approx(takes)  # type: ignore[arg-type]


@pytest.mark.parametrize(("level", "depth"), [(60, 190), (195, 195)])
def test_an_intake_that_no_file_names_hangs_10_feet_above_the_bottom(
    level: int, depth: int
) -> None:
    """Common practice, no source; no higher than the water stands."""
    text = (BASE + PUMP).replace('intake_depth = "150 ft"\n', "")
    site = parse_site(text.replace('static_level = "60 ft"', f'static_level = "{level} ft"')).site
    assert intake_depth(site, site.pump[0]) == pytest.approx(depth * 0.3048)


def working(name: str = "deep", **other: Any) -> Any:
    """A pump of 1 hp at 230 V, 1840 VA and 11040 VA for a start, which asks 6300 VA of a
    generator, 150 ft down in a well."""
    has = {
        "supply": "AC", "start": True, "needs": 6300.0, "intake": 150.0, "guarded": False,
        "submergence": 10.0,
    } | other  # fmt: skip
    start = SimpleNamespace(running_current=8.0, generator_needed=has["needs"])
    return SimpleNamespace(
        path=f"pump[{name}]",
        table=SimpleNamespace(
            name=name, supply=has["supply"], start="direct", voltage=230.0, phases=1,
            dry_run_protection=has["guarded"],
            minimum_submergence=Quantity(has["submergence"] * FOOT, kinds.LENGTH),
        ),
        result=SimpleNamespace(
            start=start if has["start"] else None,
            starting_apparent_power=11040.0 if has["start"] else None,
            duties=[SimpleNamespace(input_power=1000.0)],
            intake_depth=has["intake"] * FOOT,
        ),
        line=SimpleNamespace(lateral=SimpleNamespace(size=SimpleNamespace(bore=0.025))),
    )  # fmt: skip


def fed_by(**power: Any) -> Any:
    names = ("inverter_rating", "inverter_surge", "generator_rating")
    rated = {
        key: Quantity(power[key], kinds.APPARENT_POWER) if key in power else None for key in names
    }
    return SimpleNamespace(
        power=SimpleNamespace(
            pumps_run=power.get("pumps_run"), inverter_voltage=None, battery_energy=None, **rated
        ),
        array=[],
        pump=[SimpleNamespace(name=name) for name in ("deep", "yard", "shed")],
        limits=SimpleNamespace(velocity=Quantity(1.5, kinds.SPEED)),
        well=SimpleNamespace(
            tested_yield=power["tested"] and Quantity(power["tested"] * GPM, kinds.FLOW)
            if "tested" in power else None
        ),
    )  # fmt: skip


TWO_PUMPS = (working(), working("yard"))
VA = "{} VA, apparent power"


@pytest.mark.parametrize(
    ("rating", "surge", "runs", "starts"),
    # Twice 1840 VA, and twice 11040 VA of which a fifth more is to spare: 27600 VA.
    [(3680, 27600, "pass", "pass"), (3670, 27500, "fail", "caution"),
     (3690, 22080, "pass", "caution"), (3680, 22070, "pass", "fail")],
)  # fmt: skip
def test_two_pumps_on_an_inverter(rating: float, surge: float, runs: str, starts: str) -> None:
    site = fed_by(inverter_rating=rating, inverter_surge=surge)
    run, start = at_once._on_the_inverter(site, TWO_PUMPS, "both")
    assert compared(run) == (runs, VA.format(3680), VA.format(rating))
    assert compared(start) == (starts, VA.format(22080), VA.format(surge))
    assert told(run.reason) == {"running": VA.format(3680), "rating": VA.format(rating)}
    assert told(start.reason) == {"wanted": VA.format(22080), "surge": VA.format(surge)}
    assert (run.subject, start.subject) == ("both", "both")
    if runs == "fail":
        assert run.remedy is not None
        assert run.remedy.parts["sold"] == pytest.approx(4000.0)
        assert [str(each) for each in changes_of(run.remedy)] == ["power.pump_changeover=true"]
    if starts != "pass":
        assert start.remedy is not None
        assert start.remedy.parts["sold"] == pytest.approx(30_000.0)
        assert start.remedy.parts["exact"] == pytest.approx(27_600.0)


def test_what_of_two_pumps_on_an_inverter_is_asked() -> None:
    power = {"inverter_rating": 4000.0, "inverter_surge": 30_000.0}
    alone = [working(), working("yard", supply="DC")]
    assert at_once._on_the_inverter(fed_by(**power), alone, "both") == []
    bare = [working(), working("yard", start=False)]
    bare[1].table.power_factor = 0.8
    run, start = at_once._on_the_inverter(fed_by(**power), bare, "both")
    # 1000 W at a power factor of 0.8 beside 1840 VA.
    assert run.quantity == pytest.approx(3090.0)
    assert start.needs == ("pump[yard].locked_rotor_current",)
    (only,) = at_once._on_the_inverter(fed_by(inverter_rating=4000.0), TWO_PUMPS, "both")
    assert only.rule.key == "pumps at once on the inverter"
    (only,) = at_once._on_the_inverter(fed_by(inverter_surge=30_000.0), TWO_PUMPS, "both")
    assert only.rule.key == "pumps that start at once"
    other = fed_by(inverter_rating=1000.0, pumps_run="at once")
    (run,) = at_once._on_the_inverter(other, TWO_PUMPS, "both")
    assert [str(each) for each in changes_of(run.remedy)] == ['power.pumps_run="kept apart"']


@pytest.mark.parametrize(("rating", "status"), [(12_600, "pass"), (12_500, "fail")])
def test_two_pumps_on_a_generator(rating: float, status: str) -> None:
    (found,) = at_once._on_the_generator(fed_by(generator_rating=rating), TWO_PUMPS, "both")
    assert compared(found) == (status, VA.format(rating), VA.format(12600))
    assert told(found.reason) == {"needed": VA.format(12600), "rating": VA.format(rating)}
    if status == "fail":
        assert found.remedy is not None
        assert found.remedy.parts["sold"] == pytest.approx(15_000.0)
    site = fed_by(generator_rating=rating)
    for pumps in ([working(), working("yard", supply="DC")],
                  [working(), working("yard", needs=None)],
                  [working(), working("yard", start=False)]):  # fmt: skip
        assert at_once._on_the_generator(site, pumps, "both") == []
    assert at_once._on_the_generator(fed_by(), TWO_PUMPS, "both") == []


@pytest.mark.parametrize(("speed", "status"), [(1.5, "pass"), (1.55, "caution")])
def test_two_pumps_in_a_pipe_of_25_mm(speed: float, status: str) -> None:
    flow = speed * math.pi / 4 * 0.025**2
    found = at_once._in_the_pipe(fed_by(), TWO_PUMPS, flow, "both")
    assert (found.status, found.subject) == (status, "both")
    assert (found.quantity, found.limit) == (pytest.approx(speed), pytest.approx(1.5))
    assert found.reason.parts["together"] == pytest.approx(flow)


TAKE, SETTLES = "they take {together} at once", "; the water settles {cover} above the intake of "
SETTLES += "{name}"
DRY = "; with the water down at the intake of {name} the well gives {bears}"
STOPS = "; dry-run protection stops each"
GIVES, MORE = ", of the well's {tested}", ", more than the well's {tested}"


@pytest.mark.parametrize(
    ("tested", "settles", "guarded", "status", "words"),
    [
        # Of 20 gpm and the higher of two intakes at 120 ft, which asks for 10 ft.
        (20.0, 110.0, False, "pass", TAKE + GIVES + SETTLES),
        (19.0, 110.0, False, "fail", TAKE + MORE + SETTLES),
        (20.0, 111.0, False, "fail", TAKE + GIVES + SETTLES),
        (20.0, 111.0, True, "caution", TAKE + GIVES + SETTLES + STOPS),
        (None, 110.0, False, "pass", TAKE + SETTLES),
        (None, 120.0, False, "fail", TAKE + SETTLES),
        (None, 121.0, False, "fail", TAKE + DRY),
        (20.0, None, False, "pass", TAKE + GIVES),
        (19.0, None, True, "caution", TAKE + MORE + STOPS),
        (None, None, False, "unknown", None),
    ],
)
def test_two_pumps_on_the_water_of_a_well(
    monkeypatch: pytest.MonkeyPatch,
    tested: float | None,
    settles: float | None,
    guarded: bool,
    status: str,
    words: str | None,
) -> None:
    level: Any = SimpleNamespace(
        known=settles is not None,
        settled=lambda flow: (settles or 0.0) * FOOT * (flow / (20 * GPM)),
        greatest_flow=lambda: 18 * GPM,
    )
    monkeypatch.setattr(at_once, "_free_level", lambda *_: level)
    pumps = [working(guarded=guarded), working("yard", intake=120.0, guarded=guarded)]
    found = at_once._on_the_well(fed_by(tested=tested), pumps, 20 * GPM, "both")
    assert (found.status, found.subject) == (status, "both")
    if words is None:
        assert found.needs == ("well.tested_yield",)
        return
    assert found.reason.template == words
    parts = {"name": "yard", "together": "20 gpm, flow"}
    if "{tested}" in words:
        parts["tested"] = f"{tested:g} gpm, flow"
    if "{cover}" in words and settles is not None:
        parts["cover"] = f"{120.0 - settles:g} ft, length"
    if "{bears}" in words:
        parts["bears"] = "18 gpm, flow"
    assert told(found.reason) == parts
    kept = ("pump[1].dry_run_protection", "pump[2].dry_run_protection")
    assert found.claims == (kept if status == "caution" else ())
    one = [pumps[0], working("yard", intake=120.0)]
    once = at_once._on_the_well(fed_by(tested=tested), one, 20 * GPM, "both")
    assert once.status == ("fail" if status == "caution" else status)


@pytest.mark.parametrize(
    ("lateral", "together", "alone", "shares"),
    [
        # Of 10 and 6 gpm through one lateral 7 and 3 are left; the third has a line of its own.
        ("ab", 12.0, (10.0, 6.0, 4.0), (0.7, 0.5, 1.0)),
        # Where both give no more than one of them, that one is left as it is.
        ("ab", 10.0, (10.0, 6.0, 4.0), (1.0, 0.5, 1.0)),
        ("ab", 12.0, (10.0, 0.0, 4.0), (0.7, 1.0, 1.0)),
        ("a", 99.0, (10.0, 6.0, 4.0), (1.0, 1.0, 1.0)),
        ("", 99.0, (9.0, 6.0, 4.0), (1.0, 1.0, 1.0)),
    ],
)  # fmt: skip
def test_what_is_left_of_each_through_one_lateral(
    monkeypatch: pytest.MonkeyPatch, lateral: str, together: float, alone: tuple[float, ...],
    shares: tuple[float, ...],
) -> None:  # fmt: skip
    duties = {name: (SimpleNamespace(pumping_level=at), SimpleNamespace(pumping_level=99.0))
              for name, at in (("a", 1.0), ("b", 2.0), ("c", 3.0))}  # fmt: skip
    pumps: Any = [SimpleNamespace(table=name, result=SimpleNamespace(duties=duties[name]))
                  for name in "abc"]  # fmt: skip

    def flow_of(some: Any, levels: Any) -> float:
        assert [level.static_level for level in levels] == [
            each.result.duties[0].pumping_level for each in some
        ]
        return together if len(some) > 1 else alone["abc".index(some[0].table)]

    monkeypatch.setattr(at_once, "presses_lateral", lambda table: table in lateral)
    monkeypatch.setattr(at_once, "_flow_of", flow_of)
    monkeypatch.setattr(
        at_once, "_own_flow", lambda pump, level, flow: {"a": 7.0, "b": 3.0}[pump.table]
    )
    assert at_once.shares_at_once(pumps) == pytest.approx(shares)
