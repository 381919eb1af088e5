"""The fill of a pressure tank, by integration along the pump's curve."""

from __future__ import annotations

import pytest
from scipy.integrate import quad

from tests.site_texts import edited
from tests.studies.pump.deep_pump import (
    BASE,
    FOOT,
    GALLON,
    GPM,
    POWER,
    PSI,
    PUMP,
    SWITCH,
    flow_at,
    mended,
    printed,
    pump_of,
    studied,
    verdict_of,
)
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.pump.study import pump_on_well

# International standard atmosphere.
AIR = 101_325 * (1 - 2.25577e-5 * 2000 * FOOT) ** 5.25588


class TestFill:
    @pytest.mark.parametrize(("volume", "precharge"), [(40, 28), (86, 22), (20, 30)])
    def test_time_flow_and_energy_by_integration(self, volume: float, precharge: float) -> None:
        pump = pump_of(BASE + SWITCH.format(volume=volume, precharge=precharge) + PUMP)
        size, empty = volume * GALLON, precharge * PSI + AIR

        def water(pressure: float) -> float:
            return size * (1 - empty / (pressure + AIR))

        def pressure_at(inside: float) -> float:
            return size * empty / (size - inside) - AIR

        ends = water(30 * PSI), water(50 * PSI)
        time = quad(lambda v: 1 / flow_at(pressure_at(v)), *ends, epsabs=1e-6)[0]
        energy = quad(
            lambda v: float(POWER(flow_at(pressure_at(v)))) / flow_at(pressure_at(v)),
            *ends,
            epsabs=1e-3,
        )[0]
        fill = pump.fill
        # Viscosity and density here are CoolProp's, there a fit: 1e-3 of the flow.
        assert fill.duration == pytest.approx(time, rel=1e-3)
        assert fill.mean_flow == pytest.approx((ends[1] - ends[0]) / time, rel=1e-3)
        assert fill.energy_per_volume == pytest.approx(energy / (ends[1] - ends[0]), rel=1e-3)
        assert pump.daily_run_time == pytest.approx(180 * GALLON / fill.mean_flow)
        assert pump.daily_energy == pytest.approx(180 * GALLON * fill.energy_per_volume)
        assert [each.pressure for each in fill.points] == pytest.approx(
            [p * PSI for p in (30, 35, 40, 45, 50)]
        )
        for point in fill.points:
            assert point.flow == pytest.approx(flow_at(point.pressure), rel=1e-3)
            assert point.water == pytest.approx(water(point.pressure) - ends[0], rel=2e-3)

    def test_the_tanks_cycle_is_that_of_the_fill(self) -> None:
        results = studied(BASE + SWITCH.format(volume=40, precharge=28) + PUMP)
        cycle, fill = results.pressure_tank.cycles[0], results.pumps[0].fill
        assert (cycle.run_time, cycle.pump_flow) == (fill.duration, fill.mean_flow)

    def test_the_tank_it_asks_for_runs_the_pump_long_enough(self) -> None:
        motor = 'rated_power = "1 hp"\n'
        for precharge in (18, 22, 28):
            text = BASE + SWITCH.format(volume=15, precharge=precharge) + PUMP + motor
            verdict = verdict_of(text, "run time")
            assert verdict.status == "fail"
            sold, needed = (printed(verdict, words) for words in (r"a (\d+)", r"needs ([\d.]+)"))
            assert float(sold) >= float(needed)
            assert mended(text, verdict).status == "pass"
            for volume, status in (
                (sold, "pass"),
                (needed, "pass"),
                (f"{0.97 * float(needed)}", "caution"),
            ):
                other = BASE + SWITCH.format(volume=volume, precharge=28) + PUMP + motor
                assert verdict_of(other, "run time").status == status
                assert verdict_of(other, "starts an hour").status == status

    @pytest.mark.parametrize(
        ("motor", "run", "starts"),
        [
            # A run of a minute and a half, for 120 starts a day.
            ('rated_power = "3/4 hp"', "pass", "pass"),
            ('rated_power = "1 hp"', "caution", "caution"),
            ('rated_power = "1 hp"\nphases = 3', "caution", "pass"),
            ("", "unknown", "unknown"),
        ],
    )
    def test_run_and_starts_go_by_the_motors_size(self, motor: str, run: str, starts: str) -> None:
        text = BASE + SWITCH.format(volume=40, precharge=28) + PUMP + motor + "\n"
        volume = 40 * 90 / (pump_of(text).fill.duration or 0.0)
        text = text.replace('volume = "40 gal"', f'volume = "{volume} gal"')
        use = 120 * studied(text).pressure_tank.drawdown / GALLON
        text = text.replace("180 gal/day", f"{use} gal/day")
        assert "gal/day" in text
        assert verdict_of(text, "run time").status == run
        assert verdict_of(text, "starts a day").status == starts
        assert verdict_of(text, "starts an hour").status == run
        if not motor:
            assert verdict_of(text, "run time").needs == ("pump[1].rated_power",)

    def test_without_a_tank_the_mean_flow_stays(self) -> None:
        switch = SWITCH.format(volume=40, precharge=28)
        with_tank = pump_of(BASE + switch + PUMP).fill
        alone = pump_of(BASE + switch.split("[pressure_tank]")[0] + PUMP).fill
        assert alone.duration is None
        assert alone.mean_flow == pytest.approx(with_tank.mean_flow)

    def test_a_pump_that_does_not_reach_cut_out_fills_nothing(self) -> None:
        text = BASE + SWITCH.format(volume=40, precharge=28) + PUMP
        assert pump_of(text.replace('"50 psi"', '"105 psi"')).fill is None


SHEET = 'power = "520, 640, 730, 790, 810 W"'
MOTOR = 'rated_power = "1 hp"\npower_factor = 0.8'


class TestInputPower:
    """One horsepower at 230 V: 8.0 A by NEC table 430.248 (second hand), at 0.8 1472 W, half of it
    736 W."""

    @pytest.mark.parametrize(
        ("told", "water", "watts"),
        [
            (MOTOR, 400.0, 400 / 0.35),
            (MOTOR, 100.0, 736.0),
            (MOTOR, 0.0, 0.0),
            (f'{MOTOR}\nefficiency = "40 %"', 100.0, 250.0),
            (f"{MOTOR}\n{SHEET}", 100.0, 640.0),
        ],
    )
    def test_by_sheet_efficiency_or_motor(self, told: str, water: float, watts: float) -> None:
        site = parse_site(BASE + edited(PUMP, (SHEET, told))).site
        on_well = pump_on_well(site, site.pump[0], "pump[1]")
        assert on_well.input_power(3 * GPM, water) == pytest.approx(watts)

    @pytest.mark.parametrize(
        ("told", "watts"), [('efficiency = "40 %"', 736.0), (SHEET, 520.0), ("", 736.0)]
    )
    def test_throttled_no_motor_idles_but_by_its_sheet(self, told: str, watts: float) -> None:
        """At a thirtieth of a gallon a minute hardly any water is lifted."""
        site = parse_site(BASE + edited(PUMP, (SHEET, f"{MOTOR}\n{told}"))).site
        on_well = pump_on_well(site, site.pump[0], "pump[1]")
        work = on_well.throttled(GPM / 30, 50 * PSI)
        assert work.input_power == pytest.approx(watts, rel=5e-3)
        assert work.water_power < 2.0

    def test_below_the_first_flow_of_a_sheet_its_first_power_stands(self) -> None:
        begun = edited(
            PUMP,
            ('flow = "0, 3, 6, 9, 12 gpm"', 'flow = "2, 3, 6, 9, 12 gpm"'),
        )
        site = parse_site(BASE + begun).site
        on_well = pump_on_well(site, site.pump[0], "pump[1]")
        assert on_well.input_power(1 * GPM, 50.0) == pytest.approx(520.0)
