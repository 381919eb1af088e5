"""What a motor takes at start and while it runs, by complex impedances and the code's tables."""

from __future__ import annotations

import math
from typing import Any

import pytest
from scipy.optimize import brentq

from tests.studies.pump.deep_pump import BASE, PUMP
from wellsolar import kinds
from wellsolar.data import rows
from wellsolar.results.pumps import WireResult
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.electric.starting import (
    dip_verdicts,
    full_load_power,
    inverter_verdicts,
    running_current,
    start_of,
    with_dips,
)
from wellsolar.units import read
from wellsolar.verdicts import changes_of

LENGTH = 100.0
GAUGE = "10 AWG"
BARE = PUMP.replace('power = "520, 640, 730, 790, 810 W"\n', "")


def site_of(pump: str, power: str = "") -> Any:
    return parse_site(BASE + (f"[power]\n{power}\n" if power else "") + pump).site


def wire_of(gauge: str | None = GAUGE, smallest: str | None = GAUGE) -> WireResult:
    """A run of cable; only what a start asks of it is set."""
    made: dict[str, Any] = dict.fromkeys(WireResult.__dataclass_fields__)
    return WireResult(**(made | {"length": LENGTH, "gauge": gauge, "smallest_gauge": smallest}))


OHM_10 = 1.24 / 304.8
"""Of 10 AWG [ohm/m]: 1.24 ohm in 1000 ft, NEC Chapter 9 Table 8, stranded copper at 75 degC
(second hand)."""


def ohms(phases: int) -> float:
    """Of both wires, or of one wire of three."""
    return (2 if phases == 1 else 1) * OHM_10 * LENGTH


def of_motor(current: float, voltage: float, phases: int) -> complex:
    """Its impedance at standstill, of a phase, at a power factor of 0.6."""
    return voltage / (1.0 if phases == 1 else math.sqrt(3.0)) / current * complex(0.6, 0.8)


def left(current: float, voltage: float, phases: int, rating: float | None) -> float:
    """Part of the voltage that stays at the motor, behind the cable and a generator."""
    reactance = 0.0 if rating is None else 0.25 * voltage**2 / rating
    motor = of_motor(current, voltage, phases)
    return abs(motor) / abs(motor + ohms(phases) + 1j * reactance)


def times(phases: int) -> float:
    return 1.0 if phases == 1 else math.sqrt(3.0)


STARTS = [
    # starting, running current, how it is told
    ('locked_rotor_current = "48 A"\n', 48.0, "locked-rotor current of the file"),
    ('locked_rotor_current = "48 A"\nstart = "soft"\n', 24.0, "soft start taken as half"),
    ('locked_rotor_current = "48 A"\nstarting_current = "30 A"\n', 30.0, "as the file gives it"),
    ('rated_power = "1 hp"\ncode_letter = "D"\n', 4.49e3 / 230, "code letter D"),
    ('rated_power = "1 hp"\n', 48.0, "the code's table"),
]


@pytest.mark.parametrize(("keys", "amperes", "how"), STARTS)
def test_what_a_start_takes_and_by_what_it_is_known(keys: str, amperes: float, how: str) -> None:
    """Largest locked rotor of a 1 hp motor at 230 V by the table: 48 A; letter D: 4.49 kVA/hp."""
    pump = site_of(PUMP + keys).pump[0]
    start = start_of(pump, 800.0)
    assert start.starting_current == pytest.approx(amperes)
    assert how in start.how
    assert start.starting_apparent_power == pytest.approx(amperes * 230.0)
    factor = float(pump.power_factor)
    assert start.running_current == pytest.approx(800.0 / (230.0 * factor))


def test_a_start_in_three_phases() -> None:
    keys = 'phases = 3\nrated_power = "1 hp"\n'
    start = start_of(site_of(PUMP + keys).pump[0], 800.0)
    assert start.starting_current == pytest.approx(30.0)
    assert start.starting_apparent_power == pytest.approx(30.0 * 230 * math.sqrt(3))
    factor = float(site_of(PUMP + keys).pump[0].power_factor)
    assert start.running_current == pytest.approx(800.0 / (230 * math.sqrt(3) * factor))


@pytest.mark.parametrize(
    ("pump", "amperes"),
    [
        # By the curve of its sheet, or the plate's full load if that is more.
        (PUMP, None),
        (PUMP + 'full_load_current = "9 A"\n', 9.0),
        (PUMP + 'full_load_current = "1 A"\n', None),
        (PUMP + 'rated_power = "1 hp"\n', None),
        # Without a curve of its power by the code's table, 8 A of 1 hp, or the plate.
        (BARE + 'rated_power = "1 hp"\n', 8.0),
        (BARE + 'rated_power = "1 hp"\nfull_load_current = "9.8 A"\n', 9.8),
    ],
)
def test_what_it_takes_while_it_runs(pump: str, amperes: float | None) -> None:
    table = site_of(pump).pump[0]
    by_power = 810.0 / (230.0 * float(table.power_factor))
    assert by_power < 8.0
    assert running_current(table, 810.0) == pytest.approx(amperes or by_power)
    if table.rated_power is not None:
        told = 8.0 * 230.0 * float(table.power_factor)
        assert full_load_power(table) == pytest.approx(told)
    else:
        assert full_load_power(table) == 0.0


def test_a_drive_starts_at_its_running_current_and_has_no_dip() -> None:
    site = site_of(PUMP + 'start = "variable speed"\n', 'generator_rating = "5 kVA"')
    pump = site.pump[0]
    start = start_of(pump, 800.0)
    assert start.starting_current == start.running_current
    dipped = with_dips(site, pump, start, wire_of())
    assert dipped.cable_dip is dipped.generator_dip is None
    assert dipped.generator_needed == pytest.approx(230.0 * start.running_current)
    assert start_of(site_of(PUMP + 'supply = "DC"\n').pump[0], 800.0) is None
    assert start_of(site_of(PUMP).pump[0], 800.0) is None


@pytest.mark.parametrize("phases", [1, 3])
@pytest.mark.parametrize("amperes", [12.0, 48.0])
def test_dips_by_the_impedances_in_series(phases: int, amperes: float) -> None:
    keys = f'phases = {phases}\nlocked_rotor_current = "{amperes:g} A"\n'
    site = site_of(PUMP + keys, 'generator_rating = "4 kVA"')
    pump = site.pump[0]
    start = with_dips(site, pump, start_of(pump, 800.0), wire_of())
    assert start.cable_dip == pytest.approx(1 - left(amperes, 230.0, phases, None), rel=1e-6)
    assert start.generator_dip == pytest.approx(1 - left(amperes, 230.0, phases, 4000.0), rel=1e-6)
    needed = brentq(lambda va: left(amperes, 230.0, phases, va) - 0.65, 50.0, 1e6)
    running = start.running_current * 230.0 * times(phases)
    assert start.generator_needed == pytest.approx(max(running, needed), rel=1e-6)
    (dip, generator) = dip_verdicts(site, pump, start, wire_of(), "pump[1]")
    assert dip.status == ("pass" if left(amperes, 230.0, phases, None) >= 0.65 else "fail")
    assert (dip.quantity, dip.limit) == (pytest.approx(start.cable_dip), pytest.approx(0.35))
    assert generator.status == ("pass" if start.generator_needed <= 4000.0 else "fail")
    assert generator.quantity == pytest.approx(4000.0)
    assert generator.limit == pytest.approx(start.generator_needed)
    # Without a gauge the smallest that will do stands for it behind a generator.
    other = with_dips(site, pump, start_of(pump, 800.0), wire_of(None))
    assert other.cable_dip is None
    assert other.generator_dip == pytest.approx(start.generator_dip)


def test_a_cable_that_alone_takes_too_much_has_no_generator() -> None:
    """At 300 A the motor keeps less than 65 % behind 100 m of 10 AWG whatever feeds it."""
    site = site_of(PUMP + 'locked_rotor_current = "300 A"\n', 'generator_rating = "9 kVA"')
    pump = site.pump[0]
    wire = wire_of(GAUGE, "2 AWG")
    start = with_dips(site, pump, start_of(pump, 800.0), wire)
    assert left(300.0, 230.0, 1, None) < 0.65
    assert start.generator_needed is None
    dip, generator = dip_verdicts(site, pump, start, wire, "pump[1]")
    assert (dip.status, generator.status) == ("fail", "fail")
    (change,) = changes_of(dip.remedy)
    assert (change.path, change.value) == ("pump[1].cable.gauge", '"2 AWG"')
    # Held to so little, the start would leave it the 65 %.
    assert dip.remedy is not None
    held = float(dip.remedy.parts["current"])  # type: ignore[arg-type]
    assert left(held, 230.0, 1, None) == pytest.approx(0.65, rel=1e-6)
    none = dip_verdicts(site, pump, start, wire_of(GAUGE, None), "pump[1]")[0]
    changes = {each.path: each.value.strip('"') for each in changes_of(none.remedy)}
    assert changes["pump[1].start"] == "soft"
    amperes = float(read(changes["pump[1].starting_current"], kinds.CURRENT))
    assert held - 0.1 < amperes <= held


def surge(needed: float, what: str) -> float:
    """The least sold that is no less [VA]."""
    sold = (
        float(read(f"{row['size']} {row['unit']}", kinds.APPARENT_POWER))
        for row in rows("standard_sizes")
        if row["what"] == what
    )
    return min(each for each in sold if each >= needed * (1 - 1e-9))


@pytest.mark.parametrize(
    ("has", "status"),
    [(11_000, "fail"), (11_100, "caution"), (13_700, "caution"), (14_000, "pass")],
)
def test_an_inverter_has_a_fifth_of_its_surge_to_spare(has: int, status: str) -> None:
    """48 A at 230 V are 11,040 VA; four fifths of 13,800 VA."""
    power = f'inverter_rating = "4 kVA"\ninverter_surge = "{has} VA"\ninverter_voltage = "230 V"'
    site = site_of(PUMP + 'locked_rotor_current = "48 A"\n', power)
    pump = site.pump[0]
    found = {
        each.rule.key: each
        for each in inverter_verdicts(site, pump, start_of(pump, 800.0), 800.0, "pump[1]")
    }
    told = found["inverter surge"]
    assert told.status == status
    assert (told.quantity, told.limit) == (pytest.approx(11_040.0), pytest.approx(has))
    if status != "pass":
        allowed = float(told.remedy.parts["allowed"])  # type: ignore[arg-type]
        assert allowed == pytest.approx(0.8 * has / 230.0)
        assert told.remedy.parts["sold"] == pytest.approx(surge(11_040 / 0.8, "inverter"))
    assert found["supply voltage"].status == "pass"


@pytest.mark.parametrize(("rating", "status"), [(1_850, "pass"), (1_830, "fail")])
def test_an_inverter_runs_the_motor_of_the_codes_table(rating: int, status: str) -> None:
    """8 A at 230 V are 1,840 VA."""
    power = f'inverter_rating = "{rating} VA"\ninverter_surge = "30 kVA"'
    site = site_of(BARE + 'rated_power = "1 hp"\n', power)
    pump = site.pump[0]
    found = [
        each
        for each in inverter_verdicts(site, pump, start_of(pump, 0.0), 0.0, "pump[1]")
        if each.rule.key == "inverter rating"
    ]
    (told,) = found
    assert (told.status, told.quantity) == (status, pytest.approx(1_840.0))
    assert told.limit == pytest.approx(rating)


@pytest.mark.parametrize(
    ("volts", "status"),
    [(230, "pass"), (208, "pass"), (206, "fail"), (252, "pass"), (254, "fail")],
)
def test_a_motor_bears_a_tenth_of_its_own_voltage(volts: int, status: str) -> None:
    """207 to 253 V of 230 V."""
    power = f'inverter_rating = "9 kVA"\ninverter_surge = "30 kVA"\ninverter_voltage = "{volts} V"'
    site = site_of(PUMP + 'locked_rotor_current = "48 A"\n', power)
    pump = site.pump[0]
    first = inverter_verdicts(site, pump, start_of(pump, 800.0), 800.0, "pump[1]")[0]
    assert (first.rule.key, first.status) == ("supply voltage", status)
    assert (first.quantity, first.limit) == (pytest.approx(230.0), pytest.approx(volts))
