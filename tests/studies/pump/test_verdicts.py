"""Each question on a pump, asked of a result made by hand: the plain pump of 10 gpm from 60 ft."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache
from types import SimpleNamespace
from typing import Any

import pytest

from tests.properties.whole.plain import STEADY
from tests.studies import printed
from tests.studies.printed import printed_as, told
from tests.studies.pump.deep_pump import DENSITY, FOOT, GPM, PSI, G, two_wells
from wellsolar import Case
from wellsolar.kinds import FLOW, FRACTION, HEAD, LENGTH, PRESSURE
from wellsolar.results.pumps import Duty, PumpResult
from wellsolar.site.loading.read import parse_site
from wellsolar.site.schema import Site
from wellsolar.studies.pump import check_valve
from wellsolar.studies.pump import study as pump_study
from wellsolar.studies.pump import verdicts as asked
from wellsolar.units import Quantity, read
from wellsolar.verdicts import Verdict, changes_of

GALLON, HOUR = GPM * 60, 3600.0


@cache
def _plain() -> tuple[Site, PumpResult]:
    case = Case(parse_site(STEADY))
    return case.site, case.pumps[0]


def site_with(**pump: object) -> Site:
    """The plain site with other keys of its pump."""
    site = _plain()[0]
    return site.model_copy(update={"pump": (site.pump[0].model_copy(update=pump),)})


def in_a_well(**well: object) -> Site:
    site = _plain()[0]
    return site.model_copy(update={"well": site.well.model_copy(update=well)})


def result_with(duty: dict[str, float] | None = None, **other: Any) -> PumpResult:
    """The plain pump's result with other figures of its first duty and its own."""
    result = _plain()[1]
    duties: list[Duty] = [replace(result.duties[0], **(duty or {})), *result.duties[1:]]
    return replace(result, duties=tuple(duties), **other)


def compared(verdict: Verdict) -> tuple[str, str, str]:
    """How it stands, and what was compared; a remedy has changes or says why not."""
    assert verdict.subject == "steady"
    if verdict.remedy is not None and not verdict.remedy.changes:
        assert verdict.remedy.by_hand in (
            asked.OF_THE_MAKER, asked.BY_A_VALVE, "it is work on the well, not a key"
        )  # fmt: skip
    return printed.compared(verdict)


def changes(verdict: Verdict) -> dict[str, str]:
    """The changes of its remedy; a depth in feet."""
    values = {each.path: each.value.strip('"') for each in changes_of(verdict.remedy)}
    return {
        path: printed_as(read(value, LENGTH)).removesuffix(", length")
        if path.endswith("depth")
        else value
        for path, value in values.items()
    }


UNDER = "it takes {flow}; with the water down at its intake the well gives {bears}: "
SETTLES = "the water settles {cover} above the intake at {flow}"
DEEPER = {"depth": "80 ft, length"}


@pytest.mark.parametrize(
    ("intake", "guarded", "status", "template", "parts", "cover", "remedy"),
    [
        # 1 gpm/ft: 10 gpm settle at 70 ft, and 10 ft of cover are asked for.
        (80.0, False, "pass", SETTLES, {"cover": "10 ft, length"}, "10 ft", None),
        (75.0, False, "caution", SETTLES, {"cover": "5 ft, length"}, "5 ft",
         DEEPER | {"flow": "5 gpm, flow"}),
        (70.1, False, "caution", SETTLES, {"cover": "0.1 ft, length"}, "0.1 ft",
         DEEPER | {"flow": "0.10 gpm, flow"}),
        (70.0, False, "fail", UNDER + "it draws air", {"bears": "10 gpm, flow"}, "0 ft",
         DEEPER),
        (70.0, True, "caution",
         UNDER + "it pumps the well off, and dry-run protection stops it each time",
         {"bears": "10 gpm, flow"}, "0 ft", DEEPER),
        (69.0, True, "fail", UNDER + "it draws air", {"bears": "9 gpm, flow"}, "0 ft",
         DEEPER),
        # What prints as the 10 ft that are asked for is no less.
        (69.97, True, "caution",
         UNDER + "it pumps the well off, and dry-run protection stops it each time",
         {"bears": "9.97 gpm, flow"}, "0 ft", DEEPER),
        (60.0, True, "fail", UNDER + "it draws air", {"bears": "0 gpm, flow"}, "0 ft",
         DEEPER),
        (59.0, True, "fail", "the intake at {intake} hangs above the water at rest, {static}",
         {"intake": "59 ft, length", "static": "60 ft, length"}, "-1 ft", DEEPER),
    ],
)  # fmt: skip
def test_how_far_the_intake_is_under_water(
    intake: float,
    guarded: bool,
    status: str,
    template: str,
    parts: dict[str, str],
    cover: str,
    remedy: dict[str, str] | None,
) -> None:
    site = site_with(dry_run_protection=guarded)
    duty = {"settled_level": 70 * FOOT, "pump_flow": 10 * GPM}
    result = result_with(duty, intake_depth=intake * FOOT)
    found = asked._submergence(site, site.pump[0], result, "pump[1]")
    assert compared(found) == (status, f"{cover}, length", "10 ft, length")
    assert found.reason.template == template
    flow = {} if "static" in parts else {"flow": "10 gpm, flow"}
    assert told(found.reason) == flow | parts
    assert found.claims == (("pump[1].dry_run_protection",) if "stops it" in template else ())
    if remedy is not None:
        assert told(found.remedy) == remedy
        assert changes(found) == {"pump[1].intake_depth": "80 ft"}
    unknown = asked._submergence(site, site.pump[0], replace(result, level_known=False), "pump[1]")
    assert (unknown.status == "unknown") == (intake >= 60.0)


@pytest.mark.parametrize(
    ("depth", "settled", "intake", "remedy", "change"),
    [
        # 5 ft over a bottom at 200 ft, and 10 ft of cover: whole feet, up to 195 ft.
        (200.0, 184.1, 75.0, {"depth": "195 ft, length", "flow": "5 gpm, flow"}, "195 ft"),
        (200.0, 185.1, 75.0, {"flow": "5 gpm, flow"}, None),
        # What the test found bounds what 50 ft of drawdown would give.
        (200.0, 185.1, 120.0, {"flow": "30 gpm, flow"}, None),
        (200.0, 185.1, 70.0, {"depth": "195 ft, length", "flow": "30 gpm, flow"}, None),
        (76.0, 70.0, 70.0, {"depth": "71 ft, length", "flow": "1 gpm, flow"}, None),
        (75.0, 70.0, 70.0, {}, None),
    ],
)
def test_where_an_intake_may_hang(
    depth: float, settled: float, intake: float, remedy: dict[str, str], change: str | None
) -> None:
    site = in_a_well(depth=depth * FOOT)
    result = result_with({"settled_level": settled * FOOT}, intake_depth=intake * FOOT)
    found = asked._submergence(site, site.pump[0], result, "pump[1]")
    assert told(found.remedy) == remedy
    assert compared(found)[0] in ("caution", "fail")
    assert ("{depth" in found.remedy.template) == ("depth" in remedy)
    assert ("{flow:down}" in found.remedy.template) == ("flow" in remedy)
    assert changes(found) == ({"pump[1].intake_depth": change} if change else {})


@pytest.mark.parametrize(
    ("depth", "intake", "status", "clear", "raised"),
    [(200.0, 195.0, "pass", "5 ft", None), (200.0, 195.5, "caution", "4.5 ft", "195 ft"),
     (200.9, 196.3, "caution", "4.6 ft", "195 ft"), (204.0, 204.0, "caution", "0 ft", "199 ft")],
)  # fmt: skip
def test_how_far_the_intake_is_above_the_bottom(
    depth: float, intake: float, status: str, clear: str, raised: str | None
) -> None:
    site = in_a_well(depth=depth * FOOT)
    result = result_with(intake_depth=intake * FOOT)
    found = asked._bottom(site, site.pump[0], result, "pump[1]")
    assert compared(found) == (status, f"{clear}, length", "5 ft, length")
    assert told(found.reason) == {"clear": f"{clear}, length"}
    if raised:
        assert changes(found) == {"pump[1].intake_depth": raised}
        assert told(found.remedy) == {"depth": f"{raised}, length"}


@pytest.mark.parametrize(
    ("volume", "beside", "hours", "status", "taken", "limit", "flow"),
    [
        # 8 h a day are usual into a house.
        (480.0, 0.0, 8.0, "pass", "8 h", "8 h", None),
        (480.0, 0.0, 8.4, "caution", "8.4 h", "8 h", "1 gpm"),
        (480.0, 0.0, 24.0, "caution", "24 h", "8 h", "1 gpm"),
        (480.0, 0.0, 24.5, "fail", "24.5 h", "24 h", "1 gpm"),
        # A quarter comes from elsewhere, and three quarters of the time are left.
        (640.0, 160.0, 12.0, "caution", "9 h", "8 h", "1 gpm"),
        (640.0, 640.0, 12.0, "pass", "0 s", "8 h", None),
        # The well gives 30 gpm, 43200 gal a day.
        (43200.0, 0.0, 7.0, "pass", "7 h", "8 h", None),
    ],
)  # fmt: skip
def test_how_long_a_pump_takes_for_the_day(
    volume: float,
    beside: float,
    hours: float,
    status: str,
    taken: str,
    limit: str,
    flow: str | None,
) -> None:
    site = _plain()[0]
    result = result_with(
        daily_volume=volume * GALLON, daily_run_time=hours * HOUR, from_other_wells=beside * GALLON
    )
    found = asked._daily(site, site.pump[0], result)
    assert compared(found) == (status, f"{taken}, time", f"{limit}, time")
    parts = {"volume": f"{volume - beside:.0f} gal, volume", "hours": f"{taken}, time"}
    if beside:
        parts["beside"] = f"{beside:.0f} gal, volume"
        assert found.reason.template.endswith(
            "{beside} from other wells, takes {hours} of pumping"
        )
    else:
        assert found.reason.template == "{volume} a day takes {hours} of pumping"
    assert told(found.reason) == parts
    if flow:
        assert told(found.remedy) == {"flow": f"{flow}, flow"}
    for lacks in ("daily_volume", "daily_run_time"):
        assert asked._daily(site, site.pump[0], replace(result, **{lacks: None})).needs


@pytest.mark.parametrize("beside", [0.0, 600.0])
def test_a_day_that_the_well_does_not_yield(beside: float) -> None:
    """10 gpm are 14400 gal a day."""
    site = in_a_well(tested_yield=type(_plain()[0].well.tested_yield)(
        10 * GPM, _plain()[0].well.tested_yield.kind))  # fmt: skip
    result = result_with(
        daily_volume=(14500 + beside) * GALLON,
        daily_run_time=9 * HOUR,
        from_other_wells=beside * GALLON,
    )
    found = asked._daily(site, site.pump[0], result)
    assert compared(found) == ("fail", "14500 gal, volume", "14400 gal, volume")
    parts = {"yield_": "14400 gal, volume", "volume": "14500 gal, volume"}
    assert told(found.reason) == parts | ({"beside": "600 gal, volume"} if beside else {})
    assert found.reason.template == "the well yields {yield_} a day; {volume} is needed" + (
        ", beside {beside} from other wells" if beside else ""
    )
    assert told(found.remedy) == {"most": f"{14400 + beside:.0f} gal, volume"}
    assert changes(found) == {"demand.daily_use": f"{14400 + beside:.0f} gal/day"}
    booster = site.pump[0].model_copy(update={"draws": "storage tank"})
    assert asked._daily(site, booster, result).status == "caution"


@pytest.mark.parametrize(
    ("reach", "flow", "known", "best", "begins", "status"),
    [
        # 5 psi to spare over a cut-out of 60 psi.
        (65.0, 5.0, True, 5.0, 0.0, "pass"),
        (64.4, 5.0, True, 5.0, 0.0, "caution"),
        (64.4, 0.1, False, 5.0, 1.0, "caution"),
        (59.0, 0.0, True, 5.0, 0.0, "fail"),
        (59.0, 0.0, False, 0.0, 0.0, "fail"),
        (59.0, 0.0, False, 5.0, 0.0, "unknown: well.specific_capacity"),
        (59.0, 0.0, True, 5.0, 1.0, "unknown: pump[1].flow"),
    ],
)
def test_what_a_pump_can_hold(
    reach: float, flow: float, known: bool, best: float, begins: float, status: str
) -> None:
    site, plain = _plain()
    last = replace(plain.duties[-1], flow=flow * GPM)
    result = replace(plain, duties=(plain.duties[0], plain.duties[0], last), level_known=known,
                     shut_off_pressure=reach * PSI)  # fmt: skip
    kind = type(site.pump[0].flow[0])
    table = site.pump[0].model_copy(
        update={"flow": [kind(begins * GPM, site.pump[0].flow[0].kind), *site.pump[0].flow[1:]]}
    )
    found = asked._reaches(
        site, table, result, replace(plain.duties[0], flow=best * GPM), asked.CUT_OUT, 60 * PSI,
        "pump[1]",
    )  # fmt: skip
    if found.status == "unknown":
        assert status.removeprefix("unknown: ") in found.needs
        return
    shown = f"{reach:g} psi, gauge pressure"
    assert compared(found) == (status, shown, "60 psi, gauge pressure")
    parts = {"reach": shown, "limit": "60 psi, gauge pressure"}
    last_flow = Quantity(flow * GPM, FLOW)
    assert told(found.reason) == parts | ({"flow": printed_as(last_flow)} if flow else {})


@pytest.mark.parametrize(
    ("reach", "held", "cut_in", "precharge", "set_to"),
    [
        # 5 psi of margin below what it reaches, in whole psi; no more than 20 psi between cut-in
        # and cut-out, the air 2 psi below: common practice, no source.
        (64.4, None, 40, 38, {"cut_in": 39, "cut_out": 59, "precharge": 37}),
        (64.4, None, 30, 38, {"cut_in": 39, "cut_out": 59, "precharge": 37}),
        (64.4, None, 50, 38, {"cut_in": 49, "cut_out": 59, "precharge": 47}),
        # A cut-in of 10 psi is the least of any use; so is what is held. Common practice.
        (35.5, None, 40, 38, {"cut_in": 10, "cut_out": 30, "precharge": 8}),
        (34.5, None, 40, 38, {}),
        # Seven tenths of what a drive holds: from memory.
        (64.4, 60, 40, 38, {"held_pressure": 59, "precharge": 41}),
        (64.4, 60, 40, None, {"held_pressure": 59}),
        (15.5, 60, 40, 38, {"held_pressure": 10, "precharge": 7}), (14.5, 60, 40, 38, {}),
    ],
)  # fmt: skip
def test_the_pressure_that_a_pump_could_hold_and_the_head_that_it_lacks(
    reach: float, held: float | None, cut_in: float, precharge: float | None,
    set_to: dict[str, int],
) -> None:  # fmt: skip
    def psi(number: float | None) -> Quantity | None:
        return None if number is None else Quantity(number * PSI, PRESSURE)

    site = site_with(held_pressure=psi(held))
    switch = site.pressure_switch.model_copy(update={"cut_in": psi(cut_in)})
    tank = site.pressure_tank.model_copy(update={"precharge": psi(precharge)})
    site = site.model_copy(update={"pressure_switch": switch, "pressure_tank": tank})
    duties = _plain()[1].duties[0 if held is None else 1 :]
    result = replace(_plain()[1], shut_off_pressure=reach * PSI, duties=duties)
    found = asked._reach(site, site.pump[0], result, result.duties[0], "pump[1]")
    assert found.rule is (asked.CUT_OUT if held is None else asked.HOLDS)
    assert compared(found)[2] == "60 psi, gauge pressure"
    assert {each.path.rpartition(".")[2]: each.value for each in changes_of(found.remedy)} == {
        key: f'"{number} psi"' for key, number in set_to.items()
    }
    assert ("hold no more than" in found.remedy.template) == (bool(set_to) and held is not None)
    # 400.5 ft at no flow, and what lacks of 65 psi in water of 50 degF.
    head = 400.5 * FOOT + (65 - reach) * PSI / (DENSITY * G)
    assert found.remedy.parts["head"] == pytest.approx(head, rel=1e-4)
    assert found.remedy.parts["head"].kind is HEAD
    if set_to:
        assert found.remedy.parts["highest"] == pytest.approx((reach - 5) * PSI)


@pytest.mark.parametrize(
    ("flow", "known", "best", "begins", "fills", "status"),
    [
        (0.1, True, 5.0, 0.0, True, "pass"),
        (0.1, False, 5.0, 1.0, False, "pass"),
        (0.0, True, 5.0, 0.0, True, "fail"),
        (0.0, False, 0.0, 0.0, True, "fail"),
        (0.0, False, 5.0, 0.0, True, "unknown: well.specific_capacity"),
        (0.0, True, 5.0, 1.0, True, "unknown: pump[1].flow"),
    ],
)
def test_what_a_pump_lifts_into_an_open_tank(
    flow: float, known: bool, best: float, begins: float, fills: bool, status: str
) -> None:
    site, plain = _plain()
    duty = {"flow": flow * GPM, "total_dynamic_head": 401 * FOOT}
    result = result_with(duty, level_known=known, shut_off_head=390 * FOOT)
    kind = type(site.pump[0].flow[0])
    table = site.pump[0].model_copy(
        update={"flow": [kind(begins * GPM, site.pump[0].flow[0].kind), *site.pump[0].flow[1:]]}
    )
    best_duty = replace(plain.duties[0], flow=best * GPM)
    found = asked._lifts(table, result, best_duty, fills, "pump[1]")
    if found.status == "unknown":
        assert status.removeprefix("unknown: ") in found.needs
        return
    both = ("390 ft, head of water", "401 ft, head of water")
    assert compared(found) == (status, *both)
    if status == "pass":
        assert told(found.reason) == {"flow": "0.10 gpm, flow"}
        assert ("into the storage tank" in found.reason.template) == fills
    else:
        assert told(found.reason) == {"head": both[0], "needed": both[1]}
        assert told(found.remedy) == {"needed": both[1]}


@pytest.mark.parametrize(
    ("flow", "given", "known", "guarded", "status", "why"),
    [
        (30.0, 30.0, True, False, "pass", ""),
        (30.6, 30.6, True, False, "fail", "no test shows that the well bears it for long"),
        (30.6, 30.6, True, True, "caution", "no test shows that the well bears it for long"),
        (30.6, 30.0, True, True, "caution", "a long run pumps the well off"),
        (30.6, 30.0, False, True, "caution", "no test shows that the well bears it for long"),
    ],
)
def test_whether_the_well_keeps_up(
    flow: float, given: float, known: bool, guarded: bool, status: str, why: str
) -> None:
    site = site_with(dry_run_protection=guarded)
    duty = {"pump_flow": flow * GPM, "flow": given * GPM}
    found = asked._yield(site, site.pump[0], result_with(duty, level_known=known), "pump[1]")
    shown = f"{flow:g} gpm, flow"
    assert compared(found) == (status, shown, "30 gpm, flow")
    parts = {"flow": shown, "tested": "30 gpm, flow"}
    if why:
        drawn = " with the water at its intake" if given < flow else ""
        parts |= {"told": why, "when": f"at cut-in{drawn}", "guard": (
            "dry-run protection stops it" if guarded
            else "the file names no dry-run protection")}  # fmt: skip
        asks = "" if guarded else "; at least dry-run protection"
        assert told(found.remedy) == {"tested": "30 gpm, flow", "guard": asks}
    assert told(found.reason) == parts
    assert found.claims == (("pump[1].dry_run_protection",) if guarded else ())


def test_which_questions_a_pump_is_asked() -> None:
    """Without water at its first duty only what it reaches and how it hangs, of one that draws
    from a storage tank only its suction; above its water nothing but how it hangs."""
    two = two_wells()
    share = Quantity(0.5, FRACTION)
    booster = two.site.pump[2].model_copy(update={"efficiency": [share] * 4})
    site, plain = _plain()
    questions = {asked.CUT_OUT, asked.ON_CURVE, asked.EFFICIENCY, asked.DAILY, asked.YIELD,
                 asked.VELOCITY, asked.SUBMERGENCE, asked.BOTTOM}  # fmt: skip
    hangs = [asked.SUBMERGENCE, asked.BOTTOM]
    of_well = [asked.CUT_OUT, asked.ON_CURVE, asked.YIELD, asked.VELOCITY, asked.EFFICIENCY,
               *hangs, asked.DAILY]  # fmt: skip
    lines = two.site.pump[1].line
    for at, table, result, dry, wet in (
        (site, site.pump[0], plain, [asked.CUT_OUT, *hangs], of_well),
        (site, site.pump[0], replace(plain, intake_depth=59 * FOOT), hangs, hangs),
        (two.site, booster, two.pumps[2], [asked.CUT_OUT],
         [asked.CUT_OUT, asked.ON_CURVE, asked.EFFICIENCY, asked.DAILY]),
        (two.site, booster.model_copy(update={"line": lines}), two.pumps[2], [asked.CUT_OUT],
         [asked.CUT_OUT, asked.ON_CURVE, asked.VELOCITY, asked.EFFICIENCY, asked.DAILY]),
    ):  # fmt: skip
        for flow, expected in ((0.0, dry), (1e-3, wet)):
            duties = (
                replace(result.duties[0], flow=flow),
                replace(result.duties[1], flow=1e-3 - flow),
            )
            said = asked.verdicts_of(
                at, table, replace(result, duties=duties), duties[0], "pump[1]"
            )
            assert [each.rule for each in said if each.rule in questions] == expected
            suction = any(each.rule.key.startswith("suction") for each in said)
            assert suction == (at is two.site)


def test_the_fastest_water_counts() -> None:
    """5 ft/s are common practice, no source; the pump of 10 gpm beyond its curve of 12 gpm."""
    site, plain = _plain()
    for speeds, status in (((1.5, 1.524), "pass"), ((1.6, 1.5), "caution")):
        duties = [replace(plain.duties[0], pipe_velocity=each) for each in speeds]
        result = replace(plain, duties=tuple(duties))
        found = asked._velocity(site, site.pump[0], result, "pump[1]")
        assert (found.status, found.quantity) == (status, max(speeds))
        assert told(found.reason) == {"speed": printed_as(found.quantity)}
    for state, status in (("on curve", "pass"), ("beyond the curve", "caution")):
        flows = [*site.pump[0].flow[:2], Quantity(12 * GPM, FLOW)]
        found = asked._on_curve(
            site.pump[0].model_copy(update={"flow": flows}),
            replace(plain.duties[0], state=state, flow=9 * GPM, pump_flow=10 * GPM),
        )
        assert compared(found) == (status, "10 gpm, flow", "12 gpm, flow")
        assert found.subject == "steady"
        own = {"flow": "10 gpm, flow"} if status == "pass" else {"last": "12 gpm, flow"}
        assert told(found.reason) == own | {"label": "at cut-in with the water at its intake"}


def test_a_sheet_that_makes_more_of_its_power_than_any_pump() -> None:
    """Three quarters from wire to water at most."""
    site, plain = _plain()
    for power, status in ((1000.0, "pass"), (980.0, "caution")):
        duty = replace(plain.duties[0], water_power=750.0, input_power=power)
        (found,) = asked._efficiency(site.pump[0], duty)
        assert found.status == status
        assert found.quantity == pytest.approx(750 / power)
        assert found.limit == 0.75
        parts = found.reason.parts
        assert (parts["water"], parts["power"]) == (750.0, power)
    silent = site.pump[0].model_copy(update={"power": None, "efficiency": None})
    assert not asked._efficiency(silent, plain.duties[0])
    share = Quantity(0.5, FRACTION)
    told_so = silent.model_copy(update={"efficiency": [share, share, share]})
    assert asked._efficiency(told_so, plain.duties[0])


@pytest.mark.parametrize(("intake", "status"), [(70.0, "caution"), (69.0, "fail")])
def test_a_tail_pipe_keeps_air_out_without_a_claim(
    monkeypatch: pytest.MonkeyPatch, intake: float, status: str
) -> None:
    """Of a pump that has dry-run protection too; a pump above its water at rest is not kept."""
    monkeypatch.setattr(asked, "tail_guards", lambda _: True)
    duty = {"settled_level": 70 * FOOT, "pump_flow": 31 * GPM}
    for guarded in (True, False):
        site = site_with(dry_run_protection=guarded)
        result = result_with(duty, intake_depth=intake * FOOT)
        found = asked._submergence(site, site.pump[0], result, "pump[1]")
        assert (found.status, found.claims) == (status, ())
        assert found.reason.template == UNDER + (
            "it gives less and less, and its tail pipe is too long for air"
            if status == "caution"
            else "it draws air"
        )
        short = asked._yield(site, site.pump[0], result, "pump[1]")
        assert short.status == "caution"
        assert short.remedy.parts["guard"] == ""


@pytest.mark.parametrize(
    ("flows", "speed", "status"),
    # 0.5 m/s in a bore of 25 mm; a duty without water opens no valve.
    [((3.0, 0.6), 0.6, "pass"), ((0.5, 3.0), 0.5, "pass"), ((0.45, 3.0), 0.45, "caution"),
     ((0.0, 0.6), 0.6, "pass")],
)  # fmt: skip
def test_the_least_flow_of_a_pump_opens_its_check_valves(
    monkeypatch: pytest.MonkeyPatch, flows: tuple[float, float], speed: float, status: str
) -> None:
    """Of two valves the one of 50 mm is worse off, though 0.12 m/s are less of a speed to ask."""
    area = math.pi / 4 * 0.025**2
    fittings = [
        SimpleNamespace(name="elbow", bore=0.001, opening_velocity=None),
        SimpleNamespace(name="small valve", bore=0.025, opening_velocity=0.4),
        SimpleNamespace(name="wide valve", bore=0.05, opening_velocity=0.125),
        SimpleNamespace(name="slow valve", bore=0.05, opening_velocity=0.1),
    ]
    line = SimpleNamespace(fittings=fittings)
    monkeypatch.setattr(check_valve, "line_of", lambda *_: line)
    result: Any = SimpleNamespace(
        intake_depth=1.0, duties=[SimpleNamespace(flow=each * area) for each in flows]
    )
    table: Any = SimpleNamespace(name="steady")
    site: Any = None
    (found,) = check_valve.opening_verdicts(site, table, result)
    assert (found.status, found.reason.parts["valve"]) == (status, "wide valve")
    # A bore twice as wide has a quarter of the speed.
    assert found.quantity == pytest.approx(speed / 4.0)
    assert found.limit == pytest.approx(0.125)
    assert found.reason.parts["flow"] == pytest.approx(speed * area)
    line.fittings = fittings[:1]
    assert check_valve.opening_verdicts(site, table, result) == []


@pytest.mark.parametrize(
    ("suction", "line", "own_well", "from_tank", "kind", "wider"),
    [
        ("", "", "", False, "submersible", "drop_pipe lateral"),
        ("s", "", "", False, "jet", "drop_pipe lateral suction_pipe"),
        ("", "l", "", False, "submersible", "drop_pipe line"),
        ("", "l", "", False, "suction", "drop_pipe lateral line"),
        ("s", "l", "", False, "suction", "drop_pipe suction_pipe line"),
        ("", "", "w", False, "submersible", "drop_pipe"),
        ("s", "l", "", True, "booster", "suction_pipe line"), ("", "", "", True, "booster", ""),
    ],
)  # fmt: skip
def test_each_run_of_a_pump_is_made_wider(
    monkeypatch: pytest.MonkeyPatch, suction: str, line: str, own_well: str, from_tank: bool,
    kind: str, wider: str,
) -> None:  # fmt: skip
    def run(there: str) -> Any:
        return SimpleNamespace(size="1 in") if there else None

    sizes = [
        SimpleNamespace(nominal=name, bore=bore) for name, bore in (("1 in", 0.02), ("2 in", 0.05))
    ]
    monkeypatch.setattr(asked, "from_this_up", lambda _: sizes)
    monkeypatch.setattr(asked, "link_of", lambda *_: SimpleNamespace(from_tank=from_tank))
    # 1 L/s runs with 3.2 m/s through 20 mm and 0.5 m/s through 50 mm.
    # At its other duty it is 0.2 L/s, for which 20 mm are wide enough.
    monkeypatch.setattr(asked, "_flow_without_friction", lambda _, flow: flow)
    site: Any = SimpleNamespace(
        piping=SimpleNamespace(drop_pipe=run("d"), lateral=run("l")),
        limits=SimpleNamespace(velocity=1.5),
    )  # fmt: skip
    table: Any = SimpleNamespace(drop_pipe=None, suction_pipe=run(suction), line=run(line),
                                 well=own_well or None, kind=kind)  # fmt: skip
    result: Any = SimpleNamespace(duties=(1e-3, 2e-4))
    found = asked._wider(site, table, result, "pump[1]")
    keys = {"drop_pipe": "piping.drop_pipe", "lateral": "piping.lateral",
            "suction_pipe": "pump[1].suction_pipe", "line": "pump[1].line"}  # fmt: skip
    assert [str(each) for each in changes_of(found)] == [
        f'{keys[each]}.size="2 in"' for each in wider.split()
    ]
    ways = [f"a {each.replace('_', ' ')} of 2 in" for each in wider.split()]
    assert found.text("US") == (" and ".join(ways) or "a wider pipe")


@pytest.mark.parametrize(("given", "most"), [(1.0, 1.5), (2.0, 2.0)])
def test_wide_pipes_take_away_what_is_lost_in_them_and_nothing_else(
    given: float, most: float
) -> None:
    """A straight curve, 60 m less 10 m per L/s: with 5 m of 50 m lost in pipes 1.5 L/s."""
    table: Any = SimpleNamespace(flow=(0.0, 1e-3, 2e-3, 3e-3), head=(60.0, 50.0, 40.0, 30.0))
    heads = {"drop_pipe": 1.0, "suction": 0.5, "lateral": 1.5, "fittings": 2.0, "pressure": 30.0}
    pieces = [SimpleNamespace(key=key, head=head) for key, head in heads.items()]
    duty: Any = SimpleNamespace(pieces=pieces, total_dynamic_head=50.0, pump_flow=given * 1e-3)
    assert asked._flow_without_friction(table, duty) == pytest.approx(most * 1e-3)


@pytest.mark.parametrize(("head", "pressure", "weight"), [(0.5, 4.95e3, 9.9e3), (0.0, 0.0, 9.8e3)])
def test_a_metre_of_water_weighs_what_its_pressure_says(
    head: float, pressure: float, weight: float
) -> None:
    """9.8 kN/m3 without a pressure, the usual weight of cool water: common practice, no source."""
    heads = {"elevation": 7.0, "pressure": head}
    pieces = [SimpleNamespace(key=key, head=each) for key, each in heads.items()]
    last = SimpleNamespace(pieces=pieces, pressure=pressure)
    result: Any = SimpleNamespace(duties=(None, last))
    assert asked._weight(result) == pytest.approx(weight)


@pytest.mark.parametrize(
    ("depth", "lateral", "draws", "length"),
    [
        (30.0, 12.0, "well", 42.0), (30.0, None, "well", 30.0), (-1.0, 12.0, "well", 12.0),
        (0.0, None, "storage tank", pump_study.SHORT_RUN), (0.0, 50.0, "storage tank", 50.0),
    ],
)  # fmt: skip
def test_a_pumps_wire_goes_down_its_well_and_to_the_house(
    monkeypatch: pytest.MonkeyPatch, depth: float, lateral: float | None, draws: str, length: float
) -> None:
    def ran(named: Any, how_far: float, *_: Any) -> float:
        return how_far

    monkeypatch.setattr(pump_study.wiring, "wire_run", ran)
    monkeypatch.setattr(pump_study.starting, "running_current", lambda *_: 5.0)
    monkeypatch.setattr(pump_study.starting, "code_current", lambda *_: 6.0)
    table = SimpleNamespace(voltage=230.0, cable=None, draws=draws, supply="AC", start="direct",
                            phases=1)  # fmt: skip
    site: Any = SimpleNamespace(
        piping=SimpleNamespace(lateral=SimpleNamespace(length=lateral)),
        limits=SimpleNamespace(voltage_drop=0.03), site=SimpleNamespace(print_units="US"),
    )  # fmt: skip
    monkeypatch.setattr(pump_study.wiring, "in_mm2", lambda *_: False)
    on_well: Any = SimpleNamespace(table=table, intake_depth=depth)
    assert pump_study._wire(site, on_well, 900.0, None) == length


@pytest.mark.parametrize(
    ("rating", "status"), [(1.4, "fail"), (1.5, "unknown"), (2.47, "unknown"), (2.6, "pass")]
)
def test_what_passes_only_by_the_likeliest_guess_of_a_motor_is_unknown(
    rating: float, status: str
) -> None:
    """10 gpm at cut-out: 70 ft to the water, 6 ft up to the tank, 60 psi, and 0.5 ft of friction.
    35 % from wire to water, 20 % at the least, at a power factor of 80 %: 1.45 and 2.53 kVA."""
    text = re.sub(r"(?m)^(power|rated_power|locked_rotor_current) = .*\n", "", STEADY)
    case = Case(parse_site(text.replace('"8 kVA"', f'"{rating} kVA"')))
    water = 10 * GPM * (76.5 * FOOT * DENSITY * G + 60 * PSI)
    assert water / 0.35 / 0.8 == pytest.approx(1450, rel=0.01)
    assert water / 0.20 / 0.8 == pytest.approx(2530, rel=0.01)
    (found,) = [each for each in case.said("pumps").verdicts if each.rule.key == "inverter rating"]
    assert found.status == status
    if status == "unknown":
        assert found.needs == ("pump[1].rated_power",)
    else:
        assert found.quantity == pytest.approx(water / 0.35 / 0.8, rel=0.01)


@pytest.mark.parametrize(
    ("runs", "bears", "other", "given"),
    [
        # 10 gpm on a well of 6 gpm; beside it 4 gpm on one that bears 3, a day long, of which each
        # has what the other brings; nothing is told of those that wait or of no known yield.
        ("at once", 3.0, {}, [3.0, 6.0, 9.0, 0.0]), ("at once", 9.0, {}, [4.0, 6.0, 10.0, 0.0]),
        ("kept apart", 3.0, {}, [0.0] * 4), ("at once", math.inf, {}, [0.0, 6.0, 6.0, 0.0]),
        ("at once", 3.0, {"role": "backup"}, [0.0, 0.0, 6.0, 0.0]),
        # In turn as long as both shares of the day are a day: 0.6 and 0.4, not 0.6 and 0.41.
        ("alternating", 1.6, {}, [1.6, 6.0, 7.6, 0.0]), ("alternating", 1.65, {}, [0.0] * 4),
    ],
)  # fmt: skip
def test_what_comes_from_other_wells(
    monkeypatch: pytest.MonkeyPatch, runs: str, bears: float, other: dict[str, str],
    given: list[float],
) -> None:  # fmt: skip
    """The third gives no water from a well of its own; the last presses into the house."""
    pumps: list[Any] = [
        SimpleNamespace(name=name, well=name, role="other", minimum_submergence=3.0)
        for name in ("first", "second", "dry", "house")
    ]
    vars(pumps[1]).update(other)
    on_wells: list[Any] = [
        SimpleNamespace(table=table, intake_depth=10.0,
                        link=SimpleNamespace(into_tank=table.name != "house"))
        for table in pumps
    ]  # fmt: skip
    flows = (10.0, 4.0, 0.0, 5.0)
    results = [result_with({"flow": flow * GPM}, name=table.name)
               for table, flow in zip(pumps, flows, strict=True)]  # fmt: skip
    yields = {"first": 6.0 * GPM, "house": 1.0}
    greatest = {"first": math.inf, "second": bears * GPM, "dry": 1.0, "house": 1.0}

    def water_level(here: Any, floor: float) -> Any:
        assert floor == 7.0
        return SimpleNamespace(greatest_flow=lambda: greatest[here.name])

    monkeypatch.setattr(pump_study.chain, "pumps_run", lambda _: runs)
    monkeypatch.setattr(pump_study, "water_level", water_level)
    monkeypatch.setattr(pump_study, "at_well", lambda _, table: SimpleNamespace(
        name=table.name, well=SimpleNamespace(tested_yield=yields.get(table.name))
    ))  # fmt: skip
    site: Any = SimpleNamespace(pump=pumps)
    found = pump_study._with_other_wells(site, on_wells, results)
    a_day = [each.from_other_wells / (GPM * 86_400.0) for each in found]
    assert a_day == pytest.approx(given)


def test_a_pump_behind_a_valve_works_where_its_curve_has_it() -> None:
    """5 gpm at 400 to 400.5 ft and 1000 W; less than its sheet's first flow at the head of that,
    more than the last at that one's."""
    site = _plain()[0]
    for flow, head in ((5.0, 400.25), (0.5, 400.25), (12.0, 1.0)):
        begins = (Quantity(GPM, FLOW), *site.pump[0].flow[1:])
        table = site.pump[0].model_copy(update={"flow": begins} if flow == 0.5 else {})
        pump = pump_study.pump_on_well(site, table, "pump[1]")
        work = pump.throttled(flow * GPM, 70 * PSI)
        assert work.total_dynamic_head / FOOT == pytest.approx(head, abs=0.25)
        water = flow * GPM * work.total_dynamic_head * DENSITY * G
        assert work.water_power == pytest.approx(water, rel=1e-3)
        assert (work.pressure, work.flow, work.pump_flow) == (70 * PSI, flow * GPM, flow * GPM)
        assert work.input_power == pytest.approx(1000.0, abs=0.2)
