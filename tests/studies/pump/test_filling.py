"""The fill of a pressure tank, by integration along the pump's curve."""

from __future__ import annotations

import pytest
from scipy.integrate import quad

from tests.studies.pump.deep_pump import (
    BASE,
    FOOT,
    GALLON,
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
