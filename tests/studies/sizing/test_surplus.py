"""A battery's surplus beside modules of the tank's own: what each gives, and which is taken."""

from __future__ import annotations

import tomllib
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from wellsolar.data.hot_water_tables import ElementRating
from wellsolar.site.loading.read import parse_part, parse_site
from wellsolar.studies.case import Case
from wellsolar.studies.heat.study import guards_again
from wellsolar.studies.sizing import surplus
from wellsolar.studies.sizing.design import design_text
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.heated_tank import heater_of
from wellsolar.studies.supply.diversion import SWITCHED

EXAMPLE = Path(__file__).parents[3] / "examples" / "ridge_house.toml"


def without(text: str, table: str, until: str) -> str:
    """The text of a site without what stands from one line to another."""
    begin = text.index(table)
    return text[:begin] + text[text.index(until, begin) :]


@pytest.fixture(scope="module")
def made() -> Draft:
    """The house whose battery has four modules to spare, without what heats its tank."""
    text = EXAMPLE.read_text(encoding="utf-8")
    text = without(text, '[[array]]\nname = "hot water"', '[[array]]\nname = "house battery"')
    text = without(text, "[[water_heater.element]]", "[water_heater.draw]")
    part = parse_part(text, "house.toml")
    return heater_of(Draft(part, Case(part.file)))


def test_the_surplus_is_taken_where_it_does_what_is_asked_with_no_more_modules(
    made: Draft,
) -> None:
    by_surplus, modules = made.ways
    assert (by_surplus.taken, modules.taken) == (True, False)
    assert (by_surplus.modules, modules.modules) == (0, 4)
    assert by_surplus.offered is not None
    # The tank takes no more than is drawn and lost, of far more that is spilled.
    assert modules.heat < by_surplus.heat < by_surplus.offered / 3
    assert by_surplus.passes
    parts = {each.part: each for each in made.sized}
    switch = parts[SWITCHED.key]
    assert switch.passes
    # 1500 W at 240 V are 6.25 A, a load that is on for hours: 7.8 A.
    assert parts["element"].candidate.label.startswith("1500 W 240 V")
    assert switch.candidate.label == "relay, 10 A, closes while the battery is full"
    smaller = parts["element"].smaller
    assert smaller is None or smaller.short is not None


def test_a_tank_on_the_surplus_is_judged_by_its_evenings_and_guarded(made: Draft) -> None:
    case = Case(parse_site(design_text(made.part.text, made.sets)))
    assert [each.feeds for each in case.site.array] == ["battery"]
    said = {each.rule.key: each for each in case.said("diverted_tank").verdicts}
    evening = said["hot water in the evening"]
    assert evening.status == "pass"
    assert "by the battery's surplus alone" in evening.reason.text("US")
    assert "fail" not in {each.status for each in said.values()}
    # What the way was said to give is what its own check finds.
    way, tank = made.ways[0], case.diverted_tank
    alone = tank.households[0]
    assert way.share == pytest.approx(tank.annual_share)
    assert way.evenings == alone.fewest_evenings
    assert way.heat == pytest.approx(alone.year.pv_heat)
    (element,) = case.site.water_heater.element  # type: ignore[union-attr]
    power, volts = case.site.power, float(case.site.power.inverter_voltage or 240.0)
    assert float(element.rated_voltage) == pytest.approx(volts, rel=0.1)
    assert way.needs.text("US").startswith(f"{float(element.rated_power):.0f} W of the inverter")
    assert float(element.rated_power) <= float(power.inverter_rating or 0.0)
    # All that the supply's own year spills.
    assert any(way.offered == pytest.approx(each.energy_spilled) for each in case.supply_years)


def test_the_switch_for_the_surplus_stands_in_the_design_and_on_the_sheet(made: Draft) -> None:
    text = design_text(made.part.text, made.sets)
    told = {each["key"]: each for each in tomllib.loads(text)["sized"]}
    switch = told["water_heater.element[1].surplus_switch"]
    assert switch["rule"] == SWITCHED.key
    assert "with none: only its thermostat switches it" in switch["reason"]
    case = Case(parse_site(text))
    said = {each.rule.key: each.status for each in case.diverted_heat.part.verdicts}
    assert said[SWITCHED.key] == "pass"
    lines = [line for step in case.sheet.steps for line in step.lines]
    own = [each for each in lines if each.proves == "water_heater.element[1].surplus_switch"]
    assert [each.text for each in own] == ["relay switch for the surplus, lower element"]


@pytest.mark.parametrize(
    ("volts", "thread", "sold", "own"),
    [
        # Within a tenth of the inverter's voltage on either side, by NEMA MG 1.
        (230.0, 0.025, [208, 252], ["fits", "any opening"]),
        (230.0, None, [208, 252], ["fits", "other thread", "any opening"]),
        (None, 0.025, [120, 206, 208, 252, 254], ["fits", "any opening", "low"]),
        (100.0, None, None, None),
    ],
)
def test_elements_that_suit_the_inverter_and_the_opening(
    volts: float | None,
    thread: float | None,
    sold: list[int] | None,
    own: list[str] | None,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def item(name: str, rated: int, opening: float | None) -> SimpleNamespace:
        return SimpleNamespace(
            name=name, called=lambda: f"{name} by {name}", opening=opening,
            values={"rated_voltage": f"{rated} V"}, changes=lambda path: (),
        )  # fmt: skip

    stock = [item("fits", 240, 0.025), item("other thread", 240, 0.032),
             item("any opening", 240, None), item("low", 120, 0.025)]  # fmt: skip
    ratings = [ElementRating(float(rated), 10.0 * rated, "read")
               for rated in (120, 206, 208, 252, 254)]  # fmt: skip
    looked_at: list[tuple[Any, Any]] = []

    class Drafted(SimpleNamespace):
        def choose(self, choice: Any, listed: Any) -> Any:
            looked_at.append((choice, listed))
            return self

    def spilled(site: Any, pumps: Any, tank: Any, year: Any) -> Any:
        assert (site, pumps, tank, year) == ("site", "pumps", "tank", "year")
        return object.__new__(surplus.Spill)

    monkeypatch.setattr(surplus, "spill_of", spilled)
    monkeypatch.setattr(surplus, "sold_elements", lambda _: ratings)
    monkeypatch.setattr(surplus, "replace", lambda draft, case: draft)
    monkeypatch.setattr(surplus, "_way", lambda draft, spill: None)
    case = SimpleNamespace(site="site", pumps="pumps", pressure_tank="tank", year="year")
    draft: Any = Drafted(
        case=SimpleNamespace(with_site=lambda _: case), system="SI",
        stock=SimpleNamespace(of=lambda _: stock),
    )  # fmt: skip
    site: Any = SimpleNamespace(power=SimpleNamespace(inverter_voltage=volts))
    found = surplus.on_surplus(draft, site, "water_heater.element[2]", (), thread)
    assert (found is None) == (sold is None)
    if sold is None or own is None:
        return
    ((choice, listed),) = looked_at
    labels = [f"{10 * rated} W {rated} V on the inverter" for rated in sold]
    assert [each.label for each in choice.candidates] == labels
    assert [each.label for each in listed] == [f"{name} on the inverter by {name}" for name in own]
    plate = {
        change.path.rpartition(".")[2]: change.value for change in choice.candidates[0].changes
    }
    assert plate == {
        "fed_by": '"inverter"', "rated_power": f'"{10 * sold[0]} W"',
        "rated_voltage": f'"{sold[0]} V"',
    }  # fmt: skip


def test_guards_that_are_looked_at_again_are_those_of_the_whole_study(made: Draft) -> None:
    """Of a tank on the surplus, as of one on modules: nothing but the year is left out."""
    case = Case(parse_site(design_text(made.part.text, made.sets)))
    tank = case.diverted_tank
    assert tank is not None
    whole = {(each.rule.key, each.subject): each for each in case.said("diverted_tank").verdicts}
    again = guards_again(case.site, tank).verdicts
    assert {each.rule.key for each in again} >= {"mixing valve", "relief valve"}
    assert all(whole[each.rule.key, each.subject] == each for each in again)
