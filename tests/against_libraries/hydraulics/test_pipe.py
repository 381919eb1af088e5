"""Pipe and fittings against fluids, and their tables against standards."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from fluids import friction, piping

from wellsolar.constants import PSI
from wellsolar.data import fitting_table, pipes
from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import pipe

GALLON_PER_MINUTE = 3.785411784e-3 / 60.0

INCH = 0.0254


def test_friction_factor_against_the_closed_form_of_colebrook():
    reynolds = np.geomspace(2100.0, 1e7, 25)
    for roughness in (0.0, 1e-6, 1e-4, 0.01, 0.05):
        # Plain floats: the closed form overflows at the roughest end and fluids then iterates.
        expected = [friction.Colebrook(number, roughness) for number in reynolds.tolist()]
        np.testing.assert_allclose(pipe.friction_factor(reynolds, roughness), expected, rtol=1e-9)


def test_friction_factor_satisfies_colebrook():
    for reynolds in (3e3, 5e4, 2e6):
        for roughness in (0.0, 1e-4, 0.02):
            root = 1.0 / math.sqrt(pipe.friction_factor(reynolds, roughness))
            right = -2.0 * math.log10(roughness / 3.7 + 2.51 * root / reynolds)
            assert root == pytest.approx(right, rel=1e-12)


def test_laminar_loss_is_that_of_poiseuille():
    flow, bore, viscosity = 2e-6, 0.02, 1e-6
    expected = 128.0 * viscosity * flow * 10.0 / (math.pi * 9.80665 * bore**4)
    assert pipe.FrictionLoss(bore, 10.0, 0.0, viscosity)(flow) == pytest.approx(expected)


def test_hazen_williams_against_its_metric_form():
    """The metric form, 10.67 and 4.8704, is rounded otherwise than the US one (from memory)."""
    flow = np.array([2.0, 5.0, 10.0, 20.0]) * GALLON_PER_MINUTE
    for nominal in pipes.sizes("PVC sch 40"):
        bore = pipes.pipe_size("PVC sch 40", nominal).bore
        expected = 10.67 * 30.0 * (flow / 140.0) ** 1.852 / bore**4.8704
        ours = pipe.head_loss_hazen_williams(flow, bore, 30.0, 140.0)
        np.testing.assert_allclose(ours, expected, rtol=0.015)


@pytest.mark.parametrize(
    ("nominal", "inches"),
    [
        ("1/2 in", 0.5),
        ("3/4 in", 0.75),
        ("1 in", 1.0),
        ("1 1/4 in", 1.25),
        ("1 1/2 in", 1.5),
        ("2 in", 2.0),
        ("2 1/2 in", 2.5),
        ("3 in", 3.0),
    ],
)
def test_iron_pipe_sizes_against_the_table_of_fluids(nominal, inches):
    """fluids keeps ASME B36.10M in millimetres, rounded to 0.01 mm in wall and 0.1 mm in bore."""
    _, bore, outside, _ = piping.nearest_pipe(NPS=inches, schedule="40")
    steel = pipes.pipe_size("galvanised steel", nominal)
    assert steel.bore == pytest.approx(bore, abs=0.05e-3)
    assert steel.outside_diameter == pytest.approx(outside, abs=0.05e-3)
    plastic = pipes.pipe_size("PVC sch 40", nominal)
    assert plastic.outside_diameter == steel.outside_diameter
    assert pipes.pipe_size("polyethylene SIDR", nominal).bore == steel.bore
    # The plastic's average wall is thicker than steel's by its moulding tolerance, 0.5 mm at most.
    assert 0.0 < steel.bore - plastic.bore < 1.0e-3


def test_pvc_bores_follow_from_the_least_wall_of_the_standard():
    """ASTM D1785: wall tolerance 0.020 in or 12 %, the greater, all of it upward."""
    walls = {"3/4 in": 0.113, "1 in": 0.133, "1 1/4 in": 0.140, "1 1/2 in": 0.145, "2 in": 0.154}
    for nominal, least in walls.items():
        size = pipes.pipe_size("PVC sch 40", nominal)
        mean_wall = least + 0.5 * max(0.020, 0.12 * least)
        expected = size.outside_diameter - 2.0 * mean_wall * INCH
        assert size.bore == pytest.approx(expected, abs=0.003 * INCH)


@pytest.mark.parametrize("nominal", ["1/2 in", "3/4 in", "1 in", "1 1/4 in", "1 1/2 in", "2 in"])
@pytest.mark.parametrize("schedule", ["40", "80"])
def test_pvc_bores_against_the_walls_of_fluids(nominal, schedule):
    """fluids keeps the least walls of ASTM D1785, which grow by 0.020 in or 12 % at most."""
    whole, _, part = nominal.removesuffix(" in").rpartition(" ")
    inches = float(whole or 0) + float(Fraction(part))
    _, _, outside, wall = piping.nearest_pipe(NPS=inches, schedule=f"{schedule}D1785")
    size = pipes.pipe_size(f"PVC sch {schedule}", nominal)
    expected = outside - 2.0 * wall - max(0.020 * INCH, 0.12 * wall)
    assert size.bore == pytest.approx(expected, abs=0.2e-3)
    metric = pipes.pipe_size(f"PVC sch {schedule}", pipes.NOMINAL_DIAMETERS[nominal])
    assert (metric.bore, metric.listed) == (size.bore, nominal)


def test_metric_steel_against_the_table_of_fluids():
    """Of BS 1387 medium, from which EN 10255 came, fluids keeps the widest outside."""
    for nominal in pipes.sizes("galvanised steel EN 10255"):
        number = piping.DN_MEDIUM_BS1387.index(float(nominal.removeprefix("DN ")))
        size = pipes.pipe_size("galvanised steel EN 10255", nominal)
        outside, bore = 1e3 * size.outside_diameter, 1e3 * size.bore
        assert 0.0 < piping.MEDIUMo_BS1387[number] - outside < 0.8
        assert outside - bore == pytest.approx(2.0 * piping.MEDIUMt_BS1387[number])
        assert bore == pytest.approx(piping.MEDIUMi_BS1387[number], rel=0.025)


def test_a_metric_pipe_has_the_pressure_of_its_wall():
    """PN = 20 s / (SDR - 1) bar, with s of 8, 6.3 and 10 MPa, down to a size that is made."""
    for material, stress in (
        ("polyethylene PE100", 8.0), ("polyethylene PE80", 6.3), ("PVC-U", 10.0)
    ):  # fmt: skip
        for nominal in pipes.sizes(material):
            ratio = float(pipes.pipe_size(material, nominal).wall.removeprefix("SDR "))
            (found,) = pipes.pressure_classes(material, nominal, in_well=True)
            assert found.pressure / 1e5 == pytest.approx(20.0 * stress / (ratio - 1.0), rel=0.025)
            printed = f"{nominal.split(' SDR')[0]} {found.name}"
            assert pipes.pipe_size(material, printed).listed == nominal


def test_inch_polyethylene_has_the_pressure_of_resin_and_wall():
    """P = 2 HDS / (SIDR + 1) or 2 HDS / (DR - 1), with 1000 and 800 psi."""
    for material, stress in (("polyethylene PE4710", 1000.0), ("polyethylene PE3608", 800.0)):
        for nominal in pipes.sizes(material):
            size = pipes.pipe_size(material, nominal)
            kind, ratio = size.wall.split()
            expected = 2.0 * stress / (float(ratio) + (1.0 if kind == "SIDR" else -1.0))
            (found,) = pipes.pressure_classes(material, nominal, in_well=False)
            assert found.pressure / PSI == pytest.approx(expected, rel=0.005)
            if kind == "SIDR":
                assert size.bore == pipes.pipe_size("polyethylene SIDR", size.diameter).bore


@pytest.mark.parametrize("material", pipes.materials())
def test_pipe_table_bounds(material):
    sizes = [pipes.pipe_size(material, nominal) for nominal in pipes.sizes(material)]
    for series in {size.series for size in sizes}:
        bores = [size.bore for size in sizes if size.series == series]
        assert bores == sorted(set(bores))
        assert len(bores) >= 6
    for size in sizes:
        assert 1e-3 < size.outside_diameter - size.bore < 28e-3
        assert 0.6 < size.bore / size.outside_diameter < 0.97
        assert 0.0 < size.roughness / size.bore < 0.02
        assert 100.0 <= size.hazen_williams_coefficient <= 150.0


def test_copper_types_share_the_outside_and_thin_from_k_to_m():
    for nominal in pipes.sizes("copper K"):
        thick, middle, thin = (pipes.pipe_size(f"copper {kind}", nominal) for kind in "KLM")
        assert thick.outside_diameter == middle.outside_diameter == thin.outside_diameter
        assert thick.bore < middle.bore < thin.bore


def test_unknown_pipe_and_fitting_list_what_exists():
    with pytest.raises(
        OutOfRange, match=r"no pipe material 'lead' .*PVC sch 40, PVC sch 80, poly"
    ):
        pipes.pipe_size("lead", "1 in")
    with pytest.raises(
        OutOfRange, match=r"no copper L pipe of nominal size '1 in\.' .*3/4 in, 1 in"
    ):
        pipes.pipe_size("copper L", "1 in.")
    with pytest.raises(OutOfRange, match=r"no fitting 'bend' .*90 elbow, 45 elbow"):
        fitting_table.fitting("bend")


@pytest.mark.parametrize("kind", fitting_table.kinds())
def test_fitting_table_bounds(kind):
    """K over L/D is a friction factor; fully rough small pipe lies between 0.015 and 0.05."""
    fitting = fitting_table.fitting(kind)
    assert 0.015 < fitting.loss_coefficient / fitting.equivalent_diameters < 0.05
    assert fitting.source
    assert fitting.provenance


def test_fittings_stand_in_their_order():
    loss = {kind: fitting_table.fitting(kind).loss_coefficient for kind in fitting_table.kinds()}
    assert loss["ball valve"] < loss["gate valve"] < loss["45 elbow"] < loss["90 elbow"]
    assert loss["90 elbow"] <= loss["tee run"] < loss["tee branch"] < loss["check valve"]
    assert loss["check valve"] < loss["globe valve"]
    assert loss["pitless adapter"] == pytest.approx(loss["90 elbow"] + loss["tee branch"])
