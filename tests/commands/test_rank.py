"""`wellsolar heat --rank` as a user types it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest

Run = Callable[..., "CompletedProcess[bytes]"]
SITE = """
[site]
name = "One module to spare (invented)"
latitude = "36 deg"
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
on_hand = 2
[[array]]
name = "hot water"
feeds = "heater"
series = 1
tilt = "45 deg"
azimuth = "180 deg"
[sun]
clearness = "0.5"
temperature = "38, 41, 50, 58, 66, 74, 77, 76, 70, 59, 50, 41 degF"
[water_heater]
volume = "50 gal"
[[water_heater.element]]
position = "lower"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "hot water"
[water_heater.draw]
volume = "20 gal"
"""


@pytest.fixture
def site(tmp_path: Path) -> str:
    (tmp_path / "tank.toml").write_text(SITE, encoding="utf-8")
    return "tank.toml"


def test_the_ranking_alone(run_here: Run, site: str) -> None:
    done = run_here("heat", "--rank", "--top", "3", "--json", "tank.json", site, COLUMNS="80")
    assert done.returncode == 0, done.stderr.decode()
    assert done.stderr == b""
    printed = done.stdout.decode()
    assert "Heated tanks ranked" in printed
    assert "What anything costs is not considered" in " ".join(printed.split())
    assert max(len(line) for line in printed.splitlines()) <= 80
