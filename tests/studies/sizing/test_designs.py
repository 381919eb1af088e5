"""Three designs of one file, parts of it replaced, and what lists and reports say of what was
sized."""

from __future__ import annotations

import json
import shlex
import tomllib
from pathlib import Path

import pytest

from tests.studies.sizing.needs import (
    BEFORE_THE_VISIT,
    DUG_WELL,
    ON_THE_SUN,
    POOR_WELL,
    designed,
)
from wellsolar import kinds
from wellsolar.__main__ import main
from wellsolar.errors import UnknownName
from wellsolar.reports.tables.sections import sections
from wellsolar.reports.text import compare
from wellsolar.reports.text.designs import designs_page
from wellsolar.results.parts import Cost
from wellsolar.results.sizing import DESIGNS, DesignFigures, DesignSet, SizingResult
from wellsolar.site.loading.read import parse_part, parse_site
from wellsolar.site.schema import Site
from wellsolar.studies.case import size_designs, size_site, study_site
from wellsolar.studies.parts.study import study_parts
from wellsolar.studies.sizing.designs import laid_out
from wellsolar.studies.sizing.replaced import without
from wellsolar.studies.sizing.study import as_argument
from wellsolar.units import read

OLD_PUMP = BEFORE_THE_VISIT + (
    '[[pump]]\nname = "old pump"\nflow = "0, 3, 6 gpm"\nhead = "150, 120, 60 ft"\n'
    'intake_depth = "230 ft"\nvoltage = "230 V"\nrated_power = "1/2 hp"\n'
)

DEEPER = BEFORE_THE_VISIT.replace('"140 ft"', '"150 ft"').replace('"210 ft"', '"240 ft"')

RANGED = ON_THE_SUN.replace('"380 ft"', '"370 .. 400 ft"').replace('"9 gpm"', '"6 .. 9 gpm"')


def sized_site(made: SizingResult) -> Site:
    return parse_site(made.text).site


def test_each_design_is_laid_out_for_more_than_the_one_before() -> None:
    site = parse_part(RANGED).file.site
    least, ordinary, reserve = (laid_out(site, which) for which in DESIGNS)
    assert float(least.well.static_level) == float(site.well.static_level)
    assert not least.well.static_level.is_range
    assert float(ordinary.well.static_level) == pytest.approx(read("400 ft", kinds.LENGTH))
    assert least.well.tested_yield > ordinary.well.tested_yield == reserve.well.tested_yield
    assert reserve.aim.dark_days > ordinary.aim.dark_days == least.aim.dark_days
    assert reserve.demand.survival_use > ordinary.demand.survival_use
    assert ordinary.sun.shading is None
    assert reserve.sun.shading is not None
    assert [*map(float, reserve.sun.shading)] == pytest.approx([0.9] * 12)  # our choice


@pytest.mark.parametrize(
    "text", [BEFORE_THE_VISIT, pytest.param(POOR_WELL, marks=pytest.mark.long)]
)
def test_a_reserve_has_no_less_in_store_and_its_own_check_passes(text: str) -> None:
    ordinary = designed(text)
    reserve = size_site(parse_part(text, "site.toml"), which="reserve")
    assert not reserve.fails
    tanks = [sized_site(each).storage_tank for each in (ordinary, reserve)]
    assert tanks[1].volume >= tanks[0].volume  # type: ignore[union-attr]
    assert reserve.pumps[0].duties[0].flow >= ordinary.pumps[0].duties[0].flow * (1.0 - 2e-3)


@pytest.mark.long
def test_three_designs_of_ranges_stand_in_their_order() -> None:
    made = size_designs(parse_part(RANGED, "site.toml"))
    sites = [sized_site(made.made[which]) for which in DESIGNS]
    modules = [each.array[0].series * each.array[0].parallel for each in sites]
    assert modules == sorted(modules)
    stored = [float(each.power.battery_energy or 0.0) for each in sites]
    assert stored == sorted(stored)
    assert not made.made["ordinary"].fails
    assert not made.made["reserve"].fails
    survival = [made.figures[which].survival or 0.0 for which in DESIGNS[1:]]
    assert survival[0] <= survival[1]
    assert survival[0] >= 1.0
    assert made.figures["reserve"].fails_in == ()


def test_the_page_of_three_has_what_differs_in_columns_and_the_rest_once() -> None:
    ordinary = designed(BEFORE_THE_VISIT)
    larger = designed(DEEPER)
    figures = {
        "least": DesignFigures(pump_energy=3.6e6, survival=0.5, fails_in=("well pump",)),
        "ordinary": DesignFigures(pump_energy=3.6e6, survival=2.0),
        "reserve": DesignFigures(bought=Cost(1234.5, 4, ("pump", "drop pipe", "inverter"))),
    }
    made = {"least": ordinary, "ordinary": ordinary, "reserve": larger}
    shown = designs_page(DesignSet(made, figures), "US", "site.toml", "ordinary")  # type: ignore[arg-type]
    lines = shown.split("\n")
    assert max(map(len, lines)) <= 80
    assert next(line.split() for line in lines if "LEAST" in line) == [
        "LEAST", "ORDINARY", "RESERVE",
    ]  # fmt: skip
    (intake,) = [line.split() for line in lines if line.startswith("intake")]
    assert intake == ["intake", "220", "ft", "220", "ft", "250", "ft"]
    assert any("50 %" in line and "all of it" in line for line in lines)
    assert any("1,234.50" in line for line in lines)
    assert len(lines) <= 25
    assert "alike in all three: --full tells them" in shown
    whole = designs_page(DesignSet(made, figures), "US", "site.toml", "ordinary", full=True)  # type: ignore[arg-type]
    alike = whole[whole.index("ALIKE") :]
    assert "lateral pipe" in alike
    assert "intake" not in alike


@pytest.mark.parametrize(
    "name", ["inverter", "house pump", "tank's modules", "Bob's $1 pump", 'a "good" pump', "水"]
)
def test_a_name_that_is_told_can_be_typed(name: str) -> None:
    assert shlex.split(as_argument(name)) == [name]
    assert as_argument("tank's modules") == '"tank\'s modules"'


def test_a_part_of_the_file_that_fails_is_kept_and_its_option_named_or_replaced() -> None:
    made = designed(OLD_PUMP)
    assert made.fails
    why = {each.why for each in made.left if each.rule == "reaches cut-out"}
    assert why == {"kept as in the file, --replace pump sizes another"}
    anew = without(parse_part(OLD_PUMP, "site.toml"), ["pump"])
    assert "old pump" not in anew.text
    assert 'daily_use = "300 gal/day"   # by the meter' in anew.text
    assert designed(anew.text).text == designed(BEFORE_THE_VISIT).text


def test_what_is_to_be_replaced_is_named_by_its_part_or_its_key() -> None:
    part = parse_part(designed(BEFORE_THE_VISIT).text, "site.toml")
    assert "[piping.drop_pipe]" not in without(part, ["drop pipe"]).text
    fewer = without(part, ["pressure tank", "pump[1].breaker"])
    assert fewer.file.site.pump[0].breaker is None
    assert fewer.file.site.pressure_tank is None
    assert fewer.file.site.pump[0].cable == part.file.site.pump[0].cable
    with pytest.raises(UnknownName, match="no part of the file is called 'battery'"):
        without(part, ["battery"])


def test_a_pump_that_is_called_like_a_table_is_taken_out_and_the_table_stays() -> None:
    text = BEFORE_THE_VISIT + "".join(
        f'[[pump]]\nname = "{name}"\nrated_power = "1/2 hp"\n' for name in ("well", "demand")
    )
    left = without(parse_part(text, "site.toml"), ["well"])
    assert [raw["name"] for raw in tomllib.loads(left.text)["pump"]] == ["demand"]
    assert left.file.site.well == parse_part(text, "site.toml").file.site.well


def test_an_option_that_names_no_part_of_the_file_is_a_mistake_of_the_command_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "site.toml"
    path.write_text(BEFORE_THE_VISIT, encoding="utf-8")
    assert main(["size", str(path), "--replace", "presure tank"]) == 2
    assert "did you mean 'pressure tank'?" in capsys.readouterr().err


def test_a_value_of_the_command_line_stands_in_the_design() -> None:
    part = parse_part(BEFORE_THE_VISIT, "site.toml", ['well.static_level="120 ft"'])
    made = size_site(part)
    assert float(sized_site(made).well.static_level) == pytest.approx(read("120 ft", kinds.LENGTH))


def test_a_tank_that_a_pump_fills_gets_the_booster_that_it_lacks() -> None:
    alone = without(parse_part(designed(POOR_WELL).text, "site.toml"), ["booster"])
    assert len(alone.file.site.pump) == 1
    again = designed(alone.text)
    well, pressed = sized_site(again).pump
    assert well.delivers == pressed.draws == "storage tank"
    assert not again.fails


def test_no_pipe_is_weaker_than_the_trade_hangs_and_lays() -> None:
    for made in (designed(DUG_WELL), designed(POOR_WELL)):
        site = sized_site(made)
        least = read("160 psi" if made is designed(DUG_WELL) else "10 bar", kinds.PRESSURE)
        for run in (site.piping.drop_pipe, site.piping.lateral):
            if run.pressure_class is not None:
                assert run.pressure_class >= least * (1.0 - 1e-6)
            else:
                assert "SDR 13.6" in run.size or "SDR 11" in run.size
    classes = {each.part: each.bound_by for each in designed(DUG_WELL).parts}
    assert classes["drop pipe"] == "160 psi, usual"


def test_lists_and_reports_say_what_was_sized_and_what_is_there() -> None:
    file = parse_site(designed(BEFORE_THE_VISIT).text)
    results = study_site(file)
    (table,) = [each for each in sections(results) if each.key == "sized"]
    rows = {row[0]: row for row in table.grids[0].rows}
    assert len(rows) == len(file.site.sized)
    assert rows["pump[1].rated_power"][1] == "1 hp"
    assert rows["pump[1].rated_power"][3] == "motor load"
    # A duty that follows from the pipe is bound by what bound the pump.
    assert rows["pump[1].duty.head"][3] == "yield"
    assert rows["piping.drop_pipe.size"][3] == "drop pipe pressure"
    states = {(part.item, part.state) for part in study_parts(file.site, results).parts}
    bought = ("drop pipe", "lateral pipe", "pump cable", "pump breaker", "storage tank")
    assert {(item, "sized") for item in bought} <= states
    # It is wanted by its duty alone.
    assert ("pump", "to add") in states
    # The pressure tank was there; what is set of it is its air.
    assert {("pressure switch", "in the file"), ("pressure tank", "in the file")} <= states
    asked = study_site(parse_site(OLD_PUMP))
    assert not any(each.key == "sized" for each in sections(asked))
    assert all(
        part.state != "sized" for part in study_parts(parse_site(OLD_PUMP).site, asked).parts
    )


def test_a_comparison_names_the_keys_that_were_sized_otherwise() -> None:
    found = [study_site(parse_site(designed(text).text)) for text in (BEFORE_THE_VISIT, DEEPER)]
    beside = compare.compare(found, [sections(each) for each in found], ["A", "B"])
    assert "pump[1].intake_depth" in beside.sized
    assert "piping.lateral.size" not in beside.sized
    made = json.loads(compare.as_text(beside, "US"))
    assert made["sized"]["pump[1].intake_depth"] == {"A": "220 ft", "B": "250 ft"}
    grids = [grid.key for section in compare.compare_sections(beside, False)
             for grid in section.grids]  # fmt: skip
    assert "sized" in grids


def test_three_designs_are_shown_by_the_command_and_the_one_asked_for_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, design, data = (tmp_path / name for name in ("site.toml", "design.toml", "made.json"))
    path.write_text(BEFORE_THE_VISIT, encoding="utf-8")
    asked = ["size", str(path), "--three", "--design", "reserve", "-o", str(design)]
    assert main([*asked, "--json", str(data)]) == 0
    assert "-o DESIGN.toml writes the reserve one" in capsys.readouterr().out
    made = json.loads(data.read_text(encoding="utf-8"))["designs"]
    assert set(made) == set(DESIGNS)
    written = design.read_text(encoding="utf-8")
    assert written.startswith(made["reserve"]["design"].rstrip())
    path.write_text('[well]\ndepth = "200 ft"\nstatic_level = "60 ft"\n', encoding="utf-8")
    assert main(["size", str(path), "--three"]) == 1
    assert "GIVE   site.people or demand.daily_use" in capsys.readouterr().out
