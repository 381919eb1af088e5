"""Mistakes of a weather file are mistakes of the site file."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.studies.supply.houses import STATIONS, TANK, changed, house, made_year, simple
from wellsolar.__main__ import main
from wellsolar.errors import SiteFileError
from wellsolar.site.loading.read import load_site
from wellsolar.studies.sun.year import year_of_site


def refused(path: Path) -> str:
    with pytest.raises(SiteFileError) as error:
        year_of_site(load_site(path))
    (problem,) = error.value.problems
    assert problem.path == "sun.file"
    assert problem.line == path.read_text(encoding="utf-8").split('file = "')[0].count("\n") + 1
    return problem.message


def test_mistakes_of_a_weather_file_are_the_site_files(tmp_path: Path) -> None:
    path = simple(tmp_path)
    assert refused(path) == "made.csv: no such file beside the site file"
    (tmp_path / "made.csv").mkdir()
    assert "is a folder" in refused(path)
    (tmp_path / "made.csv").rmdir()
    made_year(tmp_path, lambda day: False, head="sun,dni,dhi,temperature,wind")
    made_year(tmp_path, lambda day: False)
    text = (tmp_path / "made.csv").read_text(encoding="utf-8")
    lines = text.split("\n")

    def with_text(new: str | bytes) -> str:
        data = new if isinstance(new, bytes) else new.encode()
        (tmp_path / "made.csv").write_bytes(data)
        return refused(path)

    assert 'no column "temperature"' in with_text(text.replace("temperature", "air", 1))
    assert "has 8759 rows of hours" in with_text("\n".join(lines[:-1]))
    bad = [*lines[:99], "0,0,0,warm,0", *lines[100:]]
    assert with_text("\n".join(bad)) == (
        'made.csv: column "temperature", row 100: "warm" is not a number'
    )
    hot = [*lines[:99], "0,0,0,99,0", *lines[100:]]
    assert 'made.csv: column "temperature", row 100: 99 degC' in with_text("\n".join(hot))
    assert "at night" in with_text("\n".join([lines[0], "500,0,500,9,0", *lines[2:]]))
    assert "is not a text file in UTF-8" in with_text(b"ghi,\xff\xfe\n")
    assert "first row has nothing" in with_text("")


def test_a_station_too_far_away_is_refused(tmp_path: Path) -> None:
    path = changed(house(tmp_path, "Greensboro"), ('"36.1 deg"', '"-36.1 deg"'))
    assert "one of the two is wrong" in refused(path)


@pytest.mark.parametrize("command", ["check", "pump", "heat"])
def test_the_commands_end_with_2_and_name_the_place(
    tmp_path: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = house(tmp_path, "Greensboro", TANK)
    weather = tmp_path / STATIONS["Greensboro"][0]
    lines = weather.read_text(encoding="utf-8").split("\n")
    cells = lines[1 + 400].split(",")
    cells[lines[1].split(",").index("GHI (W/m^2)")] = "7000"
    lines[1 + 400] = ",".join(cells)
    weather.write_text("\n".join(lines), encoding="utf-8")
    assert main([command, str(path)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert (
        f"{path}:{path.read_text().split('file = ')[0].count(chr(10)) + 1}: sun.file: " in said.err
    )
    assert 'column "GHI (W/m^2)", row 402: 7000 W/m2' in said.err
