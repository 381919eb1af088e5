"""What must hold for any cable, and for the shipped wiring tables."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.data import rows, wiring
from wellsolar.errors import OutOfRange
from wellsolar.physics.electric import cable

modest = settings(max_examples=50, deadline=None)


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

    def test_wires_in_mm2_are_monotone_and_of_copper(self):
        sizes = wiring.metric_wires()
        assert (sizes[0].gauge, sizes[-1].gauge) == ("1.5 mm2", "120 mm2")
        for thin, thick in itertools.pairwise(sizes):
            assert thin.area < thick.area
            assert thin.ampacity_75 < thick.ampacity_75
        for size in sizes:
            # Standard copper has 17.241 nanoohm m at 20 degC and 0.393 % more for each kelvin; a
            # nominal area may hold less: IEC 60228 asks for its resistance alone.
            copper = 17.241e-9 * (1.0 + 0.00393 * 55.0)
            assert 1.0 < size.resistance_75c_stranded * size.area / copper < 1.13
            assert size.ampacity_90 / size.ampacity_75 == pytest.approx(math.sqrt(1.5))

    def test_devices_of_a_site_in_mm2(self):
        assert [wiring.next_overcurrent_size(each, metric=True) for each in (5, 12.7, 14, 33)] == [
            6.0, 13.0, 16.0, 40.0
        ]  # fmt: skip

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
        assert drop == pytest.approx(current * 2.0 * resistance * length)
        loss = cable.power_loss(current, resistance, length)
        assert loss == pytest.approx(current * drop)
        three = cable.power_loss(current, resistance, length, 3)
        drop_three = cable.voltage_drop(current, resistance, length, 3)
        assert three == pytest.approx(math.sqrt(3.0) * current * drop_three)

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
