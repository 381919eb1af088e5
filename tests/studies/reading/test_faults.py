"""Each way to be wrong at the element under a meter made up for it, worked out by its formula.

Weights and how far something is off are our choice, entered twice.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from tests.studies.reading.test_worked_out import check
from wellsolar import kinds
from wellsolar.studies.array.coupling import Direct, Switched, Tracking
from wellsolar.studies.array.heater_circuit import HeaterCircuit
from wellsolar.studies.reading import faults
from wellsolar.studies.reading.faults import CircuitInSun
from wellsolar.units import Quantity

OHMS, CABLE, LIGHT, CELLS = 12.8, 0.5, 800.0, 40.0


def at(series: float = 3, parallel: int = 1, light: float = 1.0, warm: float = 0.0,
       ohms: float = OHMS, cable: float = CABLE, relays: bool = False) -> float:  # fmt: skip
    """What the made-up meter shows."""
    sun = LIGHT * light * series * parallel / (ohms + cable)
    return sun - (CELLS + warm) / 100.0 - 1000.0 * relays


def case(series: int = 3, parallel: int = 1, coupling: Any = None) -> CircuitInSun:
    def read(circuit: HeaterCircuit, irradiance: Any, cells: Any) -> Any:
        sun = irradiance * circuit.series * circuit.parallel
        relays = isinstance(circuit.coupling, Switched)
        ohms = circuit.resistance + circuit.cable_resistance
        return sun / ohms - cells / 100.0 - 1000.0 * relays

    made = HeaterCircuit(None, series, parallel, OHMS, CABLE, coupling or Direct())  # type: ignore[arg-type]
    now: Any = SimpleNamespace(irradiance=np.array([LIGHT]), cells=np.array([CELLS]), down=False)
    meter: Any = SimpleNamespace(read=read)
    return CircuitInSun(made, meter, now)


def given(sky: str | None = None, **values: float) -> Any:
    return SimpleNamespace(sky=sky, values=values)


def test_modules_that_are_missing_from_a_string() -> None:
    """So many fewer; those dirty by a tenth and 15 K warmer; and a third of a module either way,
    where none is left of nothing."""
    check(faults._of_modules(case(), low=True), [
        ([at(2), at(2, light=0.9, warm=15.0), (2 * at(2) + at(3)) / 3, (2 * at(2) + at(1)) / 3],
         1.0),
        ([at(1), at(1, light=0.9, warm=15.0), (2 * at(1) + at(2)) / 3, 2 * at(1) / 3], 0.5),
    ])  # fmt: skip
    texts = [each.text for each in faults._of_modules(case(), low=True)]
    assert texts[0].startswith("1 module of 3 missing from the string, or bypassed by its diodes")
    assert texts[1].startswith("2 modules of 3 missing from the string, or bypassed by their")
    assert faults._of_modules(case(series=1), low=True) == []


def test_strings_that_are_open_and_a_module_too_many() -> None:
    strings = faults._of_modules(case(series=1, parallel=3), low=True)
    check(strings, [([at(1, 2)], 1.0), ([at(1, 1)], 1.0)])
    assert [each.text[:18] for each in strings] == ["a string of 3 open", "2 strings of 3 ope"]
    (each,) = faults._of_modules(case(series=2, parallel=2), low=True)[:1]
    assert each.weight == pytest.approx(0.3)
    assert "from each of 2 strings" in each.text
    check(faults._of_modules(case(), low=False), [([at(4)], 0.3)])


def test_of_a_long_string_twelve_modules_are_tried() -> None:
    missing = faults._of_modules(case(series=15), low=True)
    assert len(missing) == 12
    assert missing[-1].values[0] == pytest.approx(at(3))
    assert missing[-1].weight == pytest.approx(1 / 12)
    assert len(faults._of_modules(case(series=12), low=True)) == 11


def test_how_many_modules_a_reading_says_are_missing() -> None:
    """Along the straight line of what is shown by how many there are."""
    read = Quantity(at(1.75), kinds.CURRENT, at(1.25), at(2.5))
    found = faults.missing_modules(case(), read)
    assert found is not None
    assert (found.low, float(found), found.high) == pytest.approx((0.5, 1.25, 1.75))
    for series, shown, gone in (
        (3, at(1), 2.0), (3, at(0.9), None), (3, at(3), 0.0), (3, at(3.1), None), (1, at(1), None),
        (15, at(3), 12.0), (15, at(2.9), None), (12, at(1), 11.0),
    ):  # fmt: skip
        found = faults.missing_modules(case(series), Quantity(shown, kinds.CURRENT))
        assert (found is None) == (gone is None)
        assert found is None or float(found) == pytest.approx(gone)
    # Of several suns the middle one; and nothing where as many more lower the reading.
    dim: Any = SimpleNamespace(
        irradiance=np.array([1.0, LIGHT, 2 * LIGHT]), cells=np.full(3, CELLS)
    )
    several = CircuitInSun(case().circuit, case().meter, dim)
    found = faults.missing_modules(several, Quantity(at(2), kinds.CURRENT))
    assert float(found or np.nan) == pytest.approx(1.0)
    flat: Any = SimpleNamespace(read=lambda circuit, light, cells: light * (circuit.series < 3))
    once = CircuitInSun(case().circuit, flat, case().now)
    assert faults.missing_modules(once, Quantity(LIGHT, kinds.CURRENT)) is None


def test_suns_that_are_other_than_thought() -> None:
    check(faults._of_sun(case(), given(), low=False), [
        ([at(light=1.05), at(light=1.3)], 0.8), ([at(warm=-15.0)], 0.5),
    ])  # fmt: skip
    dim = [at(light=share, warm=warm) for share in (0.1, 0.3, 0.55, 0.75, 0.95)
           for warm in (0.0, 20.0)]  # fmt: skip
    less = [at(light=0.5), at(light=0.8)]
    check(faults._of_sun(case(), given(irradiance=800.0), low=True), [(dim, 4.0)])
    check(faults._of_sun(case(), given(), low=True), [(dim, 4.0), (less, 1.0)])
    check(faults._of_sun(case(), given("clear"), low=True), [(dim, 4.0), (less, 0.1)])
    metered = [each.text for each in faults._of_sun(case(), given(irradiance=1.0), low=False)]
    assert "a sun meter" in metered[0]


RELAYS = Switched((0.5, 2.0))


def test_relays_that_stick_and_electronics_that_hold_back() -> None:
    check(faults._of_coupling(case(coupling=RELAYS), low=True), [
        ([at(ohms=6.4)], 0.8), ([at(ohms=25.6)], 0.8),
    ])  # fmt: skip
    tracking = case(coupling=Tracking(None, None))  # type: ignore[arg-type]
    check(faults._of_coupling(tracking, low=True), [([at() * 0.5, at() * 0.9], 0.7)])
    assert faults._of_coupling(tracking, low=False) == []
    assert faults._of_coupling(case(), low=True) == []


@pytest.mark.parametrize(
    ("plate", "others"),
    [
        # V^2/W of each usual plate but of those within a tenth of the file's 12.8 ohm; then twice
        # and half of it.
        (12.8, [38.4, 28.8, 23.04, 19.2, 16.457, 15.158, 10.473, 9.6, 7.2, 9.614, 17.633]),
        (12.8 / 1.09, [38.4, 28.8, 23.04, 19.2, 16.457, 15.158, 10.473, 9.6, 7.2, 9.614, 17.633]),
        (12.8 / 1.11, [38.4, 28.8, 23.04, 19.2, 16.457, 15.158, 12.8, 9.6, 7.2, 9.614, 17.633]),
    ],
)  # fmt: skip
def test_plates_that_may_be_there_in_its_place(plate: float, others: list[float]) -> None:
    found = faults.other_plates(lambda ohms: np.array([ohms]), plate)
    shown = [float(each.values[0]) for each in found]
    assert shown == pytest.approx([*others, 2.0 * plate, plate / 2.0], abs=6e-4)
    assert {each.weight for each in found} == {0.1}
    assert {each.of for each in found} == {("element",)}
    assert found[0].text == "an element of 1500 W, 240 V in place of the file's"


@pytest.mark.parametrize(
    ("volts", "amps", "coupling", "said"),
    [
        # 12.8 ohm, and 12 % either way; with relays of half and twice of it those as well.
        (143.4, 10.0, None, None), (143.2, 10.0, None, []), (112.7, 10.0, None, []),
        (112.5, 10.0, None, None), (70.0, 10.0, None, None), (70.0, 10.0, RELAYS, []),
        (143.2, 10.0, RELAYS, None),
    ],
)  # fmt: skip
def test_an_element_whose_volts_and_amperes_were_read(
    volts: float, amps: float, coupling: Any, said: list[Any] | None
) -> None:
    found = faults._of_element(case(coupling=coupling),
                               given(element_volts=volts, element_amps=amps))  # fmt: skip
    if said is not None:
        assert found == said
    else:
        check(found, [([at(ohms=volts / amps)], 3.0)])


def test_an_element_of_which_one_or_nothing_was_read_may_be_any() -> None:
    for values in ({}, {"element_amps": 9.0}, {"element_volts": 9.0},
                   {"element_amps": 0.0, "element_volts": 9.0},
                   {"element_amps": 9.0, "element_volts": 0.0}):  # fmt: skip
        assert faults._measured_ohms(given(**values)) is None
        assert len(faults._of_element(case(), given(**values))) == 13
    assert faults._measured_ohms(given(element_amps=0.5, element_volts=0.4)) == pytest.approx(0.8)
    first = faults._of_element(case(), given())[0]
    assert first.values == pytest.approx(at(ohms=38.4))


def test_too_little_may_be_a_joint_and_too_much_is_none() -> None:
    """Of an ohm or four more in the wires, the last of all ways."""
    low, high = (faults.ways_to_be_wrong(case(), given(), low) for low in (True, False))
    check(low[-1:], [([at(cable=1.5), at(cable=4.5)], 0.2)])
    assert low[-1].of == ("joint",)
    assert [len(low), len(high)] == [2 + 2 + 13 + 1, 1 + 2 + 13]
    assert not any("joint" in each.text for each in high)


@pytest.mark.parametrize(
    ("read", "likely", "shares"),
    [
        # A twentieth of the 5 A in the middle of the band are 0.25 A, by its upper end.
        ((0.2, 0.1, 0.24), (5.7, 4.0), [0.5, 0.3]), ((0.2, 0.1, 0.26), (5.7, 4.0), None),
        ((0.26, 0.1, 0.27), (5.7, 4.0), None), ((3.0, 3.0, 3.0), (5.7, 4.0), None),
        ((9.0, 9.0, 9.0), (5.7, 4.0), None),
        # What is as much as a sun behind clouds most likely gives is not too little.
        ((0.1, 0.1, 0.1), (0.08, 0.05), None),
    ],
)  # fmt: skip
def test_nothing_flows_below_a_twentieth_of_what_is_expected(
    read: tuple[float, float, float], likely: tuple[float, float], shares: list[float] | None
) -> None:
    measured = Quantity(read[0], kinds.CURRENT, *read[1:])
    expected = Quantity(likely[0], kinds.CURRENT, likely[1], 6.0)
    found: Any = faults.causes_of(case(), given(), measured, expected)
    if shares is not None:
        assert [each.share for each in found] == shares
    else:
        assert len(found) == (18 if read[0] < likely[0] else 16)


def test_with_the_sun_down_the_clock_or_another_supply_is_told() -> None:
    dark = case()
    dark.now.down = True  # type: ignore[misc]
    nothing = Quantity(0.0, kinds.CURRENT)
    found: Any = faults.causes_of(dark, given(), Quantity(3.0, kinds.CURRENT), nothing)
    assert [each.share for each in found] == [0.6, 0.3]
