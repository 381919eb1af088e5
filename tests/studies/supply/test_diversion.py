"""A battery's surplus into an element, against the same hours reckoned one by one."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.studies.composing import case_of, month_sums
from tests.studies.match.greensboro import (
    BATTERY,
    HOUR,
    NO_ARRAY,
    SITE,
    element,
    matched,
    verdict,
    written,
)
from tests.studies.test_composed_power import best_of, feeding, with_battery
from wellsolar import kinds
from wellsolar.site.loading.read import load_site
from wellsolar.site.schema import ElementTable, Site
from wellsolar.studies.case import USUAL, study_site
from wellsolar.studies.heat.study import study_heated_tank
from wellsolar.studies.pump.pressure_tank import study_pressure_tank
from wellsolar.studies.pump.study import study_pumps
from wellsolar.studies.sun.year import year_of_site
from wellsolar.studies.supply import diversion
from wellsolar.studies.supply.diversion import Spill, diversion_result, spill_of
from wellsolar.units import Quantity
from wellsolar.verdicts import changes_of, remedy

pytestmark = pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")


def spilled(path: Path) -> Spill:
    file = load_site(path)
    pumps, _ = study_pumps(file.site)
    tank, _ = study_pressure_tank(file.site, pumps)
    found = spill_of(file.site, pumps, tank, year_of_site(file).year)
    assert isinstance(found, Spill)
    return found


def by_hand(spill: Spill, power: float) -> float:
    """Energy at an element that cycles with the battery, hour by hour [J]: while it is on it
    borrows what the surplus lacks; while it is off the surplus pays that back, less the loss of
    the battery's round trip."""
    heat = 0.0
    waits = power > spill.room - spill.pump_power
    for joules, running in zip(spill.energy.tolist(), spill.running.tolist(), strict=True):
        if power > spill.room or joules <= 0.0:
            continue
        surplus = joules * 0.90 / HOUR
        on = 1.0
        if surplus < power:
            borrowed_a_second, paid_a_second = power - surplus, surplus * 0.92
            on = 1.0 / (1.0 + borrowed_a_second / paid_a_second)
        heat += power * HOUR * min(on, 1.0 - running if waits else 1.0)
    return heat


@pytest.mark.parametrize("way", ["alone", "beside", "as if"])
def test_an_element_on_the_inverter_takes_the_batterys_surplus(tmp_path: Path, way: str) -> None:
    """The file's own, with an element on the array beside it or not, or the array's as if."""
    elements = [element(fed_by="inverter")] if way != "as if" else [element()]
    base = SITE
    if way == "beside":
        elements.insert(0, element().replace("lower", "upper"))
    elif way == "alone":
        assert NO_ARRAY in SITE
        base = SITE.replace(NO_ARRAY, "")
    path = written(tmp_path, BATTERY, *elements, base=base)
    results = matched(path)
    diversion = results.matching.diversion
    assert diversion.named == (way != "as if")
    spill = spilled(path)
    assert diversion.spilled == pytest.approx(float(spill.energy.sum()))
    assert 0.0 < diversion.energy <= diversion.spilled * 0.90
    assert diversion.energy == pytest.approx(by_hand(spill, 4500.0), rel=1e-9)
    assert sum(diversion.months) == pytest.approx(diversion.energy)
    # All that an hour spills is used up to what the element draws through the inverter.
    used = np.minimum(spill.energy, 4500.0 * HOUR / 0.90).sum()
    assert diversion.used_ratio == pytest.approx(used / spill.energy.sum())
    months = year_of_site(load_site(path)).year.hours.month
    by_month = [spill.energy[months == month].sum() for month in range(1, 13)]
    assert diversion.months_spilled == pytest.approx(by_month)
    assert (diversion.power, diversion.pump) == (pytest.approx(4500.0), spill.pump)
    assert diversion.hours == pytest.approx(diversion.energy / 4500.0 / HOUR)
    assert diversion.modules == spill.modules == 8
    assert diversion.room == pytest.approx(spill.room - spill.pump_power)
    said = [each for each in results.verdicts if each.rule.key == "surplus for the element"]
    assert [each.status for each in said] == ["pass"] * diversion.named
    assert (results.matching.match is not None) == (way != "alone")


def test_the_surplus_is_what_the_supply_year_did_not_take(tmp_path: Path) -> None:
    path = written(tmp_path, BATTERY, element(), element(fed_by="inverter"))
    results = study_site(load_site(path), USUAL)
    (supply,) = results.supply_years
    assert results.matching.diversion.spilled == pytest.approx(supply.energy_spilled)
    # Beside the array's element it is offered to the tank in the same hours.
    file = load_site(path)
    alone, _ = study_heated_tank(file.site, year_of_site(file).year)
    assert results.matching.match is not None
    days = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
    offered, before = (
        sum(month.element_energy * day for month, day in zip(tank.months, days, strict=True))
        for tank in (results.heated_tank, alone)
    )
    assert offered - before == pytest.approx(results.matching.diversion.energy, rel=1e-6)
    assert results.heated_tank.annual_share > alone.annual_share + 0.05


def test_an_element_waits_for_the_pump_where_the_inverter_cannot_carry_both(
    tmp_path: Path,
) -> None:
    base = BATTERY.replace('"6 kW"', '"4600 W"').replace("series = 8", "series = 8\nparallel = 4")
    path = written(tmp_path, base, element(fed_by="inverter"))
    results = matched(path)
    spill = spilled(path)
    # The pump runs in the sunny hours too, and in some of them the surplus would fill the hour.
    assert ((spill.running > 0.0) & (spill.energy * 0.90 > 0.9 * 4500.0 * HOUR)).any()
    energy = results.matching.diversion.energy
    assert energy == pytest.approx(by_hand(spill, 4500.0), rel=1e-9)
    assert energy < by_hand(dataclasses.replace(spill, room=6000.0), 4500.0)
    waits = verdict(results, "element on the inverter")
    assert waits.status == "caution"
    told = re.search(r"one element of (\d+ W), 240 V", waits.remedy.text("US"))
    text = path.read_text(encoding="utf-8").replace('"4500 W"', f'"{told[1]}"')
    path.write_text(text, encoding="utf-8")
    assert verdict(matched(path), "element on the inverter").status == "pass"


@pytest.mark.parametrize("rating", ["6 kW", "4600 W", "2 kW"])
def test_a_proportional_switch_follows_the_surplus_and_gives_way_to_the_pump(
    tmp_path: Path, rating: str
) -> None:
    """By a balance of each hour, no formula of a text: what is spilled behind the inverter, up to
    the element alone for the part in which no pump runs, and up to what the pump leaves."""
    base = BATTERY.replace('"6 kW"', f'"{rating}"').replace(
        "series = 8", "series = 8\nparallel = 4"
    )
    follows = element(fed_by="inverter") + 'surplus_switch = "proportional"\n'
    path = written(tmp_path, base, follows)
    spill = spilled(path)
    heat = 0.0
    for joules, running in zip(spill.energy.tolist(), spill.running.tolist(), strict=True):
        alone = min(4500.0, spill.room)
        beside = min(4500.0, max(spill.room - spill.pump_power, 0.0))
        heat += min(joules * 0.90, HOUR * (alone * (1.0 - running) + beside * running))
    diversion = matched(path).matching.diversion
    assert diversion.energy == pytest.approx(heat, rel=1e-9)
    # Nothing is borrowed from the battery, so that none of its round trip is lost.
    assert diversion.used_ratio == pytest.approx(heat / 0.90 / spill.energy.sum())


def test_an_element_is_as_good_as_never_on_below_a_hundredth_of_the_surplus(
    tmp_path: Path,
) -> None:
    """The element that takes just that: all of an hour's surplus, or its own power through the
    inverter where that is less."""
    base = SITE.replace(NO_ARRAY, "")
    path = written(tmp_path, BATTERY, element(fed_by="inverter"), base=base)
    spilled_by_hour = spilled(path).energy

    def beyond(power: float) -> float:
        taken = np.minimum(spilled_by_hour, power * HOUR / 0.90)
        return float(taken.sum() / spilled_by_hour.sum()) - 0.01

    turns = float(brentq(beyond, 1.0, 4500.0))
    text = path.read_text(encoding="utf-8")
    for by, status in ((1.01, "pass"), (0.99, "caution")):
        path.write_text(text.replace('"4500 W"', f'"{turns * by:.4f} W"'), encoding="utf-8")
        said = verdict(matched(path), "surplus for the element")
        assert said.status == status, said.reason.text("SI")
        assert said.reason.parts["share"] == pytest.approx(0.01 * by, rel=0.003)
    assert said.remedy.by_hand
    text = text.replace('"6 kW"', '"3 kW"')
    path.write_text(text, encoding="utf-8")
    refused = verdict(matched(path), "surplus for the element")
    assert refused.status == "caution"
    assert refused.reason.parts["share"] == 0.0
    (watts,) = (change.value for change in refused.remedy.changes if "power" in change.path)
    path.write_text(text.replace('"4500 W"', watts), encoding="utf-8")
    assert verdict(matched(path), "surplus for the element").status == "pass"


def test_an_inverter_too_small_for_the_element_is_told_and_mended(tmp_path: Path) -> None:
    base = BATTERY.replace('"6 kW"', '"3 kW"')
    path = written(tmp_path, base, element(fed_by="inverter"))
    bad = verdict(matched(path), "element on the inverter")
    assert bad.status == "fail"
    told = re.search(r"one element of (\d+ W), (\d+) V", bad.remedy.text("US"))
    text = path.read_text(encoding="utf-8").replace('"4500 W"', f'"{told[1]}"')
    path.write_text(text, encoding="utf-8")
    mended = matched(path)
    assert verdict(mended, "element on the inverter").status == "pass"
    assert verdict(mended, "surplus for the element").status == "pass"


@pytest.mark.parametrize(
    ("change", "needs"),
    [
        (('battery_energy = "5 kWh"\n', ""), "power.battery_energy"),
        (('inverter_rating = "6 kW"\n', ""), "power.inverter_rating"),
        (('feeds = "battery"', 'feeds = "pump"'), "array"),
    ],
)
def test_what_the_surplus_lacks_is_named(
    tmp_path: Path, change: tuple[str, str], needs: str
) -> None:
    assert BATTERY.count(change[0]) == 1
    path = written(tmp_path, BATTERY.replace(*change), element(fed_by="inverter"))
    unknown = [each for each in matched(path).verdicts if each.status == "unknown"]
    assert needs in {need for each in unknown for need in each.needs}


def on_inverter(site: Site, power: float, switch: str) -> ElementTable:
    """An element that takes a power at the inverter's voltage."""
    assert site.power.inverter_voltage == 240.0
    plate = {
        "position": "lower", "rated_power": f"{power} W", "rated_voltage": "240 V",
        "fed_by": "inverter", "surplus_switch": switch, "thermostat": "140 degF",
    }  # fmt: skip
    return ElementTable.model_validate(plate)


@pytest.mark.parametrize("name", ["ridge_house", "creek_cabin", "shaded"])
def test_what_is_spilled_and_what_an_element_makes_of_it_by_an_own_year(name: str) -> None:
    """Modules by pvlib and the battery by an own loop over the hours; of what that spills an
    element takes its part by a balance of each hour: one that fits beside the pump, one that must
    wait for it, one that the inverter does not carry, each switched by relay or following."""
    case = case_of(name)
    site, year = case.site, case.year
    assert year is not None
    spill = spill_of(site, case.pumps, case.pressure_tank, year)
    assert isinstance(spill, Spill)
    (supply,) = [each for each in case.supply_years if each.pump == spill.pump]
    table = next(each for each in site.pump if each.name == spill.pump)
    groups = feeding(site)
    counts = [group.series * group.parallel for group in groups]
    made = np.sum([best_of(site, year, group) * count
                   for group, count in zip(groups, counts, strict=True)], axis=0)  # fmt: skip
    assert spill.modules == sum(counts)
    np.testing.assert_allclose(spill.array_power, made, rtol=0.02, atol=3e-3 * made.max())
    own = with_battery(site, supply, made * HOUR, table.supply == "AC")["rows"]
    pumped, energy = own[:, 0], own[:, 3]
    running = pumped / (supply.flow * HOUR)
    in_months = month_sums(energy, year)
    found = month_sums(spill.energy, year)
    np.testing.assert_allclose(found, in_months, rtol=0.01, atol=2e-3 * in_months.max())
    assert np.mean(np.abs(spill.running - running)) < 0.01 * running.mean()
    assert running.max() <= 1.0 + 1e-9
    rating, other = site.power.inverter_rating, float(site.power.other_use or 0.0) / 86_400.0
    assert rating is not None
    room = float(rating) - other
    beside = room - (supply.power if table.supply == "AC" else 0.0)
    assert spill.room == pytest.approx(room)
    assert spill.least_room == pytest.approx(beside)
    through, trip = float(site.power.inverter_efficiency), float(site.power.battery_efficiency)
    for share, waits in ((0.4 * beside, False), (0.5 * (beside + room), beside < room)):
        for power, switch in ((share, "relay"), (share, "proportional"), (1.1 * room, "relay")):
            watts = on_inverter(site, power, switch)
            surplus = energy * through / HOUR
            if switch == "proportional":
                free = min(power, room) * (1.0 - running) + min(power, beside) * running
                heat = np.minimum(surplus, free)
            elif power > room:
                heat = 0.0 * surplus
            else:
                short = np.maximum(power - surplus, 0.0)
                paid = np.maximum(surplus * trip, 1e-12)
                on = np.where(surplus > 0.0, paid / (paid + short), 0.0)
                heat = power * np.minimum(on, 1.0 - running if waits else 1.0)
            told, by_hour = diversion_result(site, watts, spill, year.hours.month, named=False)
            assert told.power == pytest.approx(power)
            assert told.spilled == pytest.approx(energy.sum(), rel=0.01)
            assert told.energy == pytest.approx(heat.sum() * HOUR, rel=0.01)
            months = month_sums(heat * HOUR, year)
            np.testing.assert_allclose(told.months, months, rtol=0.02, atol=5e-3 * months.max())
            assert by_hour.power.sum() * HOUR == pytest.approx(told.energy)


def of_inverter(rating: float | None = 3000.0, voltage: float | None = 240.0) -> Any:
    return SimpleNamespace(
        power=SimpleNamespace(inverter_rating=rating, inverter_voltage=voltage),
        site=SimpleNamespace(print_units="US"),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("power", "rating", "room", "status", "left"),
    [
        # Alone on an inverter of 3 kW, and with 1.5 kW left beside a pump.
        (1500.0, 3000.0, None, "pass", 3000.0), (3000.0, 3000.0, None, "pass", 3000.0),
        (3100.0, 3000.0, None, "fail", 3000.0), (1500.0, 3000.0, 1500.0, "pass", 1500.0),
        (1600.0, 3000.0, 1500.0, "caution", 1500.0), (3000.0, 3000.0, 1500.0, "caution", 1500.0),
        (3100.0, 3000.0, 1500.0, "fail", 1500.0), (100.0, 3000.0, 0.0, "caution", 0.0),
        (1500.0, None, None, "unknown", None),
    ],
)  # fmt: skip
def test_whether_the_inverter_carries_the_element(
    monkeypatch: pytest.MonkeyPatch, power: float, rating: float | None, room: float | None,
    status: str, left: float | None,
) -> None:  # fmt: skip
    smaller, asked = remedy("a smaller one", "by hand"), []
    monkeypatch.setattr(diversion, "power_on_inverter", lambda site, element: power)
    monkeypatch.setattr(
        diversion, "_smaller", lambda site, element, room: asked.append(room) or smaller
    )
    element: Any = None
    found = diversion._room_verdict(of_inverter(rating), element, room)
    assert (found.status, found.subject) == (status, "element on the inverter")
    if rating is None:
        assert found.needs == ("power.inverter_rating",)
        return
    assert (found.quantity, found.limit) == (power, left)
    assert found.reason.parts == {"power": power, "left": left, "rating": rating}
    assert {each.kind.name for each in found.reason.quantities().values()} == {"power"}
    assert asked == ([] if status == "pass" else [left])
    assert found.remedy is (None if status == "pass" else smaller)
    words = {"pass": "pump and other use leave", "caution": "must wait while the pump runs",
             "fail": "the inverter gives {rating}"}  # fmt: skip
    assert words[status] in found.reason.template


@pytest.mark.parametrize(
    ("share", "room", "spilled", "status", "mend"),
    [
        # A hundredth of what is spilled, our choice; less of it where it waits for room, and
        # where nothing is spilled at all.
        (0.01, 0.0, 9e9, "pass", None), (0.5, None, 9e9, "pass", None),
        (0.0099, 1499.0, 9e9, "caution", "smaller"), (0.0099, 1500.0, 9e9, "caution", "own"),
        (0.0099, None, 9e9, "caution", "own"), (0.0, 100.0, 0.0, "caution", "own"),
        (0.0, 0.0, 1.0, "caution", "smaller"),
    ],
)  # fmt: skip
def test_whether_an_element_is_ever_on(
    monkeypatch: pytest.MonkeyPatch, share: float, room: float | None, spilled: float,
    status: str, mend: str | None,
) -> None:  # fmt: skip
    smaller, asked = remedy("a smaller one", "by hand"), []
    monkeypatch.setattr(
        diversion, "_smaller", lambda site, element, room: asked.append(room) or smaller
    )
    result: Any = SimpleNamespace(
        used_ratio=share, room=room, power=1500.0, spilled=spilled, modules=8, pump="deep",
        energy=3e9,
    )  # fmt: skip
    element: Any = None
    found = diversion._surplus_verdict(of_inverter(), element, result)
    assert found.status == status
    assert found.reason.parts == {
        "modules": "8", "spilled": spilled, "pump": "deep", "energy": 3e9, "share": share
    }  # fmt: skip
    units = {name: part.kind for name, part in found.reason.quantities().items()}
    assert units == {"spilled": kinds.ENERGY, "energy": kinds.ENERGY, "share": kinds.FRACTION}
    assert asked == ([room] if mend == "smaller" else [])
    if mend == "own":
        assert found.remedy is not None
        assert "an array of its own" in found.remedy.template
    else:
        assert found.remedy is (smaller if mend else None)


@pytest.mark.parametrize(
    ("switch", "rated", "status", "needs", "words"),
    [
        # 2400 W at 240 V are 10 A, for hours a quarter more; the next relay sold is for 16 A:
        # common practice, no source.
        ("relay", 12.5, "pass", None, "and the element takes {takes}"),
        ("controller", 12.0, "caution", None, "for hours, which asks {wanted:up}"),
        ("relay", 10.0, "caution", None, "for hours, which asks {wanted:up}"),
        ("relay", 9.8, "fail", None, "for hours, which asks {wanted:up}"),
        ("relay", None, "unknown", "surplus_switch_current", ""),
        ("none", 99.0, "caution", None, "only its thermostat switches it"),
        (None, 99.0, "unknown", "surplus_switch", ""),
    ],
)
@pytest.mark.parametrize("voltage", [240.0, None])
def test_what_keeps_an_element_off_by_night(
    monkeypatch: pytest.MonkeyPatch, switch: str | None, rated: float | None, status: str,
    needs: str | None, words: str, voltage: float | None,
) -> None:  # fmt: skip
    monkeypatch.setattr(diversion, "power_on_inverter", lambda site, element: 2400.0)
    monkeypatch.setattr(diversion, "plate_of", lambda element: (4500.0, 240.0))
    rating = None if rated is None else Quantity(rated, kinds.CURRENT)
    element: Any = SimpleNamespace(surplus_switch=switch, surplus_switch_current=rating)
    found = diversion.surplus_switch(of_inverter(voltage=voltage), element, "an.element")
    assert found.status == status
    if needs is not None:
        assert found.needs == (f"an.element.{needs}",)
        return
    assert words in found.reason.template
    if switch == "none":
        assert found.reason.parts == {"power": 2400.0}
        assert found.reason.parts["power"].kind is kinds.POWER
    else:
        assert (found.quantity, found.limit) == (12.5, rated)
        assert found.reason.parts == {"rating": rated, "takes": 10.0, "wanted": 12.5}
        assert found.claims == ("an.element.surplus_switch",)
    if status != "pass":
        kind = "relay" if switch == "none" else switch
        assert [str(each) for each in changes_of(found.remedy)] == [
            f'an.element.surplus_switch="{kind}"', 'an.element.surplus_switch_current="16 A"'
        ]  # fmt: skip


@pytest.mark.parametrize(
    ("room", "voltage", "sold"),
    [
        # Of 240 V 1500, 2000 and 4500 W, made up; at half the voltage each takes a quarter.
        (2000.0, 240.0, "2000 W"), (1999.0, 240.0, "1500 W"), (9000.0, None, "4500 W"),
        (500.0, 120.0, "2000 W"), (499.0, 120.0, "1500 W"), (1125.0, 120.0, "4500 W"),
        # Where none fits, an inverter for 4500 W beside the 1.6 kW that are taken.
        (1400.0, 240.0, None),
    ],
)  # fmt: skip
def test_the_largest_element_that_fits(
    monkeypatch: pytest.MonkeyPatch, room: float, voltage: float | None, sold: str | None
) -> None:
    plates = [SimpleNamespace(rated_voltage=volts, rated_power=power) for volts, power in (
        (240.0, 1500.0), (240.0, 4500.0), (240.0, 2000.0), (120.0, 400.0))]  # fmt: skip
    monkeypatch.setattr(diversion.hot_water_tables, "element_ratings", lambda: plates)
    monkeypatch.setattr(diversion, "power_on_inverter", lambda site, element: 4500.0)
    monkeypatch.setattr(diversion, "element_on_inverter", lambda site: (None, "an.element"))
    element: Any = SimpleNamespace(rated_voltage=Quantity(240.0, kinds.VOLTAGE))
    found = diversion._smaller(of_inverter(3000.0, voltage), element, room)
    if sold is None:
        # 6.1 kVA; 6 and 8 kVA are sold.
        assert found.parts["needed"] == pytest.approx(6100.0)
        assert [str(each) for each in found.changes] == ['power.inverter_rating="8 kVA"']
    else:
        assert [str(each) for each in found.changes] == [
            f'an.element.rated_power="{sold}"', "an.element.count=1"
        ]  # fmt: skip
        assert found.parts["volts"] == 240.0
