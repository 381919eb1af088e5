"""Relief valve of a hand pump that presses into the tank, and lifts that hold a well open."""

from __future__ import annotations

import math

import pytest

from tests.studies.hand.village import VILLAGE, G, changed, studied, verdict

TANK = """delivers = "tank"
[pressure_switch]
cut_in = "40 psi"
cut_out = "60 psi"
[pressure_tank]
volume = "40 gal"
precharge = "38 psi"
{plate}
"""


@pytest.mark.parametrize(
    ("setting", "plate", "status"),
    [
        (None, "100 psi", "unknown"),
        ("60 psi", "100 psi", "fail"),
        ("61 psi", "100 psi", "pass"),
        ("100 psi", "100 psi", "pass"),
        ("101 psi", "100 psi", "fail"),
        # A plate that the file does not give is taken as 100 psi, from practice.
        ("101 psi", None, "caution"),
    ],
)
def test_a_relief_valve_opens_above_the_cut_out_and_within_the_plate(
    setting: str | None, plate: str | None, status: str
) -> None:
    text = VILLAGE + ("" if setting is None else f'relief_pressure = "{setting}"\n')
    text += TANK.format(plate="" if plate is None else f'greatest_pressure = "{plate}"')
    found = verdict(studied(text), "relief at the hand pump")
    assert found.status == status
    if status == "unknown":
        assert found.needs == ("hand_pump.relief_pressure",)
        # 400 N by 8 to 1, less 403 N of rods of 12 mm, with friction of 80 %, on 63.5 mm, the
        # water 40 m down.
        rods = math.pi / 4 * 0.012**2 * 55 * (7850 - 999.6) * G
        for people in (1, 2):
            by = f'lever_ratio = "8"\npeople_pumping = {people}'
            told = verdict(studied(changed(text, ('lever_ratio = "8"', by))), found.rule.key)
            on_piston = (400 * people * 8 - rods) * 2 / (1 + 1 / 0.80)
            made = on_piston / (math.pi / 4 * 0.0635**2) - 1000 * G * 40
            assert float(told.reason.parts["made"]) == pytest.approx(made, rel=0.01)
    if status == "fail":
        assert found.remedy is not None


def test_a_pump_to_the_spout_needs_none() -> None:
    keys = [each.rule.key for each in studied(VILLAGE).verdicts]
    assert "relief at the hand pump" not in keys


@pytest.mark.parametrize(
    ("kind", "shares", "status"),
    [
        ("rope pump", None, "unknown"),
        ("rope pump", "true", "fail"),
        ("rope pump", "false", "pass"),
        ("bucket and windlass", None, "unknown"),
        ("bucket and windlass", "true", "fail"),
        ("bucket and windlass", "false", "caution"),
    ],
)
def test_a_lift_that_holds_the_well_open(kind: str, shares: str | None, status: str) -> None:
    lift = f'[[lift]]\nname = "other"\nkind = "{kind}"\nhead = "60 m"\nflow = "5 L/min"\n'
    lift += "" if shares is None else f"shares_casing = {shares}\n"
    found = verdict(studied(VILLAGE + lift), "closed well")
    assert found.status == status


@pytest.mark.parametrize(("key", "status"), [("true", "fail"), ("false", "pass"), ("", "unknown")])
def test_a_pump_above_the_water_holds_its_prime(key: str, status: str) -> None:
    text = VILLAGE + 'kind = "suction"\n'
    text += f"needs_priming = {key}\n" if key else ""
    assert verdict(studied(text), "priming").status == status
    assert "priming" not in [each.rule.key for each in studied(VILLAGE).verdicts]
