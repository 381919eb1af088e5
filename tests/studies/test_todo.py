"""The list of what must be done: each verdict once, what can hurt first, and each change works."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import get_args

import pytest

from wellsolar.commands import EVERYTHING
from wellsolar.results import Results
from wellsolar.results.whole import ToDo
from wellsolar.site.loading.read import SiteFile, load_site, parse_site
from wellsolar.studies.asked.todo import todo_of
from wellsolar.studies.case import study_site
from wellsolar.studies.rules import all_rules
from wellsolar.verdicts import Trade, remedy, say, set_to

CHECKOUT = Path(__file__).parents[2]
SITES = sorted((CHECKOUT / "tests" / "sites").glob("*.toml"))


@cache
def loaded(path: Path) -> SiteFile:
    return load_site(path)


@cache
def studied(path: Path) -> Results:
    return study_site(loaded(path), EVERYTHING)


def lines(name: str) -> dict[str, ToDo]:
    """The lines of a test site by the first way that each tells."""
    return {
        line.first.text("US"): line
        for line in studied(CHECKOUT / "tests" / "sites" / f"{name}.toml").todo
    }


def test_every_rule_says_whose_work_it_is() -> None:
    trades = set(get_args(Trade))
    for rule in all_rules().values():
        assert rule.by in trades, rule.key
        assert rule.read_by in trades | {None}, rule.key
    # What is under covers with mains or direct current in it is nobody's but the electrician's.
    for key in ("thermostat on direct current", "motor overload", "supplies kept apart"):
        assert all_rules()[key].by == "electrician", key


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.stem)
def test_every_verdict_that_does_not_pass_stands_on_one_line(path: Path) -> None:
    results = studied(path)
    asked = [(v.rule.key, v.subject) for v in results.verdicts if v.status != "pass"]
    listed = [(v.rule.key, v.subject) for line in results.todo for v in line.clears]
    assert sorted(listed) == sorted(asked)
    places = [_place(line) for line in results.todo]
    assert places == sorted(places)


def _place(line: ToDo) -> int:
    """Where its kind of line stands: known harm, fails, harm not known, the rest."""
    if line.safety and line.status != "unknown":
        return 0 if line.status == "fail" else 1
    if line.status == "fail":
        return 2
    return {"unknown": 3 if line.safety else 4}.get(line.status, 5)


@pytest.mark.parametrize("name", ["deep860", "cistern", "twoatonce", "3ph_direct_house"])
def test_what_one_line_changes_clears_all_that_it_says(name: str) -> None:
    path = CHECKOUT / "tests" / "sites" / f"{name}.toml"
    several = [line for line in studied(path).todo if line.changes and len(line.clears) > 1]
    for line in several:
        changed = loaded(path).with_values({each.path: each.value for each in line.changes})
        after = study_site(changed, EVERYTHING)
        left = {(each.rule.key, each.subject) for todo in after.todo for each in todo.clears}
        # One that is asked no more is cleared too.
        assert not left & {(each.rule.key, each.subject) for each in line.clears}, line.changes
    if name != "twoatonce":
        assert several


def test_two_sizes_of_one_thing_are_one_purchase() -> None:
    # The peak asks a tank of 100 gal, the outages one of 300 gal.
    tank = lines("deep860")["a storage tank of 300 gal (needs 208 gal)"]
    assert {each.rule.key for each in tank.clears} >= {"peak flow", "water in the worst outage"}
    assert [str(each) for each in tank.changes] == ['storage_tank.volume="300 gal"']


def test_a_key_up_for_one_and_down_for_another_stays_two_lines() -> None:
    site = loaded(CHECKOUT / "tests" / "sites" / "precharge.toml").site
    rules = all_rules()
    made = [
        rules[key].verdict(
            "caution", "tank", say("so"),
            remedy=remedy("set it", [set_to("pressure_tank.precharge", pressure)]),
        )
        for key, pressure in (("precharge", "20 psi"), ("run time", "60 psi"))
    ]  # fmt: skip
    assert len(todo_of(site, made)) == 2
    assert len(todo_of(site, [made[0], made[0]])) == 1


def test_what_is_read_says_who_may_read_it() -> None:
    found = lines("3ph_direct_house")
    frost = found["find out piping.frost_depth and piping.pitless_depth"]
    assert (frost.act, frost.by, frost.changes) == ("read", "owner", ())
    overload = found["find out pump[1].overload"]
    assert (overload.by, overload.safety) == ("electrician", True)


def test_what_goes_into_the_well_is_the_drillers_whatever_asks_for_it() -> None:
    found = lines("3ph_direct_house")
    pump = next(line for words, line in found.items() if words.startswith("a deep-well hand pump"))
    assert {each.rule.by for each in pump.clears} == {"plumber"}
    assert pump.by == "driller"


def test_the_part_of_a_change_comes_before_the_whole() -> None:
    # With its air right the tank may hold enough: to set it costs nothing.
    changed = [line.changes for line in studied(SITES[0].parent / "precharge.toml").todo]
    paths = [{each.path for each in changes} for changes in changed if changes]
    assert paths.index({"pressure_tank.precharge"}) < paths.index(
        {"pressure_tank.volume", "pressure_tank.count", "pressure_tank.precharge"}
    )


def test_its_cost_is_that_of_all_that_is_bought_for_it() -> None:
    text = (CHECKOUT / "tests" / "sites" / "3ph_direct_house.toml").read_text(encoding="utf-8")
    priced = '\n[[price]]\nitem = "pump cable"\nper = "ft"\ncost = "1.50"\n'
    found = study_site(parse_site(text + priced), EVERYTHING).todo
    cable = next(line for line in found if line.first.text("US").startswith("use 10 AWG"))
    # 360 ft one way and a tenth to spare, the next whole foot, at 1.50.
    assert cable.cost == pytest.approx(396 * 1.5)
    assert all(line.cost is None for line in found if line is not cable)
