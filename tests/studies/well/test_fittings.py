"""Fittings with a loss of their own, by arithmetic from the definition of each way to tell it."""

from __future__ import annotations

import math

import pytest
from fluids.friction import friction_factor

from tests.studies.pump.deep_pump import BASE, PSI, PUMP, SWITCH, G, flow_at, verdict_of
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.sold.pipe_sizes import from_this_up, size_of
from wellsolar.studies.well.total_head import Line, line_for

FLOW = 6.0 * 3.785411784e-3 / 60.0
BORE = 1.049 * 0.0254
MOTION = (FLOW / (math.pi / 4.0 * BORE**2)) ** 2 / (2.0 * G)
"""Velocity head in 1 in polyethylene at 6 gpm."""

ELBOWS = 'kind = "90 elbow"\ncount = 2\n'
TEXT = BASE + SWITCH.format(volume=62, precharge=28) + PUMP


def line_with(fitting: str) -> Line:
    """The line of a site whose only fittings are these."""
    assert ELBOWS in BASE
    return line_for(parse_site(TEXT.replace(ELBOWS, fitting), "site").site, 45.72)


@pytest.mark.parametrize(
    ("fitting", "velocity_heads"),
    [
        (ELBOWS, 2 * 0.90),
        ('kind = "90 elbow"\n', 0.90),
        ('kind = "90 elbow"\ncount = 2\nk = 0.75\n', 1.5),
        ('kind = "other"\nname = "strainer"\nk = 4\n', 4.0),
        # Half the bore takes the water sixteen times the velocity head.
        ('kind = "90 elbow"\nbore = "0.5245 in"\n', 16 * 0.90),
        ('kind = "other"\nk = 4\nbore = "0.5245 in"\n', 16 * 4.0),
        # Fully open from 1 m/s on, as 6 gpm pass at 0.68 m/s: K (1 / 0.68)^2.
        ('kind = "check valve"\nopening_velocity = "0.5 m/s"\n', 2.0),
        ('kind = "check valve"\nopening_velocity = "1 m/s"\n', 2.0 / (2.0 * G) / MOTION),
        # 5 kPa of water of 10 degC are 0.5100 m.
        ('kind = "check valve"\nk = 3\nopening_pressure = "5 kPa"\n', 0.5100 / MOTION),
    ],
)
def test_loss_in_velocity_heads(fitting: str, velocity_heads: float) -> None:
    line = line_with(fitting)
    assert line.fitting_loss(FLOW) == pytest.approx(velocity_heads * MOTION, rel=1e-4)
    assert line.fitting_coefficient_at(FLOW) == pytest.approx(velocity_heads, rel=1e-4)


def test_equivalent_length_loses_as_much_as_pipe_of_its_bore() -> None:
    fitting = 'kind = "tee branch"\ncount = 3\nequivalent_length = "5 ft"\n'
    line = line_with(fitting)
    speed = FLOW / (math.pi / 4.0 * BORE**2)
    factor = friction_factor(Re=speed * BORE / line.viscosity, eD=1.5e-6 / BORE)
    assert line.fitting_loss(FLOW) == pytest.approx(3 * factor * 1.524 / BORE * MOTION, rel=1e-6)
    assert line.fitting_loss(0.0) == 0.0
    wide = line_with(f'{fitting}bore = "2.098 in"\n')
    assert wide.fitting_loss(FLOW) < line.fitting_loss(FLOW) / 20.0


def test_a_valve_with_a_spring_takes_its_pressure_before_any_water() -> None:
    line = line_with('kind = "check valve"\nopening_pressure = "5 kPa"\n')
    losses = [line.fitting_loss(flow * FLOW) for flow in (0.0, 0.3, 1.0, 8.0)]
    assert losses[0] == losses[1] == losses[2] == pytest.approx(0.5100, rel=1e-3)
    assert losses[3] == pytest.approx(64 * 2.0 * MOTION, rel=1e-9)


@pytest.mark.parametrize(("share", "status"), [(0.99, "pass"), (1.01, "caution")])
def test_the_least_flow_holds_the_valve_open_or_not(share: float, status: str) -> None:
    # The least flow is that at the cut-out of 50 psi, by fluids and arithmetic.
    speed = flow_at(50 * PSI) / (math.pi / 4.0 * BORE**2)
    valve = f'kind = "check valve"\nopening_velocity = "{share * speed:.5f} m/s"\n'
    assert verdict_of(TEXT.replace(ELBOWS, valve), "check valve opening").status == status


def test_a_valve_in_a_line_of_the_pumps_own_is_judged() -> None:
    line = '[pump.line]\nmaterial = "polyethylene SIDR"\nsize = "1 in"\nlength = "100 ft"\n'
    valve = '[[pump.line.fittings]]\nkind = "check valve"\nopening_velocity = "9 ft/s"\n'
    # 12 gpm, the most of the curve, pass 1 in at 4.5 ft/s.
    assert verdict_of(TEXT + line + valve, "check valve opening").status == "caution"


def test_a_pipe_of_its_own_bore_and_roughness() -> None:
    own = 'size = "riser hose"\nbore = "30 mm"\noutside_diameter = "36 mm"\nroughness = "0.2 mm"\n'
    text = TEXT.replace('size = "1 in"\nlength', f"{own}length")
    site = parse_site(text, "site").site
    line = line_for(site, 45.72)
    speed = FLOW / (math.pi / 4.0 * 0.030**2)
    factor = friction_factor(Re=speed * 0.030 / line.viscosity, eD=0.2 / 30.0)
    expected = factor * 100 * 0.3048 / 0.030 * speed**2 / (2.0 * G)
    assert float(line.lateral_friction(FLOW)) == pytest.approx(expected, rel=1e-6)
    size = size_of(site.piping.lateral)
    assert (size.nominal, size.outside_diameter) == ("riser hose", pytest.approx(0.036))
    assert [each.nominal for each in from_this_up(site.piping.lateral)] == ["riser hose"]
