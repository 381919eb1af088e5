"""What makes bodies fit that do not, put back into the file."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from tests.studies.casing.bodies import FOOT, fit, text_of
from wellsolar import kinds
from wellsolar.physics.well.casing_fit import Body
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Case
from wellsolar.studies.casing import study
from wellsolar.studies.casing.bodies import Hanging
from wellsolar.units import Quantity
from wellsolar.verdicts import Verdict, changes_of


@pytest.mark.parametrize(
    ("least", "most", "depth"),
    [
        # A foot clear of what hangs from 19.5 to 20.5 m, the middle of a body of a metre lies at
        # 18.6952 or 21.3048 m, and a foot farther must do as well: 18.3904 or 21.6096 m.
        (0.0, 99.0, 21.3048), (0.0, 21.62, 21.3048), (0.0, 21.6, 18.6952), (18.38, 21.6, 18.6952),
        (18.4, 21.6, None), (18.4, 21.62, 21.3048), (21.3, 99.0, 21.3048), (21.4, 99.0, None),
    ],
)  # fmt: skip
def test_a_body_is_hung_past_another_by_the_shorter_way_there_is(
    least: float, most: float, depth: float | None
) -> None:
    still = Hanging(Body("other", 0.1, 19.5, 20.5), 0.03, 0.0, None, "hand_pump.pipe", False)
    moved = replace(still, body=Body("pump", 0.1, 19.6, 20.6), key="pump[1].pipe", is_pump=True)
    with (
        mock.patch.object(study, "_depths", side_effect=[(least, most), (99.0, 0.0)]),
        mock.patch.object(study, "_fits", return_value=True),
        mock.patch.object(study, "_printed", lambda _, value, *to: Quantity(value, kinds.LENGTH)),
    ):
        site: Any = None
        found = study._stagger(site, [moved, still], ())
    assert (None if found is None else found.parts["depth"]) == (
        None if depth is None else pytest.approx(depth)
    )


class TestRemedies:
    @pytest.mark.parametrize("bore", [4.6, 5.4, 5.6])
    @pytest.mark.parametrize("depth", [150, 151.3, 98.7])
    def test_another_depth(self, bore: float, depth: float) -> None:
        verdict = fit(text_of(bore=bore, first=depth, second=depth))
        assert verdict.status in ("fail", "caution")
        assert verdict.remedy is not None
        for system, unit in (("US", "ft"), ("SI", "m")):
            told = verdict.remedy.text("SI" if system == "SI" else "US")
            match = re.search(rf"hang the (\w+) at ([\d.]+) {unit}\b", told)
            assert match is not None, told
            moved = float(match[2]) * (1.0 if unit == "ft" else 1 / FOOT)
            changes = {"first": depth, "second": depth} | {match[1]: moved}
            assert fit(text_of(bore=bore, **changes)).status == "pass"

    @pytest.mark.parametrize("bore", [5.2, 5.4, 5.6, 5.7])
    def test_a_thinner_body(self, bore: float) -> None:
        remedy = fit(text_of(bore=bore)).remedy
        match = re.search(r"a (\w+) of no more than ([\d.]+) in across", remedy.text("US"))
        name = {"first": "d1", "second": "d2"}[match[1]]
        other = {"d1": 2.5, "d2": 3.0}[name]
        assert fit(text_of(bore=bore, **{name: float(match[2])})).status == "pass"
        # Two side by side: what the other and the clearance leave, to the printed digit.
        assert float(match[2]) == pytest.approx(bore - 0.25 - other, abs=0.011)

    def test_its_motor_is_no_wider_than_a_thinner_pump(self) -> None:
        # A shallow well: no room above or below.
        text = text_of(bore=5.4, well=75, first=65, second=65)
        wide = text.replace(
            'diameter = "3.0 in"', 'diameter = "3.0 in"\nmotor_diameter = "3.0 in"'
        )
        (alone,) = changes_of(fit(text).remedy)
        changes = {each.path: each.value for each in changes_of(fit(wide).remedy)}
        assert alone.path == "pump[1].diameter"
        assert changes == dict.fromkeys((alone.path, "pump[1].motor_diameter"), alone.value)

    def test_a_wider_casing_where_nothing_else_helps(self) -> None:
        # A shallow well: no room above or below; 4.9 in and 4.3 in leave less than 2 in.
        text = text_of(bore=5, well=75, first=65, second=65, d1=4.9, d2=4.3)
        verdict = fit(text)
        assert verdict.status == "fail"
        match = re.search(r"casing of ([\d.]+) in", verdict.remedy.text("US"))
        assert float(match[1]) == pytest.approx(4.9 + 4.3 + 0.25, abs=0.01)
        wider = text_of(bore=match[1], well=75, first=65, second=65, d1=4.9, d2=4.3)
        assert fit(wider).status == "pass"

    def test_no_pump_is_hung_above_its_water(self) -> None:
        text = text_of(bore=5.4, well=162, first=150, second=150)
        remedy = fit(text).remedy
        match = re.search(r"hang the \w+ at ([\d.]+) ft", remedy.text("US"))
        # At most 6 gpm / 2 gpm/ft below the 60 ft of rest, and 10 ft of cover.
        assert 60 + 10 <= float(match[1]) < 150


def test_a_pump_is_hung_deeper_only_where_it_passes_what_hangs_there() -> None:
    text = (Path(__file__).parents[2] / "sites" / "twoatonce.toml").read_text(encoding="utf-8")

    def judged(*settings: str) -> dict[tuple[str, str], Verdict]:
        case = Case(parse_site(text, "site", list(settings)))
        said = (*case.said("pumps").verdicts, *case.said("casing").verdicts)
        return {(each.rule.key, each.subject): each for each in said}

    sinks = ("submergence", "yard")
    alone = ('pump[2].intake_depth="140 ft"', 'pump[1].intake_depth="200 ft"')
    (free,) = changes_of(judged(*alone)[sinks].remedy)
    assert free.value == '"52.4256 m"'  # 172 ft
    beside = ('pump[2].intake_depth="140 ft"', 'pump[1].intake_depth="172 ft"')
    before = judged(*beside)
    (change,) = changes_of(before[sinks].remedy)
    depth = float(change.value.strip('"').split()[0]) / 0.3048
    # Both 3.9 in wide in 6 in: below the other, which takes 3 ft either way, as it does itself.
    assert 178 <= depth <= 180
    assert f"{depth:.0f} ft" in before[sinks].remedy.text("US")
    after = judged(*beside, str(change))
    assert after[sinks].status == "pass"
    assert before["fits the casing", "casing"].status == "pass"
    assert after["fits the casing", "casing"].status == "pass"
    shallow = judged(*beside, 'well.depth="180 ft"')[sinks].remedy
    assert not changes_of(shallow)
    assert "does not pass what hangs beside it" in shallow.by_hand
