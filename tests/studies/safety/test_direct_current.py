"""Direct current of an array: contacts, fuses, isolator and code, against the code's factors."""

from __future__ import annotations

import pytest

from tests.site_texts import edited, printed
from tests.studies.safety.sites import RIGHT, hazard, safety, studied, verdict, wrong


def test_a_relay_for_the_thermostat() -> None:
    text, found = hazard("AC thermostat on direct current")
    assert "relay" in found.remedy.text("US")  # type: ignore[union-attr]
    volts = float(printed(found, r"made for ([\d.]+) V"))
    amperes = float(printed(found, r"and ([\d.]+) A"))
    assert volts >= 4 * 49.3 * 1.18 - 1e-6  # the code's table at -18 degC
    assert amperes >= 1.25 * 10.3 - 1e-6
    mended = edited(text, ('"AC"', '"relay"'))
    mended = edited(mended, ('"1000 V"\n\n[water', f'"{volts} V"\n\n[water'))
    assert wrong(studied(mended)) == {}


def test_currents_by_the_codes_factors() -> None:
    circuit = safety(RIGHT).circuit
    assert circuit.current == pytest.approx(12.875)  # 10.3 x 1.25
    assert circuit.conductor_current == pytest.approx(16.094, abs=0.001)  # x 1.25
    assert circuit.overcurrent_asked == 20.0
    assert circuit.overcurrent_most == 30.0  # 240.4(D) on 10 AWG


def test_a_fuse_that_is_too_small_or_too_large() -> None:
    rule = "pv overcurrent"
    one = 'place = "roof"'
    assert "no fuse is required" in verdict(RIGHT, rule).reason.text("US")
    for rating, status in (("15", "fail"), ("20", "pass"), ("30", "pass"), ("35", "fail")):
        text = edited(RIGHT, (one, f'{one}\novercurrent = "{rating} A"'))
        found = verdict(text, rule)
        assert found.status == status, rating
        if status == "fail":
            asked = printed(found, r"of ([\d.]+) A")
            assert float(asked) == 20.0
            mended = edited(text, (f'overcurrent = "{rating} A"', 'overcurrent = "20 A"'))
            assert wrong(studied(mended)) == {}


def test_three_rows_want_fuses() -> None:
    rows = edited(RIGHT, ("parallel = 1", "parallel = 2"), ("series = 4", "series = 2"))
    assert verdict(rows, "pv overcurrent").status == "pass"
    text = edited(
        RIGHT,
        ("parallel = 1", "parallel = 3"),
        ("series = 4", "series = 2"),
        ('gauge = "10 AWG"', 'gauge = "6 AWG"'),
        ('isolator_current = "32 A"', 'isolator_current = "60 A"'),
    )
    found = verdict(text, "pv overcurrent")
    assert found.status == "fail"
    assert printed(found, r"one of ([\d.]+ A) in each of the 3 rows") == "20.0 A"
    whole = printed(found, r"breaker of ([\d.]+ A)")
    assert whole == "50.0 A"  # 3 x 10.3 x 1.5625 = 48.3 A
    mended = edited(text, ('place = "roof"', f'place = "roof"\novercurrent = "{whole}"'))
    assert verdict(mended, "pv overcurrent").status == "pass"


def test_an_isolator_for_the_cold_voltage_and_the_current() -> None:
    for old, new in (('"1000 V"\nisolator', '"200 V"\nisolator'), ('"32 A"', '"12 A"')):
        text = edited(RIGHT, (old, new))
        assert wrong(studied(text)) == {"isolator": "fail"}
        found = verdict(text, "isolator")
        volts = printed(found, r"at least ([\d.]+ V)")
        amperes = printed(found, r"and ([\d.]+ A)")
        mended = edited(
            RIGHT,
            ('isolator_voltage = "1000 V"', f'isolator_voltage = "{volts}"'),
            ('isolator_current = "32 A"', f'isolator_current = "{amperes}"'),
        )
        assert wrong(studied(mended)) == {}


@pytest.mark.parametrize(
    ("key", "rule"),
    [
        ("ground_fault_protection", "ground fault"),
        ("arc_fault_protection", "arc fault"),
        ("rapid_shutdown", "rapid shutdown"),
    ],
)
def test_what_the_inspector_settles(key: str, rule: str) -> None:
    told = edited(RIGHT, (f"{key} = true", f"{key} = false"))
    assert wrong(studied(told)) == {rule: "caution"}
    assert "inspector" in verdict(told, rule).remedy.text("US")  # type: ignore[union-attr]
    silent = edited(RIGHT, (f"{key} = true\n", ""))
    assert wrong(studied(silent)) == {rule: "unknown"}
    assert verdict(silent, rule).needs == (f"array[1].{key}",)


def test_no_arc_fault_protection_below_80_volts() -> None:
    text = edited(RIGHT, ("series = 4", "series = 1"), ("arc_fault_protection = true\n", ""))
    # One module; 1.18 is NEC Table 690.7(A) from -16 to -20 degC, 80 V stands in NEC 690.11
    # (both second hand).
    assert 49.3 * 1.18 < 80
    assert verdict(text, "arc fault").status == "pass"
