"""What fails with one component alone, and the remedy for it."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any, NamedTuple
from unittest import mock

import pytest

from tests.sampled import every
from tests.studies.outage import huts
from wellsolar import kinds
from wellsolar.results.outages import Fix, Outage, OutageResult
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Case, study_site
from wellsolar.studies.outage import weak_links
from wellsolar.studies.outage.study import study_outages
from wellsolar.studies.outage.weak_links import Candidate, candidates
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.units import read
from wellsolar.verdicts import Change, set_to

WORST = "water in the worst outage"


def link(found: OutageResult, component: str) -> Outage:
    return next(each.outage for each in found.links if each.component == component)


def fix_of(found: OutageResult, component: str) -> Fix:
    fix = next(each.fix for each in found.links if each.component == component)
    assert fix is not None, component
    return fix


BY_HAND_INTO_THE_TANK = (
    huts.changed(
        huts.HUT,
        ("people = 6", "people = 200"),
        ('cut_in = "200 kPa"', 'cut_in = "300 kPa"'),
        ('cut_out = "300 kPa"', 'cut_out = "400 kPa"'),
    )
    + huts.HAND.replace("24 m", "34 m")
    + ('delivers = "tank"\nspout_valve = false\n[pressure_tank]\nvolume = "300 L"\n')
)


class TestWeakLinks:
    def test_a_cylinder_above_the_low_season_water(self) -> None:
        """Cylinder at 24 m, water at 20 m as a rule, at 26 m in the low season."""
        text = huts.HUT + huts.HAND
        results = huts.studied(text)
        found = results.outages
        assert "above the low-season water" in found.whole.cell("hand pump").limit
        assert {each.component for each in found.weak} == {"grid", "house pump", "pressure switch"}
        assert huts.verdict(results, huts.LINKS).status == "fail"
        assert [each.kind for each in found.plan] == ["cylinder"]
        (fix,) = found.plan
        assert [each.path for each in fix.changes] == ["hand_pump.cylinder_depth"]
        remedy = huts.verdict(results, huts.LINKS).remedy
        assert fix.changes[0].value.strip('"') in remedy.text("SI")
        mended = huts.studied(huts.with_fix(text, fix))
        assert huts.verdict(mended, huts.LINKS).status == "pass"
        assert huts.verdict(mended, WORST).status == "pass"
        assert not mended.outages.weak
        assert link(mended.outages, "grid").survival > 1.0  # type: ignore[operator]

    def test_without_the_low_season_there_is_no_weak_link(self) -> None:
        level = ('"20 m (18 m .. 26 m)"', '"20 m"')
        assert not huts.outages(huts.changed(huts.HUT + huts.HAND, level)).weak

    def test_stored_water_for_a_week(self) -> None:
        """6 people, 90 L a day: a week of it is 630 L, and half a tank is there."""
        (fix,) = huts.outages(huts.HUT).plan
        assert (fix.kind, fix.changes[0].path) == ("storage", "storage_tank.volume")
        # 1260 L: the next tank that is sold at a metric site.
        assert fix.changes[0].value == '"1500 L"'
        assert (
            huts.verdict(huts.studied(huts.with_fix(huts.HUT, fix)), huts.LINKS).status == "pass"
        )
        smaller = huts.HUT + '\n[storage_tank]\nvolume = "1250 L"\n'
        assert huts.verdict(huts.studied(smaller), huts.LINKS).status == "fail"

    def test_a_valve_where_the_pressure_of_the_tank_is_the_work(self) -> None:
        """200 people, 3000 L: 8 h do not suffice against the tank's 36 m, at the spout they do.

        Water from 26 m, half a metre of drawdown: 0.72 x 61.6 W x 28800 s / (999 x 9.807 x H).
        """
        text = BY_HAND_INTO_THE_TANK
        joules = 0.72 * huts.rule_of_power(480.0) * 28_800
        spout, tank = (joules / (999 * huts.G * head) for head in (27.1, 26 + 1.7 + 35.7))
        assert tank < 200 * 0.015 < spout
        found = huts.outages(text)
        cell = link(found, "grid").cell("hand pump")
        assert cell.volume == pytest.approx(tank, rel=0.03)
        assert cell.pressure == "by hand"
        fix = fix_of(found, "grid")
        assert (fix.kind, fix.changes[0].path) == ("valve", "hand_pump.spout_valve")
        mended = link(huts.outages(huts.with_fix(text, fix)), "grid")
        assert not mended.short
        assert mended.cell("hand pump").volume == pytest.approx(spout, rel=0.03)

    def test_a_hand_pump_where_a_tank_would_be_too_large(self) -> None:
        """60 people, 900 L a day: a tank of 12.6 m3, but less than an hour's work at 26 m."""
        text = huts.changed(huts.HUT, ("people = 6", "people = 60"))
        (fix,) = huts.outages(text).plan
        assert fix.kind == "hand pump"
        mended = huts.with_fix(text, fix)
        assert huts.verdict(huts.studied(mended), huts.LINKS).status == "pass"
        assert "fail" not in {
            each.status for each in study_site(parse_site(mended), ("hand",)).verdicts
        }

    def test_a_generator_where_nothing_else_helps(self) -> None:
        """1200 people in reach of no handle: what the grid's failure asks for is a generator."""
        text = huts.changed(
            huts.HUT,
            ("people = 6", "people = 1200"),
            ('"60 m"', '"120 m"'),
            ('"20 m (18 m .. 26 m)"', '"75 m"'),
            ('"45 m"', '"100 m"'),
            ('"110, 100, 80, 50 m"', '"200, 190, 170, 140 m"'),
            ('"0, 10, 20, 30 L/min"', '"0, 30, 60, 90 L/min"'),
        )
        found = huts.outages(text)
        fix = fix_of(found, "grid")
        assert fix.kind == "generator"
        mended = huts.with_fix(text + "\n[power]\n", fix)
        generator = link(huts.outages(mended), "grid")
        assert not generator.short
        cell = generator.cell("house pump")
        assert cell.power == "generator"
        # Fuel for four hours of the twenty-four that the grid would give.
        grid = found.whole.cell("house pump").volume
        assert cell.volume == pytest.approx(grid * 4 / 24)

    SOLAR = (
        huts.changed(
            huts.HUT,
            ("people = 6", 'people = 6\nlatitude = "12 deg"'),
            ('voltage = "230 V"', 'voltage = "110 V"\nsupply = "DC"'),
            ('rated_power = "0.55 kW"\n', ""),
            ('locked_rotor_current = "20 A"\n', ""),
        )
        + """
[module]
voc = "45.6 V"
isc = "9.3 A"
vmp = "37.4 V"
imp = "8.8 A"
cells = 72
[[array]]
name = "pump array"
feeds = "pump"
series = 3
tilt = "15 deg"
[[array]]
name = "heater array"
feeds = "heater"
series = 3
tilt = "15 deg"
[sun]
monthly = "5.6, 6.3, 6.6, 6.5, 6.3, 5.9, 5.3, 5.0, 5.5, 5.9, 5.8, 5.4 kWh/m2/day"
"""
    )

    def test_modules_that_can_be_moved(self) -> None:
        text = self.SOLAR
        found = huts.outages(text)
        weak = {each.component for each in found.weak}
        assert weak == {"pump array", "house pump", "pressure switch"}
        fix = fix_of(found, "pump array")
        assert fix.kind == "modules"
        assert [(each.path, each.value) for each in fix.changes] == [("array[2].feeds", '"pump"')]
        assert not link(huts.outages(huts.with_fix(text, fix)), "pump array").short

    def test_what_is_not_known_is_asked_for(self) -> None:
        text = huts.HUT + '\n[power]\ngrid = false\nbattery_energy = "5 kWh"\n'
        asked = huts.verdict(huts.studied(text), huts.LINKS)
        assert asked.status == "unknown"
        of_inverter = {f"power.inverter_{key}" for key in ("rating", "surge", "voltage")}
        assert set(asked.needs) <= of_inverter
        nobody = huts.verdict(huts.studied(huts.HUT.replace("people = 6\n", "")), huts.LINKS)
        assert nobody.needs == ("site.people",)


class Left(NamedTuple):
    """What is left without a component: water of a day [m3], and whether that is too little."""

    volume: float
    short: bool


Changes = tuple[Change, ...]
BROUGHT = {"hand pump": "hand pump", "storage": "storage tank", "generator": "generator"}
"""What some changes bring that may fail in its turn: then all is as before."""


def told(text: str) -> OutageResult:
    """The outages of a file that is read anew, without anything to mend them."""
    result, _ = study_outages(Case(parse_site(text)).equipment, fixes=False)
    assert result is not None
    return result


def lefts(text: str) -> dict[str, Left]:
    return {each.component: Left(each.outage.volume, each.outage.short)
            for each in told(text).links}  # fmt: skip


def written(text: str, changes: Changes) -> str:
    return huts.with_fix(text, Fix("", "", changes, 0.0))


def listed(text: str) -> list[Candidate]:
    """What may be tried, twelve at most: for what leaves least first, water with all in order
    before others that leave as little."""
    file = parse_site(text)
    result, has = told(text), Case(file).equipment
    weak = [link for link in result.links if link.outage.short]
    weak.sort(key=lambda link: (link.outage.volume, link.component != "nothing"))
    tried: dict[Changes, Candidate] = {}
    for link in weak:
        for one in candidates(has, file.site, link.outage, result.survival or 0.0):
            tried.setdefault(one.changes, one)
    return [*tried.values()][:12]


def clearing(text: str) -> list[tuple[Candidate, dict[str, float]]]:
    """Each that clears some links once it is written into the file, with the water that they have
    then, and makes no other link weak."""
    before, cleared = lefts(text), []
    weak = {component for component, left in before.items() if left.short}
    for one in listed(text):
        after = lefts(written(text, one.changes))
        still = {component for component, left in after.items() if left.short}
        if still - weak - {BROUGHT.get(one.kind, "")}:
            continue
        helped = {component: after[component].volume for component in weak - still}
        if helped:
            cleared.append((one, helped))
    return cleared


SITE_FILES = Path(__file__).parents[2] / "sites"
MENDED = {
    "hut": huts.HUT,
    "hand pump too high": huts.HUT + huts.HAND,
    "sixty people": huts.changed(huts.HUT, ("people = 6", "people = 60")),
    "into the tank": BY_HAND_INTO_THE_TANK,
    "a small tank": huts.HUT + '\n[storage_tank]\nvolume = "300 L"\nreserve = "80 %"\n',
    "a tank for more": huts.changed(huts.HUT, ("people = 6", "people = 12"))
    + '\n[storage_tank]\nvolume = "1000 L"\n',
    "modules": TestWeakLinks.SOLAR,
    "thin air": huts.example("high_pass"),
    "a small generator": huts.changed(huts.HUT, ("people = 6", "people = 9"))
    + '\n[power]\ngenerator_rating = "900 VA"\n',
    **{name: (SITE_FILES / f"{name}.toml").read_text(encoding="utf-8")
       for name in ("3ph_direct_house", "two_pipe_jet")},
}  # fmt: skip


@pytest.mark.parametrize("name", every(MENDED, 3))
def test_what_clears_a_link_by_writing_each_change_into_the_file(name: str) -> None:
    """Of each weak link the first that clears it; in the plan water with all in order goes first,
    then the first of those that clear most, until nothing is weak, in three steps at most."""
    text = MENDED[name]
    found = huts.outages(text)
    tried = clearing(text)
    for link in found.links:
        clears = [(one, by) for one, by in tried if link.component in by]
        assert (link.fix is None) == (not clears), link.component
        if link.fix is not None:
            one, by = clears[0]
            assert (link.fix.changes, link.fix.kind) == (one.changes, one.kind)
            assert link.fix.volume == pytest.approx(by[link.component], rel=1e-9)
    plan: list[tuple[Changes, float]] = []
    while tried and len(plan) < 3 and any(left.short for left in lefts(text).values()):
        one, by = max(tried, key=lambda pair: ("nothing" in pair[1], len(pair[1])))
        plan.append((one.changes, min(by.values())))
        text = written(text, one.changes)
        tried = clearing(text)
    least = min(lefts(text).values())
    if least.short or not plan:
        assert (found.plan, found.planned) == ((), None)
    else:
        assert [each.changes for each in found.plan] == [changes for changes, _ in plan]
        volumes = [each.volume for each in found.plan]
        assert volumes == pytest.approx([volume for _, volume in plan], rel=1e-9)
        assert found.planned == pytest.approx(least.volume, rel=1e-9)


def offered(text: str, component: str) -> list[Candidate]:
    """What may help where a component alone fails, in its order."""
    file, result = parse_site(text), told(text)
    short = link(result, component)
    return [*candidates(Case(file).equipment, file.site, short, result.survival or 0.0)]


def value_of(one: Candidate, key: str) -> float:
    """The value of a change by the end of its path, in SI."""
    (change,) = [each for each in one.changes if each.path.endswith(key)]
    words = str(change.value).strip('"')
    assert not key.endswith("depth") or words.endswith(" m")  # depths are written as depths
    by_key = {"volume": kinds.VOLUME, "bore": kinds.BORE, "cylinder_depth": kinds.LENGTH,
              "generator_rating": kinds.APPARENT_POWER}  # fmt: skip
    return float(read(words, by_key[key]) if key in by_key else words)


def of_kind(listed: list[Candidate], kind: str) -> Candidate:
    (one,) = [each for each in listed if each.kind == kind]
    return one


def least_sold(thing: Any, kind: kinds.Kind, needed: float) -> float:
    return min(float(size) for size in sizes(thing, kind, "SI") if float(size) >= needed)


@pytest.mark.parametrize("share", [0.99, 0.9995, 1.01])
@pytest.mark.parametrize(("standing", "reserve"), [(None, 0.5), (300, 0.8), (500, 0.4)])
def test_a_tank_that_is_sold_and_of_which_the_reserve_lasts(
    standing: int | None, reserve: float, share: float
) -> None:
    """A week's survival water of six: the part of the whole tank that is kept, whatever stood
    there before; just below a size that is sold, a thousandth off and just above it."""
    size = 2000 / 1000
    each = share * size * reserve / 7 / 6 * 1000
    text = huts.changed(huts.HUT, ('"15 L/day"', f'"{each:.6f} L/day"'))
    if standing is not None:
        text += f'\n[storage_tank]\nvolume = "{standing} L"\nreserve = "{100 * reserve:g} %"\n'
    one = of_kind(offered(text, "grid"), "storage")
    least = least_sold("storage tank", kinds.VOLUME, 1.001 * share * size)
    assert (least < 1.001 * size) == (share < 0.999)
    assert value_of(one, "volume") == pytest.approx(least)


@pytest.mark.parametrize(
    ("volume", "order"),
    [
        (3.98, ["storage", "hand pump", "generator"]),
        (4.02, ["hand pump", "storage", "generator"]),
        (99.8, ["storage", "generator"]),
        (100.2, ["generator"]),
    ],
)
def test_a_small_store_goes_before_a_pump_and_none_is_too_large(
    volume: float, order: list[str]
) -> None:
    """Half of it a week for six; 4 m3 are small, above 100 m3 nobody keeps. No handle
    lifts a seventh of 50 m3 a day."""
    each = volume * 0.5 / 7 / 6 * 1000
    text = huts.changed(huts.HUT, ('"15 L/day"', f'"{each:.6f} L/day"'))
    assert [one.kind for one in offered(text, "grid")] == order
    # What every day lacks no store gives, nor what is itself the store.
    assert "storage" not in [one.kind for one in offered(text, "nothing")]
    tank = text + '\n[storage_tank]\nvolume = "200 L"\n'
    assert "storage" not in [one.kind for one in offered(tank, "storage tank")]


@pytest.mark.parametrize(
    ("depth", "hung"), [(60.0, 26 + 6.096), (30.0, 0.98 * 30.0), (26.4, None)]
)
def test_a_hand_pump_hangs_below_the_low_water_and_above_the_bottom(
    depth: float, hung: float | None
) -> None:
    """Twenty feet below 26 m, no deeper than 98 % of the well; of the cylinders that are sold the
    largest that its study passes, with the least lever from six to one."""
    text = huts.changed(huts.HUT, ('"60 m"', f'"{depth} m"'), ('"45 m"', f'"{depth - 2} m"'))
    listed = offered(text, "grid")
    if hung is None:
        assert "hand pump" not in [one.kind for one in listed]
        return
    one = of_kind(listed, "hand pump")
    told = value_of(one, "cylinder_depth")
    assert hung <= told < hung + 0.1
    assert value_of(one, "lever_ratio") == 6.0
    largest = value_of(one, "bore")
    for bore in sizes("cylinder", kinds.BORE, "SI"):
        if float(bore) < largest:
            continue
        other = [set_to(each.path, bore) if each.path.endswith("bore") else each
                 for each in one.changes]  # fmt: skip
        said = study_site(parse_site(written(text, tuple(other))), ("hand",)).verdicts
        fails = [each for each in said if each.status == "fail"]
        assert bool(fails) == (float(bore) > largest)


@pytest.mark.parametrize(("level", "there"), [("48 m", True), ("50.1 m", False)])
def test_no_hand_pump_is_offered_deeper_than_such_pumps_go(level: str, there: bool) -> None:
    """50 m to the water by IS 9301:1982, note to its scope (read), for any cylinder and lever."""
    text = huts.changed(
        huts.HUT, ('"60 m"', '"90 m"'), ('"20 m (18 m .. 26 m)"', f'"{level}"'),
        ('"45 m"', '"80 m"'),
    )  # fmt: skip
    assert ("hand pump" in [each.kind for each in offered(text, "grid")]) == there


def test_a_cylinder_is_hung_below_the_water_that_its_own_pump_draws_down() -> None:
    text = huts.HUT + huts.HAND
    hand = Case(parse_site(text)).equipment.hand
    assert hand is not None
    assert hand.low_level > 26.5
    (one,) = [each for each in offered(text, "grid") if each.kind == "cylinder"]
    told = value_of(one, "cylinder_depth")
    assert hand.low_level + 6.096 <= told < hand.low_level + 6.196
    deep = text.replace('cylinder_depth = "24 m"', 'cylinder_depth = "34 m"')
    assert "cylinder" not in [each.kind for each in offered(deep, "grid")]


@pytest.mark.parametrize(
    ("depth", "people", "more"), [("34 m", 1, 2), ("34 m", 2, None), ("20 m", 1, 6)]
)
def test_a_second_person_where_the_handle_draws_water(
    depth: str, people: int, more: int | None
) -> None:
    """One that draws none is another pump's place, with its lever of six to one."""
    hand = huts.HAND.replace("24 m", depth) + f"people_pumping = {people}\n"
    found = [each for each in offered(huts.HUT + hand, "grid") if each.kind == "hand pump"]
    assert [value_of(each, each.changes[-1].path.rpartition(".")[2]) for each in found
            if len(each.changes) == 1] == ([2.0] if more == 2 else [])  # fmt: skip
    levers = [value_of(each, "lever_ratio") for each in found if len(each.changes) > 1]
    assert levers == ([6.0] if more == 6 else [])
    assert "hand pump" not in [each.kind for each in offered(huts.HUT + hand, "hand pump")]


def test_the_least_generator_that_starts_a_pump_which_is_left() -> None:
    second = huts.HUT[huts.HUT.index("[[pump]]") :].replace("house pump", "other")
    text = huts.HUT + second.replace('"20 A"', '"31 A"')
    needs = {each.name: each.start.generator_needed for each in Case(parse_site(text)).pumps
             if each.start is not None}  # fmt: skip
    small, large = needs["house pump"], needs["other"]
    assert small < 0.9 * large
    for failed, needed in (("grid", small), ("other", small), ("house pump", large)):
        one = of_kind(offered(text, failed), "generator")
        least = least_sold("generator", kinds.APPARENT_POWER, needed)
        assert value_of(one, "generator_rating") == pytest.approx(least)
    there = text + '\n[power]\ngenerator_rating = "900 VA"\n'
    assert "generator" not in [each.kind for each in offered(there, "generator")]


@pytest.mark.parametrize(
    ("feeds", "battery", "goals"),
    [
        ("heater", False, ["pump"]),
        ("heater", True, ["battery", "pump"]),
        ("battery", True, ["pump"]),
        ("pump", False, []),
    ],
)
def test_modules_are_moved_to_the_battery_and_to_the_pump(
    feeds: str, battery: bool, goals: list[str]
) -> None:
    text = TestWeakLinks.SOLAR.replace('feeds = "heater"', f'feeds = "{feeds}"')
    text += '\n[power]\nbattery_energy = "5 kWh"\n' if battery else ""
    moved = [each for each in offered(text, "pump array") if each.kind == "modules"]
    assert [[(change.path, change.value) for change in each.changes] for each in moved] == [
        [("array[2].feeds", f'"{goal}"')] for goal in goals
    ]


def test_a_change_is_tried_once_and_no_more_than_so_many() -> None:
    """Two weak links that ask for one change have it tried once, in the order of the links; where
    the most is reached nothing new is."""
    by_key = {"a": ["x", "y"], "b": ["y", "x", "z"]}
    outages = {key: left(key, at / 4) for at, key in enumerate(by_key)}

    def offered(has: Any, site: Any, short: Any, survival: float) -> list[Any]:
        return [SimpleNamespace(changes=(name,)) for name in by_key[short.key]]

    for most, tried in ((99, "xyz"), (2, "xy"), (0, "")):
        with mock.patch.multiple(
            weak_links, candidates=offered, may_be_written=lambda changes: True, MOST_TRIED=most,
            _clears=mock.Mock(return_value={"link": "fix"}),
        ) as _:  # fmt: skip
            wanted: Any = SimpleNamespace(wanted=SimpleNamespace(survival=None), has=None)
            found = weak_links._attempts(wanted, mock.Mock(), outages)  # type: ignore[arg-type]
        assert [each.candidate.changes for each in found] == [(name,) for name in tried]  # type: ignore[attr-defined]


def left(key: str, survival: float, volume: float = 0.0) -> Any:
    return SimpleNamespace(
        key=key, survival=survival, volume=volume, short=survival < 1.0, failed=()
    )


def test_the_least_water_is_looked_at_first_and_that_with_all_in_order_of_as_little() -> None:
    outages = {key: left(key, survival) for key, survival in
               (("a", 0.5), ("b", 0.0), ("whole", 0.0), ("c", 1.0), ("d", 0.2))}  # fmt: skip
    short = weak_links._short(outages)  # type: ignore[arg-type]
    assert [each.key for each in short] == ["whole", "b", "d", "a"]


def test_a_plan_begins_with_water_for_every_day() -> None:
    """Before what clears more; its water is the least of what it clears."""
    nothing, others = frozenset[str](), [frozenset({name}) for name in "abc"]
    fixes = [Fix("storage", "", (), volume) for volume in (3.0, 5.0, 4.0, 7.0, 6.0)]
    more, first, second = (mock.Mock() for _ in range(3))
    attempts = [
        weak_links.Attempt(more, dict(zip(others, fixes[:3], strict=True))),
        weak_links.Attempt(first, {nothing: fixes[3], others[0]: fixes[4]}),
        weak_links.Attempt(second, {nothing: fixes[0], others[1]: fixes[1]}),
    ]
    before = {"x": left("x", 0.0)}
    after = {"x": left("x", 1.2, 8.0), "y": left("y", 1.1, 7.5)}
    with (
        mock.patch.object(weak_links, "_tried_on") as tried_on,
        mock.patch.object(weak_links, "changed_site"),
        mock.patch.object(weak_links, "_singly", return_value=after),
    ):
        plan, planned = weak_links._plan(mock.Mock(), mock.Mock(), before, attempts)  # type: ignore[arg-type]
    assert tried_on.call_args.args[2] is first
    assert (plan, planned) == ((fixes[4],), 7.5)
