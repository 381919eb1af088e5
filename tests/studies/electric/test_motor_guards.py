"""Overload of a motor, NEC (2008) 430.32(A), and its ground-fault breaker, (2020) 210.8(F)."""

from __future__ import annotations

import pytest

from tests.site_texts import EXAMPLES
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.electric.motor_guards import motor_guard_verdicts
from wellsolar.verdicts import Verdict, changes_of

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
    assert judged("pump[1].overload=in the motor")["motor overload"].status == "pass"
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
