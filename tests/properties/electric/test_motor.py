"""What must hold for any motor and its start."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.data import rows
from wellsolar.errors import OutOfRange
from wellsolar.physics.electric import motor
from wellsolar.physics.hydraulics import fill

few = settings(max_examples=40, deadline=None)


@few
@given(
    st.floats(1.0, 200.0), st.floats(0.0, 1.0), st.floats(0.0, 3.0), st.floats(0.0, 3.0),
    st.floats(0.1, 1.0),
)  # fmt: skip
def test_a_softer_start_dips_less(current, power_factor, line, reactance, share):
    direct = motor.starting_voltage_dip(current, 230.0, line, power_factor, reactance)
    soft = motor.starting_voltage_dip(share * current, 230.0, line, power_factor, reactance)
    stiff = motor.starting_voltage_dip(current, 230.0, line, power_factor)
    assert -1e-12 <= stiff <= direct + 1e-12 <= 1.0
    assert soft <= direct + 1e-12


def test_slower_is_less_efficient_and_the_same_speed_the_same():
    assert fill.efficiency_at_speed(0.6, 1.0) == pytest.approx(0.6)
    slowed = fill.efficiency_at_speed(0.6, np.array([0.9, 0.7, 0.5]))
    assert np.all(np.diff(slowed) < 0.0)
    assert np.all(slowed < 0.6)


modest = settings(max_examples=50, deadline=None)


class TestMotor:
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

    def test_between_rows_and_columns_the_larger_current_stands(self):
        three_quarters = motor.full_load_current(0.75 * motor.HORSEPOWER, 230.0)
        assert motor.full_load_current(0.6 * motor.HORSEPOWER, 230.0) == three_quarters
        # Half a volt outside a column's range, the same power takes nearly the same current.
        scaled = motor.full_load_current(motor.HORSEPOWER, 240.5)
        assert scaled == pytest.approx(8.0 * 230.0 / 240.5)
        assert motor.full_load_current(motor.HORSEPOWER, 400.0, 3) == pytest.approx(2.415)

    def test_what_is_above_the_tables_is_refused(self):
        with pytest.raises(OutOfRange, match="the tables end at 10 hp"):
            motor.full_load_current(11.0 * motor.HORSEPOWER, 230.0)
        with pytest.raises(OutOfRange, match="rated power"):
            motor.locked_rotor_current_table(0.0, 230.0)
        with pytest.raises(OutOfRange, match="phases is 2"):
            motor.full_load_current(motor.HORSEPOWER, 230.0, 2)
        with pytest.raises(OutOfRange, match="phases is 2"):
            motor.current(1000.0, 230.0, 2)

    @modest
    @given(st.floats(20.0, 6_900.0), st.sampled_from([1, 3]))
    def test_a_larger_motor_is_allowed_no_more_starts_and_no_shorter_runs(self, watts, phases):
        larger = 1.5 * watts
        assert motor.greatest_start_rate(larger, phases) <= motor.greatest_start_rate(
            watts, phases
        )
        assert motor.greatest_hourly_starts(larger) <= motor.greatest_hourly_starts(watts)
        assert motor.least_run(larger) >= motor.least_run(watts)
        # Half the flow drawn: twice the run and as long a rest, so both rules are one.
        assert motor.greatest_hourly_starts(watts) == pytest.approx(0.25 / motor.least_run(watts))

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
