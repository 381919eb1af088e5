"""An array and its element matched: direct, switched, tracking, and by a battery's surplus.

The year is the open TMY3 file of Greensboro that pvlib ships. Every energy is held to pvlib's own
chain of sun, cells and single diode, called here; the load is folded into the series resistance,
so that the current at an element is pvlib's short-circuit current of an array with that much more.
"""

from __future__ import annotations

import dataclasses
import re
from functools import cache
from importlib.resources import files
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pandas as pd
import pvlib
import pytest

from wellsolar.results import Results
from wellsolar.site.loading.read import load_site, parse_site
from wellsolar.studies.case import USUAL, study_site
from wellsolar.studies.heat.study import study_heated_tank
from wellsolar.studies.pump.pressure_tank import study_pressure_tank
from wellsolar.studies.pump.study import study_pumps
from wellsolar.studies.sun.year import year_of_site
from wellsolar.studies.supply.diversion import Spill, spill_of
from wellsolar.verdicts import Verdict

pytestmark = pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")

KWH = 3.6e6
HOUR = 3600.0
STATION = "723170*.CSV"
OHMS = 240.0**2 / 4500.0
FIVE_PARAMETERS = {
    "a_ref": 1.51271,
    "I_L_ref": 9.70318,
    "I_o_ref": 3.38652e-11,
    "R_s": 0.294285,
    "R_sh_ref": 898.505,
}
"""Of the site's module, computed beforehand from its sheet by De Soto's equations; a test below
holds them to the sheet."""

ELEMENT = """
[[water_heater.element]]
position = "lower"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "{fed_by}"
thermostat = "150 degF"
{more}
"""
SITE = """
[site]
latitude = "36.1 deg"
altitude = "273 m"
people = 4
[demand]
daily_use = "240 gal/day"
[well]
depth = "220 ft"
static_level = "85 ft"
specific_capacity = "0.5 gpm/ft"
tested_yield = "12 gpm"
[module]
voc = "39.9 V"
isc = "9.7 A"
vmp = "32.6 V"
imp = "9.2 A"
cells = 60
voc_coefficient = "-0.30 %/K"
isc_coefficient = "0.05 %/K"
[[array]]
name = "hot water"
feeds = "heater"
series = 4
tilt = "36.1 deg"
azimuth = "180 deg"
[sun]
file = "{file}"
albedo = "20 %"
[water_heater]
volume = "50 gal"
[water_heater.draw]
volume = "50 gal"
"""
BATTERY = """
[pressure_switch]
cut_in = "40 psi"
cut_out = "60 psi"
[pressure_tank]
volume = "44 gal"
precharge = "38 psi"
[[pump]]
name = "frugal"
role = "backup"
intake_depth = "170 ft"
flow = "0, 1, 2, 3, 4, 5 gpm"
head = "480, 440, 385, 310, 210, 90 ft"
power = "330, 385, 430, 460, 475, 480 W"
[[array]]
name = "battery"
feeds = "battery"
series = 8
tilt = "36.1 deg"
azimuth = "180 deg"
[power]
battery_energy = "5 kWh"
inverter_rating = "6 kW"
inverter_voltage = "240 V"
"""
NO_ARRAY = """[[array]]
name = "hot water"
feeds = "heater"
series = 4
tilt = "36.1 deg"
azimuth = "180 deg"
"""


def station() -> Path:
    folder = Path(str(files("pvlib") / "data"))
    (found,) = folder.glob(STATION)
    return found


def written(folder: Path, *more: str, base: str = SITE) -> Path:
    """A site file beside a copy of the weather file."""
    source = station()
    (folder / source.name).write_bytes(source.read_bytes())
    path = folder / "site.toml"
    path.write_text("\n".join([base.replace("{file}", source.name), *more]), encoding="utf-8")
    return path


def element(more: str = "", fed_by: str = "hot water") -> str:
    return ELEMENT.format(more=more, fed_by=fed_by)


def matched(path: Path) -> Results:
    return study_site(load_site(path), ("match",))


def verdict(results: Results, key: str) -> Verdict:
    (found,) = [each for each in results.verdicts if each.rule.key == key]
    return found


class Measured(NamedTuple):
    """The year by pvlib; arrays of hours.

    light: on the plane [W/m2]; month; module: photocurrent, saturation current, series and shunt
    resistance, thermal voltage of one
    """

    light: np.ndarray
    month: np.ndarray
    module: tuple[np.ndarray, float, float, np.ndarray, np.ndarray]


@cache
def by_pvlib() -> Measured:
    with station().open(encoding="utf-8") as text:
        data, place = pvlib.iotools.read_tmy3(text, coerce_year=1990)
    middle = data.index - pd.Timedelta(minutes=30)
    site = pvlib.location.Location(place["latitude"], place["longitude"], "UTC", place["altitude"])
    position = site.get_solarposition(middle).set_index(data.index)
    outside = pvlib.irradiance.get_extra_radiation(middle).set_axis(data.index)
    plane = pvlib.irradiance.get_total_irradiance(
        36.1, 180.0, position["apparent_zenith"], position["azimuth"],
        data["dni"], data["ghi"], data["dhi"], dni_extra=outside, model="haydavies", albedo=0.2,
    )["poa_global"]  # fmt: skip
    cells = pvlib.temperature.faiman(plane, data["temp_air"], data["wind_speed"])
    lit = np.asarray(plane) > 1.0
    module = pvlib.pvsystem.calcparams_desoto(
        np.asarray(plane)[lit], np.asarray(cells)[lit], 0.0005 * 9.7, **FIVE_PARAMETERS
    )
    return Measured(np.asarray(plane)[lit], np.asarray(middle.month)[lit], module)


def on_ohms(ohms: float, series: int = 4, cable: float = 0.0) -> np.ndarray:
    """Power on a resistance in each sunny hour [W]."""
    light, saturation, inner, shunt, thermal = by_pvlib().module
    loaded = inner * series + cable + ohms
    current = pvlib.pvsystem.i_from_v(
        0.0, light, saturation, loaded, shunt * series, thermal * series
    )
    return np.asarray(current) ** 2 * ohms


def at_best(series: int = 4) -> np.ndarray:
    """Maximum power in each sunny hour [W]."""
    points = pvlib.pvsystem.max_power_point(*by_pvlib().module, method="newton")
    return np.asarray(points["p_mp"]) * series


def test_the_five_parameters_of_the_comparison_are_those_of_the_sheet() -> None:
    given = pvlib.pvsystem.calcparams_desoto(1000.0, 25.0, 0.0005 * 9.7, **FIVE_PARAMETERS)
    points = pvlib.pvsystem.singlediode(*given)
    for name, value in (("i_sc", 9.7), ("v_oc", 39.9), ("i_mp", 9.2), ("v_mp", 32.6)):
        assert points[name] == pytest.approx(value, rel=2e-4)


# --------------------------------------------------------------------------- wired straight


def test_an_array_wired_straight_agrees_with_pvlib_by_the_month(tmp_path: Path) -> None:
    results = matched(written(tmp_path, element()))
    assert results.matching is not None
    match = results.matching.match
    assert match is not None
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
    assert cabled is not None
    assert cabled.match is not None
    # NEC chapter 9 table 8, stranded uncoated copper, 1.24 ohm/kft at 75 degC.
    assert cabled.match.own.energy == pytest.approx(
        float(on_ohms(OHMS, cable=0.62).sum()) * HOUR, rel=0.005
    )


def test_the_best_resistance_is_the_best_of_a_fine_sweep(tmp_path: Path) -> None:
    matching = matched(written(tmp_path, element())).matching
    assert matching is not None
    assert matching.match is not None
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
    assert matching is not None
    match = matching.match
    assert match is not None
    in_series = {each.series: each for each in match.wirings if each.parallel == 1}
    for series, kwh in ((3, 1142.0), (4, 1293.5), (5, 1312.9)):
        assert in_series[series].energy / KWH == pytest.approx(kwh, rel=0.015)
        assert in_series[series].energy == pytest.approx(
            float(on_ohms(OHMS, series).sum()) * HOUR, rel=0.01
        )
    assert match.ceiling is not None
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
    assert matching is not None
    match = matching.match
    assert match is not None
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
    assert bad.remedy is not None
    told = re.search(r"an element of (\d+ W) (\d+ V)", bad.remedy.text("US"))
    assert told is not None
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
    assert matching is not None
    assert matching.match is not None
    assert matching.match.resistance == pytest.approx(ohms)
    assert matching.match.own.energy == pytest.approx(float(on_ohms(ohms).sum()) * HOUR, rel=0.01)


# --------------------------------------------------------------------------- relays


def test_two_elements_switched_take_the_best_of_three_every_hour(tmp_path: Path) -> None:
    matching = matched(written(tmp_path, element('count = 2\ncoupling = "switched"'))).matching
    assert matching is not None
    match = matching.match
    assert match is not None
    ohms = (OHMS / 2, OHMS, OHMS * 2)
    assert match.own.resistances == pytest.approx(ohms)
    best = np.max([on_ohms(each) for each in ohms], axis=0)
    assert match.own.energy == pytest.approx(float(best.sum()) * HOUR, rel=0.01)
    for each in match.months:
        energy = float(best[by_pvlib().month == each.month].sum()) * HOUR
        assert each.energy == pytest.approx(energy, rel=0.01)


def test_relays_switch_where_the_file_says(tmp_path: Path) -> None:
    more = (
        'coupling = "switched"\nswitched_resistances = "12.8, 25.6, 51.2 ohm"\n'
        'switch_irradiances = "250, 500 W/m2"'
    )
    results = matched(written(tmp_path, element(more)))
    assert results.matching is not None
    match = results.matching.match
    assert match is not None
    light = by_pvlib().light
    power = np.select(
        [light >= 500.0, light >= 250.0], [on_ohms(12.8), on_ohms(25.6)], on_ohms(51.2)
    )
    assert match.own.energy == pytest.approx(float(power.sum()) * HOUR, rel=0.01)
    # No thresholds of a sweep do better than the best ones it names.
    assert match.thresholds is not None
    sweep = [
        float(
            np.select(
                [light >= high, light >= low], [on_ohms(12.8), on_ohms(25.6)], on_ohms(51.2)
            ).sum()
        )
        * HOUR
        for high in range(400, 1001, 50)
        for low in range(100, 400, 50)
    ]
    assert match.thresholds.energy > max(sweep) * 0.997
    assert all(low < high for low, high in pairwise(match.thresholds.best))


def test_the_remedy_of_bad_thresholds_clears_them(tmp_path: Path) -> None:
    more = (
        'coupling = "switched"\nswitched_resistances = "12.8, 25.6, 51.2 ohm"\n'
        'switch_irradiances = "60, 150 W/m2"'
    )
    path = written(tmp_path, element(more))
    bad = verdict(matched(path), "switching thresholds")
    assert bad.status == "caution"
    assert bad.remedy is not None
    suns = re.findall(r"(\d+) W/m²", bad.remedy.text("SI"))
    assert len(suns) == 2
    text = path.read_text(encoding="utf-8").replace('"60, 150 W/m2"', f'"{", ".join(suns)} W/m2"')
    path.write_text(text, encoding="utf-8")
    assert verdict(matched(path), "switching thresholds").status == "pass"
    assert verdict(matched(path), "matched to the array").status == "pass"


# --------------------------------------------------------------------------- electronics


def test_tracking_electronics_give_what_pvlib_gives_times_their_efficiency(
    tmp_path: Path,
) -> None:
    more = (
        'coupling = "tracking"\ntracker_efficiency = "94 %"\ntracker_minimum = "100 W"\n'
        'tracker_maximum = "900 W"'
    )
    results = matched(written(tmp_path, element(more)))
    assert results.matching is not None
    match = results.matching.match
    assert match is not None
    best = at_best()
    power = np.minimum(0.94 * np.where(best >= 100.0, best, 0.0), 900.0)
    assert match.own.energy == pytest.approx(float(power.sum()) * HOUR, rel=0.01)
    assert match.own.ratio == pytest.approx(float(power.sum() / best.sum()), rel=0.005)
    assert match.peak_power == pytest.approx(900.0)
    assert verdict(results, "matched to the array").status == "pass"
    assert verdict(results, "tracking electronics").status == "pass"
    assert match.ceiling is None
    fifth = next(each for each in match.wirings if (each.series, each.parallel) == (5, 1))
    best = at_best(5)
    more = np.minimum(0.94 * np.where(best >= 100.0, best, 0.0), 900.0)
    assert fifth.gain == pytest.approx(float(more.sum() / power.sum()) - 1.0, abs=0.005)


def test_electronics_of_no_sheet_are_assumed_and_said_to_be(tmp_path: Path) -> None:
    results = matched(written(tmp_path, element('coupling = "tracking"')))
    assumed = {each.path: each for each in results.assumptions}
    path = "water_heater.element[1].tracker_efficiency"
    assert assumed[path].value == pytest.approx(0.95)
    assert assumed[path].source == "common practice"
    assert results.matching is not None
    assert results.matching.match is not None
    best = at_best()
    energy = 0.95 * float(best[best >= 20.0].sum()) * HOUR
    assert results.matching.match.own.energy == pytest.approx(energy, rel=0.01)


def test_electronics_too_good_to_be_true_are_doubted(tmp_path: Path) -> None:
    path = written(tmp_path, element('coupling = "tracking"\ntracker_efficiency = "99.8 %"'))
    bad = verdict(matched(path), "tracking electronics")
    assert bad.status == "caution"
    assert bad.remedy is not None
    told = re.search(r"([\d.]+)%", bad.remedy.text("US"))
    assert told is not None
    text = path.read_text(encoding="utf-8").replace('"99.8 %"', f'"{told[1]} %"')
    path.write_text(text, encoding="utf-8")
    assert verdict(matched(path), "tracking electronics").status == "pass"


def test_the_tank_is_heated_through_the_coupling_that_the_file_names(tmp_path: Path) -> None:
    """Months and days of the tank's own study follow relays and electronics too."""
    offered: dict[str, float] = {}
    clear: dict[str, float] = {}
    ways = {
        "direct": "",
        "switched": 'count = 2\ncoupling = "switched"',
        "tracking": 'coupling = "tracking"\ntracker_efficiency = "95 %"\ntracker_minimum = "0 W"',
    }
    for way, more in ways.items():
        results = study_site(load_site(written(tmp_path, element(more))), ("heat", "match"))
        assert results.heated_tank is not None
        assert results.matching is not None
        assert results.matching.match is not None
        days = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
        offered[way] = sum(
            month.element_energy * day
            for month, day in zip(results.heated_tank.months, days, strict=True)
        )
        assert offered[way] == pytest.approx(results.matching.match.own.energy, rel=1e-9)
        june = [day for day in results.heated_tank.days if day.month == 6]
        clear[way] = next(day.element_energy / day.maximum_energy for day in june)
    assert offered["direct"] < offered["switched"] < offered["tracking"]
    assert clear["tracking"] == pytest.approx(0.95, abs=1e-6)
    assert clear["direct"] < clear["switched"] < 1.0


# --------------------------------------------------------------------------- battery's surplus


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
    assert spill.room is not None
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


@pytest.mark.parametrize("beside", [False, True])
def test_an_element_on_the_inverter_takes_the_batterys_surplus(
    tmp_path: Path, beside: bool
) -> None:
    elements = [element(fed_by="inverter")]
    base = SITE
    if beside:
        elements.insert(0, element().replace("lower", "upper"))
    else:
        assert NO_ARRAY in SITE
        base = SITE.replace(NO_ARRAY, "")
    path = written(tmp_path, BATTERY, *elements, base=base)
    results = matched(path)
    assert results.matching is not None
    diversion = results.matching.diversion
    assert diversion is not None
    assert diversion.named
    spill = spilled(path)
    assert diversion.spilled == pytest.approx(float(spill.energy.sum()))
    assert 0.0 < diversion.energy <= diversion.spilled * 0.90
    assert diversion.energy == pytest.approx(by_hand(spill, 4500.0), rel=1e-9)
    assert sum(diversion.months) == pytest.approx(diversion.energy)
    assert verdict(results, "surplus for the element").status == "pass"
    assert (results.matching.match is not None) == beside


def test_the_surplus_is_what_the_supply_year_did_not_take(tmp_path: Path) -> None:
    path = written(tmp_path, BATTERY, element(), element(fed_by="inverter"))
    results = study_site(load_site(path), USUAL)
    (supply,) = results.supply_years
    assert results.matching is not None
    assert results.matching.diversion is not None
    assert results.matching.diversion.spilled == pytest.approx(supply.energy_spilled)
    # Beside the array's element it is offered to the tank in the same hours.
    file = load_site(path)
    year = year_of_site(file).year
    alone, _ = study_heated_tank(file.site, year)
    assert alone is not None
    assert results.heated_tank is not None
    assert results.matching.match is not None
    days = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
    offered, before = (
        sum(month.element_energy * day for month, day in zip(tank.months, days, strict=True))
        for tank in (results.heated_tank, alone)
    )
    assert offered - before == pytest.approx(results.matching.diversion.energy, rel=1e-6)
    assert results.heated_tank.annual_share is not None
    assert alone.annual_share is not None
    assert results.heated_tank.annual_share > alone.annual_share + 0.05


def test_an_element_waits_for_the_pump_where_the_inverter_cannot_carry_both(
    tmp_path: Path,
) -> None:
    base = BATTERY.replace('"6 kW"', '"4600 W"').replace("series = 8", "series = 8\nparallel = 4")
    path = written(tmp_path, base, element(fed_by="inverter"))
    results = matched(path)
    spill = spilled(path)
    assert results.matching is not None
    assert results.matching.diversion is not None
    # The pump runs in the sunny hours too, and in some of them the surplus would fill the hour.
    assert ((spill.running > 0.0) & (spill.energy * 0.90 > 0.9 * 4500.0 * HOUR)).any()
    energy = results.matching.diversion.energy
    assert energy == pytest.approx(by_hand(spill, 4500.0), rel=1e-9)
    assert energy < by_hand(dataclasses.replace(spill, room=6000.0), 4500.0)
    waits = verdict(results, "element on the inverter")
    assert waits.status == "caution"
    assert waits.remedy is not None
    told = re.search(r"one element of (\d+ W), 240 V", waits.remedy.text("US"))
    assert told is not None
    text = path.read_text(encoding="utf-8").replace('"4500 W"', f'"{told[1]}"')
    path.write_text(text, encoding="utf-8")
    assert verdict(matched(path), "element on the inverter").status == "pass"


def test_an_inverter_too_small_for_the_element_is_told_and_mended(tmp_path: Path) -> None:
    base = BATTERY.replace('"6 kW"', '"3 kW"')
    path = written(tmp_path, base, element(fed_by="inverter"))
    bad = verdict(matched(path), "element on the inverter")
    assert bad.status == "fail"
    assert bad.remedy is not None
    told = re.search(r"one element of (\d+ W), (\d+) V", bad.remedy.text("US"))
    assert told is not None
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


def test_a_file_without_sun_is_asked_for_it() -> None:
    text = SITE.replace('file = "{file}"\n', "") + element()
    results = study_site(parse_site(text), ("match",))
    unknown = verdict(results, "matched to the array")
    assert unknown.status == "unknown"
    assert unknown.needs == ("sun.monthly",)
    assert results.matching is None


def test_a_tank_on_the_inverter_alone_has_its_household_year(tmp_path: Path) -> None:
    base = SITE.replace(NO_ARRAY, "")
    path = written(tmp_path, BATTERY, element(fed_by="inverter"), base=base)
    results = study_site(load_site(path), ("heat", "match"))
    assert results.heated_tank is None
    tank = results.diverted_tank
    assert tank is not None
    assert results.matching is not None
    diversion = results.matching.diversion
    assert diversion is not None
    (alone,) = tank.households
    # The tank takes no more than it is offered, in no month, and something in every month.
    for month, offered in zip(alone.months, diversion.months, strict=True):
        assert 0.0 < month.pv_heat <= offered * (1 + 1e-9)
    year = alone.year
    # The share adds up a mean day of each month, whatever the month's length.
    assert year.heat_delivered / year.heat_wanted == pytest.approx(tank.annual_share, rel=0.005)
    # Heat balance of a year that begins as it ends.
    assert year.pv_heat == pytest.approx(year.heat_delivered + year.heat_lost, rel=0.002)
    shares = [each for each in results.verdicts if each.rule.key == "share from PV"]
    assert [each.status for each in shares] in (["pass"], ["caution"])
    # What guards the tank is not told; all else is.
    unknown = [each.rule for each in results.verdicts if each.status == "unknown"]
    assert unknown
    assert all(rule.safety for rule in unknown)
