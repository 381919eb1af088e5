"""Volts and watts that an array puts on an element, against pvlib and the plate."""

from __future__ import annotations

import math
from types import SimpleNamespace
from unittest import mock

import pytest

from tests.site_texts import edited, printed
from tests.studies.safety.sites import RIGHT, hazard, safety, studied, verdict, wrong
from wellsolar import kinds
from wellsolar.studies.safety import numbers
from wellsolar.studies.safety.direct_current import _gentler
from wellsolar.units import Quantity
from wellsolar.verdicts import changes_of


def test_fewer_modules_in_series() -> None:
    text, found = hazard("twelve modules in series in a cold place")
    # Open at -18 degC: 12 x 49.3 V x 1.18 by table, x (1 + 0.0028 x 43) by coefficient.
    assert found.quantity == pytest.approx(698.09, abs=0.01)
    assert "663 V" in found.reason.text("US")
    assert found.limit == 600.0
    most = printed(found, r"no more than (\d+) modules")
    assert int(most) == 10  # 581.7 V by table; eleven come to 639.9 V
    assert wrong(studied(edited(text, ("series = 12", f"series = {most}")))) == {}
    beyond = edited(text, ("series = 12", "series = 11"))
    assert wrong(studied(beyond)) == {"cold open-circuit voltage": "fail"}


def test_heat_of_the_coldest_bright_sun_by_pvlib() -> None:
    from pvlib import pvsystem
    from scipy.optimize import brentq

    tank = studied(RIGHT).heated_tank
    diode = pvsystem.calcparams_desoto(
        1250.0, -18.0, 10.3 * 0.0005, tank.modified_ideality_voltage, tank.photocurrent,
        tank.saturation_current, tank.shunt_resistance, tank.series_resistance,
    )  # fmt: skip
    element = 240**2 / 4500
    # 10 AWG stranded 1.24 ohm/kft at 75 degC (NEC Chapter 9 Table 8), 60 ft out and back.
    loop = element + 2 * 60 * 1.24e-3
    module = brentq(
        lambda volts: 4 * volts - loop * float(pvsystem.i_from_v(volts, *diode)), 0.0, 60.0
    )
    current = float(pvsystem.i_from_v(module, *diode))
    assert tank.safety.array_input == pytest.approx(current**2 * element, rel=1e-3)
    assert tank.safety.element_voltage == pytest.approx(current * element, rel=1e-3)
    # More than the 4500 W of the plate can never be meant: here it is less.
    assert tank.safety.array_input < 4500


def test_an_element_on_too_many_modules() -> None:
    text = edited(
        RIGHT,
        ("parallel = 1", "parallel = 2"),
        ("series = 4", "series = 9"),
        ('gauge = "10 AWG", length = "60 ft"', 'gauge = "8 AWG", length = "60 ft"'),
    )
    assert wrong(studied(text)) == {"element load": "fail"}
    most = printed(verdict(text, "element load"), r"no more than (\d+) modules")
    mended = edited(text, ("series = 9", f"series = {most}"))
    assert wrong(studied(mended)) == {}
    one_more = edited(text, ("series = 9", f"series = {int(most) + 1}"))
    assert wrong(studied(one_more)) == {"element load": "fail"}
    # Two elements in series bear half of it each.
    shared = edited(
        text,
        ('rated_voltage = "240 V"', 'rated_voltage = "240 V"\ncount = 2\nwired = "series"'),
    )
    assert wrong(studied(shared)) == {}
    assert safety(shared).element_voltage < 240


def test_relays_that_stick_at_one_element_of_two() -> None:
    # Two elements side by side halve the resistance; one alone bears the whole current.
    two = edited(RIGHT, ('rated_voltage = "240 V"', 'rated_voltage = "240 V"\ncount = 2'))
    relays = edited(two, ("count = 2", 'count = 2\ncoupling = "switched"'))
    one = safety(RIGHT).element_voltage
    assert safety(two).element_voltage < 0.6 * one
    assert safety(relays).element_voltage == pytest.approx(one, rel=1e-6)
    # Relays and electronics draw more than a wire does: up to the array's best.
    assert safety(relays).array_input > safety(two).array_input


def test_tracking_electronics_put_no_more_than_their_most_into_the_tank() -> None:
    key = 'coupling = "tracking"\ntracker_maximum = "900 W"\nrated_power = "4500 W"'
    found = safety(edited(RIGHT, ('rated_power = "4500 W"', key)))
    assert found.array_input == pytest.approx(900.0)
    assert found.element_voltage == pytest.approx(math.sqrt(900 * 240**2 / 4500))


@pytest.mark.parametrize(
    ("most", "words", "changes"),
    [
        (3, "no more than 3 modules in series, or an element", ["array[1].series=3"]),
        (0, "an element", []),
    ],
)
def test_an_element_of_the_same_resistance_for_more_volts(
    most: int, words: str, changes: list[str]
) -> None:
    """(240 V)2 / 4500 W are 12.8 ohm."""
    element = SimpleNamespace(
        rated_voltage=Quantity(240.0, kinds.VOLTAGE), rated_power=Quantity(4500.0, kinds.POWER)
    )
    fed = SimpleNamespace(element_voltage=266.0, most_series=most)
    better = _gentler(element, fed, "array[1]")  # type: ignore[arg-type]
    text = f"{words} of the same 12.8 Ω rated for 266 V or more"
    assert better.text("SI").replace("ohm", "Ω").startswith(text)
    assert [str(change) for change in changes_of(better)] == changes


@pytest.mark.parametrize(
    ("coupling", "wired", "volts"),
    [("switched", "parallel", 300.0), ("direct", "parallel", 280.0), ("direct", "series", 140.0)],
)
def test_one_element_bears_the_greatest_voltage_that_it_may_get(
    coupling: str, wired: str, volts: float
) -> None:
    """Of relays that of their worst place, else that of the array, half of it on each of two in a
    row; 1500 W at 240 V take power as the square of it."""
    element = SimpleNamespace(
        coupling=coupling, wired=wired, count=2, rated_power=1500.0, rated_voltage=240.0
    )
    at, circuit = SimpleNamespace(element=element), mock.Mock()
    circuit.hardest().at.return_value = SimpleNamespace(voltage=280.0)
    places = iter((100.0, 300.0, 200.0))
    with mock.patch.object(numbers, "_switched_voltages", return_value=places):
        found = numbers._at_one_element(at, circuit, -10.0)  # type: ignore[arg-type]
    assert found == pytest.approx((volts, 1500.0 * (volts / 240.0) ** 2))
