"""The steps by which modules of a tank are looked for, on made-up searches."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from wellsolar import kinds
from wellsolar.studies.heat.verdicts import EVENING, SHARE
from wellsolar.studies.match.designs import DesignElement
from wellsolar.studies.sizing import heated_tank
from wellsolar.studies.sizing.draft import NoDesign
from wellsolar.studies.sizing.heater import NothingSuits
from wellsolar.units import Quantity, System
from wellsolar.verdicts import say

DAYS, FRACTION, TEMPERATURE = kinds.DAYS, kinds.FRACTION, kinds.TEMPERATURE


def verdict(
    status: str = "fail", quantity: float | None = None, limit: float | None = None,
    rule: Any = SHARE,
) -> Any:  # fmt: skip
    return SimpleNamespace(
        status=status, quantity=quantity, limit=limit, rule=rule
    )  # fmt: skip


@pytest.mark.parametrize(
    ("verdicts", "lacks"),
    [
        ([], 0.0),
        # 30 of 40 lack a quarter, 54 of 60 a tenth; what passes or is not known lacks nothing.
        ([verdict("fail", 30.0, 40.0), verdict("caution", 54.0, 60.0)], 0.25),
        ([verdict("caution", 54.0, 60.0)], 0.1),
        ([verdict("pass", 30.0, 40.0), verdict("unknown", 30.0, 40.0)], 0.0),
        (
            [verdict("fail", None, 40.0), verdict("fail", 1.0, None), verdict("fail", 1.0, 0.0)],
            0.0,
        ),
    ],
)
def test_the_greatest_part_that_is_lacking(verdicts: list[Any], lacks: float) -> None:
    """Where most is brought, which is the design that was chosen where nothing brings more."""
    judged = SimpleNamespace(verdicts=verdicts)
    other = SimpleNamespace(verdicts=[verdict("fail", 1.0, 100.0)])
    for heater in (
        SimpleNamespace(most=judged, chosen=other), SimpleNamespace(most=None, chosen=judged)
    ):  # fmt: skip
        assert heated_tank._lacks(heater) == pytest.approx(lacks)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("reached", "system", "within"),
    [
        # Of 366 days 297 are 81.1 %, 183 just the half; rounded to what is reached.
        (Quantity(297.0, DAYS), "US", "81 %"),
        (Quantity(183.0, DAYS), "SI", "50 %"),
        (Quantity(182.9, DAYS), "SI", "49 %"),
        (Quantity(0.789, FRACTION), "US", "78 %"),
        # 58.7 degC are 137.66 degF.
        (Quantity(58.7, TEMPERATURE), "US", "137 degF"),
        (Quantity(58.7, TEMPERATURE), "SI", "58 degC"),
    ],
)
def test_an_aim_is_rounded_to_what_is_reached(
    reached: Quantity, system: System, within: str
) -> None:
    assert heated_tank._within(verdict(quantity=reached), system) == within


def test_aims_are_missed_by_how_far_the_most_modules_come() -> None:
    """90 of 183 days with 4 modules, and 150 with the 9 that bring most; what is no aim, and what
    has no number, misses none. Of 366 days 90 are 24.6 %."""
    days, least = Quantity(90.0, DAYS), Quantity(183.0, DAYS)
    chosen = SimpleNamespace(design=SimpleNamespace(wired="four"), verdicts=[])
    far = [verdict(), verdict(quantity=Quantity(150.0, DAYS), rule=heated_tank.EVENING)]
    most = SimpleNamespace(design=SimpleNamespace(wired="nine"), verdicts=far)
    missed = (
        verdict(quantity=days, limit=least, rule=heated_tank.EVENING),
        verdict(quantity=None, rule=heated_tank.BY_SUN), verdict(quantity=days, rule="no aim"),
    )  # fmt: skip
    draft: Any = SimpleNamespace(system="US", says=lambda key: key == "aim.hot_evenings")
    for beyond, last in ((most, "nine 150 days"), (None, "four 90 days")):
        chosen.verdicts = [missed[0]]
        heater: Any = SimpleNamespace(chosen=chosen, most=beyond, missed=missed)
        (told,) = heated_tank._missed(draft, heater)
        assert told.reason.text("US") == (
            f"183 days aimed at; four reach 90 days, the most that pays, and {last}"
        )
        assert (told.rule, str(told.within), told.asked) == (
            heated_tank.EVENING.key, 'aim.hot_evenings="24 %"', True,
        )  # fmt: skip


@pytest.mark.parametrize(
    ("system", "aimed", "settings"),
    [
        # 150, 160 and 170 degF are 65.6, 71.1 and 76.7 degC: common practice, no source.
        ("US", None, "150 160 170 degF"),
        ("US", 65.0, "150 160 170 degF"),
        ("US", 66.0, "160 170 degF"),
        ("US", 80.0, "170 degF"),
        ("SI", 65.0, "65 70 75 degC"),
        ("SI", 70.1, "75 degC"),
        ("SI", 76.0, "75 degC"),
    ],
)
def test_no_setting_cooler_than_what_is_aimed_at(
    system: System, aimed: float | None, settings: str
) -> None:
    site: Any = SimpleNamespace(
        aim=SimpleNamespace(clear_day_temperature=aimed), site=SimpleNamespace(print_units=system)
    )
    *numbers, unit = settings.split()
    assert heated_tank._settings(site) == tuple(f"{number} {unit}" for number in numbers)


class Notes(SimpleNamespace):
    """A draft that notes what is set and refused, and is a new one each time."""

    def set(self, changes: Any, reason: str) -> Notes:
        return Notes(**{**vars(self), "setting": changes[0].value, "reason": reason})

    def refusing(self, part: str, refused: Any) -> Notes:
        return Notes(**{**vars(self), "refused": {**self.refused, part: dict(refused)}})

    def says(self, path: str) -> bool:
        return path in self.told


def searched(monkeypatch: pytest.MonkeyPatch, found: dict[tuple[str, str], Any]) -> Any:
    """A search that finds this of elements on hand or in a shop, at each setting."""

    def element(name: str) -> Any:
        return SimpleNamespace(called=lambda wanted=0.0: name)

    pools = [
        SimpleNamespace(name="hand", on_hand=True, items={1: element("drawer, on hand")},
                        called=lambda wanted: " (drawer, on hand)"),
        SimpleNamespace(name="shop", on_hand=False, items={1: element("drawer, on hand")},
                        called=lambda wanted: " (drawer)" if wanted == "two" else " (shop)"),
    ]  # fmt: skip
    site = SimpleNamespace()
    draft = Notes(case=SimpleNamespace(site=site), stock=None, system="SI", told=(), refused={})
    monkeypatch.setattr(heated_tank, "_pools", lambda *_: iter(pools))
    monkeypatch.setattr(heated_tank, "_settings", lambda _: ("65 degC", "70 degC"))
    asked: list[str] = []

    def fewest(trial: Any, begun: Any, elements: Any) -> Any:
        key = (elements.name, trial.setting.strip('"'))
        asked.append(" ".join(key))
        passes, lacks, wanted = found[key]
        choice = SimpleNamespace(element=wanted)
        verdicts = [verdict("pass", rule=EVENING), verdict("caution", 1.0 - lacks, 1.0)]
        judged = SimpleNamespace(
            design=SimpleNamespace(choice=choice), verdicts=verdicts, at=" ".join(key)
        )
        return SimpleNamespace(passes=passes, most=None, chosen=judged)

    monkeypatch.setattr(heated_tank, "_fewest", fewest)
    begun: Any = SimpleNamespace(draft=draft, element="element", free={})
    return begun, asked


ALL = ["hand 65 degC", "hand 70 degC", "shop 65 degC", "shop 70 degC"]


@pytest.mark.parametrize(
    ("found", "asked", "at", "refused"),
    [
        # What passes first is taken, with what is on hand before what is in a shop.
        ([(True, 0.0, "one")], 1, 0, {}),
        # A hotter setting brings a tenth and no more: where just so much lacks it is tried.
        ([(False, 0.0625, "one"), (True, 0.0, "one")], 2, 1, {}),
        ([(False, 0.103, "one"), None, (True, 0.0, "one")], 2, 2,
         {"drawer, on hand": "share from PV"}),
        # Of one on hand more may be bought: that is not refused.
        ([(False, 0.125, "one"), None, (True, 0.0, "two")], 2, 2, {}),
        # Where nothing passes, what lacks least of all that were tried.
        ([(False, 0.0625, "one"), (False, 0.03125, "one"), (False, 0.25, "one")], 3, 1, None),
        ([(False, 0.5, "one"), None, (False, 0.25, "one")], 2, 2, None),
    ],
)  # fmt: skip
def test_settings_and_elements_in_turn(
    monkeypatch: pytest.MonkeyPatch, found: list[Any], asked: int, at: int,
    refused: dict[str, str] | None,
) -> None:  # fmt: skip
    of_keys = [tuple(key.split(" ", 1)) for key in ALL]
    begun, tried = searched(monkeypatch, dict(zip(of_keys, found, strict=False)))  # type: ignore[arg-type]
    draft, elements, heater = heated_tank._direct(begun)
    assert heater.chosen.at == ALL[at]  # type: ignore[attr-defined]
    assert tried == [key for key, each in zip(ALL, found, strict=False) if each is not None]
    assert len(tried) == asked
    assert f"{elements.name} {draft.setting.strip(chr(34))}" == ALL[at]  # type: ignore[attr-defined]
    if refused is not None:
        assert draft.refused == {heated_tank.ELEMENT: refused}
    assert draft.reason.startswith("the usual" if at % 2 == 0 else "a cooler")  # type: ignore[attr-defined]


def test_what_falls_short_first() -> None:
    said = [verdict("pass", rule=EVENING), verdict("unknown", rule=EVENING), verdict("caution"),
            verdict("fail", rule=EVENING)]  # fmt: skip
    judged: Any = SimpleNamespace(verdicts=said)
    assert heated_tank._first_short(judged) == SHARE.key
    judged.verdicts = said[:2]
    assert heated_tank._first_short(judged) == ""


@pytest.mark.parametrize(
    ("shorts", "taken", "refused"),
    [
        # short, lacking part; the first without, else the one that lacks least.
        ([("a rule", 0.5), ("", 0.0), None], 1, {"m0": "a rule"}),
        ([("a rule", 0.5), ("other", 0.25), ("a rule", 0.375)], 1,
         {"m0": "a rule", "m1": "other", "m2": "a rule"}),
        (["none", ("other", 0.25)], 1, {"m0": "no design with it", "m1": "other"}),
        (["none", "none"], None, {}),
    ],
)  # fmt: skip
def test_modules_of_the_stock_in_turn(
    monkeypatch: pytest.MonkeyPatch, shorts: list[Any], taken: int | None, refused: dict[str, str]
) -> None:
    def module(place: int) -> Any:
        return SimpleNamespace(called=lambda: f"m{place}")

    drafts = [Notes(place=place, module=module(place), told=("water_heater",), refused={},
                    case=SimpleNamespace(site=SimpleNamespace(water_heater=None)))
              for place in range(len(shorts))]  # fmt: skip

    def heated(draft: Any) -> Any:
        found = shorts[draft.place]
        if found == "none":
            raise NoDesign(say("none"), (f"m{draft.place}",))
        return heated_tank._Heated(draft, *found)

    monkeypatch.setattr(heated_tank, "_with_modules", lambda draft: iter(drafts))
    monkeypatch.setattr(heated_tank, "_heated", heated)
    begun: Any = drafts[0]
    if taken is None:
        with pytest.raises(NoDesign) as told:
            heated_tank.heater_of(begun)
        assert told.value.needs == ("m0",)
        return
    found: Any = heated_tank.heater_of(begun)
    assert (found.place, found.refused) == (taken, {"module": refused})
    assert heated_tank.heater_of(Notes(told=())).told == ()  # type: ignore[arg-type, attr-defined]


@pytest.mark.parametrize(
    ("on_hand", "own", "left"),
    [
        # 3 x 2 for the battery beside the tank's: of 20, 14 are left for it.
        (20, None, 14), (20, (4, 2), 14), (None, (4, 2), None),
    ],
)  # fmt: skip
def test_modules_on_hand_that_others_leave(
    monkeypatch: pytest.MonkeyPatch, on_hand: int | None, own: tuple[int, int] | None,
    left: int | None,
) -> None:  # fmt: skip
    made: list[Any] = []

    def search(*told: Any) -> Any:
        made.append(told)
        raise NothingSuits({"cold": 3, "plate": 2})

    monkeypatch.setattr(heated_tank, "HeaterSearch", search)
    monkeypatch.setattr(heated_tank, "lacking_for_year", lambda site, year: [])
    monkeypatch.setattr(heated_tank, "_price", lambda trial, elements, there: there)
    series, parallel = own or (1, 1)
    arrays = [SimpleNamespace(series=3, parallel=2),
              SimpleNamespace(series=series, parallel=parallel)]  # fmt: skip
    site = SimpleNamespace(module=SimpleNamespace(on_hand=on_hand), array=arrays)
    case = SimpleNamespace(site=site, year="year", diverted_heat=SimpleNamespace(power="power"))
    trial: Any = SimpleNamespace(case=case, progress=None, row_dead=False)
    begun: Any = SimpleNamespace(kept=own)
    elements: Any = "elements"
    with pytest.raises(NothingSuits):
        heated_tank._fewest(trial, begun, elements)
    assert made == [(site, "year", "power", "elements", own, left, None, left)]


@pytest.mark.parametrize(
    ("found", "passes", "runs"),
    [
        # With a row to spare where that does what is asked, else without.
        ((True, True), "spare", 1), ((False, True), "plain", 2), ((None, True), "plain", 2),
        ((False, False), "plain", 2),
    ],
)  # fmt: skip
def test_a_row_to_spare_is_looked_for_first(
    monkeypatch: pytest.MonkeyPatch, found: tuple[bool | None, bool], passes: str, runs: int
) -> None:
    asked: list[str] = []

    class Search:
        def __init__(self, kind: str) -> None:
            self.kind = kind

        def fewest(self) -> Any:
            asked.append(self.kind)
            does = found[0] if self.kind == "spare" else found[1]
            if does is None:
                raise NothingSuits({})
            return SimpleNamespace(passes=does, kind=self.kind)

    def spared(search: Search, *, spare: bool, fine_runs: Any) -> Search:
        assert (spare, fine_runs) == (True, {})
        return Search("spare")

    monkeypatch.setattr(heated_tank, "HeaterSearch", lambda *_: Search("plain"))
    monkeypatch.setattr(heated_tank, "replace", spared)
    monkeypatch.setattr(heated_tank, "lacking_for_year", lambda site, year: [])
    monkeypatch.setattr(heated_tank, "_price", lambda *_: None)
    site = SimpleNamespace(module=SimpleNamespace(on_hand=None), array=[])
    case = SimpleNamespace(site=site, year=None, diverted_heat=SimpleNamespace(power=None))
    trial: Any = SimpleNamespace(case=case, progress=None, row_dead=True)
    begun: Any = SimpleNamespace(kept=None)
    elements: Any = None
    heater: Any = heated_tank._fewest(trial, begun, elements)
    assert (heater.kind, len(asked)) == (passes, runs)
    # What the file has strung is not made longer; nor where no row may be dead.
    for kept, dead in (((4, 1), True), (None, False)):
        asked.clear()
        trial.row_dead, begun.kept = dead, kept
        heated_tank._fewest(trial, begun, elements)
        assert asked == ["plain"]


@pytest.mark.parametrize(
    ("there", "held", "modules", "count", "cost"),
    [
        # 100 a module and 30 an element, of which some are there.
        (None, None, 4, 2, 460.0), (3, None, 4, 1, 130.0), (6, None, 4, 1, 30.0),
        (0, 1.0, 4, 2, 430.0), (0, 3.0, 4, 2, 400.0),
    ],
)  # fmt: skip
def test_what_is_on_hand_costs_nothing(
    monkeypatch: pytest.MonkeyPatch, there: int | None, held: float | None, modules: int,
    count: int, cost: float,
) -> None:  # fmt: skip
    monkeypatch.setattr(heated_tank, "counts_money", lambda site: True)
    monkeypatch.setattr(heated_tank, "of_module", lambda draft: 100.0)
    monkeypatch.setattr(heated_tank, "price_of", lambda site, name, text, item: 30.0)
    draft: Any = SimpleNamespace(case=SimpleNamespace(site=None))
    items = {} if held is None else {(240.0, 3500.0): SimpleNamespace(on_hand=held)}
    elements: Any = SimpleNamespace(items=items)
    price = heated_tank._price(draft, elements, there)
    assert price is not None
    one = DesignElement("", 3500.0, 240.0, count, "alone", 16.5, 240.0)
    assert price(modules, one) == pytest.approx(cost)
    monkeypatch.setattr(heated_tank, "counts_money", lambda site: False)
    assert heated_tank._price(draft, elements, there) is None


@pytest.mark.parametrize(
    ("of_element", "of_relay", "of_modules", "less"),
    [(30.0, 20.0, 50.0, True), (30.0, 20.1, 50.0, False), (None, 20.0, 20.0, True),
     (30.0, None, 29.0, False)],
)  # fmt: skip
def test_what_the_surplus_asks_beside_modules(
    monkeypatch: pytest.MonkeyPatch, of_element: float | None, of_relay: float | None,
    of_modules: float, less: bool,
) -> None:  # fmt: skip
    prices = {"heating element": of_element, "relay or controller": of_relay}
    monkeypatch.setattr(heated_tank, "price_of", lambda site, name, label="": prices[name])
    begun: Any = SimpleNamespace(draft=SimpleNamespace(case=SimpleNamespace(site=None)))
    surplus: Any = SimpleNamespace(way=SimpleNamespace(label="label"))
    design = SimpleNamespace(modules=4, choice=SimpleNamespace(element="element"))
    heater: Any = SimpleNamespace(chosen=SimpleNamespace(design=design))

    def price(modules: int, element: Any) -> float:
        assert (modules, element) == (4, "element")
        return of_modules

    assert heated_tank._costs_less(begun, surplus, heater, price) is less


@pytest.mark.parametrize(
    ("spare", "count", "joined", "helped", "inverter", "told"),
    [
        (True, 1, "alone", "", False,
         ["hot in the evening on", "the element dead: no heat", "keep one on the shelf"]),
        (False, 2, "in parallel", "", False,
         ["no array that was looked at", "the other heats alone"]),
        (False, 2, "in series", "grid", True, ["no array", "one of both", "on the grid heats"]),
        (False, 1, "alone", "second", True, ["no array", "the element dead", "second tank heats"]),
        (False, 1, "alone", "", True, ["no array", "the element dead", "on the inverter heats"]),
    ],
)  # fmt: skip
def test_what_is_left_with_a_row_or_an_element_dead(
    monkeypatch: pytest.MonkeyPatch, spare: bool, count: int, joined: str, helped: str,
    inverter: bool, told: list[str],
) -> None:  # fmt: skip
    monkeypatch.setattr(heated_tank, "auxiliary_heat_of", lambda heater: SimpleNamespace(
        grid=1 if helped == "grid" else None, second=1 if helped == "second" else None
    ))  # fmt: skip
    monkeypatch.setattr(
        heated_tank, "element_on_inverter", lambda site: object() if inverter else None
    )
    element = SimpleNamespace(count=count, joined=joined)
    chosen = SimpleNamespace(
        spare=spare, result=SimpleNamespace(households=[SimpleNamespace(fewest_evenings=200)]),
        design=SimpleNamespace(choice=SimpleNamespace(element=element)),
    )  # fmt: skip
    draft: Any = SimpleNamespace(case=SimpleNamespace(site=SimpleNamespace(water_heater=object())))
    found: Any = SimpleNamespace(chosen=chosen)
    lines = [each.text("US") for each in heated_tank._with_one_dead(draft, found)]
    assert len(lines) == 2
    text = "; ".join(lines)
    assert all(each in text for each in told), text
    if spare:
        chosen.result.households = []
        assert len([*heated_tank._with_one_dead(draft, found)]) == 1
