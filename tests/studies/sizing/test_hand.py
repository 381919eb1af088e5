"""A hand pump for the weakest: handle and cylinder by force and travel, bucket and survival."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import product
from unittest import mock

import pytest

from tests.site_texts import EXAMPLES
from wellsolar import kinds
from wellsolar.site.loading.read import load_part, parse_part, parse_site
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.case import Case, size_site
from wellsolar.studies.sizing import hand as hand_sizing
from wellsolar.studies.sizing.design import design_text
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.hand import WORK, hand_of
from wellsolar.studies.sizing.replaced import without
from wellsolar.studies.sizing.search import Sized
from wellsolar.studies.sold.standard_sizes import sizes
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
              for share in (95, 75, 55)]  # fmt: skip
    volumes = [swept(draft) for draft, _ in shares]
    assert volumes == sorted(volumes)


def test_too_deep_for_any_handle_names_what_lifts_else() -> None:
    draft, otherwise = sized("480 ft", "700 ft")
    assert not part_of(draft, "handle and cylinder").passes
    assert otherwise.endswith("no lift by hand reaches: a powered pump and stored water")


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
