"""`--with`: a what-if without touching the file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from wellsolar.__main__ import main
from wellsolar.errors import SiteFileError
from wellsolar.site.loading.read import parse_site

EXAMPLES = Path(__file__).parents[2] / "examples"
RIDGE = EXAMPLES / "ridge_house.toml"
TEXT = RIDGE.read_text(encoding="utf-8")


def told(*settings: str) -> str:
    with pytest.raises(SiteFileError) as error:
        parse_site(TEXT, "site.toml", settings)
    return str(error.value)


def test_values_take_the_place_of_the_files() -> None:
    site = parse_site(
        TEXT,
        "site.toml",
        [
            "well.static_level=110 ft (100 ft .. 120 ft)",
            'pump[2].flow="0, 1, 2, 3, 4, 6 gpm"',
            "pump[house pump].cable.gauge=10 AWG",
            "array[hot water].series=5",
            "water_heater.element[lower].thermostat=145 degF",
            "power.grid=false",
            "well.depth=260'",
        ],
    ).site
    assert site.well.static_level == pytest.approx(110 * 0.3048)
    assert site.well.static_level.high == pytest.approx(120 * 0.3048)
    assert site.pump[1].flow[-1] == pytest.approx(6 * 231 * 0.0254**3 / 60)
    assert site.pump[0].cable.gauge == "10 AWG"
    assert site.array[0].series == 5
    assert site.water_heater.element[0].thermostat == pytest.approx((145 - 32) / 1.8)
    assert site.power.grid is False
    assert site.well.depth == pytest.approx(260 * 0.3048)


def test_a_table_that_the_file_lacks_is_made() -> None:
    site = parse_site(TEXT, "x", ["storage_tank.volume=500 gal", "limits.short_days=5"]).site
    assert site.storage_tank.volume == pytest.approx(500 * 231 * 0.0254**3)
    assert site.limits.short_days == 5


@pytest.mark.parametrize(
    ("setting", "message"),
    [
        (
            "well.static_levl=110 ft",
            'site.toml: --with well.static_levl: is no key here, did you mean "static_level"?',
        ),
        ("wel.depth=9 ft", '--with wel.depth: is no table here, did you mean "well"?'),
        ("well.depth=300 lb", '--with well.depth: "300 lb" is a force: expected a length'),
        ("array[hot watr].series=5", 'there is no array "hot watr", did you mean "hot water"?'),
        ("array[9].series=5", 'there is no array "9": the file has array[hot water]'),
        ("pump.flow=3 gpm", "the file has 2 tables pump: write one of pump[house pump]"),
        ("lift.flow=3 gpm", "the file has no [[lift]] to set a key in"),
        ("well[1].depth=3 ft", "well is counted or named in brackets"),
        ("array[1].series=many", '"many": expected a whole number from 1 to 100'),
        ("foo", "--with foo: takes a key, an equals sign and a value"),
        ("=3", "takes a key, an equals sign and a value"),
        ("well..depth=3 ft", "is no key: write it with dots"),
        ("pump[1]=3", "pump is a table: name a key in it"),
        ("well.depth.low=3 ft", "depth is no table in the file, but a value"),
        ("well.depth=", "--with well.depth: "),
        ("well.depth=" + "[" * 5000, "--with well.depth: "),
        ("well.depth=3\nwell.static_level='1 ft'", "--with well.depth: "),
    ],
)
def test_a_mistake_is_told_with_the_option_for_its_place(setting: str, message: str) -> None:
    assert message in told(setting)
    assert "site.toml: --with" in told(setting)


def test_a_mistake_of_the_file_keeps_its_line() -> None:
    with pytest.raises(SiteFileError, match=r"site\.toml:\d+: well\.depth"):
        parse_site(
            TEXT.replace('depth = "220 ft"', 'depth = "220 psi"', 1),
            "site.toml",
            ["site.people=3"],
        )


def test_the_assumptions_say_what_was_set_and_the_file_stays(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    site = tmp_path / "site.toml"
    site.write_text(TEXT, encoding="utf-8")
    made = tmp_path / "out.json"
    settings = ["--with", "pressure_tank.precharge=30 psi", "--with", "array[2].series=7"]
    assert main(["tank", str(site), "--full", *settings, "--json", str(made)]) in (0, 1)
    data: dict[str, Any] = json.loads(made.read_text(encoding="utf-8"))
    found = {each["path"]: each for each in data["assumptions"]}
    assert found["pressure_tank.precharge"]["why"] == (
        "set on the command line, in place of 38 psi in the file"
    )
    assert found["array[2].series"]["value"] == "7"
    assert data["sections"]["pressure_tank"]["rows"]["precharge_Pa_gauge"] == pytest.approx(
        30 * 6894.757, rel=1e-6
    )
    assert site.read_text(encoding="utf-8") == TEXT
    assert "set on the command line" in capsys.readouterr().out


def test_a_key_set_twice_is_told_once_with_what_the_file_had() -> None:
    settings = ["array[2].series={a=1}", "well.depth=230 ft", "well.depth=240 ft"]
    found = parse_site(TEXT, "site.toml", [*settings, "array[2].series=7"]).assumptions
    said = [(each.path, str(each.value), each.why) for each in found if "set on" in each.why]
    assert [path for path, _, _ in said] == ["array[2].series", "well.depth"]
    assert said[0][1:] == ("7", "set on the command line, in place of 8 in the file")
    assert said[1][2] == "set on the command line, in place of 220 ft in the file"


@pytest.mark.parametrize("command", ["check", "pump", "heat", "hand", "tank", "outage", "parts"])
def test_every_command_takes_it(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([command, str(RIDGE), "--with", "well.depth=3 psi"]) == 2
    assert "--with well.depth: " in capsys.readouterr().err
