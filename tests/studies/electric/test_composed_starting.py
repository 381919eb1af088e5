"""What a motor takes at start and while it runs, by complex impedances and the code's tables."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from scipy.optimize import brentq

from tests.studies.pump.deep_pump import BASE, PUMP
from wellsolar import kinds
from wellsolar.data import rows
from wellsolar.results.pumps import StartResult, WireResult
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.electric.starting import (
    _voltage,
    current_of,
    dip_verdicts,
    full_load_power,
    inverter_verdicts,
    larger,
    running_current,
    start_of,
    with_dips,
)
from wellsolar.units import Quantity, read
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
    # Where none does, the thickest of the table.
    none = with_dips(site, pump, start_of(pump, 800.0), wire_of(None, None))
    thickest = with_dips(site, pump, start_of(pump, 800.0), wire_of("4/0 AWG"))
    assert none.generator_dip == thickest.generator_dip < start.generator_dip
    # One that lifts nothing starts with nothing.
    still = replace(start_of(pump, 800.0), starting_current=0.0)
    assert with_dips(site, pump, still, wire_of()) is still


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


def volts(value: float | None) -> Quantity | None:
    return None if value is None else Quantity(value, kinds.VOLTAGE)


def house(inverter: float | None, *pumps: Any, **power: float) -> Any:
    """A site of nothing but pumps and the supply of power in VA."""
    keys = ("inverter_rating", "inverter_surge", "battery_energy", "generator_rating")
    rated = {
        key: Quantity(power[key], kinds.APPARENT_POWER) if key in power else None for key in keys
    }
    told = SimpleNamespace(inverter_voltage=volts(inverter), kept_apart=None, **rated)
    return SimpleNamespace(power=told, array=[], pump=list(pumps))


def motor_at(voltage: float | None, name: str = "deep", supply: str = "AC", **other: Any) -> Any:
    return SimpleNamespace(**({
        "name": name, "voltage": volts(voltage), "supply": supply, "start": "direct", "phases": 1,
        "power": None, "rated_power": None, "full_load_current": None, "power_factor": 0.8,
        "cable": None,
    } | other))  # fmt: skip


def of_inverter(site: Any, pump: Any, start: Any = None, watts: float = 800.0) -> dict[str, Any]:
    found = inverter_verdicts(site, pump, start, watts, "pump[1]")
    assert all(each.subject == "deep" for each in found)
    return {each.rule.key: each for each in found}


@pytest.mark.parametrize(
    ("inverter", "told", "taken", "needs"),
    [
        (None, 230.0, 230.0, ("power.inverter_voltage",)),
        (230.0, None, 230.0, ("pump[1].voltage",)),
        (None, None, 230.0, ("power.inverter_voltage", "pump[1].voltage")),
        (230.0, None, None, ("pump[1].voltage",)),
    ],
)
def test_a_voltage_that_is_not_told_is_asked(
    inverter: float | None, told: float | None, taken: float | None, needs: tuple[str, ...]
) -> None:
    """A voltage taken from the inverter tells nothing of the pump; one of another pump neither."""
    site = house(inverter, motor_at(120.0, "yard"), motor_at(told), inverter_rating=4000.0)
    unknown = inverter_verdicts(site, motor_at(taken), None, 800.0, "pump[1]")[0] if taken else (
        _voltage(site, motor_at(None), "pump[1]")[0])  # fmt: skip
    assert (unknown.rule.key, unknown.needs) == ("supply voltage", needs)


@pytest.mark.parametrize(
    ("inverter", "status", "words"),
    # A tenth of 230 V is 23 V, on the mark too.
    [(253.0, "pass", ", within a tenth of it"), (207.0, "pass", ", within a tenth of it"),
     (254.0, "fail", ", which is not within a tenth of it")],
)  # fmt: skip
def test_how_far_an_inverters_voltage_is_off(inverter: float, status: str, words: str) -> None:
    site = house(inverter, motor_at(230.0), inverter_rating=4000.0)
    found = of_inverter(site, motor_at(230.0))["supply voltage"]
    first = f"the pump takes 230 V, the inverter gives {inverter:.0f} V"
    assert (found.status, found.reason.text("US")) == (status, first + words)


@pytest.mark.parametrize(
    ("other", "suits"),
    [
        (motor_at(240.0, "yard"), True),
        (motor_at(115.0, "yard"), False),
        (motor_at(115.0, "yard", "DC"), True),
        (motor_at(None, "yard"), True),
        # 230 V are a tenth less than 255.6 V.
        (motor_at(255.0, "yard"), True),
        (motor_at(257.0, "yard"), False),
    ],
)
def test_an_inverter_of_another_voltage_has_to_suit_every_pump(other: Any, suits: bool) -> None:
    site = house(120.0, motor_at(230.0), other, inverter_rating=4000.0)
    found = of_inverter(site, motor_at(230.0))["supply voltage"]
    assert found.status == "fail"
    made = [str(each) for each in changes_of(found.remedy)]
    assert made == (['power.inverter_voltage="230 V"'] if suits else [])


@pytest.mark.parametrize(
    ("what", "needed", "exact", "sold", "words"),
    [
        ("inverter", 4330.0, 4330.0, 5000.0, "an inverter of {sold} for a start (needs "),
        ("inverter", 5000.0, 5000.0, 5000.0, "an inverter of {sold} for a start (needs "),
        ("generator", 4330.1, 4340.0, 5000.0, "a generator of {sold} for a start (needs "),
        ("generator", 0.5, 0.5, 2000.0, "a generator of {sold} for a start (needs "),
        ("inverter", 30_001.0, 30_100.0, None, "a smaller pump: this one needs {exact:up} for a "),
        (
            "generator",
            25_001.0,
            25_100.0,
            None,
            "a smaller pump: this one needs {exact:up} for a ",
        ),
    ],
)
def test_what_a_start_asks_to_be_bought(
    what: Any, needed: float, exact: float, sold: float | None, words: str
) -> None:
    way = larger(what, "inverter_rating", needed, " for a start")
    assert way.template.startswith(words)
    assert way.parts["exact"] == pytest.approx(exact)
    if sold:
        assert way.parts["sold"] == pytest.approx(sold)
        (change,) = changes_of(way)
        assert (change.path, change.value) == ("power.inverter_rating", f'"{sold / 1e3:g} kVA"')
    else:
        assert way.by_hand.startswith(f"no {what} so large")


@pytest.mark.parametrize(
    ("surge", "start", "needs"),
    [
        (None, True, ("power.inverter_surge",)),
        (14000.0, False, ("pump[1].locked_rotor_current",)),
        (None, False, ("power.inverter_surge", "pump[1].locked_rotor_current")),
        (14000.0, 0.0, ("pump[1].rated_power",)),
    ],
)
def test_what_a_start_is_not_known_of(
    surge: float | None, start: float | bool, needs: tuple[str, ...]
) -> None:
    site = house(230.0, motor_at(230.0), **({"inverter_surge": surge} if surge else {}))
    amperes = 48.0 if start is True else float(start)
    made = StartResult(4.0, amperes, 230.0 * amperes, "told") if start is not False else None
    found = of_inverter(site, motor_at(230.0), made)
    assert found["inverter surge"].needs == needs
    assert found["inverter rating"].needs == ("power.inverter_rating",)


@pytest.mark.parametrize(
    ("power", "status", "words"),
    [
        # 48 A at 230 V are 11040 VA, four fifths of 13800 VA.
        (13800.0, "pass", "for a start"),
        (13700.0, "caution", "for a start; a fifth of that should be to spare"),
        (11040.0, "caution", "for a start; a fifth of that should be to spare"),
        (11000.0, "fail", "for a start"),
    ],
)
def test_a_start_beside_an_inverters_surge(power: float, status: str, words: str) -> None:
    site = house(230.0, motor_at(230.0), inverter_surge=power, inverter_rating=1000.0)
    start = StartResult(4.0, 48.0, 11040.0, "told")
    told = of_inverter(site, motor_at(230.0), start)
    found = told["inverter surge"]
    assert found.status == status
    assert found.reason.text("US").endswith(words)
    if status != "pass":
        assert found.remedy is not None
        assert found.remedy.parts["allowed"] == pytest.approx(0.8 * power / 230.0)
    # 800 W at 230 V and a power factor of 0.8 are 1000 VA.
    assert told["inverter rating"].status == "pass"
    assert told["inverter rating"].quantity == pytest.approx(1000.0)
    less = of_inverter(site, motor_at(230.0), start, 802.0)["inverter rating"]
    assert (less.status, less.quantity) == ("fail", pytest.approx(1002.5))


def test_direct_current_has_no_power_factor_and_no_full_load_of_a_table() -> None:
    """800 W at 100 V are 8 A, and 10 A at a power factor of 0.8."""
    assert current_of(motor_at(100.0, supply="DC"), 800.0) == pytest.approx(8.0)
    assert current_of(motor_at(100.0), 800.0) == pytest.approx(10.0)
    horse = Quantity(745.7, kinds.SHAFT_POWER)
    for lacking in (motor_at(None, rated_power=horse), motor_at(230.0),
                    motor_at(230.0, supply="DC", rated_power=horse)):  # fmt: skip
        assert full_load_power(lacking) == 0.0
    told = Quantity(40.0, kinds.CURRENT)
    assert start_of(motor_at(100.0, supply="DC", starting_current=told), 800.0) is None


@pytest.mark.parametrize(
    ("start", "cable_dip", "wire", "generator", "rules"),
    [
        (True, 0.2, True, None, {"voltage at start": "pass"}),
        (True, 0.36, True, None, {"voltage at start": "fail"}),
        (True, 0.35, True, None, {"voltage at start": "pass"}),
        (True, None, True, None, {"voltage at start": ("pump[1].cable",)}),
        (True, 0.2, False, None, {"voltage at start": ("pump[1].cable",)}),
        (False, None, False, None,
         {"voltage at start": ("pump[1].cable", "pump[1].locked_rotor_current")}),
        (False, None, False, 5000.0,
         {"voltage at start": ("pump[1].cable", "pump[1].locked_rotor_current"),
          "generator start": ("pump[1].locked_rotor_current",)}),
        (True, 0.2, True, 4000.0, {"voltage at start": "pass", "generator start": "pass"}),
        (True, 0.2, True, 3900.0, {"voltage at start": "pass", "generator start": "fail"}),
    ],
)  # fmt: skip
def test_which_dips_are_judged(
    start: bool,
    cable_dip: float | None,
    wire: bool,
    generator: float | None,
    rules: dict[str, Any],
) -> None:
    site = house(None, **({"generator_rating": generator} if generator else {}))
    made = StartResult(4.0, 48.0, 11040.0, "told", cable_dip, 0.3, 4000.0) if start else None
    run = wire_of() if wire else None
    found = dip_verdicts(site, motor_at(230.0), made, run, "pump[1]")
    assert {each.rule.key: each.needs or each.status for each in found} == rules
    assert dip_verdicts(site, motor_at(230.0, supply="DC"), made, run, "pump[1]") == []
    dry = StartResult(0.0, 0.0, 0.0, "told")
    assert dip_verdicts(site, motor_at(230.0), dry, run, "pump[1]") == []
    driven = dip_verdicts(site, motor_at(230.0, start="variable speed"), None, None, "pump[1]")
    assert {each.rule.key for each in driven} == set(rules) - {"voltage at start"}


@pytest.mark.parametrize(
    ("amperes", "thicker", "words"),
    [
        # Ohms in 1000 ft: 0.194 of 2 AWG, 1.24 of 10 (NEC chapter 9, table 8, second hand).
        (160.0, "2 AWG", "use 2 AWG with a generator of 20000 VA"),
        (300.0, "2 AWG", "a thicker cable or a gentler start"),
        (160.0, "10 AWG", "a thicker cable or a gentler start"),
        (160.0, None, "a thicker cable or a gentler start"),
    ],
)
def test_the_cable_and_the_generator_that_start_a_pump_together(
    amperes: float, thicker: str | None, words: str
) -> None:
    site = house(None, generator_rating=9000.0)
    start = StartResult(20.0, amperes, 230.0 * amperes, "told", 0.4, 0.5, None)
    dip, found = dip_verdicts(site, motor_at(230.0), start, wire_of(GAUGE, thicker), "pump[1]")
    assert (found.status, found.quantity) == ("fail", None)
    told = {"has": 9000.0, "current": amperes, "dip": 0.5}
    assert found.reason.parts == {key: pytest.approx(value) for key, value in told.items()}
    assert found.remedy is not None
    assert found.remedy.text("US").startswith(words)
    made = {each.path: each.value for each in changes_of(found.remedy)}
    if words.startswith("use"):
        line = 2 * LENGTH * 0.194 / 304.8
        motor = of_motor(amperes, 230.0, 1)
        needed = brentq(
            lambda va: abs(motor) / abs(motor + line + 0.25j * 230.0**2 / va) - 0.65, 50.0, 1e6
        )
        assert 15_000 < needed <= found.remedy.parts["exact"] < needed + 100.0 < 20_000
        gauge = {"pump[1].cable.gauge": '"2 AWG"'}
        assert made == gauge | {"power.generator_rating": '"20 kVA"'}
    else:
        assert made == {}
    parts = {"current": amperes, "length": LENGTH, "gauge": GAUGE, "dip": pytest.approx(0.4)}
    assert dip.reason.parts == parts
    length = dip.reason.parts["length"]
    assert isinstance(length, Quantity)
    assert length.kind == kinds.LENGTH


def test_what_is_told_of_a_start_behind_a_generator() -> None:
    site = house(None, generator_rating=4000.0)
    drive = motor_at(230.0, start="variable speed")
    start = StartResult(4.0, 4.0, 920.0, "told", None, None, 920.0)
    (found,) = dip_verdicts(site, drive, start, None, "pump[1]")
    words = "on a generator of 4000 VA a drive starts the motor within its running current"
    assert (found.status, found.reason.text("US").replace(",", "")) == ("pass", words)
    bare = StartResult(4.0, 48.0, 11040.0, "told", None, 0.4, None)
    _, none = dip_verdicts(site, motor_at(230.0), bare, None, "pump[1]")
    assert none.remedy is not None
    assert none.remedy.by_hand.startswith("which starter suits")
