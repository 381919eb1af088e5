"""Where foul water could enter: check valve, suction line, head of the well and setback, by the
figures of codes that were read: Howard County, Indiana, 52.04(A)(2); Minnesota 4725.5150; the
isolation distances of Washtenaw County, Michigan."""

from __future__ import annotations

import pytest

from wellsolar.site.loading.read import parse_site
from wellsolar.studies.well.sanitary import sanitary_verdicts
from wellsolar.verdicts import Verdict

PUMP = '[[pump]]\nname = "p"\nflow = "0, 5 gpm"\nhead = "300, 200 ft"\n'


def judged(well: str = "", piping: str = "", pump: str = PUMP) -> dict[str, Verdict]:
    text = f'[well]\ndepth = "220 ft"\nstatic_level = "85 ft"\n{well}\n[piping]\n{piping}\n{pump}'
    return {
        f"{each.rule.key}, {each.subject}": each
        for each in sanitary_verdicts(parse_site(text).site)
    }


@pytest.mark.parametrize(
    ("piping", "status"),
    [
        ('check_valve_place = "pump"', "pass"),
        ('check_valve_place = "casing"', "pass"),
        ('check_valve_place = "buried line"', "fail"),
        ('check_valve_place = "house"\npitless_depth = "4 ft"', "fail"),
        # Above the ground all the way it may stand in the house.
        ('check_valve_place = "house"\npitless_depth = "0 ft"', "caution"),
        ("", "unknown"),
    ],
)
def test_a_buried_line_never_hangs_below_the_check_valve(piping: str, status: str) -> None:
    found = judged(piping=piping)["check valve's place, line to the open tank"]
    assert found.status == status
    if status == "unknown":
        assert found.needs == ("piping.check_valve_place",)


def test_no_line_is_asked_of_what_has_none() -> None:
    no_run = 'lateral = { material = "PVC sch 40", size = "1 in", length = "0 ft" }'
    other = '[[piping.fittings]]\nkind = "90 elbow"\ncount = 2\n'
    assert judged(piping=no_run) == {} == judged(piping=other) == judged(pump="")


@pytest.mark.parametrize(
    ("line", "status"),
    [("in the well", "pass"), ("exposed", "pass"), ("sleeved", "pass"), ("buried", "fail"),
     (None, "unknown")],
)  # fmt: skip
def test_a_suction_line_does_not_lie_bare_in_the_ground(line: str | None, status: str) -> None:
    keys = 'kind = "suction"\n' + ("" if line is None else f'suction_line = "{line}"\n')
    found = judged(pump=PUMP + keys)
    assert set(found) == {"suction line, p"}
    assert found["suction line, p"].status == status


@pytest.mark.parametrize(
    ("well", "status"),
    [
        ('casing_height = "12 in"', "pass"),
        ('casing_height = "11 in"', "caution"),
        ('casing_height = "-4 ft"', "fail"),
        ('casing_height = "3 ft"\nflood_height = "1 ft"', "pass"),
        ('casing_height = "2.8 ft"\nflood_height = "1 ft"', "caution"),
        ('casing_height = "1 ft"\nflood_height = "1 ft"', "fail"),
        ('flood_height = "1 ft"', "unknown"),
    ],
)
def test_a_casing_ends_above_ground_and_flood(well: str, status: str) -> None:
    found = judged(well, pump="")
    assert found["well head, well"].status == status
    mended = found["well head, well"].remedy
    if mended is not None:
        assert judged(f"{well.partition('casing_height')[0]}" + "\n".join(
            [f"casing_height = {mended.changes[0].value}",
             *(row for row in well.splitlines() if row.startswith("flood"))]
        ), pump="")["well head, well"].status == "pass"  # fmt: skip


def test_septic_tank_and_drain_field_keep_their_distances() -> None:
    near = 'septic_tank_distance = "49 ft"\ndrain_field_distance = "99 ft"'
    far = 'septic_tank_distance = "50 ft"\ndrain_field_distance = "100 ft"'
    assert {each.status for each in judged(near, pump="").values()} == {"caution"}
    assert [each.status for each in judged(far, pump="").values()] == ["pass", "pass"]
    assert judged(pump="") == {}
