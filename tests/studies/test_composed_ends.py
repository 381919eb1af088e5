"""Which ends are tried, and the worst of them told: made-up studies that judge a site by one
inequality, so that what the ends make of it is worked out beside each."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from types import SimpleNamespace
from typing import Any, NamedTuple

import pytest

from wellsolar import kinds
from wellsolar.results.whole import StudyPart
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.ends import OF_HEAT, judged_at_ends
from wellsolar.studies.hand.lever import FORCE, TRAVEL
from wellsolar.studies.intervals import Value, intervals_of
from wellsolar.units import Quantity
from wellsolar.verdicts import Remedy, Rule, Verdict, changes_of, remedy, say, set_to

SITE = """
[well]
depth = "200 m"
static_level = "{static}"
{well}
[piping]
tank_elevation = "{elevation}"
[[pump]]
name = "p"
intake_depth = "150 m"
flow = "0, 10, 20 L/min"
head = "150, 120, 60 m"
{more}"""
STATIC, ELEVATION = "40 m (30 m .. 60 m)", "5 m (1 m .. 9 m)"
KNOWN = 'specific_capacity = "10 L/min/m"'
MODULE = """
[module]
voc = "45 V"
isc = "9 A"
vmp = "37 V"
imp = "8.5 A"
cells = 60
[[array]]
name = "roof"
feeds = "battery"
series = 2
parallel = 1
"""


def read(static: str = STATIC, elevation: str = "5 m", well: str = KNOWN, more: str = "") -> Any:
    return parse_site(SITE.format(static=static, elevation=elevation, well=well, more=more))


class Judged(NamedTuple):
    """What a made-up study finds of a site."""

    status: str
    margin: float | None = None
    needs: tuple[str, ...] = ()
    remedy: Remedy | None = None


class Made:
    """A case whose studies are given as functions of static level, elevation and capacity."""

    def __init__(
        self,
        file: Any,
        studies: Mapping[str, Callable[[Any], Judged | None]],
        rule: Rule = TRAVEL,
        site: Any = None,
        kept: Collection[str] = (),
    ) -> None:
        self.file, self.studies, self.rule = file, studies, rule
        self.site, self.kept = site or file.site, tuple(kept)
        self.diverted_heat = SimpleNamespace(power=None)

    def with_site(self, site: Any, *, keep: Collection[str] = ()) -> Made:
        return Made(self.file, self.studies, self.rule, site, keep)

    def said(self, study: str) -> StudyPart:
        # What was kept is known of the site before it was changed.
        found = self.studies[study](self.file.site if study in self.kept else self.site)
        if found is None:
            return StudyPart()
        margin = None if found.margin is None else Quantity(found.margin, kinds.LENGTH)
        level = Quantity(self.site.well.static_level, kinds.LENGTH)
        reason = say("the water stands at {level}", level=level)
        status: Any = found.status
        return StudyPart(
            (Verdict(self.rule, "p", status, reason, margin=margin, needs=found.needs,
                     remedy=found.remedy),)
        )  # fmt: skip


def judged(case: Made) -> dict[str, Verdict]:
    names = tuple(case.studies)
    parts = judged_at_ends(case, names, [case.said(name) for name in names])  # type: ignore[arg-type]
    return {
        name: part.verdicts[0] for name, part in zip(names, parts, strict=True) if part.verdicts
    }


def below(limit: float, else_: str = "fail") -> Callable[[Any], Judged]:
    """Passes with the water above a depth [m]."""

    def judge(site: Any) -> Judged:
        level = float(site.well.static_level)
        return Judged("pass" if level <= limit else else_, limit - level)

    return judge


def ends(file: Any) -> dict[str, tuple[list[float], list[float]]]:
    return {
        each.key: ([float(end.value) for end in each.ends], [float(e.value) for e in each.inside])
        for each in intervals_of(file)
    }


def test_the_intervals_of_a_file() -> None:
    """Both ends but the one that is the likeliest, and quarters between."""
    found = ends(read(elevation=ELEVATION))
    assert list(found) == ["well.static_level", "piping.tank_elevation"]
    assert found["well.static_level"] == (
        pytest.approx([30, 60]), pytest.approx([37.5, 45.0, 52.5]),
    )  # fmt: skip
    assert found["piping.tank_elevation"] == (pytest.approx([1, 9]), pytest.approx([3, 5, 7]))
    assert ends(read(static="30 m (30 m .. 60 m)"))["well.static_level"][0] == pytest.approx([60])
    assert not ends(read(static="40 m"))
    one = intervals_of(read())[0]
    assert [end.side for end in one.ends] == ["low", "high"]
    # Of the quarters one lies below the likeliest of 40 m.
    assert [each.side for each in one.inside] == ["low", "high", "high"]
    assert one.told == "well.static_level at its likeliest"
    assert not one.is_open
    assert not one.is_default


def test_a_drawdown_that_nobody_told_is_open() -> None:
    """The studies stand at the intake; the other end is the water at rest."""
    *_, last = intervals_of(read(well='tested_yield = "30 L/min"'))
    assert last.key == "well.specific_capacity"
    assert last.is_open
    assert last.told == "the water at the intake"
    assert [(float(end.value), end.side) for end in last.ends] == [(1.0, "high")]
    site = read(well="").site
    assert last.at(site, last.ends[0].value).well.specific_capacity == pytest.approx(1.0)
    # Nobody pumps: nothing draws it down.
    none = SITE.split("[[pump]]")[0].format(static="40 m", elevation="5 m", well="")
    assert not intervals_of(parse_site(none))


def test_losses_by_default_stand_at_their_greatest_together() -> None:
    """Of 0.08 to 0.25, 1.5 to 6.2, 0 to 3, 0 to 3, 2.5 to 4 and 0 to 2 the upper ends, at once;
    what the file gives stays."""
    file = read(static="40 m", more='[losses]\ndirt = "4 %"\n' + MODULE)
    *_, losses = intervals_of(file)
    assert (losses.key, losses.is_default, losses.inside) == ("losses", True, ())
    (most,) = losses.ends
    assert most.side == "high"
    worst = losses.at(file.site, most.value).losses
    told = (worst.incidence, worst.dirt, worst.first_light, worst.nameplate, worst.ageing,
            worst.mismatch)  # fmt: skip
    assert [float(each) for each in told] == pytest.approx([0.25, 0.04, 0.03, 0.03, 0.04, 0.02])
    # Another default whose published values spread has both ends of its own, and no quarters.
    spread = ends(file)["module.voc_coefficient"]
    assert spread == (pytest.approx([-0.00401, -0.00283]), [])
    assert "losses" not in ends(read())


def test_of_two_ends_that_fall_short_the_worst_is_told() -> None:
    """Fails below 55 m and is short above 35 m: the fail at 60 m is told, with where it turns."""

    def judge(site: Any) -> Judged:
        level = float(site.well.static_level)
        return Judged("fail" if level > 55 else "caution" if level < 35 else "pass", 0.0)

    found = judged(Made(read(), {"well": judge}))["well"]
    assert found.status == "caution"
    parts = found.reason.parts
    assert float(parts["at_0"]) == pytest.approx(60.0)  # type: ignore[arg-type]
    assert float(parts["end_level"]) == pytest.approx(60.0)  # type: ignore[arg-type]
    assert "it fails" in found.reason.template
    assert float(parts["turn"]) == pytest.approx(55.0, abs=0.05)  # type: ignore[arg-type]
    assert "below {turn}" in found.reason.template
    assert parts["turn_key"] == "well.static_level"
    assert "stays below" in found.remedy.template
    assert found.remedy.by_hand


def test_what_falls_short_at_the_low_end_passes_above() -> None:
    def judge(site: Any) -> Judged:
        return Judged("pass" if float(site.well.static_level) >= 33 else "fail")

    found = judged(Made(read(), {"well": judge}))["well"]
    assert found.status == "caution"
    assert "above {turn}" in found.reason.template
    assert float(found.reason.parts["turn"]) == pytest.approx(33.0, abs=0.05)  # type: ignore[arg-type]
    assert float(found.reason.parts["at_0"]) == pytest.approx(30.0)  # type: ignore[arg-type]


def test_of_two_fails_that_with_the_least_margin_is_told() -> None:
    def judge(site: Any) -> Judged:
        off = abs(float(site.well.static_level) - 40.0)
        return Judged("pass" if off < 5.0 else "fail", 5.0 - off)

    found = judged(Made(read(), {"well": judge}))["well"]
    assert float(found.reason.parts["at_0"]) == pytest.approx(60.0)  # type: ignore[arg-type]


@pytest.mark.parametrize(("study", "status"), [("pumps", "caution"), ("well", "pass")])
def test_inside_a_range_only_some_studies_are_tried(study: str, status: str) -> None:
    """Short between 50 and 55 m alone, where the quarter of 52.5 m lies."""

    def judge(site: Any) -> Judged:
        return Judged("fail" if 50 < float(site.well.static_level) < 55 else "pass")

    found = judged(Made(read(), {study: judge}))[study]
    assert found.status == status
    if status == "caution":
        assert float(found.reason.parts["at_0"]) == pytest.approx(52.5)  # type: ignore[arg-type]


@pytest.mark.parametrize("rule", [TRAVEL, FORCE])
def test_ranges_stand_at_their_worst_together(rule: Rule) -> None:
    """60 m and 9 m are 69, of 66 that it bears: each alone is 65 or 49; and the sides are those
    of the margins, or of the rule where it names one."""

    def judge(site: Any) -> Judged:
        lift = float(site.well.static_level) + float(site.piping.tank_elevation)
        return Judged("pass" if lift <= 66.0 else "fail", 66.0 - lift)

    found = judged(Made(read(elevation=ELEVATION), {"well": judge}, rule))["well"]
    assert found.status == "caution"
    parts = found.reason.parts
    assert [float(parts[key]) for key in ("at_0", "at_1")] == pytest.approx([60.0, 9.0])  # type: ignore[arg-type]
    assert "turn" not in parts
    assert found.remedy.parts["keys"] == "well.static_level and piping.tank_elevation"


def test_where_both_alone_and_together_fail_the_fewest_are_moved() -> None:
    def judge(site: Any) -> Judged:
        lift = float(site.well.static_level) + float(site.piping.tank_elevation)
        return Judged("pass" if lift <= 64.0 else "fail", 64.0 - lift)

    found = judged(Made(read(elevation=ELEVATION), {"well": judge}))["well"]
    assert "at_1" not in found.reason.parts
    assert float(found.reason.parts["at_0"]) == pytest.approx(60.0)  # type: ignore[arg-type]


def test_an_end_that_is_left_open_leaves_it_open() -> None:
    def judge(site: Any) -> Judged:
        known = float(site.well.static_level) <= 55.0
        return Judged("pass") if known else Judged("unknown", needs=("well.casing_bore",))

    found = judged(Made(read(), {"well": judge}))["well"]
    assert (found.status, found.needs) == ("unknown", ("well.casing_bore",))
    assert "it is open" in found.reason.template


def test_what_fails_as_it_is_fails_and_is_mended_for_the_worst_end() -> None:
    """As it is 20 mm would do; at 60 m it takes 40."""

    def judge(site: Any) -> Judged:
        level = float(site.well.static_level)
        size = 20 if level < 50 else 40
        way = remedy("so much", [set_to("well.casing_bore", Quantity(size / 1e3, kinds.BORE))])
        return Judged("caution" if level <= 40 else "fail", -level, remedy=way)

    found = judged(Made(read(), {"well": judge}))["well"]
    assert found.status == "caution"
    (change,) = changes_of(found.remedy)
    assert "40 mm" in change.value
    assert "so that it holds with" in found.remedy.template


def test_a_better_end_changes_nothing() -> None:
    """Short as it is; at 30 m it would pass, at 60 m it is as short."""

    def judge(site: Any) -> Judged:
        return Judged("pass" if float(site.well.static_level) < 35 else "fail", 1.0)

    case = Made(read(), {"well": judge})
    assert judged(case)["well"] == case.said("well").verdicts[0]


def test_a_verdict_of_one_end_alone_is_told_unless_it_passes_there() -> None:
    def judge(status: str) -> Callable[[Any], Judged | None]:
        return lambda site: Judged(status) if float(site.well.static_level) > 55 else None

    assert not judged(Made(read(), {"well": judge("pass")}))
    found = judged(Made(read(), {"well": judge("fail")}))["well"]
    assert found.status == "caution"
    assert found.reason.template.startswith("it is not asked as it is; with ")


def open_(at_intake: str, at_rest: str) -> Callable[[Any], Judged]:
    def judge(site: Any) -> Judged:
        return Judged(at_intake if site.well.specific_capacity is None else at_rest, 2.0)

    return judge


@pytest.mark.parametrize(
    ("at_intake", "at_rest", "status"),
    [
        ("pass", "fail", "unknown"),
        ("fail", "pass", "unknown"),
        ("pass", "caution", "unknown"),
        ("fail", "fail", "fail"),
        ("pass", "pass", "pass"),
    ],
)
def test_what_is_open_settles_nothing_unless_both_ends_agree(
    at_intake: str, at_rest: str, status: str
) -> None:
    file = read(static="40 m", well="")
    found = judged(Made(file, {"well": open_(at_intake, at_rest)}))["well"]
    assert found.status == status
    if status == "unknown":
        assert found.needs == ("well.specific_capacity",)
        states = {"pass": "passes", "fail": "fails", "caution": "falls short"}
        here, there = (f"it {states[each]} with" for each in (at_intake, at_rest))
        text = found.reason.text("SI")
        assert text.startswith(f"{here} the water at the intake, but {there} the water at rest: ")
        assert found.margin is None
        assert found.remedy is None


def test_hot_water_is_made_again_only_where_it_hangs_on_the_key() -> None:
    """Its study tells the site that it stands on: the tank's height is none of its keys, the
    modules' coefficient is one."""

    def judge(site: Any) -> Judged:
        high = float(site.piping.tank_elevation) > 8.0
        return Judged("fail" if high else "pass")

    studies = {OF_HEAT[0]: judge, "well": judge}
    found = judged(Made(read(static="40 m", elevation=ELEVATION), studies))
    assert (found[OF_HEAT[0]].status, found["well"].status) == ("pass", "caution")

    def of_module(site: Any) -> Judged:
        return Judged("fail" if float(site.module.voc_coefficient) < -0.004 else "pass")

    file = read(static="40 m", more=MODULE)
    found = judged(Made(file, {OF_HEAT[0]: of_module}))
    told = found[OF_HEAT[0]]
    assert told.status == "caution"
    # Of a default nobody measured a value: no place is told at which it turns.
    assert "turn" not in told.reason.parts


def test_with_nothing_open_nothing_is_tried() -> None:
    case = Made(read(static="40 m"), {"well": below(35.0)})
    assert judged(case)["well"].status == "fail"
    assert judged(case)["well"] == case.said("well").verdicts[0]
    assert isinstance(intervals_of(read())[0].ends[0], Value)
