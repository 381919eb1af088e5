"""The module's datasheet against the open table, and remedies that clear what they name."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pvlib
import pytest

from wellsolar import kinds
from wellsolar.data.module_limits import module_limits
from wellsolar.site.defaults import default_of
from wellsolar.site.loading.read import load_site
from wellsolar.studies.sun.module_sheet import study_module_sheet
from wellsolar.units import read

SITE = """
[well]
depth = "220 ft"
static_level = "85 ft"

[module]
voc = "39.9 V"
isc = "9.7 A"
vmp = "32.6 V"
imp = "9.2 A"
cells = 60
voc_coefficient = "-0.30 %/K"
isc_coefficient = "0.05 %/K"
"""


def open_table() -> dict[str, np.ndarray]:
    """The five figures of every crystalline row of the open table."""
    (path,) = (Path(pvlib.__file__).parent / "data").glob("*cec-modules-2019*.csv")
    with path.open(encoding="utf-8", newline="") as table:
        rows = [row for row in csv.DictReader(table) if row["Technology"].endswith("-c-Si")]
    columns = ("V_oc_ref", "I_sc_ref", "V_mp_ref", "I_mp_ref", "beta_oc", "alpha_sc")
    voc, isc, vmp, imp, beta, alpha = (
        np.array([float(row[name]) for row in rows]) for name in columns
    )
    return {
        "vmp_over_voc": vmp / voc,
        "imp_over_isc": imp / isc,
        "fill_factor": vmp * imp / (voc * isc),
        "voc_coefficient": beta / voc,
        "isc_coefficient": alpha / isc,
    }


def test_the_bounds_are_those_of_the_open_table() -> None:
    table = open_table()
    assert len(table["fill_factor"]) > 20_000
    for limit in module_limits():
        values = table[limit.quantity]
        inside = np.mean((values >= limit.least) & (values <= limit.most))
        assert 0.9975 <= inside < 1.0, limit.quantity


def test_the_spread_of_a_default_is_that_of_the_open_table() -> None:
    default = default_of(("module", "voc_coefficient"))
    spread = read(default.spread, kinds.RELATIVE_COEFFICIENT)
    low, middle, high = np.percentile(open_table()["voc_coefficient"], [5, 50, 95])
    assert spread.low == pytest.approx(low, abs=1e-5)
    assert spread.high == pytest.approx(high, abs=1e-5)
    assert read(default.value, kinds.RELATIVE_COEFFICIENT) == pytest.approx(middle, abs=1e-5)


def verdict_of(tmp_path: Path, text: str):
    path = tmp_path / "site.toml"
    path.write_text(text, encoding="utf-8")
    (verdict,) = study_module_sheet(load_site(path).site).verdicts
    return verdict


def test_an_ordinary_sheet_passes(tmp_path: Path) -> None:
    assert verdict_of(tmp_path, SITE).status == "pass"


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('vmp = "32.6 V"', 'vmp = "36.2 V"', "module.vmp"),
        ('vmp = "32.6 V"', 'vmp = "29.2 V"', "module.vmp"),
        ('imp = "9.2 A"', 'imp = "7.9 A"', "module.imp"),
        ('imp = "9.2 A"', 'imp = "9.65 A"', "module.imp"),
        ('voc_coefficient = "-0.30', 'voc_coefficient = "-0.13', "module.voc_coefficient"),
        ('isc_coefficient = "0.05', 'isc_coefficient = "0.25', "module.isc_coefficient"),
    ],
)
def test_an_odd_figure_is_named_and_its_remedy_clears_it(
    tmp_path: Path, old: str, new: str, key: str
) -> None:
    odd = SITE.replace(old, new)
    verdict = verdict_of(tmp_path, odd)
    assert verdict.status == "caution"
    parts = dict(verdict.remedy.parts)
    assert parts["key"] == key
    name = key.split(".")[1]
    for end in ("low", "high"):
        unit = {"V": "V", "A": "A"}.get(parts[end].kind.key, "1/K")
        nudge = 1e-9 if end == "low" else -1e-9
        value = f'{name} = "{float(parts[end]) * (1 + nudge * np.sign(parts[end])):.12g} {unit}"'
        mended = "\n".join(
            value if line.startswith(f"{name} =") else line for line in odd.splitlines()
        )
        assert verdict_of(tmp_path, mended).status == "pass", (end, value)


def test_points_that_no_curve_joins_to_the_coefficient_are_told(tmp_path: Path) -> None:
    """Figures of a row of the open table whose five numbers contradict each other."""
    odd = SITE
    for old, new in (
        ('voc = "39.9 V"', 'voc = "45.69 V"'),
        ('isc = "9.7 A"', 'isc = "8.59 A"'),
        ('vmp = "32.6 V"', 'vmp = "38.11 V"'),
        ('imp = "9.2 A"', 'imp = "8.41 A"'),
        ("cells = 60", "cells = 72"),
        ('"-0.30 %/K"', '"-0.42 %/K"'),
    ):
        odd = odd.replace(old, new)
    found = verdict_of(tmp_path, odd)
    assert found.status == "caution"
    assert "the coefficient is left out" in found.reason.text("US")
