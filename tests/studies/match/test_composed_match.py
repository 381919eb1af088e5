"""What could be bought for an array and its element, composed again: operating points by bisection
of pvlib's single diode, every element and pair that is sold by Kirchhoff's laws.

The light on the plane is taken as it is found; it is composed beside the other studies of the sun.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import combinations_with_replacement
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from pvlib import pvsystem
from scipy.optimize import minimize_scalar

from tests.sampled import every
from tests.studies.composing import HOUR, case_of, diode, parameters
from tests.studies.test_composed_power import coldest, factor_of, fed, loop_of
from wellsolar import kinds
from wellsolar.data.hot_water_tables import ElementRating
from wellsolar.physics.array import module, stock_elements, string_layouts
from wellsolar.results.match import ArrayMatch, CouplingWay, Thresholds
from wellsolar.studies.array.heater_circuit import elements_on_arrays
from wellsolar.studies.match import verdicts as match_verdicts_module
from wellsolar.studies.match.designs import _straight
from wellsolar.studies.match.verdicts import switch_at
from wellsolar.studies.sun.year import plane_of_group
from wellsolar.units import Quantity
from wellsolar.verdicts import Verdict, changes_of, remedy

STRAIGHT = ("south_slope", "series")
"""Sites whose element hangs straight on the array; one has two rows and elements in series."""

SOLD = (
    *((120.0, watts) for watts in (1000.0, 1250.0, 1500.0, 1650.0, 2000.0)),
    (208.0, 3000.0), (208.0, 4500.0),
    *((240.0, watts) for watts in (1500.0, 2000.0, 2500.0, 3000.0, 3500.0, 3800.0, 4500.0, 5500.0,
                                   6000.0)),
)  # fmt: skip
"""Plates of elements for a house, up to 240 V [V, W]: common practice, four of them read."""


def at_element(of: tuple[Any, ...], ohms: float, loop: float) -> Any:
    """Power at an element [W]: the voltage of the junction halved 22 times, then by tangents."""
    current, dark, inner, shunt, thermal = of
    whole = inner + ohms + loop
    low, high = 0.0 * current, thermal * np.log1p(current / dark)
    for _ in range(22):
        junction = 0.5 * (low + high)
        flows = current - dark * np.expm1(junction / thermal) - junction / shunt
        under = junction < flows * whole
        low, high = np.where(under, junction, low), np.where(under, high, junction)
    for _ in range(3):
        grown = dark * np.exp(junction / thermal)
        flows = current - (grown - dark) - junction / shunt
        slope = 1.0 + whole * (grown / thermal + 1.0 / shunt)
        junction = junction - (junction - flows * whole) / slope
    return (junction / whole) ** 2 * ohms


@cache
def hours_of(name: str) -> tuple[Any, Any, Any]:
    """Light in the cells [W/m2], their warmth [degC] and the month, of hours with light."""
    case = case_of(name)
    group, _ = fed(case.site)
    path = f"array[{[*case.site.array].index(group) + 1}]"
    assert case.year is not None
    plane = plane_of_group(case.site, case.year, group, path)
    lit = plane.effective_irradiance > 0.0
    months = np.asarray(plane.hours.month)[lit]
    return plane.effective_irradiance[lit], plane.cell_temperature[lit], months


@cache
def array_of(name: str, series: int, parallel: int) -> tuple[Any, ...]:
    """The five of an array in each hour with light."""
    light, warm, _ = hours_of(name)
    return diode(parameters(case_of(name).site), light, warm, series, parallel)


def bright(name: str, series: int, parallel: int) -> tuple[Any, ...]:
    """Those between bright clouds in the record cold."""
    site = case_of(name).site
    return diode(parameters(site), np.array(1250.0), np.array(coldest(site)), series, parallel)


def match_of(name: str) -> tuple[ArrayMatch, float]:
    """What is told of a site's array and element, and its cable [ohm]."""
    case = case_of(name)
    told, loop = case.matching.match, loop_of(fed(case.site)[0])
    assert told.resistance == pytest.approx(case.heated_tank.element_resistance)
    assert (told.coupling, told.cable_resistance) == ("direct", pytest.approx(loop))
    return told, loop


@pytest.mark.parametrize("name", every(STRAIGHT, 2))
def test_the_modules_wired_another_way(name: str) -> None:
    """A module or a row more or less, and every divisor of their number, each on the element as it
    is and on the resistance on which it gives the most."""
    told, loop = match_of(name)
    site = case_of(name).site
    series, rows = told.series, told.parallel
    number = series * rows
    ways = [(series, rows), (series + 1, rows), (series - 1, rows), (series, rows + 1),
            (series, rows - 1)]  # fmt: skip
    ways += [(each, number // each) for each in range(1, number + 1)
             if number % each == 0 and each != series]  # fmt: skip
    ways = [(one, other) for one, other in ways if one and other]
    assert [(each.series, each.parallel) for each in told.wirings] == ways
    texts = ["as it is", "one module more in each string", "one module less in each string",
             "one string more", "one string less"]  # fmt: skip
    some = [each.change for each in told.wirings if each.change != "the same modules"]
    assert some == texts[: len(some)]
    volts, cold = float(site.module.voc), coldest(site)
    by_slope = 1.0 + (cold - 25.0) * float(site.module.voc_coefficient or 0.0)
    own = at_element(array_of(name, series, rows), told.resistance, loop).sum() * HOUR
    for each in told.wirings:
        array = array_of(name, each.series, each.parallel)
        energy = at_element(array, told.resistance, loop).sum() * HOUR
        assert each.energy == pytest.approx(energy, rel=1e-6)
        assert each.gain == pytest.approx(energy / own - 1.0, abs=1e-6)
        matched = float(site.module.vmp / site.module.imp) * each.series / each.parallel
        best = minimize_scalar(
            lambda log, array=array: -at_element(array, np.exp(log), loop).sum() * HOUR,
            bounds=np.log([0.3 * matched, 3.0 * matched]), method="bounded",
            options={"xatol": 2e-3},
        )  # fmt: skip
        assert each.best_energy == pytest.approx(-best.fun, rel=1e-5)
        # The top is flat: a thousandth of the resistance is nothing of the heat.
        assert each.best_resistance == pytest.approx(np.exp(best.x), rel=5e-3)
        worst = each.series * volts * max(by_slope, factor_of(cold))
        assert each.cold_voltage == pytest.approx(worst)
        power = at_element(bright(name, each.series, each.parallel), told.resistance, loop)
        assert each.greatest_voltage == pytest.approx((power * told.resistance) ** 0.5, rel=1e-6)
    first = told.wirings[0]
    assert told.own.energy == pytest.approx(first.energy, rel=1e-9)
    assert told.best_single.energy == pytest.approx(first.best_energy, rel=1e-9)
    assert told.of_best == pytest.approx(first.energy / first.best_energy)


@pytest.mark.parametrize("name", STRAIGHT)
def test_the_best_elements_that_are_sold(name: str) -> None:
    """The two best of one alone, two alike and two unlike, none driven above its plate."""
    told, loop = match_of(name)
    array = array_of(name, told.series, told.parallel)
    cold = bright(name, told.series, told.parallel)
    ways = [((plate,), "alone") for plate in SOLD]
    ways += [(pair, joined) for pair in combinations_with_replacement(SOLD, 2)
             for joined in ("in series", "in parallel")]  # fmt: skip

    @cache
    def heat(ohms: float) -> tuple[float, float]:
        power = at_element(array, ohms, loop)
        return power.sum() * HOUR, (max(power.max(), at_element(cold, ohms, loop)) * ohms) ** 0.5

    found = []
    for plates, joined in ways:
        each = [volts**2 / watts for volts, watts in plates]
        ohms = sum(each) if joined == "in series" else 1.0 / sum(1.0 / one for one in each)
        energy, volts = heat(round(ohms, 9))
        across = [volts * (one / ohms if joined == "in series" else 1.0) for one in each]
        driven = max(one / plate[0] for one, plate in zip(across, plates, strict=True))
        if driven <= 1.0:
            found.append((energy, driven, ohms, volts, plates, joined))
    found.sort(key=lambda each: (-round(each[0] / 1e4), each[1]))
    wanted = []
    for count, alike in ((1, True), (2, True), (2, False)):
        kind = [each for each in found if (len(each[4]), len({*each[4]}) == 1) == (count, alike)]
        first = {round(each[2], 3): each for each in reversed(kind)}
        wanted += sorted(first.values(), key=lambda each: -each[0])[:2]
    wanted.sort(key=lambda each: -each[0])
    assert len(told.shelf) == len(wanted) == 6
    for stock, (energy, driven, ohms, volts, plates, joined) in zip(
        told.shelf, wanted, strict=True
    ):
        assert (stock.count, stock.joined) == (len(plates), joined)
        assert stock.alike == (len({*plates}) == 1)
        assert stock.resistance == pytest.approx(ohms)
        assert (stock.rated_voltage, stock.rated_power) == plates[0]
        assert stock.energy == pytest.approx(energy, rel=1e-6)
        assert stock.of_best == pytest.approx(energy / told.best_single.energy, rel=1e-6)
        assert stock.greatest_voltage == pytest.approx(volts, rel=1e-6)
        assert stock.voltage_ratio == pytest.approx(driven, rel=1e-6)
        assert stock.power_ratio == pytest.approx(driven**2, rel=1e-6)
        marks = [f"{watts:.0f} W {plate:.0f} V" for plate, watts in plates]
        text = marks[0] if len(marks) == 1 else f"{' + '.join(marks)} {joined}"
        assert stock.text == (f"two of {marks[0]} {joined}" if stock.alike and marks[1:] else text)


@pytest.mark.parametrize("name", STRAIGHT)
def test_why_more_modules_in_series_stop_helping(name: str) -> None:
    """The current of a string is that of one module: short-circuit current squared times the
    resistance is never passed; below the voltage of maximum power it is nearly reached."""
    told, loop = match_of(name)
    series, rows = told.series, told.parallel
    of, ohms = parameters(case_of(name).site), told.resistance
    array, (_, _, months) = array_of(name, series, rows), hours_of(name)
    power = at_element(array, ohms, loop)
    shorted = pvsystem.i_from_v(0.0, *array) ** 2 * ohms
    best = pvsystem.max_power_point(*array, method="newton")
    below = ohms + loop < best["v_mp"] / best["i_mp"]
    full = pvsystem.i_from_v(0.0, *diode(of, 1000.0, 25.0, series, rows))
    assert told.ceiling.power == pytest.approx(full**2 * ohms, rel=1e-6)
    assert told.ceiling.hours == pytest.approx(below.mean(), abs=1e-3)
    assert told.ceiling.energy == pytest.approx(power[below].sum() / power.sum(), abs=1e-3)
    assert told.ceiling.series_gain == pytest.approx(shorted.sum() / power.sum() - 1.0, rel=1e-5)
    more = at_element(array_of(name, series + 1, rows), ohms, loop)
    assert told.ceiling.one_more == pytest.approx(more.sum() / power.sum() - 1.0, rel=1e-5)
    assert told.peak_power == pytest.approx(power.max(), rel=1e-6)
    matched = pvsystem.singlediode(*diode(of, 1000.0, 25.0, series, rows))
    assert told.matched_resistance == pytest.approx(matched["v_mp"] / matched["i_mp"], rel=1e-4)
    on_best = at_element(array, told.best_single.resistances[0], loop)
    for month in told.months:
        here = months == month.month
        sums = [each[here].sum() * HOUR for each in (power, on_best, best["p_mp"])]
        assert (month.energy, month.best_single, month.tracked) == pytest.approx(sums, rel=1e-5)


def test_arrays_of_equal_strings_up_to_a_number() -> None:
    """Every product that stays within the three bounds, small ones and those of few strings
    first."""
    for most, series, strings in ((6, 4, 3), (3, 5, 9), (1, 1, 1), (12, 2, 4)):
        every = [(one, other) for other in range(1, strings + 1) for one in range(1, series + 1)]
        wanted = sorted((each for each in every if each[0] * each[1] <= most),
                        key=lambda each: each[0] * each[1])  # fmt: skip
        assert string_layouts.layouts_up_to(most, series, strings) == wanted


def test_two_elements_alike_have_twice_the_volts_in_series_and_half_the_ohms_side_by_side() -> (
    None
):
    """240 V and 4500 W are 12.8 ohm."""
    plate = ElementRating(240.0, 4500.0, "")
    found = [tuple(vars(each).values()) for each in stock_elements.element_ways([plate])]
    assert found == [
        (plate, 1, "alone", 12.8, 240.0),
        (plate, 2, "in series", 25.6, 480.0),
        (plate, 2, "in parallel", 6.4, 240.0),
    ]


WAYS = {
    "direct": "straight on 12.0 ohm",
    "switched": "with relays",
    "tracking": "with tracking electronics",
}


def judged(
    name: str, met: bool, monkeypatch: pytest.MonkeyPatch, **made: Any
) -> tuple[dict[str, Verdict], list[bool]]:
    """The verdicts on made-up numbers of a match, and how often the aims were asked for."""
    case, asked = case_of(name), []
    told = case.matching.match
    assert told is not None
    path = next(each.path for each in elements_on_arrays(case.site))
    group, element = fed(case.site)
    at = SimpleNamespace(site=case.site, on=SimpleNamespace(
        element=element, group=group, path=path, group_path="array[1]"))  # fmt: skip
    mended = remedy("another element", "made up")
    monkeypatch.setattr(match_verdicts_module, "better", lambda *_: mended)

    def aims_met() -> bool:
        asked.append(met)
        return met

    given: Any = at
    found = match_verdicts_module.match_verdicts(replace(told, **made), given, aims_met)
    return {each.rule.key: each for each in found}, asked


@pytest.mark.parametrize(
    ("energy", "met", "status", "times"),
    [(9.501e9, False, "pass", 0), (9.499e9, False, "caution", 1), (9.499e9, True, "pass", 1)],
)
@pytest.mark.parametrize("coupling", WAYS)
def test_matched_from_95_of_100_on(
    monkeypatch: pytest.MonkeyPatch,
    coupling: str,
    energy: float,
    met: bool,
    status: str,
    times: int,
) -> None:
    """Of 10 GJ on the best single resistance; below it the tank's aims are asked for, once. Where
    it meets them the part passes, and is held to no mark."""
    name = "tracking" if coupling == "tracking" else "south_slope"
    found, asked = judged(
        name, met, monkeypatch, coupling=coupling, resistance=12.0,
        own=CouplingWay("own", "", (12.0,), energy, 0.75),
        best_single=CouplingWay("best_single", "", (17.0,), 1e10, 0.8),
    )  # fmt: skip
    verdict = found["matched to the array"]
    assert (verdict.status, len(asked)) == (status, times)
    assert verdict.quantity == pytest.approx(energy / 1e10)
    assert verdict.limit == (None if met else pytest.approx(0.95))
    assert (verdict.remedy is None) == (status == "pass")
    text = verdict.reason.text("SI")
    assert text.startswith(WAYS[coupling])
    assert "75.0% of what the array could give" in text
    assert ("the tank gives what is aimed at" in text) == met
    parts = verdict.reason.parts
    assert parts["own"] == pytest.approx(energy)
    assert (parts["best"], parts["best_energy"]) == (17.0, 1e10)


@pytest.mark.parametrize(
    ("energy", "best", "status", "part"),
    [(9.801e9, 1e10, "pass", 0.9801), (9.799e9, 1e10, "caution", 0.9799), (0.0, 0.0, "pass", 1.0)],
)
def test_thresholds_from_98_of_100_on(
    monkeypatch: pytest.MonkeyPatch, energy: float, best: float, status: str, part: float
) -> None:
    """Of what the best thresholds give; those that are never worth it are as high as may be."""
    found, _ = judged(
        "switched", False, monkeypatch,
        own=CouplingWay("own", "", (12.0,), energy, 0.75),
        best_single=CouplingWay("best_single", "", (17.0,), 1e10, 0.8),
        thresholds=Thresholds((5.0, 7.0, 11.0, 13.0), (300.0, 500.0, 900.0),
                              (0.2, 417.4, np.inf), best, 1.1e10),
    )  # fmt: skip
    verdict = found["switching thresholds"]
    assert verdict.status == status
    assert verdict.quantity == pytest.approx(part)
    assert verdict.limit == pytest.approx(0.98)
    parts = verdict.reason.parts
    assert (parts["own"], parts["best"], parts["hourly"]) == (energy, best, 1.1e10)
    changes = {each.path: str(each.value).strip('"') for each in changes_of(verdict.remedy)}
    wanted = {"water_heater.element[1].switch_irradiances": "1, 417, 2000 W/m2"}
    assert changes == ({} if status == "pass" else wanted)


def test_thresholds_that_are_not_named_are_not_judged(monkeypatch: pytest.MonkeyPatch) -> None:
    """They take the best every hour."""
    best = Thresholds((5.0, 7.0), (), (400.0,), 1e10, 1.1e10)
    found, _ = judged("switched", False, monkeypatch, thresholds=best)
    assert set(found) == {"matched to the array"}


def test_thresholds_rise_and_end_at_the_highest_that_can_be_written() -> None:
    """Several that are never worth it stand one above another, the last at 2000 W/m2."""
    for best, wanted in (
        ((np.inf, np.inf, np.inf), "1998, 1999, 2000 W/m2"),
        ((400.4, 400.4), "400, 401 W/m2"),
        ((5000.0, np.inf), "1999, 2000 W/m2"),
        ((350.6,), "351 W/m2"),
        ((400.4, np.inf), "400, 2000 W/m2"),
    ):
        way = switch_at(best, "water_heater.element[2]")
        (change,) = way.changes
        assert str(change.value).strip('"') == wanted
        assert [*way.parts] == [f"sun_{number}" for number in range(len(best))]
        assert [*way.parts.values()] == [*map(float, wanted.removesuffix(" W/m2").split(", "))]
    (least,) = switch_at((0.2,), "water_heater.element[2]").parts.values()
    assert least == 1.0


def test_a_cable_that_no_file_names_takes_the_same_part_of_each() -> None:
    """6 % of what the element has, of an element of another resistance as well."""
    five = 9.0, 2e-9, 0.9, 400.0, 6.2
    circuit = SimpleNamespace(assumed_cable=0.9, resistance=15.0, named_cable=0.25)
    ohms = np.array([7.0, 15.0, 31.0])
    of = tuple(np.array([each]) for each in five)
    powers = _straight(circuit, module.Diode(*five), ohms)  # type: ignore[arg-type]
    meant = [at_element(of, each, 0.06 * each + 0.25) for each in ohms]
    np.testing.assert_allclose(powers.ravel(), np.ravel(meant), rtol=1e-6)


@pytest.mark.parametrize(
    ("mine", "rivals", "status", "told"),
    [
        # Share and modules of the site's own and of the others that were looked at.
        ((0.70, 4), [(0.70, 4), (0.60, 2)], "pass", "as much as any"),
        ((0.70, 4), [(0.719, 4)], "pass", "the same modules could give this tank 71.9%"),
        ((0.70, 4), [(0.721, 4)], "caution", "the same modules could give this tank 72.1%"),
        ((0.70, 4), [(0.75, 3), (0.99, 5)], "caution", "3 could give this tank 75.0%"),
    ],
)
def test_as_many_modules_could_give_two_points_more(
    mine: tuple[float, int], rivals: list[tuple[float, int]], status: str, told: str
) -> None:
    """Our mark is two points; more modules than the site's are no rivals."""

    def row(share: float, modules: int) -> SimpleNamespace:
        return SimpleNamespace(
            share=share, modules=modules, series=modules, strings=1, own_element=True, element=""
        )

    steps = [SimpleNamespace(own_tank=row(*each)) for each in rivals]
    result = SimpleNamespace(
        own=row(*mine), steps=[*steps, SimpleNamespace(own_tank=None)], tracking=False
    )
    group = SimpleNamespace(name="roof")
    on = SimpleNamespace(
        group=group, group_path="array[1]", element=SimpleNamespace(switched_resistances=None)
    )
    found = match_verdicts_module.used_verdict(on, result)  # type: ignore[arg-type]
    assert (found.status, found.subject) == (status, "roof")
    text = found.reason.text("SI")
    assert told in text
    assert text.startswith("PV gives 70.0% of the year's hot-water heat")
    best = max(share for share, modules in (mine, *rivals) if modules <= mine[1])
    assert found.quantity == pytest.approx(0.70)
    assert found.limit == pytest.approx(best - 0.02)


@pytest.mark.parametrize(
    ("bears", "low", "status", "most"),
    [
        # 4 modules of 50 V, 236 V by the table in the cold and 230 V by the coefficient.
        (236.0, True, "pass", None),
        (235.0, True, "fail", 3),
        (117.0, True, "fail", 1),
        (58.0, True, "fail", 0),
        (200.0, False, "unknown", None),
        (199.0, False, "fail", 3),
        (None, True, "unknown", None),
    ],
)
def test_electronics_beside_the_array_in_the_cold(
    monkeypatch: pytest.MonkeyPatch, bears: float | None, low: bool, status: str, most: int | None
) -> None:
    asked = match_verdicts_module
    monkeypatch.setattr(asked, "cold_voltages", lambda *_: (230.0, 236.0))
    at: Any = SimpleNamespace(
        on=SimpleNamespace(
            element=SimpleNamespace(
                tracker_greatest_input=bears and Quantity(bears, kinds.VOLTAGE)
            ),
            path="water_heater.element[1]", group_path="array[1]", group=None,
        ),
        site=SimpleNamespace(
            module=SimpleNamespace(voc=50.0),
            sun=SimpleNamespace(record_low=-18.0 if low else None),
        ),
    )  # fmt: skip
    match: Any = SimpleNamespace(array="roof", series=4)
    found = asked._input(match, at)
    assert (found.status, found.subject) == (status, "roof")
    if status == "unknown":
        key = "sun.record_low" if bears else "water_heater.element[1].tracker_greatest_input"
        assert found.needs == (key,)
        return
    assert (found.quantity, found.limit, found.reason.parts["reached"]) == (236.0, bears, 236.0)
    if most is not None:
        made = [str(each) for each in changes_of(found.remedy)]
        assert made == ([f"array[1].series={most}"] if most else [])
        assert found.remedy is not None
        assert found.remedy.template.startswith("no more than {most}") == bool(most)
    monkeypatch.setattr(asked, "cold_voltages", lambda *_: (None, None))
    assert asked._input(match, at).needs == ("sun.record_low",)


@pytest.mark.parametrize(("share", "status"), [(0.99, "pass"), (0.991, "caution")])
def test_electronics_that_lose_next_to_nothing(share: float, status: str) -> None:
    match: Any = SimpleNamespace(array="roof")
    found = match_verdicts_module._tracker(match, Quantity(share, kinds.FRACTION))
    assert (found.status, found.quantity, found.limit) == (status, share, 0.99)
    assert found.reason.parts == {"told": share}
    if status == "caution":
        assert found.remedy is not None
        assert found.remedy.parts == {"usual": 0.95}


@pytest.mark.parametrize(
    ("own", "best", "part", "status"),
    [(980.0, 1000.0, 0.98, "pass"), (979.0, 1000.0, 0.979, "caution"), (0.0, 0.0, 1.0, "pass")],
)
def test_thresholds_beside_the_best(own: float, best: float, part: float, status: str) -> None:
    """Of two steps, the second of which never pays: 1500 W/m2 at the most, as a file may say."""
    switched = SimpleNamespace(energy=best, best=(400.4, np.inf), hourly_energy=1010.0)
    match: Any = SimpleNamespace(
        array="roof", thresholds=switched, own=SimpleNamespace(energy=own)
    )
    found = match_verdicts_module._thresholds(match, "water_heater.element[1]")
    assert (found.status, found.quantity, found.limit) == (status, pytest.approx(part), 0.98)
    assert found.reason.parts == {"own": own, "best": best, "hourly": 1010.0}
    if status == "caution":
        assert found.remedy is not None
        assert found.remedy.parts["sun_0"] == 400.0


def row(share: float, modules: int, **other: Any) -> Any:
    has = {
        "series": modules, "strings": 1, "own_element": True, "element": "its own element"
    } | other  # fmt: skip
    return SimpleNamespace(share=share, modules=modules, **has)


@pytest.mark.parametrize(
    ("rivals", "status", "limit", "words", "wired"),
    [
        ([row(0.60, 3), row(0.53, 4)], "caution", 0.58, "PV gives 50 % of the year's hot-water "
         "heat; 3 could give this tank 60 %", "3 modules in series"),
        ([row(0.60, 4, series=2, strings=2)], "caution", 0.58, "PV gives 50 % of the year's "
         "hot-water heat; the same modules could give this tank 60 %",
         "2 rows of 2 modules in series"),
        ([row(0.60, 4, series=1, strings=4)], "caution", 0.58, "PV gives 50 % of the year's "
         "hot-water heat; the same modules could give this tank 60 %", "4 rows of 1 module"),
    ],
)  # fmt: skip
def test_what_as_many_modules_could_give_the_tank(
    rivals: list[Any], status: str, limit: float, words: str, wired: str | None
) -> None:
    steps = [SimpleNamespace(own_tank=each) for each in (None, *rivals)]
    result: Any = SimpleNamespace(own=row(0.50, 4), steps=steps, tracking=False)
    on: Any = SimpleNamespace(
        group=SimpleNamespace(name="roof"), group_path="array[1]",
        element=SimpleNamespace(switched_resistances=None), path="water_heater.element[1]",
    )  # fmt: skip
    found = match_verdicts_module.used_verdict(on, result)
    assert (found.status, found.quantity) == (status, 0.50)
    assert found.limit == pytest.approx(limit)
    assert found.reason.text("US").replace(".0%", " %") == words
    if wired:
        assert found.remedy is not None
        assert found.remedy.parts["wired"] == wired
        assert found.remedy.parts["through"] == "straight to"
