"""The year of a site's sun: weather file, monthly table, clearness, shade, against pvlib."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pvlib
import pytest

from tests.sampled import sampled
from tests.site_texts import NO_LOSSES
from tests.studies.composing import case_of, diode, parameters
from tests.studies.supply.houses import HOUSE, KWH, STATIONS, TANK, changed, house, studied
from wellsolar.results import Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.studies.sun.kinds_of_day import cloudless_days_of, kinds_of_day
from wellsolar.studies.sun.year import module_power


def by_pvlib(station: str, tilt: float, azimuth: float) -> np.ndarray:
    """Mean daily total of each month on a plane [J/m2], by pvlib's own calls."""
    name, _, _ = STATIONS[station]
    with (files("pvlib") / "data" / name).open(encoding="utf-8") as text:
        data, place = pvlib.iotools.read_tmy3(text, coerce_year=1990)
    middle = data.index - pd.Timedelta(minutes=30)
    site = pvlib.location.Location(place["latitude"], place["longitude"], "UTC", place["altitude"])
    position = site.get_solarposition(middle).set_index(data.index)
    outside = pvlib.irradiance.get_extra_radiation(middle).set_axis(data.index)
    plane = pvlib.irradiance.get_total_irradiance(
        tilt, azimuth, position["apparent_zenith"], position["azimuth"],
        data["dni"], data["ghi"], data["dhi"], dni_extra=outside, model="haydavies", albedo=0.2,
    )["poa_global"]  # fmt: skip
    return np.asarray(plane.groupby(middle.month).mean()) * 86_400.0


@pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")
@pytest.mark.parametrize("station", STATIONS)
@pytest.mark.parametrize(
    ("tilt", "azimuth"), sampled([(None, 180.0), (60.0, 180.0), (30.0, 110.0)], (30.0, 110.0))
)
def test_monthly_sums_on_a_group_are_those_of_pvlib(
    tmp_path: Path, station: str, tilt: float | None, azimuth: float
) -> None:
    path = house(tmp_path, station)
    latitude = STATIONS[station][1]
    lean = latitude if tilt is None else tilt
    turned = f'series = 4\ntilt = "{lean} deg"\nazimuth = "{azimuth} deg"\n[power]'
    sun = studied(changed(path, ("series = 4\n[power]", turned))).sun
    assert sun.source == "typical meteorological year, TMY3"
    np.testing.assert_allclose(sun.planes[1].totals, by_pvlib(station, lean, azimuth), rtol=0.01)


def test_monthly_sums_are_those_computed_beforehand(tmp_path: Path) -> None:
    """At a tilt of the latitude, due south, by the same chain of pvlib: monthly kWh/m2 a day at
    Greensboro as printed to two decimals, and the year at both stations."""
    greensboro = studied(house(tmp_path, "Greensboro")).sun
    printed = [3.62, 4.27, 5.00, 5.56, 5.26, 5.56, 5.51, 5.51, 4.94, 4.60, 3.61, 3.67]
    np.testing.assert_allclose(np.array(greensboro.planes[0].totals) / KWH, printed, rtol=0.01)
    assert greensboro.planes[0].year * 365 / KWH == pytest.approx(1737.4, rel=0.01)
    sand_point = studied(house(tmp_path, "Sand Point")).sun
    # The site's default tilt is its latitude, no more than 60 deg.
    assert sand_point.planes[0].tilt == pytest.approx(55.317)
    assert sand_point.planes[0].year * 365 / KWH == pytest.approx(996.1, rel=0.01)


def test_energy_of_the_groups_is_that_computed_beforehand(tmp_path: Path) -> None:
    """Four modules on 12.8 ohm at Greensboro, and tracked, month by month in kWh; with three and
    five in series the year: computed beforehand with pvlib, to 1 % (months to 1.5 %)."""
    fixed = [80.4, 90.8, 120.7, 130.8, 116.7, 121.7, 123.8, 129.7, 112.4, 108.4, 77.0, 81.1]
    tracked = [
        139.6, 145.2, 184.3, 194.9, 188.6, 189.7, 192.5, 192.6, 169.3, 167.7, 129.1, 139.1,
    ]  # fmt: skip
    ledger = studied(house(tmp_path, "Greensboro", TANK)).ledger
    heater, battery = ledger.groups
    np.testing.assert_allclose(np.array(heater.energy) / KWH, fixed, rtol=0.015)
    np.testing.assert_allclose(np.array(battery.energy) / KWH, tracked, rtol=0.015)
    assert sum(heater.lost) / KWH == pytest.approx(1293.5 - 1142.0, rel=0.02)
    assert sum(heater.gained) / KWH == pytest.approx(1312.9 - 1293.5, rel=0.05)
    assert sum(battery.lost) / KWH == pytest.approx(2032.6 / 4, rel=0.01)
    assert battery.gained == battery.lost
    moves = {(each.giver, each.taker): each for each in ledger.moves}
    assert set(moves) == {("hot water", "battery"), ("battery", "hot water")}
    assert moves["hot water", "battery"].lost == pytest.approx(sum(heater.lost))
    assert moves["hot water", "battery"].gained == pytest.approx(sum(battery.gained))


def test_a_monthly_table_gives_its_totals_back(tmp_path: Path) -> None:
    totals = "2.4, 3.2, 4.3, 5.4, 5.9, 6.3, 6.1, 5.5, 4.7, 3.8, 2.7, 2.2"
    text = HOUSE.format(latitude=36.1, altitude="273 m", file="x", losses=NO_LOSSES).replace(
        'file = "x"', f'monthly = "{totals} kWh/m2/day"'
    )
    flat = text.replace("series = 4\n[power]", 'series = 4\ntilt = "0 deg"\n[power]')
    sun = study_site(parse_site(flat)).sun
    wanted = [float(each) * KWH for each in totals.split(", ")]
    np.testing.assert_allclose(sun.horizontal, wanted, rtol=0.005)
    np.testing.assert_allclose(sun.planes[1].totals, wanted, rtol=0.005)


def test_a_clearness_alone_is_enough(tmp_path: Path) -> None:
    def at(clearness: str) -> Results:
        text = HOUSE.format(latitude=36.1, altitude="273 m", file="x", losses=NO_LOSSES)
        return study_site(parse_site(text.replace('file = "x"', f'clearness = "{clearness}"')))

    clear, dim = at("100 %"), at("50 %")
    np.testing.assert_allclose(
        np.array(dim.sun.horizontal) / np.array(clear.sun.horizontal), 0.5, rtol=1e-6
    )
    assert {each.status for each in dim.verdicts if each.rule.key == "days short"} == {"pass"}
    assert dim.supply
    # A clear June day at 36 N brings some 8 kWh/m2 on the level (Duffie & Beckman, from memory).
    assert clear.sun.horizontal[5] / KWH == pytest.approx(8.2, rel=0.1)


def test_shading_takes_its_part_and_a_skyline_the_low_sun(tmp_path: Path) -> None:
    path = house(tmp_path, "Greensboro")
    bare = studied(path).sun
    shares = [0.5, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0.25]
    listed = ", ".join(f"{100 * each:g}" for each in shares)
    text = path.read_text(encoding="utf-8")
    path.write_text(text + f'shading = "{listed} %"\n', encoding="utf-8")
    shaded = studied(path).sun
    np.testing.assert_allclose(
        np.array(shaded.planes[0].totals), np.array(bare.planes[0].totals) * shares, rtol=1e-9
    )
    # A ridge of 32 deg all around hides the winter sun, 30 deg high at noon, and little of June.
    path.write_text(text + 'horizon = "32 deg"\n', encoding="utf-8")
    behind = studied(path).sun
    left = np.array(behind.planes[0].totals) / np.array(bare.planes[0].totals)
    assert left[11] < 0.45
    assert left[5] > 0.7


@pytest.mark.parametrize("by_file", [False, True])
def test_a_cloudless_day_of_each_month_has_the_sky_and_air_of_its_place(by_file: bool) -> None:
    """Of the site, or of the weather file that it names, which may lie elsewhere; at noon by
    pvlib."""
    case = case_of("ridge_house")
    site, year = case.site, case.year
    assert year is not None
    others = {"turbidity": 4.4, "temperature_swing": 7.5, "wind": 3.1}
    others |= {"file": "elsewhere.csv"} if by_file else {}
    site = site.model_copy(update={"sun": site.sun.model_copy(update=others)})
    place = (float(site.site.latitude or 0.0), float(site.site.altitude))
    means = [*map(float, site.sun.temperature or ())]
    elsewhere = replace(
        year, latitude=20.0, altitude=1800.0, air_temperature=year.air_temperature + 9.0
    )
    if by_file:
        place, means = (20.0, 1800.0), [mean + 9.0 for mean in means]
    clear = cloudless_days_of(site, elsewhere)
    assert (clear.latitude, clear.altitude) == place
    air = clear.air_temperature.reshape(12, -1)
    np.testing.assert_allclose(air.mean(axis=1), means, atol=1e-9)
    np.testing.assert_allclose(air.max(axis=1) - air.min(axis=1), 7.5, rtol=0.01)
    assert np.all(clear.wind_speed == 3.1)
    noon = clear.global_horizontal.reshape(12, -1).shape[1] // 2
    zenith = clear.hours.zenith.reshape(12, -1)[:, noon]
    around = clear.hours.extraterrestrial_normal.reshape(12, -1)[:, noon]
    relative = pvlib.atmosphere.get_relative_airmass(zenith)
    mass = pvlib.atmosphere.get_absolute_airmass(relative, pvlib.atmosphere.alt2pres(place[1]))
    sky = pvlib.clearsky.ineichen(zenith, mass, 4.4, place[1], around)
    ours = clear.global_horizontal.reshape(12, -1)[:, noon]
    np.testing.assert_allclose(ours, sky["ghi"], rtol=1e-6)


@pytest.mark.parametrize("count", [28, 30, 31])
def test_a_tenth_of_a_months_days_are_no_brighter_than_its_poor_one(count: int) -> None:
    heat = np.random.default_rng(3).permutation(np.arange(float(count + 5)))
    months = np.array([4] * 5 + [5] * count)
    days = kinds_of_day(months, heat, 5)
    of_month = heat[5:]
    assert min(days.values()) >= 5
    poor = heat[days["poor"]]
    assert np.mean(of_month <= poor) >= 0.1 >= np.mean(of_month < poor)
    off = np.abs(of_month - of_month.mean())
    assert abs(heat[days["typical"]] - of_month.mean()) == off.min()


def test_a_modules_power_less_its_part_of_the_cable_by_pvlib() -> None:
    """Three rows of two modules on 30 m of 10 AWG: nine times the current's square heats the loop,
    of which a sixth is each module's. 1.24 ohm in 1000 ft: NEC, chapter 9, table 8, from memory.
    """
    site = case_of("dim").site
    light, cells = np.array([900.0, 300.0, 0.0]), np.array([50.0, 20.0, 5.0])
    plane: Any = SimpleNamespace(effective_irradiance=light, cell_temperature=cells)
    best = [pvlib.pvsystem.singlediode(*diode(parameters(site), *at))
            for at in zip(light[:2], cells[:2], strict=True)]  # fmt: skip
    power, current = (np.array([float(each[key]) for each in best]) for key in ("p_mp", "i_mp"))
    for cable, kept in (
        (None, power * (1.0 - float(site.losses.wiring))),
        (SimpleNamespace(gauge="10 AWG", length=30.0),
         power - (3 * current) ** 2 * 2 * 30.0 * 1.24 / 304.8 / 6),
    ):  # fmt: skip
        group: Any = SimpleNamespace(series=2, parallel=3, cable=cable)
        found = module_power(site, parameters(site), plane, group)
        assert found[:2] == pytest.approx(kept * (1.0 - float(site.losses.controller)), rel=2e-3)
        assert found[2] == 0.0
