"""A gauge at the tank, against the pump's curve by scipy."""

from __future__ import annotations

import pytest
from scipy.interpolate import PchipInterpolator

from tests.studies.reading.by_integration import (
    FOOT,
    GPM,
    PSI,
    Make,
    Read,
    flow_of,
    implied,
    level_by,
)


def test_a_gauge_tells_flow_and_head_while_the_pump_runs(make_site: Make, read_at: Read) -> None:
    site = make_site()
    flow = flow_of(site, "house pump", level_by(site))(52 * PSI)
    (reading,) = read_at(site, gauge_pressure="52 psi", pump_state="on")
    assert implied(reading, "implied_flow") == pytest.approx(flow, rel=0.01)
    curve = PchipInterpolator(
        [each * GPM for each in (0, 4, 7, 10, 13)],
        [each * FOOT for each in (385, 365, 330, 270, 180)],
    )
    assert implied(reading, "implied_head") == pytest.approx(float(curve(flow)), rel=0.01)
    assert implied(reading, "implied_pumping_level") == pytest.approx(
        level_by(site)(flow), rel=0.01
    )
    (off,) = read_at(site, gauge_pressure="52 psi", pump_state="off")
    assert not off.implied
    # A needle between 48 and 56 psi: the more pressure, the less flow, the higher the water.
    (wide,) = read_at(site, gauge_pressure="52 psi (48 psi .. 56 psi)", pump_state="on")
    flows = sorted(flow_of(site, "house pump", level_by(site))(psi * PSI) for psi in (48, 52, 56))
    for key, least, most in (
        ("flow", flows[0], flows[-1]), ("head", float(curve(flows[-1])), float(curve(flows[0]))),
        ("pumping_level", level_by(site)(flows[0]), level_by(site)(flows[-1])),
    ):  # fmt: skip
        (value,) = [each.value for each in wide.implied if each.key == f"implied_{key}"]
        assert (value.low, value.high) == pytest.approx((least, most), rel=0.01), key


@pytest.mark.parametrize(
    ("gauge", "state", "words"),
    [
        ("20 psi", "on", "drawn than the pump gives"),
        ("20 psi", "off", "switch that does not close"),
        ("75 psi", "on", "switch that does not open"),
        ("75 psi", "off", "expands in the heater"),
    ],
)
def test_a_gauge_outside_the_switchs_band_names_its_cause(
    gauge: str, state: str, words: str, make_site: Make, read_at: Read
) -> None:
    (reading,) = read_at(make_site(), gauge_pressure=gauge, pump_state=state)
    assert words in reading.causes[0].text
    # A pump that nothing stops is a danger whatever the plate bears.
    assert ("runs past" in reading.warning) == (gauge == "75 psi" and state == "on")
    (burst,) = read_at(make_site(), gauge_pressure="130 psi", pump_state=state)
    assert "breaker off" in burst.warning


def test_a_gauge_past_the_tanks_relief_valve_says_that_it_did_not_open(
    make_site: Make, read_at: Read
) -> None:
    tank = 'volume = "86 gal"\nprecharge = "38 psi"\nrelief_pressure = "75 psi"'
    for state in ("on", "off"):
        (past,) = read_at(make_site(tank=tank), gauge_pressure="90 psi", pump_state=state)
        assert past.warning.startswith("the tank relief valve did not open either: breaker off")
    (below,) = read_at(make_site(tank=tank), gauge_pressure="74 psi", pump_state="off")
    assert not below.warning
    plate = f'{tank}\ngreatest_pressure = "80 psi"'
    (burst,) = read_at(make_site(tank=plate), gauge_pressure="85 psi", pump_state="off")
    assert "more than many vessels stand" in burst.warning
