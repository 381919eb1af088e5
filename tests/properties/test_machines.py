"""What must hold for any tank, motor and cable, and for the shipped wiring tables."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.data import rows, wiring
from wellsolar.errors import OutOfRange
from wellsolar.physics.electric import cable, motor
from wellsolar.physics.hydraulics import demand, pressure_tank

PSI = 6894.757293168361
modest = settings(max_examples=60, deadline=None)

volumes = st.floats(0.005, 2.0)
atmospheres = st.floats(60e3, 105e3)
flows = st.floats(1e-5, 3e-3)


@st.composite
def switches(draw: st.DrawFn) -> tuple[float, float, float]:
    """Precharge below cut-in below cut-out, gauge [Pa]."""
    precharge = draw(st.floats(5.0, 60.0)) * PSI
    cut_in = precharge + draw(st.floats(0.0, 10.0)) * PSI
    return precharge, cut_in, cut_in + draw(st.floats(5.0, 30.0)) * PSI


class TestPressureTank:
    @modest
    @given(volumes, switches(), atmospheres)
    def test_required_volume_undoes_drawdown(self, volume, switch, atmosphere):
        drawdown = pressure_tank.drawdown_volume(volume, *switch, atmosphere)
        back = pressure_tank.required_volume(drawdown, *switch, atmosphere)
        assert back == pytest.approx(volume, rel=1e-9)

    @modest
    @given(volumes, switches(), atmospheres)
    def test_pressure_at_undoes_stored_water(self, volume, switch, atmosphere):
        precharge, _, cut_out = switch
        water = pressure_tank.stored_water(volume, precharge, cut_out, atmosphere)
        back = pressure_tank.pressure_at(volume, precharge, water, atmosphere)
        assert back == pytest.approx(cut_out, rel=1e-9)

    @modest
    @given(volumes, switches(), atmospheres, st.floats(0.0, 100.0))
    def test_no_precharge_gives_more_than_one_at_cut_in(self, volume, switch, atmosphere, any_psi):
        _, cut_in, cut_out = switch
        best = pressure_tank.drawdown_volume(volume, cut_in, cut_in, cut_out, atmosphere)
        other = pressure_tank.drawdown_volume(volume, any_psi * PSI, cut_in, cut_out, atmosphere)
        assert 0.0 <= other <= best * (1 + 1e-12)

    @modest
    @given(volumes, switches(), atmospheres)
    def test_tank_is_empty_at_and_below_its_precharge(self, volume, switch, atmosphere):
        precharge, _, _ = switch
        pressures = np.array([0.0, 0.5 * precharge, precharge])
        stored = pressure_tank.stored_water(volume, precharge, pressures, atmosphere)
        assert stored == pytest.approx([0.0, 0.0, 0.0], abs=1e-12)

    @modest
    @given(volumes, switches())
    def test_thinner_air_lets_a_tank_deliver_more(self, volume, switch):
        # K02 of the published rows: the gauge precharge is reset at the altitude.
        high = pressure_tank.drawdown_volume(volume, *switch, 80e3)
        assert high > pressure_tank.drawdown_volume(volume, *switch, 101e3)

    @modest
    @given(flows, flows, st.floats(0.02, 0.98))
    def test_half_the_pump_flow_is_the_worst_demand(self, drawdown_flow, pump_flow, share):
        drawdown = 60.0 * drawdown_flow
        greatest = pressure_tank.greatest_cycle_rate(drawdown, pump_flow)
        at_half = pressure_tank.cycle_time(drawdown, pump_flow, 0.5 * pump_flow)
        elsewhere = pressure_tank.cycle_time(drawdown, pump_flow, share * pump_flow)
        assert 1.0 / at_half == pytest.approx(greatest, rel=1e-12)
        assert 1.0 / elsewhere <= greatest * (1 + 1e-12)

    def test_refusals_name_quantity_value_and_range(self):
        with pytest.raises(OutOfRange, match=r"flow left to fill the tank is -0\.001 m3/s"):
            pressure_tank.run_time(0.04, 1e-3, 2e-3)
        with pytest.raises(OutOfRange, match="demand flow is 0 m3/s, allowed is above 0 m3/s"):
            pressure_tank.cycle_time(0.04, 1e-3, 0.0)
        with pytest.raises(OutOfRange, match="volume left for air is 0 m3"):
            pressure_tank.pressure_at(0.3, 2e5, 0.3, 101_325.0)
        with pytest.raises(OutOfRange, match="share of the tank's volume that takes water is 0"):
            pressure_tank.required_volume(0.04, 60 * PSI, 30 * PSI, 50 * PSI, 101_325.0)


class TestMotor:
    @modest
    @given(st.floats(0.0, 40.0), st.floats(100.0, 8000.0))
    def test_every_ratio_has_a_letter_whose_band_begins_at_or_below_it(self, ratio, rated_power):
        apparent_power = 1000.0 * ratio * rated_power / motor.HORSEPOWER
        letter = motor.code_letter_for(apparent_power, rated_power)
        lows = {row["letter"]: float(row["low"]) for row in rows("code_letters")}
        following = [low for low in lows.values() if low > lows[letter]]
        assert lows[letter] <= ratio * (1 + 1e-8)
        assert ratio < min(following, default=math.inf)

    @modest
    @given(st.sampled_from("ABCDEFGHJKLMNPRSTU"), st.floats(100.0, 8000.0))
    def test_both_ends_of_a_band_carry_its_letter(self, letter, rated_power):
        low, high = motor.locked_rotor_apparent_power(letter, rated_power)
        assert low < high
        assert motor.code_letter_for(low, rated_power) == letter
        assert motor.code_letter_for(high, rated_power) == letter

    @pytest.mark.parametrize("letter", ["I", "O", "Q", "V", "a", ""])
    def test_letters_without_a_band_are_refused(self, letter):
        with pytest.raises(OutOfRange, match="code letter is"):
            motor.locked_rotor_apparent_power(letter, 746.0)

    @modest
    @given(st.floats(1.0, 200.0), st.floats(100.0, 250.0), st.floats(0.0, 5.0))
    def test_starting_dip_grows_with_cable_and_power_factor(self, amperes, volts, ohms):
        dips = [motor.starting_voltage_dip(amperes, volts, ohms, pf) for pf in (0.3, 0.7, 1.0)]
        assert dips == sorted(dips)
        assert dips[0] >= 0.0
        assert dips[-1] < 1.0
        longer = motor.starting_voltage_dip(amperes, volts, ohms + 0.1, 0.7)
        assert longer > dips[1]

    def test_metric_ratings_find_their_row(self):
        metric = {0.37: 4.9, 0.55: 6.9, 0.75: 8.0, 1.1: 10.0, 1.5: 12.0, 2.2: 17.0}
        for kilowatts, amperes in metric.items():
            assert motor.full_load_current(1000.0 * kilowatts, 240.0) == amperes

    def test_what_is_not_in_the_tables_is_refused_with_what_is(self):
        with pytest.raises(OutOfRange, match=r"has 1/6, 1/4, .* 7 1/2, 10 hp"):
            motor.full_load_current(600.0, 230.0)
        with pytest.raises(OutOfRange, match="the tables serve 110 to 120, 200, 208 and 220"):
            motor.full_load_current(motor.HORSEPOWER, 460.0)
        with pytest.raises(OutOfRange, match="the locked table has 1/2, 3/4,"):
            motor.locked_rotor_current_table(motor.HORSEPOWER / 4, 230.0)
        with pytest.raises(OutOfRange, match="locked table has no such column"):
            motor.locked_rotor_current_table(motor.HORSEPOWER, 200.0)
        with pytest.raises(OutOfRange, match="phases is 2"):
            motor.current(1000.0, 230.0, 2)
        with pytest.raises(OutOfRange, match=r"motor efficiency is 1\.2"):
            motor.input_power(750.0, 1.2)

    def test_locked_rotor_table_is_six_times_the_running_table(self):
        for row in rows("motor_currents"):
            for volts in ("115", "230"):
                if row[f"locked_{volts}"]:
                    six = 6.0 * float(row[f"running_{volts}"])
                    assert float(row[f"locked_{volts}"]) == pytest.approx(six, rel=1e-12)

    def test_motor_currents_rise_with_power_and_fall_with_voltage(self):
        table = rows("motor_currents")
        for column in table[0].keys() - {"power"}:
            cells = [float(row[column]) for row in table if row[column]]
            assert all(small < large for small, large in itertools.pairwise(cells))
        for row in table:
            amperes = [float(row[f"running_{volts}"]) for volts in (115, 200, 208, 230)]
            assert amperes == sorted(amperes, reverse=True)
            assert amperes[0] == pytest.approx(2.0 * amperes[-1], rel=1e-12)


class TestWiringTables:
    def test_every_column_is_monotone_from_thin_to_thick(self):
        sizes = wiring.wires()
        assert (sizes[0].gauge, sizes[-1].gauge) == ("14 AWG", "4/0 AWG")
        for thin, thick in itertools.pairwise(sizes):
            assert thin.area < thick.area
            assert thin.resistance_75c_stranded > thick.resistance_75c_stranded
            for rating in (60, 75, 90):
                assert thin.ampacity(rating) < thick.ampacity(rating)
        for size in sizes:
            assert size.ampacity_60 < size.ampacity_75 < size.ampacity_90
            if size.resistance_75c_solid is not None:
                assert size.resistance_75c_solid < size.resistance_75c_stranded

    def test_10_awg_carries_more_than_its_device_may_be(self):
        size = wiring.wire("10 AWG")
        assert (size.ampacity_75, size.small_conductor_limit) == (35.0, 30.0)
        assert wiring.wire("8 AWG").small_conductor_limit is None

    def test_an_unknown_gauge_lists_the_known(self):
        with pytest.raises(OutOfRange, match=r"wire gauge is 11 AWG; .* 12 AWG, .* 4/0 AWG"):
            wiring.wire("11 AWG")

    @modest
    @given(st.floats(-30.0, 55.0), st.floats(0.0, 5.0), st.sampled_from([60, 75, 90]))
    def test_a_hotter_place_never_carries_more(self, temperature, more, rating):
        cool = wiring.ambient_factor(temperature, rating)
        assert wiring.ambient_factor(min(temperature + more, 55.0), rating) <= cool
        assert 0.0 < cool < 1.3

    def test_ambient_factor_obeys_its_own_law(self):
        # The code's general equation: sqrt((Tc - Ta') / (Tc - 30)), at each band's hot end.
        for row in rows("ambient_correction"):
            for rating in (60, 75, 90):
                if row[f"factor_{rating}"]:
                    law = math.sqrt((rating - float(row["up_to"])) / (rating - 30.0))
                    assert float(row[f"factor_{rating}"]) == pytest.approx(law, abs=0.006)

    @pytest.mark.parametrize(("rating", "too_hot"), [(60, 55.1), (75, 70.1), (90, 85.1)])
    def test_too_hot_for_the_insulation(self, rating, too_hot):
        with pytest.raises(OutOfRange, match=f"conductors rated {rating} degC are allowed up to"):
            wiring.ambient_factor(too_hot, rating)

    def test_insulation_ratings_without_a_column(self):
        with pytest.raises(OutOfRange, match="insulation rating is 105 degC"):
            wiring.ambient_factor(30.0, 105)
        with pytest.raises(OutOfRange, match="insulation rating is 70 degC"):
            wiring.wire("10 AWG").ampacity(70)

    def test_bundling_falls_and_begins_at_four(self):
        factors = [wiring.bundling_factor(count) for count in range(1, 80)]
        assert factors[:3] == [1.0, 1.0, 1.0]
        assert factors == sorted(factors, reverse=True)
        with pytest.raises(OutOfRange, match="conductors is 0"):
            wiring.bundling_factor(0)

    @modest
    @given(st.floats(0.0, 600.0))
    def test_next_size_is_the_least_that_is_enough(self, current):
        size = wiring.next_overcurrent_size(current)
        smaller = [float(row["rating"]) for row in rows("overcurrent_sizes")]
        assert current <= size * (1 + 1e-9)
        assert all(rating < current for rating in smaller if rating < size)

    def test_next_size_ignores_round_off_and_refuses_the_rest(self):
        assert wiring.next_overcurrent_size(20.000000000000004) == 20.0
        for current in (-1.0, 601.0, math.nan):
            with pytest.raises(OutOfRange, match="the table serves 0 to 600 A"):
                wiring.next_overcurrent_size(current)

    def test_cold_factor_rises_into_the_cold(self):
        temperatures = np.arange(30.0, -40.01, -0.5)
        factors = [wiring.cold_voltage_factor(float(t)) for t in temperatures]
        assert factors == sorted(factors)
        assert (factors[0], wiring.cold_voltage_factor(25.0)) == (1.0, 1.0)
        assert wiring.cold_voltage_factor(24.9) == 1.02
        assert wiring.cold_voltage_factor(-0.5) == 1.12
        with pytest.raises(OutOfRange, match="the table ends at -40 degC"):
            wiring.cold_voltage_factor(-40.5)

    def test_band_ends_survive_conversion_from_fahrenheit(self):
        assert wiring.cold_voltage_factor((14.0 - 32.0) / 1.8 - 1e-14) == 1.14
        assert wiring.ambient_factor((122.0 - 32.0) / 1.8 + 1e-14, 90) == 0.82

    def test_code_letters_leave_no_overlap(self):
        table = rows("code_letters")
        assert "".join(row["letter"] for row in table) == "ABCDEFGHJKLMNPRSTUV"
        for lower, upper in itertools.pairwise(table):
            gap = float(upper["low"]) - float(lower["high"])
            assert gap == pytest.approx(0.01, abs=1e-9)


class TestCable:
    @modest
    @given(st.floats(0.1, 100.0), st.floats(1e-4, 0.02), st.floats(1.0, 500.0))
    def test_loss_is_current_times_drop(self, current, resistance, length):
        drop = cable.voltage_drop(current, resistance, length)
        assert drop == pytest.approx(current * cable.loop_resistance(resistance, length))
        loss = cable.power_loss(current, resistance, length)
        assert loss == pytest.approx(current * drop)
        three = cable.power_loss(current, resistance, length, 3)
        drop_three = cable.voltage_drop(current, resistance, length, 3)
        assert three == pytest.approx(math.sqrt(3.0) * current * drop_three)

    @modest
    @given(st.floats(1e-4, 0.02), st.floats(-40.0, 90.0), st.floats(0.1, 50.0))
    def test_copper_resists_more_when_warmer(self, resistance, temperature, more):
        cold = cable.resistance_at(resistance, temperature)
        assert 0.0 < cold < cable.resistance_at(resistance, temperature + more)
        assert cable.resistance_at(resistance, 75.0) == resistance

    def test_cold_table_is_that_of_a_crystalline_module(self):
        # Each band's cold end implies 0.38 to 0.40 %/K, within what silicon cells do.
        for row in rows("cold_voltage"):
            end = float(row["down_to"])
            lowest, highest = (
                cable.cold_open_circuit_voltage(1.0, 1.0, end, coefficient)
                for coefficient in (-0.0038, -0.0040)
            )
            assert lowest - 1e-9 <= float(row["factor"]) <= highest + 1e-9

    def test_arrays_broadcast(self):
        lengths = np.array([[10.0], [20.0]])
        drop = cable.voltage_drop(np.array([1.0, 2.0, 3.0]), 0.004, lengths)
        assert np.shape(drop) == (2, 3)

    def test_phases_other_than_one_and_three(self):
        with pytest.raises(OutOfRange, match="phases is 2; it must be 1 or 3"):
            cable.voltage_drop(1.0, 0.004, 10.0, 2)


class TestDemand:
    @modest
    @given(st.integers(1, 20))
    def test_one_more_person_never_uses_less(self, people):
        for rule in (demand.metered_indoor_use, demand.hot_water_use):
            assert rule(people + 1) > rule(people) > 0.0

    def test_more_baths_never_need_a_smaller_pump(self):
        flows_by_bath = [demand.peak_flow_by_baths(baths) for baths in np.arange(1.0, 4.1, 0.5)]
        assert flows_by_bath == sorted(flows_by_bath)

    def test_refusals(self):
        with pytest.raises(OutOfRange, match=r"bathrooms is 5, allowed is 1 to 4"):
            demand.peak_flow_by_baths(5)
        with pytest.raises(OutOfRange, match="people is -1"):
            demand.hot_water_use(-1)

    def test_enough_supply_needs_no_storage(self):
        assert demand.storage_for_peak(1e-4, 2e-4, 420.0) == 0.0
