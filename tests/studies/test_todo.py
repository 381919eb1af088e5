"""The list of what must be done: each verdict once, what can hurt first, and each change works."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from types import SimpleNamespace
from typing import Any, get_args

import pytest

from tests.sampled import every
from wellsolar.commands import EVERYTHING
from wellsolar.kinds import LENGTH, Kind
from wellsolar.results import Results
from wellsolar.results.parts import Part
from wellsolar.results.whole import ToDo
from wellsolar.site.loading.read import SiteFile, load_site, parse_site
from wellsolar.studies.asked.care import care_of
from wellsolar.studies.asked.todo import _beyond, _beyond_all, _lowered, todo_of
from wellsolar.studies.case import study_site
from wellsolar.studies.rules import all_rules
from wellsolar.units import Quantity, read
from wellsolar.verdicts import Status, Trade, Verdict, remedy, say, set_to

CHECKOUT = Path(__file__).parents[2]
EXAMPLES = sorted((CHECKOUT / "examples").glob("*.toml"))
SITES = sorted((CHECKOUT / "tests" / "sites").glob("*.toml"))


def test_who_cares_for_what_and_how_often() -> None:
    """What is opened, lifted or drained under pressure is a plumber's, what is live an
    electrician's, what is looked at or run the owner's: common practice, no source. Each trade
    that is named is one, and so is each time of the year."""
    names = {path.stem: care_of(loaded(path).site) for path in EXAMPLES}
    found = {(care.by, care.often, care.text.template.split(" ")[0])
             for tasks in names.values() for care in tasks}  # fmt: skip
    year, month = "once a year", "once a month"
    assert found == {
        ("owner", year, "Have"), ("owner", year, "Look"), ("owner", month, "Run"),
        ("owner", month, "Work"), ("owner", year, "Before"), ("owner", year, "Measure"),
        ("owner", "twice a year", "From"), ("plumber", year, "Check"), ("plumber", year, "Lift"),
        ("plumber", year, "Draw"), ("electrician", year, "Work"), ("electrician", year, "Check"),
    }  # fmt: skip
    for tasks in names.values():
        order = [("owner", "plumber", "electrician").index(care.by) for care in tasks]
        assert order == sorted(order)


def test_each_task_comes_with_what_it_is_of() -> None:
    """A bare site has its water tested and its well looked at; nothing else of it needs care."""
    power = SimpleNamespace(generator_rating=None, battery_energy=None)
    heater = SimpleNamespace(mixing_valve=None)
    bare = dict.fromkeys(("hand_pump", "storage_tank", "pressure_tank", "water_heater"))
    bare |= {"pump": (), "array": (), "power": power}

    def asked(**there: object) -> list[str]:
        tasks = care_of(SimpleNamespace(**bare | there))  # type: ignore[arg-type]
        return [each.text.text("US") for each in tasks]

    def pump(name: str, role: str) -> SimpleNamespace:
        return SimpleNamespace(name=name, role=role)

    usual, before = asked(), "Before the first frost"
    assert [each.split(" ")[0] for each in usual] == ["Have", "Look"]
    for there, begins in (
        ({"pump": (pump("old", "existing"),)}, []),
        ({"pump": (pump("new", "backup"), pump("old", "existing"), pump("third", "backup"))},
         ["Run the new and the third for ten minutes."]),
        ({"hand_pump": SimpleNamespace(frost_drain=False)}, ["Work the hand pump"]),
        ({"hand_pump": SimpleNamespace(frost_drain=True)}, ["Work the hand pump", before]),
        ({"storage_tank": True}, ["Look into the storage tank"]),
        ({"pressure_tank": True}, ["Check the air of the pressure tank"]),
        ({"water_heater": heater}, ["Lift the lever", "Draw off the heater's sediment"]),
        ({"water_heater": SimpleNamespace(mixing_valve=True)},
         ["Measure the hottest water", "Lift the lever", "Draw off the heater's sediment"]),
        ({"array": (1,)}, ["From the ground", "Work each isolator"]),
        ({"power": SimpleNamespace(generator_rating=5e3, battery_energy=None)},
         ["Run the generator outside"]),
        ({"power": SimpleNamespace(generator_rating=None, battery_energy=1e7)},
         ["Check the battery"]),
    ):  # fmt: skip
        more = [each for each in asked(**there) if each not in usual]
        assert len(more) == len(begins)
        assert all(one.startswith(begin) for one, begin in zip(more, begins, strict=True)), more


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


def test_every_rule_says_whose_work_it_is_and_what_its_limit_is() -> None:
    trades = set(get_args(Trade))
    for rule in all_rules().values():
        assert rule.by in trades, rule.key
        assert rule.read_by in trades | {None}, rule.key
        assert rule.limit_is in ("at least", "at most", None), rule.key
    # What is under covers with mains or direct current in it is nobody's but the electrician's.
    for key in ("thermostat on direct current", "motor overload", "supplies kept apart"):
        assert all_rules()[key].by == "electrician", key


@pytest.mark.parametrize("path", every(SITES, 4), ids=lambda path: path.stem)
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


def verdict(
    rule: str, status: Status, subject: str, found: str = "", limit: str = "", kind: Kind = LENGTH,
    **changes: str,
) -> Verdict:  # fmt: skip
    """A made-up one; its remedy sets keys of the pump, or is work that no key tells."""
    of = all_rules()[rule]
    sizes = {}
    if found:
        sizes = {"quantity": read(found, kind), "limit": read(limit, kind)}
    how = [set_to(f"pump[1].{key}", value) for key, value in changes.items()]
    mend = remedy(f"mend {subject}", how) if how else remedy(f"mend {subject}", "no key")
    return of.verdict(status, subject, say(f"{subject} is so"), **sizes, remedy=mend)


def test_the_order_of_the_list() -> None:
    """What can hurt, what fails, what is not known and can hurt, what else is not known, cautions;
    of those alike the one farthest beyond its limit, as a part of it, first; one that is compared
    by no size counts as wholly beyond."""
    rules = all_rules()
    site = loaded(CHECKOUT / "tests" / "sites" / "precharge.toml").site
    in_order = [
        verdict("well head", "fail", "head", "11 in", "12 in"),
        verdict("bonding at the well", "caution", "bond"),
        verdict("peak flow", "fail", "peak", "1 m", "4 m"),  # three quarters short
        verdict("yield", "fail", "yield", "6 m", "4 m"),  # half too much
        verdict("day's water", "fail", "day", "5 m", "4 m"),
        rules["overflow"].unknown("overflow", "storage_tank.overflow"),
        rules["motor cooling"].unknown("motor", "pump[1].motor_diameter", "well.casing_bore"),
        verdict("prime", "caution", "prime"),  # wholly
        verdict("suction lift", "caution", "lift", "5 m", "4 m"),
        verdict("submergence", "caution", "cover", "3.9 m", "4 m"),
    ]
    for given in (in_order, in_order[::-1]):
        found = todo_of(site, [*given, verdict("yield", "pass", "other")])
        assert [line.subject for line in found] == [each.subject for each in in_order]
        assert [line.clears for line in found] == [(each,) for each in in_order]
    acts = [line.act for line in found]
    assert acts == ["work"] * 5 + ["read"] * 2 + ["work"] * 3
    motor = found[6]
    assert motor.needs == ("pump[1].motor_diameter", "well.casing_bore")
    assert motor.does.text("US").count("; ") == 1
    assert motor.first.text("US") == "find out pump[1].motor_diameter and well.casing_bore"
    assert (motor.by, found[5].by) == ("owner", "owner")  # who may read it
    assert [line.by for line in found[:2]] == ["driller", "electrician"]  # who may mend it
    assert found[0].first.text("US") == "mend head"
    assert found[0].why.text("US") == "head is so"


def test_changes_that_are_alike_stand_on_one_line_and_the_farthest_asks() -> None:
    site = loaded(CHECKOUT / "tests" / "sites" / "precharge.toml").site
    depth = float(site.pump[0].intake_depth or 0.0) / 0.3048
    near, far = f"{depth + 10:.0f} ft", f"{depth + 30:.0f} ft"
    made = [
        verdict("submergence", "caution", "near", "9 m", "10 m", intake_depth=near),
        verdict("runs dry", "fail", "same", "8 m", "10 m", intake_depth=near),
        verdict("well head", "caution", "far", "7 m", "10 m", intake_depth=far),
        verdict("yield", "caution", "two", "7 m", "5 m", intake_depth=far, shroud="true"),
    ]
    one, other = todo_of(site, made)
    # Two of its clears fail or hurt; the depth that it sets is the farther one.
    assert [str(each) for each in one.changes] == [f'pump[1].intake_depth="{far}"']
    assert [each.subject for each in one.clears] == ["same", "far", "near"]
    assert one.why.text("US") == "same is so"
    assert one.first.text("US") == "mend far"
    assert (one.status, one.safety, one.act) == ("fail", True, "change")
    assert [each.subject for each in other.clears] == ["two"]
    # What is a part of another line's changes comes before it, wherever it stands beside it.
    part = verdict("yield", "caution", "part", "5.1 m", "5 m", shroud="true")
    lines_of = [line.subject for line in todo_of(site, [made[3], part])]
    assert lines_of == ["part", "two"]


def test_a_line_costs_what_is_bought_for_its_verdicts_where_all_have_a_price() -> None:
    site = loaded(CHECKOUT / "tests" / "sites" / "precharge.toml").site
    one, other = (verdict("yield", "fail", name, "7 m", "5 m") for name in ("one", "other"))

    def listed(verdict: Verdict | None, cost: float | None) -> Part:
        return Part("", "", "", None, say(""), "to add", (), verdict, "", cost=cost)

    for parts, cost in (
        ((listed(one, 3.0), listed(one, 4.0), listed(other, 9.0), listed(None, 1.0)), 7.0),
        ((listed(one, 3.0), listed(one, None)), None),
        ((listed(other, 3.0),), None),
        ((), None),
    ):
        assert todo_of(site, [one], parts)[0].cost == cost


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


def test_a_meaning_within_a_line_begins_small_but_for_letters_that_stand_for_words() -> None:
    for text, within in (("Depth. Of it.", "depth. Of it"), ("PV share.", "PV share"),
                         ("A depth", "a depth"), ("pH", "pH"), ("DCs", "DCs")):  # fmt: skip
        assert _lowered(text) == within


def test_how_far_beyond_its_limit_as_a_part_of_it() -> None:
    six, none = Quantity(-6.0, LENGTH), Quantity(0.0, LENGTH)
    for margin, limit, beyond in (
        (-3.0, six, 0.5), (1.5, six, -0.25), (-3.0, none, 1.0), (-3.0, "word", 1.0),
        (None, six, 1.0), (-3.0, None, 1.0),
    ):  # fmt: skip
        verdict: Any = SimpleNamespace(margin=margin, limit=limit)
        assert _beyond(verdict) == beyond
    clears = [SimpleNamespace(margin=margin, limit=six) for margin in (1.5, -3.0, -1.5)]
    line: Any = SimpleNamespace(clears=clears)
    assert _beyond_all(line) == -0.5  # by the farthest of its verdicts
