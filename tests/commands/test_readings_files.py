"""Files of readings as people write them: several times, units in heads or cells, mistakes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from wellsolar.cli import wellsolar
from wellsolar.errors import SiteFileError
from wellsolar.site.readings.file import load_readings

SITE = str(Path(__file__).parents[2] / "examples" / "ridge_house.toml")
PSI, GALLON = 6894.757, 3.785411784e-3


def write(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def test_a_csv_takes_units_in_heads_or_cells_and_empty_cells(tmp_path: Path) -> None:
    text = """date,time,sky,element amps (A),Fill time[s],bucket volume(gal),bucket-time,pump,Note
# a remark
2026-06-14,12:10,clear,8.4 +- 0.1,,,,,"windy, some dust"
2026-06-14,2:30 pm,Thin cloud,6.1 A +- 2 %,350,,,frugal pump
,,,,,,,

june,,,,,5 +- 0.1,30 s,house pump
"""
    first, second, third = load_readings(write(tmp_path / "day.csv", text))
    assert (first.month, first.day, first.hour) == (6, 14, pytest.approx(12 + 1 / 6))
    assert first.values["element_amps"].high == pytest.approx(8.5)
    assert (second.hour, second.sky, second.pump) == (14.5, "thin cloud", "frugal pump")
    assert second.values["element_amps"].low == pytest.approx(0.98 * 6.1)
    assert float(second.values["fill_time"]) == pytest.approx(350.0)
    assert (third.month, third.day, third.sky) == (6, None, None)
    assert third.values["bucket_volume"].high == pytest.approx(5.1 * GALLON)


def test_a_csv_of_semicolons_is_read_too(tmp_path: Path) -> None:
    path = write(tmp_path / "day.csv", "time;gauge pressure (bar);pump state\n7:00;3.1;on\n")
    (made,) = load_readings(path)
    assert float(made.values["gauge_pressure"]) == pytest.approx(310_000.0)
    assert made.pump_state == "on"


def test_toml_takes_dates_and_times_of_its_own(tmp_path: Path) -> None:
    text = """[[reading]]
date = 2026-12-24
time = 07:05:00
tank_temperature = "48 degC +- 1 degC"

[[reading]]
element_amps = 5.6
irradiance = 540
"""
    first, second = load_readings(write(tmp_path / "day.toml", text))
    assert (first.month, first.day, first.hour) == (12, 24, pytest.approx(7 + 5 / 60))
    assert first.values["tank_temperature"].high == pytest.approx(49.0)
    assert float(second.values["irradiance"]) == pytest.approx(540.0)


@pytest.mark.parametrize(
    ("date", "found"),
    [
        ("2026-06-14 12:10:30", (6, 14, 12 + 1 / 6)),
        ("2026-06-14T07:30", (6, 14, 7.5)),
        ("6/14/2026", (6, 14, None)),
        ("14/6/2026", (6, 14, None)),
        ("5/5/2026", (5, 5, None)),
        ("February", (2, None, None)),
        ("11", (11, None, None)),
    ],
)
def test_dates_are_taken_as_spreadsheets_and_loggers_write_them(
    date: str, found: tuple[int, int | None, float | None], tmp_path: Path
) -> None:
    path = write(tmp_path / "day.csv", f"date,fill time\n{date},100\n")
    (made,) = load_readings(path)
    assert (made.month, made.day, made.hour) == (
        found[0], found[1], None if found[2] is None else pytest.approx(found[2]),
    )  # fmt: skip


@pytest.mark.parametrize(
    "date", ["3/12/2026", "2026-02-30", "13/13/2026", "Juni", "2026-06-14 25:00"]
)
def test_a_date_that_could_be_another_is_refused(date: str, tmp_path: Path) -> None:
    path = write(tmp_path / "day.csv", f"date,fill time\n{date},100\n")
    with pytest.raises(SiteFileError) as error:
        load_readings(path)
    assert ":2: line 2.date:" in str(error.value)


def test_a_csv_tells_all_mistakes_each_with_its_line(tmp_path: Path) -> None:
    text = """time,element amps,fill tim,gauge pressure
12:00,8.4,,40 psi
25:00,8.4 V,,
12:10,6.2,,40
12:20,"6.2,,
12:30,6.2,,,,9
"""
    with pytest.raises(SiteFileError) as error:
        load_readings(write(tmp_path / "day.csv", text))
    lines = str(error.value).splitlines()
    assert [line.split(":")[1] for line in lines] == ["1", "3", "3", "4", "5", "6"]
    for line, said in zip(
        lines,
        ["fill_time", "time of day", "a voltage", "no unit", "quote is left open", "6 cells"],
        strict=True,
    ):
        assert said in line


def test_toml_tells_all_mistakes_each_with_its_line(tmp_path: Path) -> None:
    text = """[[reading]]
pumping_time = "30 min"

[[reading]]
pump_state = "running"
gauge_pressure = "50 psi"

[[reading]]
bucket_volume = "5 gal"
"""
    with pytest.raises(SiteFileError) as error:
        load_readings(write(tmp_path / "day.toml", text))
    lines = str(error.value).splitlines()
    assert [line.split(":")[1] for line in lines] == ["2", "5", "9"]
    for line, said in zip(lines, ["pumping level", '"on", "off"', "bucket time"], strict=True):
        assert said in line


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("8.4 A +- much", "how far off"),
        ("8.4 A +- 2 psi", "8.4 A +- 2 psi"),
        ("-3 A", "at least"),
        ("", "is empty"),
    ],
)
def test_a_value_that_can_not_be_read_is_told(value: str, said: str) -> None:
    told = ["readings", SITE, "--element-amps", value, "--irradiance", "500"]
    result = CliRunner().invoke(wellsolar, told, standalone_mode=False)
    assert isinstance(result.exception, SiteFileError)
    assert said in str(result.exception)


def test_several_times_have_titles_and_keys_of_their_own(tmp_path: Path) -> None:
    text = """date,time,element amps,sky
6,9:00,5.0,clear
6,12:00,8.4,clear
12,12:00,8.4,clear
"""
    path = write(tmp_path / "day.csv", text)
    result = CliRunner().invoke(
        wellsolar, ["readings", SITE, "--from", str(path), "--json", "-"], standalone_mode=False
    )
    assert result.exception is None
    made = json.loads(result.stdout)
    titles = [each["title"] for each in made["sections"].values()]
    assert list(made["sections"]) == ["reading_1", "reading_2", "reading_3"]
    for title, time in zip(titles, ["June, 9:00", "June, 12:00", "December, 12:00"], strict=True):
        assert time in title
    assert len({each["subject"] for each in made["verdicts"]}) == 3


def test_a_pump_that_is_not_there_ends_with_two_and_names_those_that_are(
    tmp_path: Path,
) -> None:
    path = write(tmp_path / "day.csv", "pump,fill time\nhouse pump,100 s\nsolar,100 s\n")
    result = CliRunner().invoke(
        wellsolar, ["readings", SITE, "--from", str(path)], standalone_mode=False
    )
    assert isinstance(result.exception, SiteFileError)
    assert result.exception.exit_code == 2
    assert ":3: line 3.pump:" in str(result.exception)
    assert '"house pump", "frugal pump"' in str(result.exception)
