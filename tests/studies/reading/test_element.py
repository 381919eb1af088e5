"""Readings at the element on many sites, against pvlib's chain and arithmetic.

The sites are invented. A loop of element and cable is folded into the array's series resistance
and the array is shorted through it, so that pvlib alone finds the current.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pvlib
import pytest

from tests.sampled import every
from wellsolar import kinds
from wellsolar.results.readings import ReadingResult
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.readings.file import readings_of_options
from wellsolar.studies.array.heater_circuit import HeaterCircuit
from wellsolar.studies.case import Case
from wellsolar.studies.reading.element import _spread
from wellsolar.studies.reading.study import study_readings
from wellsolar.studies.reading.sun import array_at_reading
from wellsolar.verdicts import Verdict

Make = Callable[..., SiteFile]
Read = Callable[..., list[ReadingResult]]

LARGE = """voc = "49.5 V"
isc = "11.5 A"
vmp = "41.5 V"
imp = "10.9 A"
cells = 72
voc_coefficient = "-0.28 %/K"
isc_coefficient = "0.05 %/K"
"""
SMALL = """voc = "22.6 V"
isc = "5.9 A"
vmp = "18.6 V"
imp = "5.4 A"
cells = 36
voc_coefficient = "-0.32 %/K"
isc_coefficient = "0.05 %/K"
"""
SOUTH = 'monthly = "6.5, 6.0, 4.9, 3.7, 2.8, 2.3, 2.5, 3.3, 4.4, 5.4, 6.2, 6.7 kWh/m2/day"'
FAR_NORTH = 'monthly = "0.2, 0.9, 2.3, 4.0, 5.0, 5.5, 5.2, 3.9, 2.4, 1.0, 0.3, 0.1 kWh/m2/day"'


def element(watts: int, volts: int, more: str = "") -> str:
    return (
        f'rated_power = "{watts} W"\nrated_voltage = "{volts} V"\nfed_by = "hot water"\n'
        f'thermostat = "60 degC"\n{more}'
    )


SITES = {
    "two modules": {"array": "series = 2", "element": element(2000, 120)},
    "three, large": {"array": "series = 3", "module": LARGE, "element": element(3000, 230)},
    "four": {},
    "four, with cable": {"array": 'series = 4\ncable = { gauge = "10 AWG", length = "250 ft" }'},
    "five": {"array": "series = 5", "element": element(3800, 240)},
    "six, small": {"array": "series = 6", "module": SMALL},
    "two strings": {"array": "series = 3\nparallel = 2", "element": element(3500, 240)},
    "south": {
        "latitude": "-34 deg",
        "sun": SOUTH,
        "module": LARGE,
        "array": "series = 3",
        "more": "",
    },
}
"""Parts of the usual site in other words."""


def circuit_of(site: SiteFile) -> HeaterCircuit:
    return array_at_reading(Case(site)).circuit


def pvlib_current(circuit: HeaterCircuit, irradiance: float, cells: float) -> float:
    of, loop = circuit.parameters, circuit.resistance + circuit.cable_resistance
    light, dark, series, shunt, thermal = pvlib.pvsystem.calcparams_desoto(
        irradiance, cells, of.current_coefficient, of.modified_ideality_voltage, of.photocurrent,
        of.saturation_current, of.shunt_resistance, of.series_resistance,
    )  # fmt: skip
    ratio = circuit.series / circuit.parallel
    strings = circuit.parallel
    return float(
        pvlib.pvsystem.i_from_v(
            0.0,
            strings * light,
            strings * dark,
            ratio * series + loop,
            ratio * shunt,
            circuit.series * thermal,
        )
    )


def pvlib_best(circuit: HeaterCircuit, irradiance: float, cells: float) -> float:
    """Maximum power of the array without its cable [W]."""
    of = circuit.parameters
    five = pvlib.pvsystem.calcparams_desoto(
        irradiance, cells, of.current_coefficient, of.modified_ideality_voltage, of.photocurrent,
        of.saturation_current, of.shunt_resistance, of.series_resistance,
    )  # fmt: skip
    power = float(pvlib.pvsystem.max_power_point(*five)["p_mp"])
    return power * circuit.series * circuit.parallel


def implied(reading: ReadingResult, key: str) -> float:
    return float(next(each.value for each in reading.implied if each.key == key))


@pytest.mark.parametrize("irradiance", [120.0, 450.0, 800.0])
@pytest.mark.parametrize("name", SITES)
def test_a_current_implies_the_irradiance_of_pvlibs_chain(
    name: str, irradiance: float, make_site: Make, read_at: Read
) -> None:
    site = make_site(**SITES[name])
    cells = float(pvlib.temperature.faiman(irradiance, 20.0, 1.0))
    amps = pvlib_current(circuit_of(site), irradiance, cells)
    (reading,) = read_at(site, element_amps=f"{amps:.6f}", cell_temperature=f"{cells} degC")
    assert implied(reading, "implied_irradiance") == pytest.approx(irradiance, rel=0.02)


GONE = [
    (name, gone)
    for name, most in (
        ("three, large", 2),
        ("four", 3),
        ("four, with cable", 3),
        ("five", 3),
        ("six, small", 3),
        ("two strings", 2),
        ("south", 2),
    )
    for gone in range(1, most + 1)
]


@pytest.mark.parametrize(("name", "gone"), GONE)
def test_missing_modules_are_counted(name: str, gone: int, make_site: Make, read_at: Read) -> None:
    """As many as pvlib's chain leaves out, wherever their lack shows beyond the meter's own band;
    an array above its knee hides the first of them."""
    site = make_site(**SITES[name])
    circuit = circuit_of(site)
    left = replace(circuit, series=circuit.series - gone)
    whole, amps = (pvlib_current(each, 900.0, 50.0) for each in (circuit, left))
    (reading,) = read_at(
        site, element_amps=f"{amps}", irradiance="900", cell_temperature="50 degC"
    )
    texts = [each.text for each in reading.causes]
    assert not any("element of" in text for text in texts), texts
    if amps < 0.93 * whole:
        what = "1 module of" if gone == 1 else f"{gone} modules of"
        assert any(text.startswith(what) for text in texts), texts
        others = ("shaded, dirty or hotter", "strings")
        assert any(each in text for text in texts for each in others), texts
        assert implied(reading, "implied_missing") == pytest.approx(gone, abs=0.1)
    else:
        assert name in ("five", "six, small", "four, with cable", "four")


def test_an_open_string_is_told(make_site: Make, read_at: Read) -> None:
    site = make_site(**SITES["two strings"])
    amps = pvlib_current(replace(circuit_of(site), parallel=1), 850.0, 45.0)
    (reading,) = read_at(
        site, element_amps=f"{amps}", irradiance="850", cell_temperature="45 degC"
    )
    assert any("a string of 2 open" in each.text for each in reading.causes)


@pytest.mark.parametrize("name", every(SITES, 4))
def test_two_thirds_of_a_clear_noons_current_is_never_the_elements_fault(
    name: str, make_site: Make, read_at: Read
) -> None:
    site = make_site(**SITES[name])
    for month in ("1", "4", "7", "10"):
        (usual,) = read_at(site, element_amps="1", sky="clear", date=month)
        low = 0.64 * float(usual.expected.value)
        (reading,) = read_at(site, element_amps=f"{low}", sky="clear", date=month)
        texts = " ".join(each.text for each in reading.causes)
        assert "missing" in texts or "shaded, dirty or hotter" in texts
        assert "element" not in texts


def test_the_south_has_its_summer_in_december(make_site: Make, read_at: Read) -> None:
    flat = {**SITES["south"], "array": 'series = 3\ntilt = "0 deg"'}
    site = make_site(**flat)
    middles = []
    for month in ("6", "12"):
        (reading,) = read_at(site, element_amps="1", sky="clear", date=month)
        middles.append(float(reading.expected.value))
    assert middles[0] < middles[1]


def test_with_the_sun_down_no_current_is_right_and_any_is_not(
    make_site: Make, read_at: Read
) -> None:
    site = make_site(latitude="64 deg", sun=FAR_NORTH)
    (none,) = read_at(site, element_amps="0", date="12", time="19:00")
    (some,) = read_at(site, element_amps="3", date="12", time="19:00")
    assert none.expected.value.high < 0.1
    assert not none.causes
    assert "clock" in some.causes[0].text


def test_a_tracked_element_gets_the_arrays_best(make_site: Make, read_at: Read) -> None:
    """Amperes by arithmetic: the root of pvlib's best power, less a tenth, over the plate."""
    more = 'coupling = "tracking"\ntracker_efficiency = "90 %"\ntracker_minimum = "0 W"'
    more += '\ntracker_converter = "both"'
    site = make_site(element=element(4500, 240, more))
    best = pvlib_best(circuit_of(site), 700.0, 40.0)
    amps = float(np.sqrt(0.9 * best / (240.0**2 / 4500.0)))
    (reading,) = read_at(
        site, element_amps=f"{amps}", irradiance="700", cell_temperature="40 degC"
    )
    assert float(reading.expected.value) == pytest.approx(amps, rel=0.01)
    assert implied(reading, "implied_irradiance") == pytest.approx(700.0, rel=0.02)
    low = 0.6 * amps
    (reading,) = read_at(site, element_amps=f"{low}", irradiance="700", cell_temperature="40 degC")
    assert reading.causes


@pytest.mark.parametrize("irradiance", [250.0, 500.0, 900.0])
def test_a_switched_element_works_on_the_best_resistance(
    irradiance: float, make_site: Make, read_at: Read
) -> None:
    """The best of 8, 13 and 26 ohm by pvlib's power on each of them."""
    more = 'coupling = "switched"\nswitched_resistances = "8, 13, 26 ohm"'
    site = make_site(element=element(4500, 240, more), array="series = 6")
    circuit = circuit_of(site)
    each = {
        ohms: pvlib_current(replace(circuit, resistance=ohms), irradiance, 45.0)
        for ohms in (8.0, 13.0, 26.0)
    }
    ohms = max(each, key=lambda key: each[key] ** 2 * key)
    (reading,) = read_at(
        site, element_amps=f"{each[ohms]}", irradiance=f"{irradiance}",
        cell_temperature="45 degC",
    )  # fmt: skip
    assert float(reading.expected.value) == pytest.approx(each[ohms], rel=0.01)
    assert not reading.causes
    found = implied(reading, "implied_irradiance")
    assert found == pytest.approx(irradiance, rel=0.02)


def test_relays_by_thresholds_take_their_own_resistance(make_site: Make, read_at: Read) -> None:
    more = (
        'coupling = "switched"\nswitched_resistances = "8, 13, 26 ohm"\n'
        'switch_irradiances = "300, 600 W/m2"'
    )
    site = make_site(element=element(4500, 240, more), array="series = 6")
    circuit = circuit_of(site)
    for irradiance, ohms in ((200.0, 26.0), (400.0, 13.0), (800.0, 8.0)):
        amps = pvlib_current(replace(circuit, resistance=ohms), irradiance, 45.0)
        (reading,) = read_at(
            site, element_amps=f"{amps}", irradiance=f"{irradiance}",
            cell_temperature="45 degC",
        )  # fmt: skip
        assert float(reading.expected.value) == pytest.approx(amps, rel=0.01)


def test_an_element_on_the_inverter_is_set_by_the_batterys_controller(
    make_site: Make, read_at: Read
) -> None:
    words = element(3000, 240).replace('"hot water"', '"inverter"')
    site = make_site(element=words, more='[power]\ninverter_voltage = "230 V"')
    ohms = 240.0**2 / 3000.0
    (part,) = read_at(site, element_amps="6")
    assert float(part.expected.value) == pytest.approx(230.0 / ohms)
    assert "controller" in part.expected.rests_on
    assert implied(part, "implied_power") == pytest.approx(36.0 * ohms)
    (over,) = read_at(site, element_amps="23.4")
    assert "4500 W" in over.causes[0].text or "5500 W" in over.causes[0].text


@pytest.mark.parametrize(
    ("ohms", "words"),
    [(12.8 * 2, "one of 2 elements side by side open"), (19.2, "3000 W"), (12.6, "")],
)
def test_volts_and_amperes_name_the_element(
    ohms: float, words: str, make_site: Make, read_at: Read
) -> None:
    """The plate is 2 x 2250 W at 240 V side by side, 12.8 ohm by V^2 / W."""
    site = make_site(element=element(2250, 240, 'count = 2\nwired = "parallel"'))
    found = read_at(
        site, element_amps="5", element_volts=f"{5 * ohms}", irradiance="600",
        cell_temperature="40 degC",
    )  # fmt: skip
    reading = next(each for each in found if each.key == "element_resistance")
    assert float(reading.measured) == pytest.approx(ohms)
    assert bool(reading.causes) == bool(words)
    assert words in " ".join(each.text for each in reading.causes)


def test_a_measured_resistance_that_is_not_the_plates_explains_the_current(
    make_site: Make, read_at: Read
) -> None:
    """Two such elements in series, 25.6 ohm: pvlib's current there implies the sun there is."""
    site = make_site()
    amps = pvlib_current(replace(circuit_of(site), resistance=25.6), 900.0, 50.0)
    found = read_at(
        site, element_amps=f"{amps}", element_volts=f"{amps * 25.6}", irradiance="900",
        cell_temperature="50 degC",
    )  # fmt: skip
    reading = next(each for each in found if each.key == "element_amps")
    assert "volts over its amperes" in reading.causes[0].text
    assert implied(reading, "implied_irradiance") == pytest.approx(900.0, rel=0.02)


def test_a_reading_that_may_lie_inside_passes(make_site: Make) -> None:
    """3 % above the band it is off; read to 5 % it need not be."""
    site = make_site()

    def verdict(amps: str) -> Verdict:
        written = {"element_amps": amps, "irradiance": "700", "cell_temperature": "40 degC"}
        (found,) = study_readings(Case(site), [readings_of_options(written)]).verdicts
        return found

    above = 1.03 * 1.03 * pvlib_current(circuit_of(site), 700.0, 40.0)
    assert verdict(f"{above}").status == "caution"
    tolerant = verdict(f"{above} A +- 5 %")
    assert tolerant.status == "pass"
    assert "no more than it may be off" in tolerant.reason.text("SI")


@pytest.mark.parametrize(("what", "value"), [("element_amps", "400"), ("pump_amps", "1500")])
def test_what_nothing_explains_is_to_be_read_again(
    what: str, value: str, make_site: Make, read_at: Read
) -> None:
    (reading,) = read_at(make_site(), **{what: value}, irradiance="800")
    assert "read again" in reading.causes[0].text


def test_what_the_meter_may_be_off_widens_sun_power_and_verdict(
    make_site: Make, read_at: Read
) -> None:
    (reading,) = read_at(
        make_site(), element_amps="6 +- 0.3 A", irradiance="600 +- 5 %", cell_temperature="40 degC"
    )
    light = next(each.value for each in reading.implied if each.key == "implied_irradiance")
    power = next(each.value for each in reading.implied if each.key == "implied_power")
    # Below the knee the current follows the sun; the power its square.
    assert (light.high - light.low) / light == pytest.approx(0.1, rel=0.1)
    assert (power.high - power.low) / power == pytest.approx(0.2, rel=0.02)


def test_power_by_both_readings_lies_between_the_products_of_their_ends(
    make_site: Make, read_at: Read
) -> None:
    """P = U I, least by least and most by most."""
    readings = read_at(
        make_site(), element_amps="6 +- 0.3 A", element_volts="150 +- 5 V", irradiance="800"
    )
    (power,) = [each.value for reading in readings for each in reading.implied
                if each.key == "implied_power"]  # fmt: skip
    ends = (power.low, float(power), power.high)
    assert ends == pytest.approx((5.7 * 145, 6 * 150, 6.3 * 155))


def test_no_cause_sends_a_hand_to_live_joints(make_site: Make, read_at: Read) -> None:
    """Isolator open and locked and charge gone before anything is touched; nothing is felt."""
    for amps in ("0 A", "1 A", "2 A", "4 A", "6 A"):
        (reading, *_) = read_at(make_site(), element_amps=amps, irradiance="950 W/m2")
        for cause in reading.causes:
            assert "feel" not in cause.text
            if "joint" in cause.text or "in the string:" in cause.text:
                assert "isolator open and locked" in cause.text
                assert "capacitors" in cause.text


def test_what_a_meter_may_show_of_a_few_cases_or_of_a_hundred() -> None:
    """All of few and 3 % for the meter; of a hundred the tenth from either end."""
    few = _spread(np.array([4.0, 2.0, 9.0]), kinds.CURRENT, True)
    assert (few.low, float(few), few.high) == pytest.approx((2 * 0.97, 4.0, 9 * 1.03))
    many = _spread(np.arange(101.0), kinds.CURRENT, False)
    assert (many.low, float(many), many.high) == pytest.approx((10.0, 50.0, 90.0))
