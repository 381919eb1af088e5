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


@pytest.mark.parametrize(
    ("horsepower", "voltage", "phases", "amperes"),
    [
        # What a column serves, by the tables' note: 110 to 120, 220 to 240 and 440 to 480 V.
        (1.0, 110.0, 1, 16.0),
        (1.0, 120.0, 1, 16.0),
        (1.0, 220.0, 1, 8.0),
        (1.0, 240.0, 1, 8.0),
        (1.0, 440.0, 3, 2.1),
        (1.0, 480.0, 3, 2.1),
        # Beyond that the nearest column's current, in the inverse ratio of the voltages.
        (1.0, 109.0, 1, 16.0 * 115.0 / 109.0),
        (1.0, 121.0, 1, 16.0 * 115.0 / 121.0),
        (3.0, 195.0, 1, 19.6 * 200.0 / 195.0),
        (1.0, 195.0, 3, 4.8 * 200.0 / 195.0),
        (1.0, 219.0, 1, 8.0 * 230.0 / 219.0),
        (1.0, 241.0, 1, 8.0 * 230.0 / 241.0),
        (1.0, 439.0, 3, 2.1 * 460.0 / 439.0),
        (1.0, 481.0, 3, 2.1 * 460.0 / 481.0),
        # A fiftieth above a row is still of it; a little more takes the next.
        (1.019, 230.0, 1, 8.0),
        (1.021, 230.0, 1, 10.0),
        (1.06, 230.0, 1, 10.0),
        (10.19, 230.0, 3, 28.0),
    ],
)
def test_cells_of_the_motor_tables(horsepower, voltage, phases, amperes):
    """NFPA 70 Tables 430.248 and 430.250 and their notes on voltages, as wellsolar/data has them;
    the fiftieth is ours."""
    found = motor.full_load_current(horsepower * motor.HORSEPOWER, voltage, phases)
    assert found == pytest.approx(amperes, rel=1e-9)


@pytest.mark.parametrize(
    ("horsepower", "single", "three", "hourly", "least"),
    [
        (0.97, 300.0, 300.0, 15.0, 60.0),
        (0.985, 100.0, 300.0, 7.5, 120.0),
        (5.6, 100.0, 300.0, 7.5, 120.0),
        (5.62, 50.0, 100.0, 7.5, 120.0),
        (5.75, 50.0, 100.0, 7.5, 120.0),
    ],
)
def test_starts_on_both_sides_of_one_and_five_and_a_half_horsepower(
    horsepower, single, three, hourly, least
):
    """Starts a day and an hour and the least run, by the makers' table that the functions name; a
    fiftieth about each step is of the smaller power's metric rating."""
    power = horsepower * motor.HORSEPOWER
    assert motor.greatest_start_rate(power) * 86_400.0 == pytest.approx(single)
    assert motor.greatest_start_rate(power, 3) * 86_400.0 == pytest.approx(three)
    assert motor.greatest_hourly_starts(power) * 3600.0 == pytest.approx(hourly)
    assert motor.least_run(power) == least


@pytest.mark.parametrize(
    ("horsepower", "factor", "efficiency", "three"),
    [(1.0, 1.4, 0.64, 0.69), (1.019, 1.4, 0.64, 0.69), (1.03, 1.3, 0.67, 0.72)],
)
def test_rows_of_the_plates(horsepower, factor, efficiency, three):
    """Of wellsolar/data/motor_plates.csv, from memory as it is there: 1 and 1 1/2 hp."""
    power = horsepower * motor.HORSEPOWER
    assert motor.usual_service_factor(power) == factor
    assert motor.usual_efficiency(power) == pytest.approx(efficiency)
    assert motor.usual_efficiency(power, 3) == pytest.approx(three)
    with pytest.raises(OutOfRange, match="the table ends at 10 hp"):
        motor.usual_efficiency(10.3 * motor.HORSEPOWER)
