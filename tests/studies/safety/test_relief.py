"""Relief valve, vacuum relief and boiling, against the plates and the saturation line of water."""

from __future__ import annotations

import pytest

from tests.site_texts import edited, printed
from tests.studies.safety.sites import RIGHT, safety, studied, verdict, wrong


def test_a_relief_valve_too_small_for_all_elements_at_once() -> None:
    grid = (
        '[[water_heater.element]]\nposition = "upper"\nrated_power = "4500 W"\n'
        'rated_voltage = "240 V"\nfed_by = "grid"\nthermostat = "120 degF"\n'
    )
    both = f"{RIGHT}\n{grid}"
    assert safety(both).heat_input == pytest.approx(safety(RIGHT).heat_input + 4500)
    small = edited(both, ('"100000 Btu/h"', '"15000 Btu/h"'))
    assert wrong(studied(small)) == {"relief capacity": "fail"}
    for system in ("US", "SI"):
        found = verdict(small, "relief capacity")
        capacity = printed(found, r"at least (\d+ (?:Btu/h|W))", system)
        mended = edited(small, ('"15000 Btu/h"', f'"{capacity}"'))
        assert wrong(studied(mended)) == {}


@pytest.mark.parametrize(
    ("altitude", "boils"),
    [("2000 ft", 208.3), ("5000 ft", 202.8), ("7000 ft", 199.2), ("10000 ft", 193.7)],
)
def test_boiling_by_altitude(altitude: str, boils: float) -> None:
    # Saturation line of IAPWS-95 at the standard atmosphere's pressure [degF].
    text = edited(RIGHT, ('altitude = "2000 ft"', f'altitude = "{altitude}"'))
    assert safety(text).boiling_temperature * 1.8 + 32 == pytest.approx(boils, abs=0.3)
    assert wrong(studied(text)) == {}


@pytest.mark.parametrize(
    ("above", "vacuum", "status"),
    [
        ("false", None, "pass"),
        ("false", "true", "pass"),
        ("true", "true", "pass"),
        ("true", "false", "fail"),
        ("true", None, "unknown"),
    ],
)
def test_vacuum_relief(above: str, vacuum: str | None, status: str) -> None:
    more = "" if vacuum is None else f"\nvacuum_relief = {vacuum}"
    text = edited(RIGHT, ("above_fixtures = false", f"above_fixtures = {above}{more}"))
    assert wrong(studied(text)) == ({} if status == "pass" else {"vacuum relief": status})


def test_a_relief_valve_stronger_than_the_tank() -> None:
    for old, new in (
        ('"150 psi"', '"175 psi"'),
        ('"210 degF"\nrelief_p', '"99 degC"\nrelief_p'),
    ):
        text = edited(RIGHT, (old, new))
        assert wrong(studied(text)) == {"relief valve": "fail"}
        found = verdict(text, "relief valve")
        assert printed(found, r"set to (\d+ °F)") == "210 °F"
        assert printed(found, r"and (\d+ psi)") == "150 psi"


def test_a_cut_out_too_near_the_relief_valve() -> None:
    near = (('relief_pressure = "150 psi"', 'relief_pressure = "65 psi"'),)
    text = edited(RIGHT, *near)
    assert wrong(studied(text)) == {"pressure at the relief valve": "fail"}
    most = printed(verdict(text, "pressure at the relief valve"), r"no more than ([\d.]+ psi)")
    # 10 % below the valve: engineer's note on expansion tanks (read).
    assert float(most.split()[0]) == pytest.approx(0.9 * 65)
    mended = edited(text, ('cut_out = "60 psi"', f'cut_out = "{most}"'))
    assert "pressure at the relief valve" not in wrong(studied(mended))


def test_a_tank_that_can_boil_at_altitude() -> None:
    text = edited(
        RIGHT,
        ('altitude = "2000 ft"', 'altitude = "10000 ft"'),
        ('high_limit = "180 degF"', 'high_limit = "200 degF"'),
    )
    assert wrong(studied(text)) == {"boiling": "caution"}
    for system in ("US", "SI"):
        most = printed(verdict(text, "boiling"), r"no more than ([\d.]+ °[FC])", system)
        mended = edited(text, ('high_limit = "200 degF"', f'high_limit = "{most}"'))
        assert wrong(studied(mended)) == {}
    hotter = edited(text, ('thermostat = "150 degF"', 'thermostat = "195 degF"'))
    assert verdict(hotter, "boiling").status == "fail"
