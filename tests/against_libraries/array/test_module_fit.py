"""The fit of a module's sheet on the whole of an open table."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pvlib
import pytest
from pvlib import pvsystem, singlediode

from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module, module_fit, resistive


@pytest.fixture(scope="module")
def open_table():
    """Datasheet columns of the open module table; names of modules are never looked at."""
    (path,) = (Path(pvlib.__file__).parent / "data").glob("*cec-modules*.csv")
    with path.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(lines))[2:]
    names = ("V_oc_ref", "I_sc_ref", "V_mp_ref", "I_mp_ref", "N_s", "beta_oc", "alpha_sc")
    assert len(rows) > 20_000
    return [
        (row["Technology"], module.ModuleRating(*(float(row[name]) for name in names)))
        for row in rows
    ]


def test_fit_holds_on_the_whole_open_table(open_table, record_property):
    """Every sheet has a fit, out of which its points come back.

    Every tenth row keeps this short; `tests/benchmarks` runs and prints the whole table.
    """
    tally = fit_tally([rating for _, rating in open_table[::10]])
    record_property("fit", str(tally))
    assert tally["refused"] == 0
    assert tally["de Soto"] >= 0.75 * tally["sheets"]
    assert tally["worst current or voltage"] < 1e-6
    assert tally["worst power, de Soto"] < 1e-6
    assert tally["power of 95 in 100, fallback"] < 0.01
    assert tally["worst power, fallback"] < 0.035


def fit_tally(ratings):
    """Fit each sheet, and see how far its five numbers come back by pvlib's solver."""
    fits, kept = [], []
    for rating in ratings:
        try:
            fits.append(module_fit.fit_five_parameters(rating))
        except OutOfRange:
            continue
        kept.append(rating)
    columns = [
        np.array([getattr(fit, name) for fit in fits])
        for name in (
            "photocurrent", "saturation_current", "series_resistance", "shunt_resistance",
            "modified_ideality_voltage",
        )
    ]  # fmt: skip
    soto = np.array([fit.method == module.DE_SOTO for fit in fits])
    at_rated = np.array([r.maximum_power_voltage for r in kept])
    error = np.max(
        [
            relative(pvsystem.v_from_i(0.0, *columns), [r.open_circuit_voltage for r in kept]),
            relative(pvsystem.i_from_v(0.0, *columns), [r.short_circuit_current for r in kept]),
            relative(
                pvsystem.i_from_v(at_rated, *columns), [r.maximum_power_current for r in kept]
            ),
        ]
    )
    _, _, power = singlediode.bishop88_mpp(*columns, method="chandrupatla")
    excess = relative(power, [module.rated_power(r) for r in kept])
    return {
        "sheets": len(ratings),
        "refused": len(ratings) - len(kept),
        module.DE_SOTO: int(soto.sum()),
        module.THREE_POINTS: int((~soto).sum()),
        "worst current or voltage": float(error),
        "worst power, de Soto": float(excess[soto].max()),
        "power of 95 in 100, fallback": float(np.percentile(excess[~soto], 95)),
        "worst power, fallback": float(excess[~soto].max()),
    }


def relative(value, expected):
    return np.abs(np.asarray(value) / np.asarray(expected) - 1.0)


def test_fit_keeps_the_voltage_coefficient(open_table):
    for _, rating in open_table[::400]:
        fit = module_fit.fit_five_parameters(rating)
        warm, cold = (
            float(resistive.open_circuit_voltage(module.at_conditions(fit, 1000.0, degrees)))
            for degrees in (27.0, 25.0)
        )
        assert (warm - cold) / 2.0 == pytest.approx(rating.voltage_coefficient, rel=1e-5)


def test_population_of_crystalline_modules(open_table):
    """Bands of the reference M4, computed from the same open table with pandas."""
    crystalline = [r for kind, r in open_table if kind in ("Mono-c-Si", "Multi-c-Si")]
    assert len(crystalline) == 20_946
    fill = np.percentile([module.fill_factor(r) for r in crystalline], [5, 50, 95])
    np.testing.assert_allclose(fill, [0.726, 0.760, 0.787], atol=0.0011)
    match = [
        r.maximum_power_voltage / r.maximum_power_current
        for r in crystalline
        if r.cells_in_series == 60 and 290.0 <= module.rated_power(r) <= 310.0
    ]
    assert np.mean(match) == pytest.approx(3.55, abs=0.02)


def test_an_ordinary_sheet_comes_back_out_of_its_fit_by_pvlib():
    """Its three points, greatest power where it is rated, and its voltage coefficient."""
    sheet = module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.0030 * 39.9, 0.00485)
    fit = module_fit.fit_five_parameters(sheet)
    assert fit.method == module.DE_SOTO
    back = pvsystem.singlediode(
        fit.photocurrent, fit.saturation_current, fit.series_resistance, fit.shunt_resistance,
        fit.modified_ideality_voltage,
    )  # fmt: skip
    assert [back[name] for name in ("v_oc", "i_sc")] == pytest.approx([39.9, 9.7], rel=1e-7)
    assert back["p_mp"] == pytest.approx(32.6 * 9.2, rel=1e-7)
    assert [back[name] for name in ("v_mp", "i_mp")] == pytest.approx([32.6, 9.2], rel=1e-4)


@pytest.mark.parametrize("above", [1.0005, 1.0011, 1.02])
def test_points_a_thousandth_above_the_straight_line_have_a_curve(above):
    """Of 30 V and 9 A the line has 4.5 A at 15 V."""
    sheet = module.ModuleRating(30.0, 9.0, 15.0, above * 4.5, 60, -0.1, 0.005)
    if above < 1.001:
        with pytest.raises(OutOfRange, match="lies on or below the straight line"):
            module_fit._points_alone_curve(sheet)
        return
    curve = module_fit._points_alone_curve(sheet)
    ideality = curve.ideality_voltage
    fallen = curve.junction * np.exp(-30.0 / ideality) * np.expm1(15.0 / ideality)
    assert curve.photocurrent == pytest.approx(9.0, rel=1e-9)
    assert curve.photocurrent - fallen == pytest.approx(above * 4.5, rel=1e-9)


def test_a_coefficient_that_fits_no_curve_is_let_go():
    """A sheet whose voltage coefficient is a slip of the pen, -0.85 %/K, keeps its points."""
    sheet = module.ModuleRating(36.7, 8.4, 29.4, 7.9, 60, -0.3131, 0.0062)
    fit = module_fit.fit_five_parameters(sheet)
    assert fit.method == module.POINTS_ALONE
    row = (fit.photocurrent, fit.saturation_current, 0.0, np.inf, fit.modified_ideality_voltage)
    assert fit.series_resistance == 0.0
    assert pvsystem.i_from_v(29.4, *row) == pytest.approx(7.9, rel=1e-9)
    assert pvsystem.i_from_v(0.0, *row) == pytest.approx(8.4, rel=1e-9)
    assert pvsystem.v_from_i(0.0, *row) == pytest.approx(36.7, rel=1e-9)


def test_an_impossible_sheet_is_refused_by_name():
    sheet = module.ModuleRating(30.0, 9.0, 15.0, 4.4, 60, -0.1, 0.005)
    with pytest.raises(OutOfRange, match=r"lies on or below the straight line"):
        module_fit.fit_five_parameters(sheet)
    sheet = module.ModuleRating(30.0, 9.0, 31.0, 8.0, 60, -0.1, 0.005)
    with pytest.raises(OutOfRange, match=r"maximum power voltage is 31 V"):
        module_fit.fit_five_parameters(sheet)
    sheet = module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, 0.1, 0.005)
    with pytest.raises(OutOfRange, match=r"voltage coefficient is 0\.1 V/K"):
        module_fit.fit_five_parameters(sheet)
