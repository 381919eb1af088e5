"""Results made by hand, with invented but ordinary numbers: reports are tested apart from physics.

No number here is a check of physics; the tests ask only whether each one is printed and named.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest

from tests.running import Done, apart, here
from wellsolar import kinds
from wellsolar.results import Results
from wellsolar.results.hand import (
    DischargePoint,
    HandDuty,
    HandPlace,
    HandPumpResult,
    HandSpell,
    HandTask,
    HandWorker,
    LiftResult,
)
from wellsolar.results.heat import (
    DarkDay,
    HeatDay,
    HeatedTankResult,
    HeatMonth,
    HeatStart,
    HouseholdMonth,
    HouseholdYear,
    NobodyHome,
    OneDayDesign,
    SunPoint,
)
from wellsolar.results.heat_safety import (
    ArrayCircuit,
    BurnTime,
    HeatSafety,
    TankPressure,
    TapWater,
)
from wellsolar.results.match import (
    ArrayMatch,
    CouplingMonth,
    CouplingWay,
    CurrentCeiling,
    Diversion,
    MatchResult,
    StockElement,
    StringLayout,
    Thresholds,
)
from wellsolar.results.pumps import (
    Duty,
    HeadPiece,
    PressureTankResult,
    PumpResult,
    StartResult,
    TankCycle,
    WireResult,
)
from wellsolar.results.supply import SupplyMonth, SupplyResult
from wellsolar.studies.pump.verdicts import CUT_OUT, VELOCITY, YIELD
from wellsolar.studies.safety.contacts import CONTACTS
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, remedy, say, set_to


def make_wire() -> WireResult:
    return WireResult(
        "10 AWG", 21.3, 9.1, 15.2, 2.1, 0.0176, 19.0, 30.0, "12 AWG", 20.0, 30.0, 15.2, 35.0, 12.2
    )


def make_pump(name: str, role: str, flow: float, *, known: bool = True) -> PumpResult:
    duties = tuple(
        Duty(
            label=label,
            pressure=pressure,
            flow=flow * share,
            total_dynamic_head=head,
            pieces=(
                HeadPiece("pumping_level", "pumping level", head - 20.0,
                          say("static {static} + drawdown {drawdown}",
                              static=Quantity(25.9, kinds.LENGTH),
                              drawdown=Quantity(2.5 * share, kinds.LENGTH))),
                HeadPiece("elevation", "tank above the well", 1.5, say("above the ground")),
                HeadPiece("pressure", "pressure at the tank", 18.5,
                          say("{p} at the tank", p=Quantity(pressure, kinds.PRESSURE))),
            ),
            friction_darcy=1.31 * share,
            friction_hazen_williams=1.37 * share,
            hazen_williams_c="140",
            state="on curve",
            pumping_level=28.4, settled_level=28.4, pump_flow=0.00021,
            pipe_velocity=0.83,
            water_power=113.0,
            input_power=256.0,
        )
        for label, pressure, head, share in (
            ("at cut-in", 206_843.0, 60.2, 1.0),
            ("at cut-out", 344_738.0, 74.4, 0.8),
        )
    )  # fmt: skip
    return PumpResult(
        name=name, role=role, duties=duties, level_known=known, intake_depth=42.7,
        static_level=25.9, shut_off_pressure=320_000.0, shut_off_head=101.0, daily_volume=0.833,
        daily_run_time=4380.0, daily_energy=1.12e6, energy_per_volume=1.35e6,
        power_from="the sheet's power curve",
        start=StartResult(1.42, 4.5, 1080.0, "as the file gives it"), wire=make_wire(),
    )  # fmt: skip


def make_supply() -> SupplyResult:
    months = tuple(
        SupplyMonth(month, 6.5e6 + 1e6 * month, 1.07e7, 1.23e6, 149.0, 1, 1.48e7)
        for month in range(1, 13)
    )
    return SupplyResult(
        pump="backup pump", tilt=45.0, azimuth=180.0, derate=0.77, module_power=300.0,
        daily_energy=1.12e6, months=months, worst_month=12, modules_needed=1, modules_there=6,
        battery_days=23.6, running_power=0.0,
    )  # fmt: skip


def make_tank() -> PressureTankResult:
    return PressureTankResult(
        volume=0.1666, count=1, precharge=193_000.0, cut_in=206_843.0, cut_out=344_738.0,
        atmospheric_pressure=98_100.0, acceptance_factor=0.297, stored_at_cut_in=0.0075,
        stored_at_cut_out=0.0572, drawdown=0.0497, best_precharge=193_053.0, best_drawdown=0.0498,
        cycles=(TankCycle("backup pump", 1.9e-4, 261.0, 9.6e-4, 1.95e-4, 0.0382),),
    )  # fmt: skip


def make_hand_pump() -> HandPumpResult:
    worker = HandWorker(35.0, 0.8, None)
    return HandPumpResult(
        kind="suction", swept_volume=3.1e-4, pumping_level=6.1, level_known=True, rod_weight=21.0,
        suction_limit=9.4, suction_lift=6.1, greatest_head=36.3,
        duties=(
            HandDuty("to the spout", 28.3, 800.0, 167.0, 71.0, 1.86e-4, 1.56e-4, 0.56, 167.0, 3.1,
                     40.2, 88.0, 0.0011, 2.8e-4, 106.0, 1.4e-4),
            HandDuty("into the tank at cut-out", 68.0, 1588.0, 331.0, 171.0, 1.86e-4, 6.5e-5,
                     0.23, 331.0, 4.2, 81.0, 170.0, 0.0023, 2.7e-4, 256.0, 6.1e-5, None,
                     "cut-out"),
        ),
        tasks=(
            HandTask("a bucket", 0.02, 128.0, 72.0, "bucket", "spout", 1, 71.0, 1.56e-4, "power"),
            HandTask("survival", 0.06, 430.0, 216.0, "survival", "spout", 1, 62.0, 1.4e-4, "day"),
        ),
        low_level=7.3, static_level=5.2, low_static_level=6.4, cylinder_depth=None,
        counterweight=12.0, greatest_depth=None, depth_limit=None, people_pumping=1,
        worker=worker,
        places=(HandPlace("spout", "the spout", (0.0, 71.0), (0.0, 1.86e-4), 2.8e-4),),
        spells=(HandSpell(240.0, 176.0, 1.86e-4, 0.0446, 1.86e-4, 0.0447),),
        discharge=(DischargePoint(15.0, 3.6e-4, 75.0, 53.0, 0.708, 3.1e-4),),
    )  # fmt: skip


def make_lift() -> LiftResult:
    point = DischargePoint(10.0, 5.8e-4, 88.0, 57.2, 0.65)
    return LiftResult(
        name="rope pump", kind="rope pump", head=12.0, low_head=13.5, level_known=True,
        pumping_level=11.1, greatest_head=30.0, flow=4.86e-4, water_power=57.3, input_power=88.1,
        efficiency=0.65, points=(point,), by_head=(point,), people=1,
        worker=HandWorker(35.0, 0.8, None),
        places=(HandPlace("spout", "the spout", (0.0, 88.0), (0.0, 4.86e-4), None),),
        tasks=(
            HandTask("a bucket", 0.02, 41.0, None, "bucket", "spout", 1, 88.0, 4.86e-4, "strokes"),
        ),
    )  # fmt: skip


def make_safety() -> HeatSafety:
    return HeatSafety(
        hottest=60.0, guarded=76.7, heat_through=60.0, heat_through_time=3600.0,
        boiling_temperature=99.1, heat_input=5780.0, array_input=1280.0, element_voltage=128.0,
        element_power=1280.0, mild_element_voltage=128.0, most_series=None,
        pressure=TankPressure(98.9, 1_034_214.0, 930_792.0, 344_738.0, 0.0032, 551_581.0,
                              372_000.0, 0.11, 0.0062),
        circuit=ArrayCircuit(
            array="heater array [old]", series=4, parallel=1, cold_temperature=-27.8,
            cold_told=True, cold_voltage=184.4, cold_voltage_table=None, mild_voltage=159.6,
            system_voltage=184.4, current=11.9, row_current=11.9, conductor_current=14.9,
            overcurrent_asked=15.0, overcurrent_most=30.0, ampacity=30.0, row_fuse=15.0,
            string_fuse=None,
        ),
    )  # fmt: skip


def make_heated_tank() -> HeatedTankResult:
    points = tuple(
        SunPoint(sun, 25.0, 9.7 * sun / 1000, 124.0 * sun / 1000, 1203.0 * (sun / 1000) ** 2,
                 1200.0 * sun / 1000, 12.0)
        for sun in (200.0, 600.0, 1000.0)
    )  # fmt: skip
    days = tuple(
        HeatDay(month, kind, 1.4e7 * share, 1.35e7 * share, 1.7e7 * share, 1080.0 * share,
                11.0 + 45.0 * share, 51_600.0 if share == 1.0 else None,
                1 if share == 1.0 else None, 31.0 if share > 0.5 else None,
                (HeatStart("half way", 35.6, 46_800.0 if share == 1.0 else None),
                 HeatStart("lukewarm", 32.2, None),
                 HeatStart("the day before", 39.0 - month, 43_200.0 if share == 1.0 else None)))
        for kind, share in (("clear", 1.0), ("typical", 0.7), ("poor", 0.2))
        for month in range(1, 13)
    )  # fmt: skip
    months = tuple(
        HeatMonth(month, 1.1e7, 1.0e7, 1.3e7, 9.1e6, 2.4e7, 8.2e6, 2.2e6, 8.2e6)
        for month in range(1, 13)
    )
    return HeatedTankResult(
        array="heater array [old]", modules=4, series=4, parallel=1, tilt=45.0, azimuth=180.0,
        fit="least squares on the datasheet's four points", module_power=300.0, photocurrent=9.76,
        saturation_current=1.3e-10, series_resistance=0.31, shunt_resistance=420.0,
        modified_ideality_voltage=1.58, element_resistance=12.8, cable_resistance=0.14,
        matched_resistance=14.2, rated_power=4500.0, rated_voltage=240.0, reference_points=points,
        working_points=points, cold_temperature=-27.8, cold_open_circuit_voltage=184.4,
        cold_open_circuit_voltage_table=None, greatest_voltage=128.0, greatest_power=1280.0,
        tank_volume=0.189, inlet_temperature=11.1, setpoint=60.0,
        room_temperature=16.7, draw_volume=0.189, heating_energy=3.85e7, heat_loss=1.5,
        standby_loss=65.0, stall_temperature=None,
        tap=TapWater(
            43.3, 0.658, 0.287, BurnTime(5.0, 1.25, "table"), BurnTime(None, None, "none")
        ),
        expansion=0.0032, wire=None, days=days,
        months=months, annual_share=0.42, share_draw=None,
        one_day_volume=0.08,
        one_day=OneDayDesign(12, 5, 2, 5500.0, 240.0, False, None),
        safety=make_safety(),
        households=tuple(
            HouseholdYear(name, 63_000.0, tuple(
                HouseholdMonth(month, 30, 2.7e8, grid, 6.5e7, 7.4e8, 2.1e8 + grid, 4.4, 1.27,
                               41.0 + month, 3, 17)
                for month in range(1, 13)
            ))
            for name, grid in (("PV", 0.0), ("upper element", 4.9e8), ("second tank", 5.1e8))
        ),
        evening_draw=0.11, evening_thermostat=49.3,
        nobody_home=NobodyHome(6, 93.1, 76.7, 1.7, 98.9, None),
        dark_days=tuple(
            DarkDay(day, 40.0 - day, 44.0 - day, 0.11 / day, 59.0 - day, 0.29 / day)
            for day in range(1, 8)
        ),
    )  # fmt: skip


def make_matching() -> MatchResult:
    own = CouplingWay("own", "as it is: straight on the element", (12.8,), 4.7e9, 0.64)
    best = CouplingWay("best_single", "best single resistance", (20.8,), 5.6e9, 0.77)
    match = ArrayMatch(
        array="heater array [old]", series=4, parallel=1, coupling="direct", resistance=12.8,
        cable_resistance=0.14, matched_resistance=14.2, peak_power=1190.0, own=own,
        best_single=best, ways=(own, best),
        months=tuple(CouplingMonth(month, 3.9e8, 4.7e8, 6.1e8) for month in range(1, 13)),
        shelf=(StockElement("3000 W 240 V", 19.2, 5.6e9, 0.996, 146.0, 0.61, 0.37, 3000.0, 240.0,
                            1, True, "alone"),),
        wirings=(StringLayout("as it is", 4, 1, 4.7e9, 0.0, 20.8, 5.6e9, 188.0, 145.0),),
        ceiling=CurrentCeiling(1204.0, 0.94, 0.81, 0.02, 0.015),
        thresholds=Thresholds((12.8, 25.6), (), (310.0,), 5.9e9, 6.0e9), lift=None,
    )  # fmt: skip
    diversion = Diversion(
        True, "backup pump", 8, 4500.0, None, 1.1e10, 9.6e9, 0.93, 590.0, (8e8,) * 12, (9e8,) * 12
    )
    return MatchResult(match, diversion, full=True)


def make_results() -> Results:
    reach = Quantity(320_000.0, kinds.PRESSURE)
    cut_out = Quantity(344_738.0, kinds.PRESSURE)
    verdicts = (
        VELOCITY.verdict(
            "pass", "backup pump",
            say("the water runs at {speed}", speed=Quantity(0.83, kinds.SPEED)),
            quantity=Quantity(0.83, kinds.SPEED), limit=Quantity(1.524, kinds.SPEED),
        ),
        YIELD.unknown("backup pump", "well.tested_yield"),
        VELOCITY.verdict(
            "caution", "house pump",
            say("{name} runs near the limit", name="house pump"),
            remedy=remedy("a wider pipe", "a made-up remedy"),
        ),
        CUT_OUT.verdict(
            "fail", "backup pump",
            say("it stops delivering at {reach}", reach=reach),
            quantity=reach, limit=cut_out,
            remedy=remedy("set the cut-out no higher than {p}",
                          [set_to("pressure_switch.cut_out", "41 psi")],
                          p=Quantity(285_000.0, kinds.PRESSURE)),
        ),
        CONTACTS.verdict("pass", "lower element", say("a relay for direct current switches it")),
    )  # fmt: skip
    return Results(
        file="site.toml", site_name="Hillside house", site_note="invented", system="US",
        pumps=(make_pump("house pump", "existing", 6.9e-4),
               make_pump("backup pump", "backup", 2.1e-4, known=False)),
        supply=(make_supply(),), pressure_tank=make_tank(), hand_pump=make_hand_pump(),
        lifts=(make_lift(),),
        heated_tank=make_heated_tank(), matching=make_matching(), verdicts=verdicts,
        assumptions=(
            Assumption("site.altitude", Quantity(0.0, kinds.LENGTH, written="0 ft"), "sea level",
                       "common practice"),
            Assumption("piping.fittings", "4 90 elbow", "a usual line", "common practice"),
        ),
        cautions=("mains", "scald"), notes=("no hand pump in the file",),
    )  # fmt: skip


MADE = make_results()
"""Frozen, so that tests share them."""


@pytest.fixture
def results() -> Results:
    return MADE


@pytest.fixture
def renamed(results: Results) -> Callable[[str], Results]:
    """The results with one name in every place where a user's name stands."""

    def rename(name: str) -> Results:
        assert results.heated_tank is not None
        return replace(
            results,
            site_name=name,
            pumps=tuple(replace(pump, name=f"{name} {i}") for i, pump in enumerate(results.pumps)),
            heated_tank=replace(results.heated_tank, array=name),
            verdicts=tuple(replace(verdict, subject=name) for verdict in results.verdicts),
        )

    return rename


Run = Callable[..., Done]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    """Runs `wellsolar` in a folder of its own, in a process of its own: as a user does."""
    return partial(apart, folder=tmp_path)


@pytest.fixture
def run_here(tmp_path: Path) -> Run:
    """Runs `wellsolar` in a folder of its own, in this process."""
    return partial(here, folder=tmp_path)
