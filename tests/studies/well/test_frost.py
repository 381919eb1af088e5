"""The line to the house against the frost, by the depths of model plumbing code 305.4 (second
hand): 6 in below the frost, 12 in below the ground."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from wellsolar.site.loading.read import load_site
from wellsolar.studies.well.frost import study_frost

INCH = 0.0254
WELL = '[well]\ndepth = "220 ft"\nstatic_level = "85 ft"\n'
PUMP = '\n[[pump]]\nname = "p"\nflow = "0, 5 gpm"\nhead = "300, 200 ft"\n'
COLD = '\n[sun]\nrecord_low = "-2 degF"\n'


def verdicts(folder: Path, piping: str, more: str = PUMP) -> Any:
    site = folder / "site.toml"
    site.write_text(f"{WELL}\n[piping]\n{piping}\n{more}", encoding="utf-8")
    return study_frost(load_site(site))[1].verdicts


@pytest.mark.parametrize(
    ("frost", "depth", "status", "limit"),
    [
        ("30 in", "36 in", "pass", 36),
        ("30 in", "35.9 in", "caution", 36),
        ("30 in", "30 in", "fail", 36),
        ("30 in", "2 ft", "fail", 36),
        ("30 in (20 in .. 50 in)", "36 in", "pass", 36),
        ("0 in", "12 in", "pass", 12),
        ("0 in", "0 in", "caution", 12),
        ("5 in", "12 in", "pass", 12),
        ("5 in", "11 in", "caution", 12),
    ],
)
def test_six_inches_below_the_frost(
    tmp_path: Path, frost: str, depth: str, status: str, limit: float
) -> None:
    (verdict,) = verdicts(tmp_path, f'frost_depth = "{frost}"\npitless_depth = "{depth}"')
    assert verdict.status == status
    assert verdict.limit == pytest.approx(limit * INCH)
    assert (verdict.remedy is None) == (status == "pass")


@pytest.mark.parametrize("frost", [31.0, 33.3, 47.7])
@pytest.mark.parametrize(("system", "unit"), [("US", "ft"), ("SI", "m")])
def test_the_remedy_passes(tmp_path: Path, frost: float, system: Any, unit: str) -> None:
    (verdict,) = verdicts(tmp_path, f'frost_depth = "{frost} in"\npitless_depth = "20 in"')
    printed = verdict.remedy.text(system)
    depth = printed.split("all of it at ")[1].split(f" {unit}")[0]
    mended = f'frost_depth = "{frost} in"\npitless_depth = "{depth} {unit}"'
    assert verdicts(tmp_path, mended)[0].status == "pass"


def test_what_is_not_told_is_asked_where_it_freezes(tmp_path: Path) -> None:
    (verdict,) = verdicts(tmp_path, 'pitless_depth = "4 ft"', PUMP + COLD)
    assert (verdict.status, verdict.needs) == ("unknown", ("piping.frost_depth",))
    (verdict,) = verdicts(tmp_path, 'frost_depth = "30 in"', PUMP + COLD)
    assert (verdict.status, verdict.needs) == ("unknown", ("piping.pitless_depth",))


def test_it_is_asked_unless_the_file_tells_that_it_never_freezes(tmp_path: Path) -> None:
    (verdict,) = verdicts(tmp_path, 'pitless_depth = "4 ft"')
    assert (verdict.status, verdict.needs) == ("unknown", ("piping.frost_depth",))
    # The coldest month of a tropical climate has a mean of 18 degC or more (Koeppen).
    months = '\n[sun]\ntemperature = "{}, 25, 25, 25, 25, 25, 25, 25, 25, 25, 25, 25 degC"\n'
    assert verdicts(tmp_path, "", PUMP + months.format(18)) == ()
    assert verdicts(tmp_path, "", PUMP + months.format(17))[0].status == "unknown"
    assert verdicts(tmp_path, 'pitless_depth = "4 ft"', PUMP + COLD.replace("-2", "40")) == ()
    assert verdicts(tmp_path, 'frost_depth = "30 in"\npitless_depth = "4 ft"', "") == ()


TANK = '\n[pressure_tank]\nvolume = "44 gal"\n'
HEATER = """
[water_heater]
volume = "50 gal"
heat_loss = "1.5 W/K"
[[water_heater.element]]
position = "lower"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "grid"
thermostat = "120 degF"
"""


@pytest.mark.parametrize(("table", "name"), [(TANK, "pressure_tank"), (HEATER, "water_heater")])
class TestRooms:
    @pytest.mark.parametrize(
        ("coldest", "status"),
        [("5 degF", "fail"), ("31 degF", "fail"), ("33 degF", "caution"), ("40 degF", "pass")],
    )
    def test_the_coldest_of_the_room(
        self, tmp_path: Path, table: str, name: str, coldest: str, status: str
    ) -> None:
        head, rest = table.split("volume", 1)
        told = f'{head}coldest_room = "{coldest}"\nvolume{rest}'
        (verdict,) = verdicts(tmp_path, "", told)
        assert (verdict.subject, verdict.status) == (name.replace("_", " "), status)
        if status != "pass":
            (change,) = verdict.remedy.changes
            assert (change.path, change.value) == (f"{name}.coldest_room", '"40 degF"')
            assert verdicts(tmp_path, "", told.replace(coldest, "40 degF"))[0].status == "pass"

    def test_it_is_asked_where_it_freezes(self, tmp_path: Path, table: str, name: str) -> None:
        (verdict,) = verdicts(tmp_path, "", table + COLD)
        assert (verdict.status, verdict.needs) == ("unknown", (f"{name}.coldest_room",))
        (verdict,) = verdicts(tmp_path, "", table)
        assert (verdict.status, verdict.needs) == ("unknown", (f"{name}.coldest_room",))
        assert verdicts(tmp_path, "", table + COLD.replace("-2", "40")) == ()


def test_a_heaters_usual_room_below_freezing(tmp_path: Path) -> None:
    told = HEATER.replace("volume", 'room_temperature = "5 degF"\nvolume', 1)
    (verdict,) = verdicts(tmp_path, "", told)
    assert verdict.status == "fail"
    assert [each.path for each in verdict.remedy.changes] == ["water_heater.room_temperature"]


HAND = '[hand_pump]\nbore = "2 in"\nstroke = "6 in"\nlever_ratio = "6"\n'


@pytest.mark.parametrize(
    ("drain", "status"), [("true", "pass"), ("false", "fail"), (None, "unknown")]
)
def test_a_hand_pump_empties_itself_where_it_freezes(
    tmp_path: Path, drain: str | None, status: str
) -> None:
    key = "" if drain is None else f"frost_drain = {drain}\n"
    (verdict,) = verdicts(tmp_path, 'frost_depth = "30 in"', HAND + key + COLD)
    assert verdict.status == status
    warm = HAND + key + '\n[sun]\nrecord_low = "41 degF"\n'
    assert verdicts(tmp_path, "", warm) == verdicts(tmp_path, 'frost_depth = "0 in"', HAND) == ()


def test_a_line_from_a_tank_is_judged_by_its_own_depth(tmp_path: Path) -> None:
    piping = 'frost_depth = "30 in"\npitless_depth = "36 in"'
    tank = '\n[storage_tank]\nvolume = "500 gal"\nelevation = "60 ft"\nstands = "buried"\n'
    line = 'material = "PVC sch 40", size = "1 in", length = "300 ft"'
    found = {}
    for depth in (
        "",
        ', buried_depth = "36 in"',
        ', buried_depth = "32 in"',
        ', buried_depth = "20 in"',
    ):
        more = f'{PUMP}delivers = "storage tank"\n{tank}gravity_line = {{ {line}{depth} }}\n'
        own, gravity = verdicts(tmp_path, piping, more)
        assert (own.subject, own.status) == ("line to the storage tank", "pass")
        assert gravity.subject == "gravity line"
        found[depth] = gravity
    assert [each.status for each in found.values()] == ["unknown", "pass", "caution", "fail"]
    assert found[""].needs == ("storage_tank.gravity_line.buried_depth",)
    (change,) = found[', buried_depth = "20 in"'].remedy.changes
    assert str(change) == 'storage_tank.gravity_line.buried_depth="0.9144 m"'
