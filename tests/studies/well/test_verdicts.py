"""What is judged of a well and its tests, and what is asked for."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from tests.properties.whole.sides import base_tables, with_given
from tests.studies.printed import compared, told
from tests.studies.well.low_yield import (
    CASING,
    FETTER_DRAWN,
    FOOT,
    GALLON,
    GPM,
    QUIET,
    WELLS,
    fetter,
    fit_of,
    listed,
    low_yield,
    study,
    verdict,
)
from wellsolar import Case, kinds, site_from
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.well import verdicts as judged
from wellsolar.units import Quantity


class TestJudgements:
    def test_a_reading_that_is_off_and_its_remedy(self) -> None:
        wrong = list(FETTER_DRAWN)
        wrong[15] = 3.1  # 2.286 m in the table
        good = QUIET.format(
            depth="500 m", static="10 m", bore='casing_bore = "0.3 m"', test=fetter()
        )
        bad = good.replace(listed(FETTER_DRAWN, "m", 10), listed(wrong, "m", 10))
        assert verdict(study(good), "test fit", "pumping test").status == "pass"
        found = verdict(study(bad), "test fit", "pumping test")
        assert found.status == "caution"
        assert "2.2 h" in found.remedy.text("SI")  # 7800 s
        wrong[15] = float(found.remedy.text("SI").split("drawdown of ")[1].split(" m")[0])
        mended = bad.replace("13.1,", f"{10 + wrong[15]:.6g},")
        assert mended != bad
        assert verdict(study(mended), "test fit", "pumping test").status == "pass"

    def test_a_test_that_no_theory_follows(self) -> None:
        test = (
            '[well.drawdown_test]\nflow = "5 gpm"\ntime = "1, 10, 100, 1000 min"\n'
            'level = "60, 55, 52, 51 ft"'
        )
        text = QUIET.format(depth="200 ft", static="50 ft", bore="", test=test)
        found = verdict(study(text), "test fit", "pumping test")
        assert found.status == "unknown"
        assert found.needs == ("well.drawdown_test.level",)

    def test_a_well_that_cleared_itself(self) -> None:
        # 2, 1.8 and 1.6 ft/gpm: the drawdown grows less than the flow.
        test = '[well.step_test]\nflow = "2, 4, 6 gpm"\ndrawdown = "4, 7.2, 9.6 ft"'
        text = QUIET.format(depth="200 ft", static="50 ft", bore="", test=test)
        results = study(text)
        assert verdict(results, "test fit", "step test").status == "caution"
        assert results.well.well_loss == 0.0
        assert results.well.specific_capacity / GPM * FOOT == pytest.approx(0.5)
        assert not any(v.rule.key == "well loss" for v in results.verdicts)

    def test_well_loss_by_its_share_and_the_flow_that_bears_it(self) -> None:
        # s = 2 Q + 0.5 Q2 in ft and gpm: at 8.6 gpm two thirds of it are well loss.
        well = '[well.step_test]\nflow = "2, 4, 6 gpm"\ndrawdown = "6, 16, 30 ft"'
        found = verdict(study(low_yield(well)), "well loss", "well")
        assert found.status == "caution"
        # 0.5 Q / (2 + 0.5 Q) = 0.3 at 1.714 gpm.
        assert "1.71 gpm" in found.remedy.text("US")
        slower = study(low_yield(well, flow="0, 1.7, 1.71 gpm", head="290, 280, 5 ft"))
        assert verdict(slower, "well loss", "well").status == "pass"
        # A sound public well passes whatever its share.
        sound = fit_of('[well.step_test]\nflow = "100, 199 gpm"\ndrawdown = "3.35, 6.86 ft"')
        assert sound.drawdown.well_loss * FOOT**5 < 5

    def test_without_a_bore_only_what_the_casing_decides_stays_open(self) -> None:
        text = low_yield(WELLS[0][0]).replace('casing_bore = "6.065 in"\n', "")
        open_question = verdict(study(text), "runs dry")
        assert open_question.status == "unknown"
        assert open_question.needs == ("well.casing_bore",)
        generous = text.replace('"0.02 gpm/ft"', '"2 gpm/ft"')
        assert verdict(study(generous), "runs dry").status == "pass"
        assert verdict(study(generous), "day's water from the well").status == "pass"

    def test_a_file_that_tells_nothing_of_drawdown_is_not_asked(self) -> None:
        results = study(low_yield(""))
        asked = {v.rule.key for v in results.verdicts}
        assert not asked & {"runs dry", "day's water from the well", "well loss", "test fit"}
        assert results.well is None

    def test_transmissivity_without_a_bore_asks_for_it(self) -> None:
        text = low_yield(WELLS[2][0]).replace('casing_bore = "6.065 in"\n', "")
        found = verdict(study(text), "runs dry")
        assert (found.status, found.needs) == ("unknown", ("well.casing_bore",))

    def test_water_in_the_casing_by_hand(self) -> None:
        well = study(low_yield(WELLS[0][0])).well
        assert well.water_area == pytest.approx(CASING, rel=1e-9)
        # UFC 3-230-02, Table 1: 1.47 gal/ft in 6 in; the drop pipe takes 0.074 of it.
        assert well.water_area / (GALLON / FOOT) == pytest.approx(1.50 - 0.074, abs=0.005)

    def test_a_pump_that_is_only_compared_takes_no_room_from_the_others(self) -> None:
        other = """
[[pump]]
name = "compared"
intake_depth = "140 ft"
flow = "0, 1, 2 gpm"
head = "500, 400, 200 ft"
"""
        alone, beside = (study(low_yield(WELLS[0][0]) + more).well for more in ("", other))
        assert beside.water_area == alone.water_area
        assert beside.pumps[0] == alone.pumps[0]
        assert beside.together is None


def test_what_a_sound_well_would_save_and_the_flow_with_less_loss() -> None:
    """s = B Q + C Q2 with B = 1 ft/gpm and C = 0.1 ft/gpm2: at 10 gpm half of 20 ft is well loss.
    3 / 7 of B over C, 4.286 gpm, loses 30 %. Walton's sound wells have no more than 5 s2/ft5,
    which are 5 x (231 / 1728 / 60)2 = 2.4819e-5 ft/gpm2: 9.998 ft less."""
    flows = (3, 6, 9, 12)
    drawn = ", ".join(f"{flow + 0.1 * flow**2:.4f}" for flow in flows)
    test = {"flow": f"{', '.join(map(str, flows))} gpm", "drawdown": f"{drawn} ft"}
    tables = with_given(base_tables("steady"), {"well.step_test": test})
    case = Case(site_from(tables))
    (found,) = [each for each in case.said("well").verdicts if each.rule.key == "well loss"]
    assert found.status == "caution"
    assert found.quantity == pytest.approx(0.5, rel=1e-3)
    assert found.reason.parts["flow"] == pytest.approx(10 * GPM, rel=1e-4)
    parts = found.remedy.parts
    assert parts["slower"] == pytest.approx(30 / 7 * GPM, rel=1e-3)
    assert parts["flow"] == pytest.approx(10 * GPM, rel=1e-4)
    sound = 5 * (231 / 1728 / 60) ** 2
    assert parts["saved"] == pytest.approx((0.1 - sound) * 100 * FOOT, rel=1e-4)


def in_well(**other: Any) -> Any:
    """A pump at 100 ft in a well that it draws down to 90 ft in a day."""
    usual = {
        "name": "old", "intake_depth": 100 * FOOT, "day_level": 90 * FOOT, "draws_air": False,
        "air_time": 2 * 3600.0, "air_volume": 1234 * GALLON, "protected": False,
        "sustained_day": 4 * GPM, "starts": 0, "soonest_day": None,
    }  # fmt: skip
    return SimpleNamespace(**(usual | other))


@pytest.mark.parametrize(
    ("tested", "protected", "status", "flow"),
    [(5.0, False, "fail", 4.0), (3.0, True, "caution", 3.0), (None, False, "fail", 4.0)],
)
def test_when_a_pump_draws_air(
    tested: float | None, protected: bool, status: str, flow: float
) -> None:
    """A day without a stop is asked for."""
    site = parse_site(low_yield(WELLS[0][0])).site
    kept = judged._runs_dry(site, in_well())
    assert (kept.status, told(kept.reason)) == (
        "pass", {"level": "90 ft, length", "cover": "10 ft, length"}
    )  # fmt: skip
    rate = None if tested is None else Quantity(tested * GPM, kinds.FLOW)
    site = site.model_copy(update={"well": site.well.model_copy(update={"tested_yield": rate})})
    found = judged._runs_dry(site, in_well(draws_air=True, protected=protected))
    assert compared(found) == (status, "2 h, time", "24 h, time")
    guard = "dry-run protection stops it" if protected else "the file names no dry-run protection"
    parts = {"time": "2 h, time", "volume": "1230 gal, volume", "guard": guard}
    assert told(found.reason) == parts
    assert found.claims == (("pump[1].dry_run_protection",) if protected else ())
    assert found.remedy.parts == {"flow": pytest.approx(flow * GPM)}
    assert found.remedy.parts["flow"].kind is kinds.FLOW
    assert found.remedy.template.endswith("dry-run protection") != protected
    for lacks in ("air_time", "air_volume"):
        unknown = judged._runs_dry(site, in_well(draws_air=True, **{lacks: None}))
        assert unknown.needs == ("well.casing_bore",)


@pytest.mark.parametrize(
    ("given", "soonest", "starts", "beside", "status"),
    [
        (500.0, None, 0, 0.0, "pass"),
        (495.0, None, 3, 0.0, "fail"),
        (495.0, 499.0, 3, 100.0, "fail"),
        (495.0, 500.0, 3, 100.0, "unknown"),
    ],
)
def test_what_well_and_pump_give_in_a_day(
    given: float, soonest: float | None, starts: int, beside: float, status: str
) -> None:
    site = parse_site(low_yield(WELLS[0][0])).site
    pump = in_well(starts=starts, soonest_day=None if soonest is None else soonest * GALLON)
    result = SimpleNamespace(own_volume=500 * GALLON, from_other_wells=beside * GALLON,
                             daily_volume=(500 + beside) * GALLON)  # fmt: skip
    found = judged._well_gives(site, pump, result, given * GALLON)
    assert found.status == status
    parts = {"volume": f"{given:.0f} gal, volume", "use": "500 gal, volume"}
    if status == "unknown":
        assert found.needs == ("pump[1].restart_after",)
        both = {name: part for name, part in told(found.reason).items() if name != "keys"}
        assert both == parts | {"soonest": f"{soonest:.0f} gal, volume"}
        return
    assert compared(found) == (status, *parts.values())
    parts |= {"starts": f"{starts}"} | ({"beside": "100 gal, volume"} if beside else {})
    assert told(found.reason) == parts
    assert found.reason.template.startswith("on and off" if starts else "running all day")
    if status == "fail":
        assert told(found.remedy) == {"most": f"{given + beside:.0f} gal, volume"}


@pytest.mark.parametrize(
    ("loss", "named", "status", "share"),
    [
        # 10 ft of the aquifer's at 10 gpm, and C Q2 of well loss.
        (0.042, "clogged", "pass", 4.2 / 14.2),
        (0.045, "clogged", "caution", 4.5 / 14.5),
        (0.045, "sound", "pass", 4.5 / 14.5),
        (0.0, "clogged", "pass", 0.0),
    ],
)
def test_well_loss_at_the_greatest_flow(
    loss: float, named: str, status: str, share: float
) -> None:
    """Of all pumps and their duties; without a pump at the greatest of the test."""
    test = SimpleNamespace(kind="step test", usable=True, readings=[
        SimpleNamespace(flow=each * GPM) for each in (2, 5, 10)])  # fmt: skip
    result = SimpleNamespace(
        tests=(SimpleNamespace(kind="pumping test", usable=True), test),
        well_loss=loss * FOOT / GPM**2, specific_capacity=GPM / FOOT, well_loss_class=named,
    )  # fmt: skip
    pumps = tuple(
        SimpleNamespace(duties=tuple(SimpleNamespace(flow=each * GPM) for each in flows))
        for flows in ((4, 3), (10, 6), (5,))
    )
    for of_pumps in (pumps, ()):
        (found,) = judged._well_loss(result, of_pumps)
        assert (found.status, found.subject) == (status, "well")
        assert found.quantity == pytest.approx(share)
        assert (found.limit, found.quantity.kind) == (0.3, kinds.FRACTION)
        assert told(found.reason) | {"share": ""} == {
            "flow": "10 gpm, flow", "share": "", "named": named}  # fmt: skip
        if status == "caution":
            sound = 5 * (231 / 1728 / 60) ** 2
            assert found.remedy.parts["slower"] == pytest.approx(30 / 70 / loss * GPM)
            assert found.remedy.parts["slower"].kind is kinds.FLOW
            saved = found.remedy.parts["saved"]
            assert saved == pytest.approx((loss - sound) * 100 * FOOT)
            assert saved.kind is kinds.LENGTH
            assert told(found.remedy)["flow"] == "10 gpm, flow"
    test.usable = False
    assert not judged._well_loss(result, pumps)
    result.tests = ()
    assert not judged._well_loss(result, pumps)
