"""Amperes of a pump's motor, against power over volts, phases and power factor."""

from __future__ import annotations

from math import sqrt
from types import SimpleNamespace

import numpy as np
import pytest

from tests.studies.reading.by_integration import (
    FRUGAL,
    PSI,
    ROTOR,
    Make,
    Read,
    flow_of,
    implied,
    level_by,
    only,
)
from tests.studies.reading.conftest import PUMP
from wellsolar.errors import SiteFileError
from wellsolar.studies.reading import motor


@pytest.mark.parametrize(
    ("pump", "phases", "volts", "factor"),
    [("house pump", 1.0, 230.0, 0.8), ("rotor", sqrt(3.0), 400.0, 0.85)],
)
def test_amperes_are_power_over_volts_phases_and_power_factor(
    pump: str, phases: float, volts: float, factor: float, make_site: Make, read_at: Read
) -> None:
    site = make_site(pumps=PUMP + ROTOR)
    table = next(each for each in site.site.pump if each.name == pump)
    flow = flow_of(site, pump, level_by(site))(45 * PSI)
    assert table.power is not None
    watts = np.interp(flow, [float(q) for q in table.flow], [float(p) for p in table.power])
    amps = float(watts / (volts * phases * factor))
    reading = only(read_at(site, pump=pump, pump_amps=f"{amps}", gauge_pressure="45 psi"),
                   "pump_amps")  # fmt: skip
    assert float(reading.expected.value) == pytest.approx(amps, rel=0.02)
    assert implied(reading, "implied_input_power") == pytest.approx(watts, rel=1e-6)
    assert not reading.causes


@pytest.mark.parametrize(
    ("pump", "factor", "words"),
    [
        ("house pump", 4.0, "bound"),
        ("house pump", 1.2, "voltage"),
        ("house pump", 0.4, "draws air"),
        ("house pump", 0.0, "supply"),
        # Its power rises with the head: throttled it takes more.
        ("rotor", 1.35, "throttled"),
    ],
)
def test_a_pumps_current_that_is_off_names_its_cause(
    pump: str, factor: float, words: str, make_site: Make, read_at: Read
) -> None:
    site = make_site(pumps=PUMP + ROTOR)
    usual = only(read_at(site, pump=pump, pump_amps="1"), "pump_amps").expected
    amps = factor * float(usual.value)
    reading = only(read_at(site, pump=pump, pump_amps=f"{amps}"), "pump_amps")
    assert words in " ".join(each.text for each in reading.causes)


def test_a_pump_without_power_or_volts_says_which_key_it_needs(
    make_site: Make, read_at: Read
) -> None:
    plain = "\n".join(
        line for line in FRUGAL.splitlines() if not line.startswith(("power =", "voltage"))
    )
    bare = plain.replace('power_factor = "95 %"', 'supply = "DC"')
    found = read_at(make_site(pumps=f"{PUMP}{bare}\n"), pump="frugal pump", pump_amps="2")
    assert only(found, "pump_amps").needs == ("pump[2].voltage",)
    found = read_at(make_site(pumps=f"{PUMP}{plain}\n"), pump="frugal pump", pump_amps="2")
    assert only(found, "pump_amps").needs == ("pump[2].power",)


def test_a_pump_that_is_not_there_is_told_with_those_that_are(
    make_site: Make, read_at: Read
) -> None:
    with pytest.raises(SiteFileError) as error:
        read_at(make_site(pumps=PUMP + FRUGAL), pump="solar", fill_time="60")
    said = '--pump: "solar" is no pump of the site: "house pump", "frugal pump"'
    assert said in str(error.value)


def test_amperes_of_all_levels_and_the_meters_own_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """At 230 V without a power factor: from the least power to the most, each with the error of
    meter and sheet."""
    monkeypatch.setattr(motor, "current_of", lambda table, power: power / 230.0)
    monkeypatch.setattr(motor, "_powers", lambda _: [920.0, 460.0, 690.0])
    table = SimpleNamespace(voltage=230.0, power=(1.0,), efficiency=None)
    at = SimpleNamespace(on_well=SimpleNamespace(table=table), likeliest=0, pressures=(1.0, 2.0),
                         power=lambda on_well, pressure: 230.0 * pressure)  # fmt: skip
    found = motor._expected_amps(at)  # type: ignore[arg-type]
    assert found is not None
    share = motor.AMPS
    assert (float(found), found.low, found.high) == pytest.approx(
        (1.5, 2.0 * (1.0 - share), 4.0 * (1.0 + share)))  # fmt: skip
