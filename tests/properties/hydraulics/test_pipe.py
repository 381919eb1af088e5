"""What must hold for any pipe and fitting."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.physics.hydraulics import pipe

few = settings(max_examples=50, deadline=None)

flows = st.floats(1e-6, 5e-3)

bores = st.floats(0.01, 0.1)

lengths = st.floats(0.0, 500.0)

roughnesses = st.floats(0.0, 3e-4)

viscosities = st.floats(2.8e-7, 1.8e-6)

ratios = st.floats(1.001, 3.0)


@few
@given(flows, ratios, bores, st.floats(1.0, 500.0), roughnesses, viscosities)
def test_darcy_loss_rises_with_flow_length_and_roughness(
    flow: float, ratio: float, bore: float, length: float, roughness: float, viscosity: float
) -> None:
    loss = pipe.FrictionLoss(bore, length, roughness, viscosity)(flow)
    assert loss > 0.0
    assert pipe.FrictionLoss(bore, length, roughness, viscosity)(flow * ratio) > loss
    double = pipe.FrictionLoss(bore, 2.0 * length, roughness, viscosity)(flow)
    assert double == pytest.approx(2.0 * loss)
    assert pipe.FrictionLoss(bore, length, roughness + 1e-4, viscosity)(flow) >= loss
    # At one and the same side of the laminar limit a wider pipe always loses less.
    wide = bore * ratio
    limit = pipe.LAMINAR_LIMIT
    if pipe.reynolds_number(pipe.velocity(flow, wide), wide, viscosity) > limit:
        assert pipe.FrictionLoss(wide, length, roughness, viscosity)(flow) < loss


@few
@given(bores, lengths, roughnesses, viscosities, st.floats(80.0, 150.0))
def test_nothing_flowing_loses_nothing(
    bore: float, length: float, roughness: float, viscosity: float, coefficient: float
) -> None:
    assert pipe.FrictionLoss(bore, length, roughness, viscosity)(0.0) == 0.0
    assert pipe.head_loss_hazen_williams(0.0, bore, length, coefficient) == 0.0
    both = np.array([0.0, 1e-3])
    losses = pipe.FrictionLoss(bore, length, roughness, viscosity)(both)
    assert losses[0] == 0.0
    alone = pipe.FrictionLoss(bore, length, roughness, viscosity)(1e-3)
    assert losses[1] == pytest.approx(alone, rel=1e-14), "numpy's power may round its own way"


@few
@given(flows, ratios, bores, st.floats(1.0, 500.0), st.floats(80.0, 150.0))
def test_hazen_williams_loss_rises_with_flow_and_falls_with_bore_and_coefficient(
    flow: float, ratio: float, bore: float, length: float, coefficient: float
) -> None:
    loss = pipe.head_loss_hazen_williams(flow, bore, length, coefficient)
    assert pipe.head_loss_hazen_williams(flow * ratio, bore, length, coefficient) > loss
    assert pipe.head_loss_hazen_williams(flow, bore * ratio, length, coefficient) < loss
    assert pipe.head_loss_hazen_williams(flow, bore, length, coefficient * ratio) < loss


def test_the_two_formulas_agree_in_the_flows_of_a_house() -> None:
    """For 1 to 2 in smooth pipe at 3 to 7 ft/s they lie within a tenth; F01's own band."""
    for inches in (1.049, 1.38, 1.61, 2.067):
        bore = inches * 0.0254
        for speed in (0.9, 1.5, 2.1):
            flow = speed / pipe.velocity(1.0, bore)
            darcy = pipe.FrictionLoss(bore, 30.0, 1.5e-6, 1.13e-6)(flow)
            trade = pipe.head_loss_hazen_williams(flow, bore, 30.0, 150.0)
            assert 0.97 < darcy / trade < 1.10
