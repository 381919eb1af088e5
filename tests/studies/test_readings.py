"""Readings of a finished job, against pvlib's chain, Boyle by hand and scipy's quadrature.

The sites are the shipped ones, which are invented.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pvlib
import pytest
from scipy.integrate import quad

from wellsolar.errors import SiteFileError
from wellsolar.physics.array.sun_from_current import irradiance_in_air
from wellsolar.physics.sun import sun as sun_sun
from wellsolar.results.readings import ReadingResult
from wellsolar.site.loading.read import load_site
from wellsolar.site.readings.file import load_readings, readings_of_options
from wellsolar.studies.pump.study import pump_on_well
from wellsolar.studies.reading.array import array_at_reading
from wellsolar.studies.reading.study import study_readings

EXAMPLES = Path(__file__).parents[2] / "examples"
PSI, GALLON = 6894.757, 3.785411784e-3


def read(**written: str) -> list[ReadingResult]:
    site = load_site(EXAMPLES / "ridge_house.toml")
    found = study_readings(site, [readings_of_options(written)]).readings
    assert found is not None
    return list(found.readings)


def implied(reading: ReadingResult, key: str) -> float:
    return float(next(each.value for each in reading.implied if each.key == key))


def pvlib_current(irradiance: float, cells: float) -> float:
    """Current of the example's four modules on 12.8 ohm and its cable, by pvlib alone: the loop
    is folded into the series resistance and the array is shorted through it."""
    at = array_at_reading(load_site(EXAMPLES / "ridge_house.toml"))
    assert at is not None
    of, loop = at.circuit.parameters, 240.0**2 / 4500.0 + at.circuit.cable_resistance
    light, dark, series, shunt, thermal = pvlib.pvsystem.calcparams_desoto(
        irradiance, cells, of.current_coefficient, of.modified_ideality_voltage, of.photocurrent,
        of.saturation_current, of.shunt_resistance, of.series_resistance,
    )  # fmt: skip
    return float(
        pvlib.pvsystem.i_from_v(0.0, light, dark, 4 * series + loop, 4 * shunt, 4 * thermal)
    )


@pytest.mark.parametrize("air", [0.0, 20.0, 35.0])
@pytest.mark.parametrize("irradiance", [150.0, 400.0, 700.0, 850.0])
def test_the_irradiance_of_a_current_is_that_of_pvlibs_chain(
    irradiance: float, air: float
) -> None:
    at = array_at_reading(load_site(EXAMPLES / "ridge_house.toml"))
    assert at is not None
    cells = float(pvlib.temperature.faiman(irradiance, air, 1.0))
    amps = pvlib_current(irradiance, cells)
    loop = at.circuit.resistance + at.circuit.cable_resistance
    found = irradiance_in_air(at.circuit.parameters, 4, 1, amps, amps * loop, air, 1.0)
    assert found == pytest.approx(irradiance, rel=0.02)


def test_8_4_amperes_say_which_sun_and_whether_it_is_right_for_thin_cloud() -> None:
    (reading,) = read(element_amps="8.4 A", sky="thin cloud", date="2", time="12:00")
    sun, cells = implied(reading, "implied_irradiance"), implied(reading, "implied_cells")
    assert pvlib_current(sun, cells) == pytest.approx(8.4, rel=0.02)
    assert reading.expected is not None
    assert "February" in reading.expected.rests_on
    assert reading.measured > reading.expected.value.high
    assert "brighter" in reading.causes[0].text


@pytest.mark.parametrize("month", ["2", "4", "6", "10"])
def test_5_6_amperes_at_a_clear_noon_are_the_modules_not_the_element(month: str) -> None:
    (reading,) = read(element_amps="5.6", sky="clear", date=month)
    texts = " ".join(each.text for each in reading.causes)
    assert "missing" in texts
    assert "shaded, dirty or hotter" in texts
    assert "element" not in texts


def test_what_a_reading_may_be_off_is_carried_through() -> None:
    (reading,) = read(element_amps="6 A +- 0.2", irradiance="600", cell_temperature="40 degC")
    light = reading.implied[0].value
    assert light.low < light < light.high
    # Below the knee the current follows the sun.
    assert (light.high - light.low) / light == pytest.approx(0.4 / 6.0, rel=0.05)


def test_volts_and_amperes_measure_the_element() -> None:
    reading = read(element_amps="5", element_volts="64", irradiance="520")[0]
    assert float(reading.measured) == pytest.approx(12.8)
    assert not reading.causes


def test_a_fill_time_gives_flow_and_pumping_level_of_the_model_that_made_it() -> None:
    site = load_site(EXAMPLES / "ridge_house.toml").site
    on_well = pump_on_well(site, site.pump[1], "pump[2]")
    air = 101325.0 * (1 - 2.25577e-5 * float(site.site.altitude)) ** 5.25588
    volume, precharge = 86 * GALLON, 38 * PSI + air

    def slowness(pressure: float) -> float:
        """dt/dp of the fill: dV/dp by Boyle over the pump's flow at that pressure."""
        flow = on_well.duty("a point", pressure).flow
        return volume * precharge / (pressure + air) ** 2 / flow

    seconds = quad(slowness, 40 * PSI, 60 * PSI, epsrel=1e-5)[0]
    drawn = volume * precharge * (1 / (40 * PSI + air) - 1 / (60 * PSI + air))
    reading = next(
        each for each in read(fill_time=f"{seconds} s", pump="frugal pump")
        if each.key == "fill_time"
    )  # fmt: skip
    flow = implied(reading, "implied_flow")
    assert flow == pytest.approx(drawn / seconds, rel=0.02)
    level = float(site.well.static_level) + flow / float(site.well.specific_capacity or np.nan)
    assert implied(reading, "implied_pumping_level") == pytest.approx(level, rel=0.02)
    assert not reading.causes


def test_a_wrong_precharge_shows() -> None:
    """The time of a tank at 15 psi, by Boyle at the flow the right time implies."""
    right = float(read(fill_time="600", pump="frugal pump")[0].expected.value)  # type: ignore[union-attr]
    air = 98_000.0
    short = right * (15 * PSI + air) / (38 * PSI + air)
    (reading,) = read(fill_time=f"{short:.1f}", pump="frugal pump")
    assert any("precharge" in each.text for each in reading.causes)


def test_a_pressure_lost_overnight_is_a_leak_by_boyle() -> None:
    (reading,) = read(
        evening_pressure="58 psi", morning_pressure="44 psi", hours_between="9 h"
    )  # fmt: skip
    air = 101325.0 * (1 - 2.25577e-5 * 900 * 0.3048) ** 5.25588
    held = 86 * GALLON * (38 * PSI + air)
    lost = held * (1 / (44 * PSI + air) - 1 / (58 * PSI + air))
    assert implied(reading, "implied_leak") == pytest.approx(lost / (9 * 3600), rel=0.005)
    assert len(reading.causes) == 2


def test_cloudless_sun_is_pvlibs_haurwitz() -> None:
    import pandas as pd

    zenith = np.array([0.0, 30.0, 60.0, 80.0, 95.0])
    expected = pvlib.clearsky.haurwitz(pd.Series(zenith))["ghi"].to_numpy()
    np.testing.assert_allclose(sun_sun.haurwitz_horizontal(zenith), expected, rtol=0.005)


def test_a_file_of_readings_tells_every_mistake_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "day.toml"
    path.write_text(
        '[[reading]]\nelement_amps = "8.4 V"\nsky = "blue"\n[[reading]]\nfil_time = "40 s"\n',
        encoding="utf-8",
    )
    with pytest.raises(SiteFileError) as error:
        load_readings(path)
    text = str(error.value)
    assert "day.toml:2" in text
    assert "reading[1].element_amps" in text
    assert "day.toml:3" in text
    assert "thin cloud" in text
    assert "day.toml:5" in text
    assert 'did you mean "fill_time"' in text


def test_a_csv_is_read_as_a_toml_is(tmp_path: Path) -> None:
    path = tmp_path / "day.csv"
    path.write_text("date,time,element amps\n2026-06-14,12:10,8.4 A +- 2 %\n", encoding="utf-8")
    (made,) = load_readings(path)
    assert (made.month, made.hour) == (6, pytest.approx(12 + 1 / 6))
    assert made.values["element_amps"].high == pytest.approx(8.568)
