"""`wellsolar heat --match` as a user types it, on the measured year of Greensboro.

The energies were computed beforehand with pvlib: the typical year of the open file 723170, its own
sky split, cells by wind, four modules of 300 W at the latitude's tilt, no losses and no cable, on
one element of 240 V and 4500 W. They hold to 1.5 %.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from subprocess import CompletedProcess

import numpy as np
import pytest

from tests.site_texts import NO_LOSSES

Run = Callable[..., "CompletedProcess[bytes]"]

KWH = 3.6e6
PRINTED = [80.4, 90.8, 120.7, 130.8, 116.7, 121.7, 123.8, 129.7, 112.4, 108.4, 77.0, 81.1]
TRACKED = [139.6, 145.2, 184.3, 194.9, 188.6, 189.7, 192.5, 192.6, 169.3, 167.7, 129.1, 139.1]
SITE = """
[site]
name = "Four modules on one element (invented)"
latitude = "36.1 deg"
altitude = "273 m"
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
[[array]]
name = "hot water"
feeds = "heater"
series = 4
tilt = "36.1 deg"
azimuth = "180 deg"
[sun]
file = "{file}"
albedo = "20 %"
[water_heater]
volume = "50 gal"
[[water_heater.element]]
position = "lower"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "hot water"
[water_heater.draw]
volume = "50 gal"
"""


@pytest.fixture
def site(tmp_path: Path) -> str:
    (source,) = Path(str(files("pvlib") / "data")).glob("723170*.CSV")
    (tmp_path / source.name).write_bytes(source.read_bytes())
    (tmp_path / "four.toml").write_text(
        SITE.format(file=source.name) + NO_LOSSES, encoding="utf-8"
    )
    return "four.toml"


def test_the_energies_are_those_computed_beforehand(run_here: Run, site: str) -> None:
    done = run_here("heat", "--match", "--json", "-", site)
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert list(told["sections"]) == ["match"]
    match = told["sections"]["match"]
    assert match["rows"]["energy_J"] / KWH == pytest.approx(1293.5, rel=0.015)
    assert match["rows"]["ratio_fraction"] == pytest.approx(1293.5 / 2032.6, abs=0.01)
    # 1.47 times 4 x 32.6 V / 9.2 A, and 0.770 of what the array could give.
    assert match["rows"]["best_resistance_ohm"] == pytest.approx(1.47 * 4 * 32.6 / 9.2, rel=0.02)
    assert match["rows"]["best_ratio_fraction"] == pytest.approx(0.770, rel=0.02)
    # The published band of an optimised resistance: 1 / 1.35 to 1 / 1.20 of tracking.
    assert 0.74 < match["rows"]["best_ratio_fraction"] < 0.83
    months = match["grids"]["months"]["rows"]
    energies = np.array([month["energy_J"] for month in months]) / KWH
    np.testing.assert_allclose(energies, PRINTED, rtol=0.015)
    best = np.array([month["tracked_J"] for month in months]) / KWH
    np.testing.assert_allclose(best, TRACKED, rtol=0.015)


def test_named_pairs_of_array_and_element(run_here: Run, site: str, tmp_path: Path) -> None:
    """Of the same computation: 3 and 5 in series on 12.8 ohm, and 4 on 16.5 ohm of 3500 W."""
    match = json.loads(run_here("heat", "--match", "--json", "-", site).stdout)["sections"][
        "match"
    ]
    wirings = {
        (row["series_count"], row["parallel_count"]): row
        for row in match["grids"]["wirings"]["rows"]
    }
    assert wirings[3, 1]["energy_J"] / KWH == pytest.approx(1142.0, rel=0.015)
    assert wirings[5, 1]["energy_J"] / KWH == pytest.approx(1312.9, rel=0.015)
    ways = {row["coupling"]: row for row in match["grids"]["ways"]["rows"]}
    assert ways["all that the array could give"]["energy_J"] / KWH == pytest.approx(
        2032.6, rel=0.015
    )
    other = (tmp_path / site).read_text(encoding="utf-8").replace('"4500 W"', '"3500 W"')
    (tmp_path / "other.toml").write_text(other, encoding="utf-8")
    match = json.loads(run_here("heat", "--match", "--json", "-", "other.toml").stdout)
    assert match["sections"]["match"]["rows"]["energy_J"] / KWH == pytest.approx(1506.2, rel=0.015)
    assert [each["status"] for each in match["verdicts"] if each["subject"] == "hot water"] == [
        "pass"
    ]


def test_it_prints_only_the_match_within_eighty_columns(run_here: Run, site: str) -> None:
    done = run_here("heat", "--match", site, COLUMNS="80")
    text = done.stdout.decode("utf-8")
    assert done.returncode == 0
    assert "Array and element matched" in text
    assert "is the element matched to the array?" in text
    for other in ("Heated tank", "Hot water at the tap", "scald"):
        assert other not in text
    assert max(len(line) for line in text.splitlines()) <= 80


def test_without_a_heater_it_says_what_is_missing(run_here: Run, tmp_path: Path) -> None:
    (tmp_path / "bare.toml").write_text(
        '[well]\ndepth = "100 ft"\nstatic_level = "30 ft"\n', encoding="utf-8"
    )
    done = run_here("heat", "--match", "bare.toml")
    assert done.returncode == 0
    assert b"no water heater in the file: add [water_heater]" in done.stdout
    assert done.stderr == b""
