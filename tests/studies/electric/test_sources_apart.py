"""Supplies of a house by pairs, and where its neutral is bonded."""

from __future__ import annotations

import json

import pytest

from tests.site_texts import EXAMPLES
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.electric.sources_apart import supply_verdicts
from wellsolar.verdicts import Verdict, changes_of

TEXT = (EXAMPLES / "smallest.toml").read_text(encoding="utf-8")
INVERTER, GENERATOR = 'power.inverter_rating="6 kW"', 'power.generator_rating="7 kVA"'
OFF_GRID = "power.grid=false"
ALL = ("grid and inverter", "grid and generator", "inverter and generator")


def judged(*settings: str) -> dict[str, Verdict]:
    site = parse_site(TEXT, settings=list(settings)).site
    return {each.rule.key: each for each in supply_verdicts(site)}


def apart(*pairs: str) -> str:
    return f"power.kept_apart={json.dumps(pairs)}"


@pytest.mark.parametrize(
    ("there", "pairs"),
    [
        ((INVERTER,), ALL[:1]),
        # An inverter that comes back stands on the generator off the grid too.
        ((OFF_GRID, INVERTER, GENERATOR), ALL[2:]),
        ((INVERTER, GENERATOR), ALL),
    ],
)
def test_every_pair_is_asked_for(there: tuple[str, ...], pairs: tuple[str, ...]) -> None:
    rule = "supplies kept apart"
    assert judged(*there)[rule].needs == ("power.kept_apart",)
    assert judged(*there, apart(*pairs))[rule].status == "pass"
    for left_out in pairs:
        others = [each for each in pairs if each != left_out]
        found = judged(*there, apart(*others))[rule]
        assert found.status == "fail"
        assert left_out in found.reason.text("US")
        assert found.reason.parts["pairs"] == found.remedy.parts["pairs"] == left_out
        changes = [str(each) for each in changes_of(found.remedy)]
        # In the order in which supplies are counted up.
        assert changes == [f"power.kept_apart={json.dumps(list(pairs))}"]
        assert judged(*there, *changes)[rule].status == "pass"


@pytest.mark.parametrize("alone", [(), (OFF_GRID, INVERTER), (OFF_GRID, GENERATOR)])
def test_one_supply_meets_none(alone: tuple[str, ...]) -> None:
    assert judged(*alone) == {}


@pytest.mark.parametrize(
    ("neutral", "switch", "status"),
    [
        # One bond, two and none (NEC 250.30, from memory: hence no more than a caution).
        ("bonded", "switched", "pass"),
        ("floating", "joined", "pass"),
        ("bonded", "joined", "caution"),
        ("floating", "switched", "caution"),
    ],
)
def test_the_neutral_is_bonded_once(neutral: str, switch: str, status: str) -> None:
    told = f'power.generator_neutral="{neutral}"', f'power.transfer_neutral="{switch}"'
    found = judged(GENERATOR, *told)["neutral bond"]
    assert (found.status, found.subject) == (status, "generator")
    where = "at the generator" if neutral == "bonded" else "at the service"
    if status == "pass":
        assert found.reason.parts == {"where": where}
    else:
        twice = "at the generator and at the service"
        assert (twice in found.reason.template) is (neutral == "bonded")
        assert ("bonded nowhere" in found.reason.template) is (neutral == "floating")
    for lacks in range(2):
        keys = ("power.generator_neutral", "power.transfer_neutral")
        untold = judged(GENERATOR, told[1 - lacks])["neutral bond"]
        assert (untold.status, untold.needs) == ("unknown", (keys[lacks],))
    if status == "caution":
        changes = [str(each) for each in changes_of(found.remedy)]
        assert judged(GENERATOR, *told, *changes)["neutral bond"].status == "pass"
    assert "neutral bond" not in judged(INVERTER)
