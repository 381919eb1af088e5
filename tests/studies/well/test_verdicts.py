"""What is judged of a well and its tests, and what is asked for."""

from __future__ import annotations

import pytest

from tests.properties.whole.sides import base_tables, with_given
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
from wellsolar import Case, site_from


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
