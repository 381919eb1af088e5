"""What is told of the verdicts: each when it is new, and again when it has changed."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

import pytest

from wellsolar import kinds
from wellsolar.interview.news import Judge, _parts
from wellsolar.site.loading.read import load_site, parse_site
from wellsolar.studies.rules import all_rules
from wellsolar.units import Quantity
from wellsolar.verdicts import Status, Verdict, say

SMALLEST = Path(__file__).parents[2] / "examples" / "smallest.toml"


def test_a_verdict_is_news_once_and_again_when_it_changes() -> None:
    text = SMALLEST.read_text(encoding="utf-8")
    judge = Judge("US")
    first = judge.look(parse_site(text))
    assert first.fresh
    assert len(first.fresh) == len(first.standing)
    assert all(each in first.standing for each in first.fresh)
    again = judge.look(parse_site(text))
    assert again.fresh == ()
    assert len(again.standing) == len(first.standing)
    # 140 psi x 2.31 ft/psi = 323 ft; with the water at 60 ft that is more than the pump's 340 ft.
    told = judge.look(parse_site(text.replace("60 psi", "140 psi")))
    changed = {(each.rule.key, each.status) for each in told.fresh}
    assert ("reaches cut-out", "fail") in changed
    assert told.fresh[0].status == "fail"


def test_a_number_that_hardly_moves_is_no_news() -> None:
    """The cut-in 2 % higher: the same caution on the cut-out, and nothing to say of it."""
    text = SMALLEST.read_text(encoding="utf-8")
    judge = Judge("US")
    judge.look(parse_site(text))
    assert judge.look(parse_site(text.replace('"40 psi"', '"41 psi"'))).fresh == ()


def test_a_study_that_fails_does_not_end_the_talk(monkeypatch: pytest.MonkeyPatch) -> None:
    from wellsolar.studies import case

    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(case.Case, "results", broken)
    told = Judge("US").look(load_site(SMALLEST))
    assert "this is a bug" in told.trouble
    assert told.standing == ()


def test_a_missing_weather_file_is_told(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    text = (SMALLEST.parent / "ridge_house.toml").read_text(encoding="utf-8")
    head, tail = text.split("[sun]")
    path.write_text(f'{head}[sun]\nfile = "none.csv"\n', encoding="utf-8")
    assert "monthly" in tail
    told = Judge("US").look(load_site(path))
    assert "none.csv: no such file beside the site file" in told.trouble


@pytest.mark.parametrize(
    ("moved", "news"),
    [(1.0, False), (1.098, False), (0.902, False), (1.102, True), (0.898, True), (-1.0, True)],
)
def test_a_verdict_is_told_again_where_its_number_moved_by_a_tenth(
    moved: float, news: bool
) -> None:
    rule = all_rules()["yield"]

    def judged(value: float, status: Status = "caution") -> Verdict:
        return rule.verdict(status, "p", say(""), quantity=Quantity(value, kinds.FLOW))

    judge = Judge("US", {("yield", "p"): judged(1e-3)})
    assert judge._is_news(judged(moved * 1e-3)) is news
    assert judge._is_news(judged(1e-3, "fail"))
    judge.seen["yield", "p"] = judged(1e-3, "pass")
    assert not judge._is_news(judged(5e-3, "pass"))


def test_where_there_was_or_is_no_number_the_words_are_compared() -> None:
    rule = all_rules()["yield"]

    def judged(value: float | None, words: str = "so") -> Verdict:
        number = None if value is None else Quantity(value, kinds.FLOW)
        return rule.verdict("caution", "p", say(words), quantity=number)

    judge = Judge("US", {("yield", "p"): judged(1e-3)})
    assert not judge._is_news(judged(None))
    assert judge._is_news(judged(None, "otherwise"))
    judge.seen["yield", "p"] = judged(None)
    assert not judge._is_news(judged(1e-3))
    assert judge._is_news(judged(None, "otherwise"))


@pytest.mark.parametrize(
    ("there", "parts"),
    [
        ({}, ()), ({"pump": ["a pump"]}, ("pump",)), ({"pressure_tank": 1}, ("tank",)),
        ({"hand_pump": 1}, ("hand",)), ({"lift": ["a rope"]}, ("hand",)),
        ({"module": 1}, ("supply",)), ({"array": ["a row"]}, ("supply",)),
        ({"water_heater": 1}, ("heat", "match")),
    ],
)  # fmt: skip
def test_a_site_is_judged_in_the_parts_that_it_has(
    there: dict[str, object], parts: tuple[str, ...]
) -> None:
    nothing = {"pump": [], "pressure_tank": None, "hand_pump": None, "lift": [], "module": None,
               "array": [], "water_heater": None}  # fmt: skip
    file = SimpleNamespace(site=SimpleNamespace(**{**nothing, **there}))
    assert _parts(file) == parts  # type: ignore[arg-type]
