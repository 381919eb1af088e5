"""A hand pump for the weakest: handle and cylinder by force and travel, bucket and survival."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import product
from types import SimpleNamespace
from typing import Any
from unittest import mock

import pytest

from tests.site_texts import EXAMPLES
from wellsolar import kinds
from wellsolar.site.loading.read import load_part, parse_part, parse_site
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.case import Case, size_site
from wellsolar.studies.hand.head import HEAD_RELIEF
from wellsolar.studies.hand.verdicts import CYLINDER, DEPTH, STRETCH
from wellsolar.studies.sizing import hand as hand_sizing
from wellsolar.studies.sizing.design import design_text
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.hand import WORK, hand_of
from wellsolar.studies.sizing.replaced import without
from wellsolar.studies.sizing.search import Choice, Sized
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.units import read
from wellsolar.verdicts import say, set_to

SITE = """\
[site]
people = 4
[well]
depth = "{depth}"
static_level = "{level}"
specific_capacity = "0.5 gpm/ft"
[pressure_switch]
cut_in = "30 psi"
cut_out = "50 psi"
[pressure_tank]
volume = "44 gal"
[hand_pump]
spout_height = "2 ft"   # a bucket goes under it
"""


@cache
def sized(level: str, depth: str, **others: str) -> tuple[Draft, str]:
    text = SITE.format(level=level, depth=depth)
    text += "".join(f'{key} = "{value}"\n' for key, value in others.items())
    part = parse_part(text, "hand.toml")
    return hand_of(Draft(part, Case(part.file)))


def part_of(draft: Draft, name: str) -> Sized:
    return next(each for each in draft.sized if each.part == name)


def swept(draft: Draft) -> float:
    table = draft.case.site.hand_pump
    return float(table.bore) ** 2 * float(table.stroke)


@pytest.mark.parametrize(
    ("level", "depth", "kind", "delivers"),
    [
        ("12 ft", "60 ft", "suction", "pressure tank"),
        ("85 ft", "220 ft", "deep well", "pressure tank"),
        ("250 ft", "400 ft", "deep well", "spout"),
    ],
)
def test_the_hand_pump_is_whole_and_tight(
    level: str, depth: str, kind: str, delivers: str
) -> None:
    draft, otherwise = sized(level, depth)
    table = draft.case.site.hand_pump
    assert (table.kind, table.delivers, otherwise) == (kind, delivers, "")
    case = Case(parse_site(design_text(draft.part.text, draft.sets)))
    verdicts = case.said("hand_pump").verdicts
    assert [each.rule.key for each in verdicts if each.status != "pass"] == []
    for each in draft.sized:
        assert each.passes, each.part
        assert each.smaller is None or each.smaller.short is not None, each.part
    assert 'spout_height = "2 ft"   # a bucket goes under it' in draft.part.text


def test_nothing_smaller_that_is_sold_does_the_work() -> None:
    """Every lever, stroke and cylinder with less in a stroke, tried one by one."""
    draft, _ = sized("150 ft", "300 ft")
    least = swept(draft)
    tried = 0
    for bore, stroke, lever in product(
        sizes("cylinder", kinds.BORE), sizes("stroke", kinds.BORE), sizes("lever", kinds.RATIO)
    ):
        if float(bore) ** 2 * float(stroke) < least * (1.0 - 1e-9):
            keys = {"bore": bore, "stroke": stroke, "lever_ratio": lever}
            changes = [set_to(f"hand_pump.{key}", value) for key, value in keys.items()]
            case = draft.case.with_site(changed_site(draft.case.site, changes))
            judged = [each for each in case.said("hand_pump").verdicts if each.rule in WORK]
            assert any(each.status != "pass" for each in judged)
            tried += 1
    assert tried


def test_a_longer_bucket_asks_no_less_of_the_cylinder() -> None:
    """What leaks past its cup makes a stroke's water less, so that more has to be swept."""
    shares = [sized("85 ft", "220 ft", volumetric_efficiency=f"{share} %")
              for share in (95, 55)]  # fmt: skip
    volumes = [swept(draft) for draft, _ in shares]
    assert volumes == sorted(volumes)


def test_too_deep_for_any_handle_names_what_lifts_else() -> None:
    draft, otherwise = sized("480 ft", "700 ft")
    assert not part_of(draft, "handle and cylinder").passes
    assert otherwise.endswith("no lift by hand reaches: a powered pump and stored water")


KEYS = {"cylinder depth": {"cylinder_depth"}, "pump rods": {"rod_diameter"},
        "rising main": {"rising_main.material", "rising_main.size"},
        "rated depth": {"rated_depth"}, "hand pump relief": {"relief_pressure"}}  # fmt: skip
HELD = {"cylinder depth": (CYLINDER,), "pump rods": (STRETCH,), "rising main": WORK,
        "rated depth": (DEPTH,), "hand pump relief": (HEAD_RELIEF,)}  # fmt: skip


class Noted(SimpleNamespace):
    """A draft that tells which keys its file has, and notes what it is to choose from."""

    def says(self, path: str) -> bool:
        return path.removeprefix("hand_pump.") in self.told

    def choose(self, choice: Choice) -> Noted:
        changes = [each for candidate in choice.candidates for each in candidate.changes]
        keys = {each.path.removeprefix("hand_pump.") for each in changes}
        assert keys == (KEYS[choice.part] if changes else set())
        assert (choice.studies, choice.held_by) == (("hand_pump",), HELD[choice.part])
        labels = [each.label for each in choice.candidates]
        return Noted(**{**vars(self), "asked": {**self.asked, choice.part: labels}})


def noted(told: str = "", system: str = "US", depth: float = 60.0, **result: Any) -> Any:
    """A draft of a handle of 50 mm, 0.2 m and 6 to 1 over a well so deep [m]."""
    table = SimpleNamespace(
        bore=read("50 mm", kinds.BORE), stroke=read("200 mm", kinds.BORE),
        lever_ratio=read("6", kinds.RATIO), well=None, kind="deep well",
    )  # fmt: skip
    site = SimpleNamespace(hand_pump=table, well=SimpleNamespace(depth=depth), other_well=())
    water = {"low_level": 25.95, "low_static_level": 20.0, "level_known": True,
             "draws_water": True, **result}  # fmt: skip
    case = SimpleNamespace(site=site, hand_pump=SimpleNamespace(**water))
    return Noted(told=told.split(), system=system, asked={}, case=case)


@pytest.mark.parametrize(
    ("told", "system", "count", "first"),
    [
        # 8 bores, and of 3 strokes by 5 levers the 7 whose handle goes no further than 1 m (source
        # of `lever.EASY_TRAVEL`): 6 in by 3 to 6, 8 in by 3 and 4, 10 in by 3. By bore squared
        # times stroke, then the lever.
        ("", "US", 8 * 7, ["1.5 in|6 in|3", "1.5 in|6 in|4", "1.5 in|6 in|5", "1.5 in|6 in|6",
                           "1.5 in|8 in|3", "1.5 in|8 in|4", "1.75 in|6 in|3",
                           "1.75 in|6 in|4", "1.75 in|6 in|5", "1.75 in|6 in|6",
                           "1.875 in|6 in|3"]),
        # 125 mm by all, 150 by 3 to 6, 200 by 3 to 5, 250 by 3 and 4.
        ("", "SI", 4 * 14, ["40 mm|125 mm|3", "40 mm|125 mm|4", "40 mm|125 mm|5"]),
        ("bore lever_ratio", "SI", 2, ["50 mm|125 mm|6", "50 mm|150 mm|6"]),
        # No hand follows 1.2 m, whatever the bore: then all are looked at.
        ("stroke lever_ratio", "US", 8, ["1.5 in|200 mm|6", "1.75 in|200 mm|6"]),
        ("bore stroke lever_ratio", "US", 1, ["as in the file"]),
    ],
)  # fmt: skip
def test_handles_that_are_sold(told: str, system: str, count: int, first: list[str]) -> None:
    built = [each.label for each in hand_sizing._handles(noted(told, system), ("",)).candidates]
    told_as = "{} bore, {} stroke, lever {} to 1"
    assert built[: len(first)] == [
        told_as.format(*each.split("|")) if "|" in each else each for each in first
    ]
    assert len(built) == count
    weighed = hand_sizing._handles(noted(told, system), ("10 lbf", "20 lbf")).candidates
    assert [each.label for each in weighed[:2]] == [
        f"{built[0]}, {weight} hung on it" for weight in ("10 lbf", "20 lbf")
    ]
    assert len(weighed[0].changes) == 4 - len(told.split())
    assert str(weighed[1].changes[-1]) == 'hand_pump.counterweight="20 lbf"'


@pytest.mark.parametrize(
    ("depth", "result", "hung"),
    [
        # 20 ft, 6.1 m, under the water, in half metres; 98 % of the well at most.
        (60.0, {}, "105 ft"), (60.0, {"low_level": 25.904 - 1e-10}, "105 ft"),
        (60.0, {"low_level": 25.85}, "103 ft"),
        (60.0, {"level_known": False}, "85.3 ft"), (30.0, {}, "95.1 ft"),
    ],
)  # fmt: skip
def test_a_cylinder_hangs_under_its_water(depth: float, result: dict[str, Any], hung: str) -> None:
    """32, 31.5, 26 and 29 m."""
    found: Any = hand_sizing._hung(noted(depth=depth, **result))
    assert found.asked == {"cylinder depth": [hung]}
    kept: Any = hand_sizing._hung(noted("cylinder_depth"))
    assert kept.asked == {}


@pytest.mark.parametrize(
    ("system", "rods", "mains", "valves"),
    [
        # The rods of a counter, and steel pipe from 1 1/4 in, DN 32, up; common practice.
        ("US", ["7/16 in", "12 mm", "5/8 in", "3/4 in"], ["1 1/4 in", "1 1/2 in", "2 in"],
         ["75 psi", "100 psi", "125 psi"]),
        ("SI", ["10 mm", "12 mm", "16 mm", "20 mm"], ["DN 32", "DN 40", "DN 50"],
         ["5 bar", "6 bar", "7 bar"]),
    ],
)  # fmt: skip
def test_rods_mains_and_valves_of_the_sites_own_counter(
    system: str, rods: list[str], mains: list[str], valves: list[str]
) -> None:
    asked: Any = hand_sizing._with_relief(hand_sizing._rods_and_main(noted(system=system))).asked
    assert asked["pump rods"] == rods
    assert asked["rising main"][:3] == [f"{size} galvanised steel" for size in mains]
    assert asked["hand pump relief"][:3] == valves
    told: Any = noted("rod_diameter rising_main relief_pressure")
    assert hand_sizing._with_relief(hand_sizing._rods_and_main(told)).asked == {}


@pytest.mark.parametrize(
    ("told", "result", "made_for"),
    [
        # To 80 m in whole metres, as its public sheet has it; 79.1 m are 80, 262 ft.
        ("", {"low_level": 79.1}, ["one made for 262 ft"]), ("", {"low_level": 80.1}, []),
        ("", {"low_level": 80.0}, ["one made for 262 ft"]),
        ("", {"draws_water": False}, None), ("rated_depth", {}, None),
        ("bore stroke lever_ratio", {}, None), ("bore stroke", {}, ["one made for 85.3 ft"]),
    ],
)  # fmt: skip
def test_a_pump_that_its_maker_allows_so_deep(
    told: str, result: dict[str, Any], made_for: list[str] | None
) -> None:
    asked = hand_sizing._made_for_depth(noted(told, **result)).asked  # type: ignore[attr-defined]
    ordinary = ["an ordinary one"]
    assert asked == ({} if made_for is None else {"rated depth": [*ordinary, *made_for]})


@pytest.mark.parametrize(
    ("light", "heavy", "told", "taken"),
    [
        # Fewer that fail, then fewer that caution, and of two alike the one without a weight.
        ("fail", "caution caution", "", "heavy"), ("fail", "fail caution", "", "light"),
        ("caution caution", "caution", "", "heavy"), ("fail", "fail", "", "light"),
        ("fail", "caution", "counterweight", "light"), ("", "", "", "light"),
    ],
)  # fmt: skip
def test_a_weight_is_hung_on_where_it_helps(light: str, heavy: str, told: str, taken: str) -> None:
    draft = noted(told)

    def smallest(case: Any, weights: tuple[str, ...]) -> Any:
        assert case is draft.case
        name, statuses = ("light", light) if weights == ("",) else ("heavy", heavy)
        verdicts = [SimpleNamespace(status=status) for status in statuses.split()]
        chosen = SimpleNamespace(verdicts=verdicts)
        return SimpleNamespace(name=name, chosen=chosen, passes=not verdicts)

    with (mock.patch.object(hand_sizing, "smallest", smallest),
          mock.patch.object(hand_sizing, "_handles", lambda draft, weights: weights)):  # fmt: skip
        assert hand_sizing._handle(draft).name == taken  # type: ignore[attr-defined]


@pytest.mark.parametrize("statuses", [("caution", "fail"), ("fail", "caution")])
def test_what_falls_short_is_told_by_the_worst_of_it(statuses: tuple[str, str]) -> None:
    """Of a caution and a failure the failure, whichever comes first."""
    draft, _ = sized("480 ft", "700 ft")
    short = hand_sizing._short(draft)[0]
    said = [replace(short, status=status, reason=say(status)) for status in statuses]
    with mock.patch.object(hand_sizing, "_short", return_value=said):
        assert hand_sizing._otherwise(draft).startswith("fail; ")


def test_water_is_kept_where_nothing_but_a_hand_pump_gives_any() -> None:
    text = '[site]\npeople = 3\n[well]\ndepth = "120 ft"\nstatic_level = "45 ft"\n[hand_pump]\n'
    made = size_site(parse_part(text, "hand.toml"))
    assert not made.fails
    (kept,) = [each for each in made.parts if each.part == "water in store"]
    assert kept.rule == "water when one thing fails"
    assert "array and battery" not in dict(made.unsized)


def test_a_hand_pump_of_the_file_is_judged_as_by_a_check_of_it() -> None:
    """Seven hours of turns for a village are a caution in both, and nobody is made older for a
    pump that is there; the peak is not one of eighteen houses at once."""
    part = load_part(EXAMPLES / "village_borehole.toml")
    made = size_site(part)
    assert not made.fails
    before = Case(part.file).said("hand_pump").verdicts
    survival = next(each.status for each in before if each.rule.key == "survival by hand")
    assert survival == "caution"
    assert {each.status for each in made.left if each.rule == "survival by hand"} == {survival}
    assert not {each.path for each in made.changes} & {"hand_pump.person_age", "hand_pump.bore"}
    (how,) = [how for what, how in made.unsized if what == "hand pump"]
    assert "8 people in turns" in how
    assert made.needs is not None
    assert made.needs.peak_flow == pytest.approx(38.0 / 6.0e4)


def test_a_kind_of_hand_pump_that_lifts_nothing_is_named_and_replaced() -> None:
    part = load_part(EXAMPLES / "high_pass.toml")
    (lift,) = [each for each in size_site(part).left if each.rule == "hand suction lift"]
    assert (lift.status, "--replace 'hand pump'" in lift.why) == ("fail", True)
    replaced = size_site(without(part, ["hand pump"]))
    assert not replaced.fails
    changed = {each.path: each.value for each in replaced.changes}
    assert changed["hand_pump.kind"] == '"deep well"'
