"""Relief valve of a hand pump that presses into the tank, and lifts that hold a well open."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest

from tests.studies.hand.village import VILLAGE, G, changed, studied, verdict
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.hand import head

PSI = 6894.757293168361
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
    else:
        wrong = {"60 psi": "{setting}, no more than", "101 psi": "{setting}, more than"}
        assert wrong.get(setting or "", "{setting}, above") in found.reason.template
        assert (found.remedy is None) == (status == "pass")


UP = 'delivers = "storage tank"\n'
POLY = 'material = "polyethylene SIDR", size = "1 1/4 in", bore = "35 mm"'
LINE = UP + f"line = {{{{ {POLY}{{}} }}}}\n"
CLASS = ', pressure_class = "700 kPa"'


@pytest.mark.parametrize(
    ("more", "high", "pressed", "bears", "of", "guessed"),
    [
        # Up to an inlet 13 m above the pumped water, through a line of 700 kPa by its print; an
        # inlet below that water is no work. Polyethylene whose class is not told: SIDR 19 of
        # 800 psi is the weakest, 2 x 800 / (19 + 1) psi.
        (LINE.format(CLASS), 13.0, 13 * 1000 * G, 700e3, "what its line bears", False),
        (LINE.format(CLASS), -3.0, 0.0, 700e3, "what its line bears", False),
        (LINE.format(""), 13.0, 13 * 1000 * G, 80 * PSI, "the weakest that its line may be", True),
        # With no line of its own, the lateral.
        (UP, 13.0, 13 * 1000 * G, 600e3, "what its line bears", False),
        # Into the pressure tank, with and without its plate; to the spout there is no such work.
        (TANK.format(plate='greatest_pressure = "90 psi"'), None, 60 * PSI, 90 * PSI,
         "the tank's plate", False),
        (TANK.format(plate=""), None, 60 * PSI, 100 * PSI,
         "a tank whose plate is not in the file", True),
        (TANK.format(plate="").replace('delivers = "tank"\n', ""), None, None, None, "", False),
    ],
)  # fmt: skip
def test_what_a_hand_pump_presses_against_and_what_its_line_bears(
    more: str, high: float | None, pressed: float | None, bears: float, of: str, guessed: bool
) -> None:
    text = VILLAGE + more
    if high is not None:
        text += '[storage_tank]\nvolume = "3000 L"\n[piping]\n'
        text += f'lateral = {{ {POLY}, length = "5 m", pressure_class = "600 kPa" }}\n'
    site = parse_site(text).site
    assert site.hand_pump is not None
    inlet = None if high is None else SimpleNamespace(head=42.5 + high)
    result: Any = SimpleNamespace(duty=lambda place: inlet, pumping_level=42.5)
    work = head._work(site, site.hand_pump, result)
    if pressed is None:
        assert work is None
        return
    assert work is not None
    assert float(work.pressure) == pytest.approx(pressed, rel=1e-6)
    assert float(work.limit) == pytest.approx(bears, rel=1e-6)
    assert (work.of, work.guessed) == (of, guessed)


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
