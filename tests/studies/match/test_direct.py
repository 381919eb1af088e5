"""An array wired straight to its element, and the choice of elements, against pvlib's chain."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pvlib
import pytest

from tests.studies.match.greensboro import (
    FIVE_PARAMETERS,
    HOUR,
    OHMS,
    SITE,
    at_best,
    by_pvlib,
    element,
    matched,
    on_ohms,
    verdict,
    written,
)
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site

pytestmark = pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")

KWH = 3.6e6


def test_the_five_parameters_of_the_comparison_are_those_of_the_sheet() -> None:
    given = pvlib.pvsystem.calcparams_desoto(1000.0, 25.0, 0.0005 * 9.7, **FIVE_PARAMETERS)
    points = pvlib.pvsystem.singlediode(*given)
    for name, value in (("i_sc", 9.7), ("v_oc", 39.9), ("i_mp", 9.2), ("v_mp", 32.6)):
        assert points[name] == pytest.approx(value, rel=2e-4)


def test_an_array_wired_straight_agrees_with_pvlib_by_the_month(tmp_path: Path) -> None:
    match = matched(written(tmp_path, element())).matching.match
    power, best, month = on_ohms(OHMS), at_best(), by_pvlib().month
    for each in match.months:
        of = month == each.month
        assert each.energy == pytest.approx(float(power[of].sum()) * HOUR, rel=0.01)
        assert each.tracked == pytest.approx(float(best[of].sum()) * HOUR, rel=0.01)
        assert each.ratio == pytest.approx(power[of].sum() / best[of].sum(), rel=0.005)
    # Cables take their share of the current's square.
    cabled = matched(
        written(
            tmp_path,
            element(),
            base=SITE.replace(
                'azimuth = "180 deg"\n[sun]',
                'azimuth = "180 deg"\ncable = { gauge = "10 AWG", length = "250 ft" }\n[sun]',
            ),
        )
    ).matching
    # NEC chapter 9 table 8, stranded uncoated copper, 1.24 ohm/kft at 75 degC.
    assert cabled.match.own.energy == pytest.approx(
        float(on_ohms(OHMS, cable=0.62).sum()) * HOUR, rel=0.005
    )


def test_the_best_resistance_is_the_best_of_a_fine_sweep(tmp_path: Path) -> None:
    matching = matched(written(tmp_path, element())).matching
    best = matching.match.best_single
    sweep = np.linspace(14.0, 30.0, 81)
    energies = [float(on_ohms(each).sum()) * HOUR for each in sweep]
    assert best.energy == pytest.approx(max(energies), rel=0.005)
    assert best.resistances[0] == pytest.approx(sweep[int(np.argmax(energies))], rel=0.02)
    # The two-resistance set is at least as good as any pair of a coarse sweep, hour by hour.
    coarse = np.linspace(10.0, 60.0, 26)
    powers = np.array([on_ohms(each) for each in coarse])
    pairs = max(
        float(np.maximum(powers[i], powers[j]).sum()) * HOUR for i in range(26) for j in range(i)
    )
    two = next(each for each in matching.match.ways if each.key == "best_two")
    assert pairs * 0.995 < two.energy < pairs * 1.01


def test_one_module_more_hardly_helps_where_the_current_sets_the_heat(tmp_path: Path) -> None:
    """D6 of the references, computed by pvlib's chain: 3, 4, 5 in series on 12.8 ohm 1142.0,
    1293.5, 1312.9 kWh; 9.7 A squared times 12.8 ohm is 1204 W."""
    matching = matched(written(tmp_path, element())).matching
    match = matching.match
    in_series = {each.series: each for each in match.wirings if each.parallel == 1}
    for series, kwh in ((3, 1142.0), (4, 1293.5), (5, 1312.9)):
        assert in_series[series].energy / KWH == pytest.approx(kwh, rel=0.015)
        assert in_series[series].energy == pytest.approx(
            float(on_ohms(OHMS, series).sum()) * HOUR, rel=0.01
        )
    assert match.ceiling.power == pytest.approx(9.7**2 * 12.8, rel=0.001)
    assert match.ceiling.one_more == pytest.approx(1312.9 / 1293.5 - 1.0, abs=0.005)
    # However many: the short-circuit current of every hour, squared.
    light, saturation, inner, shunt, thermal = by_pvlib().module
    short = np.asarray(pvlib.pvsystem.i_from_v(0.0, light, saturation, inner, shunt, thermal))
    most = float((short**2).sum()) * OHMS / float(on_ohms(OHMS).sum()) - 1.0
    assert match.ceiling.series_gain == pytest.approx(most, abs=0.005)
    # Below the voltage of maximum power an element is held by the current.
    points = pvlib.pvsystem.max_power_point(*by_pvlib().module, method="newton")
    matched_ohms = 4 * np.asarray(points["v_mp"]) / np.asarray(points["i_mp"])
    held = matched_ohms > OHMS
    assert match.ceiling.hours == pytest.approx(float(held.mean()), abs=0.02)
    part = float(on_ohms(OHMS)[held].sum() / on_ohms(OHMS).sum())
    assert match.ceiling.energy == pytest.approx(part, abs=0.02)


def test_the_shelf_stays_within_its_plates_and_near_the_best(tmp_path: Path) -> None:
    matching = matched(written(tmp_path, element())).matching
    match = matching.match
    kinds = [(each.count, each.alike) for each in match.shelf]
    assert sorted(set(kinds)) == [(1, True), (2, False), (2, True)]
    assert len(match.shelf) == 6
    for each in match.shelf:
        marks = [tuple(map(float, pair)) for pair in re.findall(r"(\d+) W (\d+) V", each.text)]
        ohms = [volts**2 / watts for watts, volts in marks]
        ohms = ohms * each.count if len(ohms) < each.count else ohms
        joined = sum(ohms) if each.joined != "in parallel" else 1 / sum(1 / r for r in ohms)
        assert each.resistance == pytest.approx(joined)
        assert each.energy == pytest.approx(float(on_ohms(each.resistance).sum()) * HOUR, rel=0.01)
        assert max(each.voltage_ratio, each.power_ratio) <= 1.0
        share = max(ohms) / sum(ohms) if each.joined == "in series" else 1.0
        volts = [each.greatest_voltage * r / sum(ohms) for r in ohms]
        if each.joined == "in series":
            plates = [mark[1] for mark in marks] * (each.count // len(marks))
            hardest = max(v / plate for v, plate in zip(volts, plates, strict=True))
            assert each.voltage_ratio == pytest.approx(hardest)
        assert share <= 1.0
    assert [each.energy for each in match.shelf] == sorted(
        (each.energy for each in match.shelf), reverse=True
    )


def test_the_remedy_of_a_bad_match_clears_it(tmp_path: Path) -> None:
    path = written(tmp_path, element())
    bad = verdict(matched(path), "matched to the array")
    assert bad.status == "caution"
    # 1293.5 of the references over 0.770 x 2032.6 kWh.
    assert bad.quantity == pytest.approx(1293.5 / (0.770 * 2032.6), rel=0.015)
    told = re.search(r"an element of (\d+ W) (\d+ V)", bad.remedy.text("US"))
    text = path.read_text(encoding="utf-8")
    text = text.replace('"4500 W"', f'"{told[1]}"').replace('"240 V"', f'"{told[2]}"')
    path.write_text(text, encoding="utf-8")
    assert verdict(matched(path), "matched to the array").status == "pass"


@pytest.mark.parametrize(("count", "wired", "ohms"), [(2, "series", 25.6), (2, "parallel", 6.4)])
def test_elements_alike_count_as_they_are_wired(
    tmp_path: Path, count: int, wired: str, ohms: float
) -> None:
    more = f'count = {count}\nwired = "{wired}"'
    matching = matched(written(tmp_path, element(more))).matching
    assert matching.match.resistance == pytest.approx(ohms)
    assert matching.match.own.energy == pytest.approx(float(on_ohms(ohms).sum()) * HOUR, rel=0.01)


def test_a_file_without_sun_is_asked_for_it() -> None:
    text = SITE.replace('file = "{file}"\n', "") + element()
    results = study_site(parse_site(text), ("match",))
    unknown = verdict(results, "matched to the array")
    assert unknown.status == "unknown"
    assert unknown.needs == ("sun.monthly",)
    assert results.matching is None


def test_an_element_on_an_array_of_its_own_is_matched_too(tmp_path: Path) -> None:
    """Three modules on the upper element: by pvlib as if they were alone."""
    second = (
        '[[array]]\nname = "upper array"\nfeeds = "heater"\nseries = 3\ntilt = "36.1 deg"\n'
        'azimuth = "180 deg"\n'
    )
    path = written(tmp_path, element(), element(fed_by="upper array"), second)
    results = matched(path)
    (further,) = results.matching.further
    energy = float(on_ohms(OHMS, series=3).sum()) * HOUR
    assert further.own.energy == pytest.approx(energy, rel=0.01)
    subjects = [each.subject for each in results.verdicts if "matched" in each.rule.key]
    assert subjects == ["hot water", "upper array"]
