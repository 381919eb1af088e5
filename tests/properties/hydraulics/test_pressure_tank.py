"""What must hold for any pressure tank."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import pressure_tank

PSI = 6894.757293168361

modest = settings(max_examples=50, deadline=None)

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

        def cycle_time(demand: float) -> float:
            return drawdown / (pump_flow - demand) + drawdown / demand

        at_half, elsewhere = cycle_time(0.5 * pump_flow), cycle_time(share * pump_flow)
        assert 1.0 / at_half == pytest.approx(greatest, rel=1e-12)
        assert 1.0 / elsewhere <= greatest * (1 + 1e-12)

    def test_refusals_name_quantity_value_and_range(self):
        with pytest.raises(OutOfRange, match="volume left for air is 0 m3"):
            pressure_tank.pressure_at(0.3, 2e5, 0.3, 101_325.0)
