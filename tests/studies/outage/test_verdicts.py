"""Each verdict on an outage, asked of what is left by hand: 60 L a day are survival water."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from wellsolar import kinds
from wellsolar.studies.outage import study as asked
from wellsolar.studies.outage.equipment import Event
from wellsolar.verdicts import Change, changes_of

SURVIVAL = 0.060


def outage(litres: float, *needs: str) -> Any:
    """What is left in one, and the keys that might bring a source back."""
    cells = [SimpleNamespace(needs=()), SimpleNamespace(needs=needs)]
    return SimpleNamespace(
        volume=litres / 1e3, survival=litres / 1e3 / SURVIVAL, short=litres < 60.0, cells=cells
    )


def fix(path: str, value: str = "1", litres: float = 70.0) -> Any:
    return SimpleNamespace(
        text=f"mend {path}", changes=(Change(path, value),), volume=litres / 1e3
    )


def link(name: str, litres: float, *needs: str, mend: Any = None) -> Any:
    return SimpleNamespace(component=name, outage=outage(litres, *needs), fix=mend)


def result(*links: Any, whole: Any = None, plan: tuple[Any, ...] = (), **other: Any) -> Any:
    weak = [each for each in links if each.outage.short]
    usual = {"survival": SURVIVAL, "links": links, "weak": weak, "plan": plan, "planned": 0.066,
             "whole": whole or outage(500.0)}  # fmt: skip
    return SimpleNamespace(**(usual | other))


KEYS = ("a.key", "b.key", "c.key")


@pytest.mark.parametrize(
    ("links", "whole", "status", "left", "words"),
    [
        ((link("pump", 60), link("tank", 80)), None, "pass", 60,
         "least is left without the {name}: {left} a day; survival water is {wanted}"),
        ((link("tank", 80), link("nothing", 60)), None, "pass", 60,
         "{left} a day; survival water is {wanted}"),
        ((link("pump", 20), link("tank", 80)), None, "fail", 20,
         "too little is left without the {names}: {left} a day; survival water is {wanted}"),
        ((link("pump", 20), link("tank", 10), link("grid", 90)), None, "fail", 10,
         "too little is left without the {names}; least without the {name}: {left} a day; "
         "survival water is {wanted}"),
        # One weak link that no key would settle, and all that keys might.
        ((link("pump", 20, *KEYS), link("tank", 10)), None, "fail", 10,
         "too little is left without the {names}; least without the {name}: {left} a day; "
         "survival water is {wanted}"),
        ((link("pump", 20, *KEYS), link("tank", 10, "d.key")), None, "unknown", None,
         "without the pump"),
        ((link("pump", 20),), outage(30), "fail", 30,
         "even with all in order there is {left} a day; survival water is {wanted}"),
        ((link("pump", 20, *KEYS), link("tank", 9)), outage(30, *KEYS), "unknown", None, ""),
        ((link("pump", 20, *KEYS), link("tank", 9)), outage(30), "fail", 30,
         "even with all in order there is {left} a day; survival water is {wanted}"),
        ((link("pump", 20), link("tank", 9)), outage(90, *KEYS), "fail", 9,
         "too little is left without the {names}; least without the {name}: {left} a day; "
         "survival water is {wanted}"),
    ],
)  # fmt: skip
def test_when_one_thing_fails(
    links: tuple[Any, ...], whole: Any, status: str, left: float | None, words: str
) -> None:
    found = asked._links(result(*links, whole=whole))
    assert (found.status, found.subject) == (status, "water supply")
    if left is None:
        # Two keys at most are asked for.
        assert found.needs == KEYS[:2]
        assert words in found.reason.text("US")
        return
    assert (found.quantity, found.limit) == (pytest.approx(left / 1e3), SURVIVAL)
    assert found.quantity is not None
    assert found.quantity.kind.name == kinds.SUMMED_VOLUME.name
    assert found.reason.template == words
    parts = dict(found.reason.parts)
    weak = [each.component for each in links if each.outage.short]
    worst = min(links, key=lambda each: each.outage.volume).component
    assert (parts["name"], parts["wanted"]) == (worst, SURVIVAL)
    assert parts["left"] == pytest.approx(left / 1e3)
    if "{names}" in words:
        assert parts["names"] == ", or without the ".join(weak)
    assert (found.remedy is None) is (status == "pass")


@pytest.mark.parametrize(
    ("paths", "trade"),
    [((), None), (("power.grid",), None), (("hand_pump.bore",), "driller"),
     (("power.grid", "hand_pump.bore"), "driller")],
)  # fmt: skip
def test_a_plan_and_whose_work_it_is(paths: tuple[str, ...], trade: str | None) -> None:
    plan = tuple(fix(path) for path in paths)
    found = asked._links(result(link("pump", 20), plan=plan))
    assert found.trade == trade
    assert [each.path for each in changes_of(found.remedy)] == list(paths)
    assert found.remedy is not None
    if paths:
        assert found.remedy.parts == {
            "ways": "; then ".join(f"mend {path}" for path in paths), "least": 0.066
        }  # fmt: skip
    # What a later step sets again has its last value.
    twice = result(link("pump", 20), plan=(fix("a"), fix("b"), fix("a", "2")))
    assert [str(each) for each in changes_of(asked._links(twice).remedy)] == ["a=2", "b=1"]


def test_what_no_plan_clears_is_mended_link_by_link() -> None:
    links = link("pump", 20, mend=fix("a")), link("tank", 9), link("wire", 8, mend=fix("b"))
    found = asked._remedy(result(*links))
    assert found.parts == {"ways": "without the pump: mend a; without the wire: mend b"}
    assert found.changes == ()
    bare = asked._remedy(result(link("pump", 20)))
    assert bare.template.startswith("a second source")
    assert asked._needs(outage(9)) == ()


@pytest.mark.parametrize("days", [1, 3])
@pytest.mark.parametrize("fixes", [True, False])
@pytest.mark.parametrize(
    ("litres", "needs", "mend", "status"),
    [
        (60.0, (), None, "pass"), (80.0, KEYS, None, "pass"), (59.0, (), None, "fail"),
        (59.0, (), "hand_pump.bore", "fail"), (59.0, (), "power.grid", "fail"),
        (59.0, KEYS, "power.grid", "unknown"),
    ],
)  # fmt: skip
def test_one_outage(
    monkeypatch: pytest.MonkeyPatch, days: int, fixes: bool, litres: float,
    needs: tuple[str, ...], mend: str | None, status: str,
) -> None:  # fmt: skip
    tried: Any = SimpleNamespace(wanted=SimpleNamespace(survival=SURVIVAL))
    event: Any = SimpleNamespace(name="no grid", days=days)
    site: Any = None
    monkeypatch.setattr(asked, "own_fix", lambda *_: None if mend is None else fix(mend))
    found = asked._one(tried, site, asked.OWN, "storm", event, outage(litres, *needs), fixes)
    assert (found.status, found.subject) == (status, "storm")
    if status == "unknown":
        assert found.needs == KEYS[:2]
        return
    assert (found.quantity, found.limit) == (pytest.approx(litres / 1e3), SURVIVAL)
    assert found.reason.parts == {
        "name": "no grid", "left": pytest.approx(litres / 1e3), "wanted": SURVIVAL,
        "days": "1 day" if days == 1 else "3 days",
    }  # fmt: skip
    if status == "fail":
        mended = fixes and mend is not None
        assert [each.path for each in changes_of(found.remedy)] == ([mend] if mended else [])
        assert found.trade == ("driller" if mended and str(mend).startswith("hand") else None)
        assert found.remedy is not None
        assert found.remedy.parts.get("least") == (pytest.approx(0.070) if mended else None)


def test_of_the_usual_outages_the_worst_is_judged(monkeypatch: pytest.MonkeyPatch) -> None:
    """Those in the dark and hands alone, of the matrix; each of the file besides."""

    def event(key: str, group: str = "matrix", dark: bool = False) -> Event:
        return Event(key, key, frozenset(), 3, dark, group)

    events = {
        event("grid", dark=True): outage(80), event("hands"): outage(40),
        event("pump"): outage(5), event("dark", "other", dark=True): outage(1),
        event("storm", "own"): outage(90), event("frost", "own"): outage(70),
    }  # fmt: skip
    monkeypatch.setattr(asked, "_links", lambda _: "links")
    monkeypatch.setattr(
        asked, "_one", lambda tried, site, rule, subject, event, outage, fixes:
        (rule.key, subject, event.key, outage.volume, fixes),
    )  # fmt: skip
    none: Any = None
    found: list[Any] = asked._verdicts(none, none, result(), events, True)
    assert found == [
        "links",
        ("water in the worst outage", "water supply", "hands", 0.040, True),
        ("water in an outage of the file", "storm", "storm", 0.090, True),
        ("water in an outage of the file", "frost", "frost", 0.070, True),
    ]
    (unknown,) = asked._verdicts(none, none, result(survival=None), events, True)
    assert unknown.needs == ("site.people",)
