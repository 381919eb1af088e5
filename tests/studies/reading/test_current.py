"""Amperes at the element of an example, against pvlib's chain."""

from __future__ import annotations

from functools import partial

import pvlib
import pytest

from tests.site_texts import EXAMPLES
from tests.studies.reading.by_integration import implied
from tests.studies.reading.test_composed_readings import read as read_at
from wellsolar.physics.array.sun_from_current import irradiance_in_air
from wellsolar.site.loading.read import load_site
from wellsolar.studies.case import Case
from wellsolar.studies.reading.sun import array_at_reading

read = partial(read_at, "ridge_house")


def pvlib_current(irradiance: float, cells: float) -> float:
    """Current of the example's four modules on 12.8 ohm and its cable, by pvlib alone: the loop
    is folded into the series resistance and the array is shorted through it."""
    at = array_at_reading(Case(load_site(EXAMPLES / "ridge_house.toml")))
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
    at = array_at_reading(Case(load_site(EXAMPLES / "ridge_house.toml")))
    cells = float(pvlib.temperature.faiman(irradiance, air, 1.0))
    amps = pvlib_current(irradiance, cells)
    loop = at.circuit.resistance + at.circuit.cable_resistance
    found = irradiance_in_air(at.circuit.parameters, 4, 1, amps, amps * loop, air, 1.0)
    assert found == pytest.approx(irradiance, rel=0.02)


def test_8_4_amperes_say_which_sun_and_whether_it_is_right_for_thin_cloud() -> None:
    (reading,) = read(element_amps="8.4 A", sky="thin cloud", date="2", time="12:00")
    sun, cells = implied(reading, "implied_irradiance"), implied(reading, "implied_cells")
    assert pvlib_current(sun, cells) == pytest.approx(8.4, rel=0.02)
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
