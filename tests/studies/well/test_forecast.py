"""What a pumping test tells beyond its end and beside its well, against image wells."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from scipy.special import exp1

from tests.references.theis import wall_response
from tests.studies.well.low_yield import DAY, fetter, fit_of, listed
from wellsolar.errors import SiteFileError
from wellsolar.physics.well.theis import Boundary
from wellsolar.site.loading.level_file import KEPT
from wellsolar.site.loading.read import load_site
from wellsolar.studies.case import study_site

T, S, RADIUS, FLOW = 20.0 / DAY, 1e-4, 0.1, 1e-3
HOURS = 3600.0


def theis(times: np.ndarray) -> np.ndarray:
    return FLOW / (4 * math.pi * T) * exp1(RADIUS**2 * S / (4 * T * times))


def pumped(hours: float, more: str = "") -> str:
    times = np.geomspace(60.0, hours * HOURS, 12)
    return (
        f'[well.drawdown_test]\nflow = "{FLOW} m3/s"\ntime = "{listed(times, "s")}"\n'
        f'level = "{listed(theis(times), "m", 10)}"\n{more}'
    )


def test_a_barrier_doubles_the_trend_and_a_stream_ends_it() -> None:
    # Image wells: far behind the onset the drawdown gains 2 x 2.30 Q / (4 pi T) a decade, or none.
    times = np.array([1e6, 1e7])
    for strength, slopes in ((1.0, 2.0), (-1.0, 0.0)):
        drawn, whole = wall_response(times, T, S, RADIUS, Boundary(strength, 3600.0))
        decade = math.log(10) / (4 * math.pi * T)
        assert drawn[1] - drawn[0] == pytest.approx(slopes * decade, abs=0.01 * decade)
        # The integral is that of the drawdown.
        steps = np.linspace(1e6, 1e7, 20_001)
        between = np.trapezoid(
            wall_response(steps, T, S, RADIUS, Boundary(strength, 3600.0))[0], steps
        )
        assert whole[1] - whole[0] == pytest.approx(between, rel=1e-6)


def test_a_day_is_forecast_from_an_hour_between_no_trend_and_twice_its_trend() -> None:
    unit = 1 / (4 * math.pi * T)
    at_end, day = (float(theis(np.array([each]))[0]) / FLOW for each in (HOURS, DAY))
    likely = fit_of(pumped(1)).drawdown
    assert 1 / likely.specific_capacity == pytest.approx(day, rel=1e-3)
    for trend, expected in ((0, at_end), (2, day + unit * math.log(24))):
        found = fit_of(pumped(1, f"trend_after = {trend}")).drawdown
        # The image well comes in along its own curve, an hour's worth of bend.
        assert 1 / found.specific_capacity == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(("hours", "status"), [(23.9, "caution"), (24.0, "pass")])
def test_a_test_shorter_than_a_day_is_a_caution(hours: float, status: str, tmp_path: Path) -> None:
    site = tmp_path / "site.toml"
    site.write_text(f'[well]\ndepth = "99 m"\nstatic_level = "10 m"\n{pumped(hours)}')
    results = study_site(load_site(site), ("pump",))
    (found,) = [each for each in results.verdicts if each.rule.key == "length of the test"]
    assert found.status == status


def test_another_well_does_not_tell_this_one() -> None:
    from wellsolar.site.loading.read import parse_site

    well = '[well]\ndepth = "500 m"\nstatic_level = "10 m"\ncasing_bore = "0.3 m"\n{}' + fetter()
    for more, status in (("", "unknown"), ('specific_capacity = "20 gpm/ft"\n', "pass")):
        results = study_site(parse_site(well.format(more)), ("pump",))
        (found,) = [each for each in results.verdicts if each.rule.key == "test in another well"]
        assert found.status == status


class TestLevelsInAFile:
    SITE = (
        '[well]\ndepth = "99 m"\nstatic_level = "10 m"\n'
        f'[well.drawdown_test]\nflow = "{FLOW} m3/s"\nfile = "levels.csv"\n'
    )

    def loaded(self, folder: Path, levels: str) -> object:
        (folder / "levels.csv").write_text(levels, encoding="utf-8")
        (folder / "site.toml").write_text(self.SITE, encoding="utf-8")
        return load_site(folder / "site.toml")

    def test_a_loggers_thousands_of_readings_give_the_fit(self, tmp_path: Path) -> None:
        times = np.arange(10.0, 24 * HOURS + 1, 10.0)
        feet = (10 + theis(times)) / 0.3048
        lines = [f"{t / 60:.8g},7.1,{d:.8g}" for t, d in zip(times, feet, strict=True)]
        file = self.loaded(
            tmp_path, "# from the logger\ntime (min),battery (V),level (ft)\n" + "\n".join(lines)
        )
        test = file.site.well.drawdown_test
        assert len(test.time) <= KEPT + 4
        assert float(test.time[-1]) == pytest.approx(24 * HOURS)
        results = study_site(file, ("pump",))
        assert results.well.transmissivity == pytest.approx(T, rel=1e-3)

    @pytest.mark.parametrize(
        ("levels", "told"),
        [
            ("time (min),depth (ft)\n1,40\n", 'line 1: has no column "level"'),
            ("time,level\n1,40\n", "line 2: time"),
            ("time (min),level (ft)\n1,40\n2,4o\n", 'line 3: level "4o": '),
            ("time (min),level (ft)\n2,40\n1,41\n", "later than the one before"),
            ("time (min),level (ft)\n2024-05-01 10:00,40\n", "counts from the start"),
            ("time (min),level (ft)\n1,\n", "line 2: level is empty"),
            ("time (min),level (ft)\n", "no line of readings"),
            ("", "no column"),
        ],
    )
    def test_a_mistake_names_line_value_and_remedy(
        self, tmp_path: Path, levels: str, told: str
    ) -> None:
        with pytest.raises(SiteFileError) as raised:
            self.loaded(tmp_path, levels)
        text = "\n".join(each.text("site.toml") for each in raised.value.problems)
        assert "site.toml:6: well.drawdown_test.file: " in text
        assert told in text
        assert "time: is missing" not in text

    def test_a_missing_file_is_named(self, tmp_path: Path) -> None:
        (tmp_path / "site.toml").write_text(self.SITE, encoding="utf-8")
        with pytest.raises(SiteFileError, match="no such file beside the site file"):
            load_site(tmp_path / "site.toml")
