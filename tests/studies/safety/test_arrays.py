"""Arrays that heat nothing: their voltage against pump, controller and code, their fuses."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest

from tests.site_texts import edited
from tests.studies.printed import compared
from wellsolar import kinds
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Case
from wellsolar.studies.safety.overcurrent import overcurrent_verdict
from wellsolar.units import Quantity
from wellsolar.verdicts import Verdict, changes_of

PUMP_ON_SUN = """
# Invented for this test: no real well, pump or module.
[site]
name = "Borehole (invented)"
latitude = "30 deg"

[well]
depth = "200 ft"
static_level = "60 ft"
specific_capacity = "0.5 gpm/ft"

[piping]
tank_elevation = "25 ft"

[storage_tank]
volume = "1000 gal"

[[pump]]
name = "sun pump"
intake_depth = "150 ft"
flow = "0, 2, 4, 6, 8 gpm"
head = "260, 240, 200, 140, 60 ft"
power = "180, 270, 350, 410, 430 W"
supply = "DC"
voltage = "90 V"

[module]
voc = "22.6 V"
isc = "9.7 A"
vmp = "18.6 V"
imp = "9.2 A"
cells = 36
voc_coefficient = "-0.30 %/K"

[[array]]
name = "sun array"
feeds = "pump"
series = 6
greatest_input_voltage = "200 V"
least_input_voltage = "80 V"
isolator_voltage = "250 V"
isolator_current = "16 A"
isolator_poles = 2
place = "ground"
reaches = "no building"
grounding = "solid"
enclosed = true
arc_fault_protection = true

[sun]
record_low = "-18 degC"
temperature = "10, 12, 15, 19, 23, 27, 30, 29, 26, 21, 15, 11 degC"
"""
BATTERY = edited(
    PUMP_ON_SUN,
    ('feeds = "pump"', 'feeds = "battery"'),
    ('reaches = "no building"', 'reaches = "building"\nbackfeed = "0 A"\n'
     "ground_fault_protection = true\nrapid_shutdown = true"),
)  # fmt: skip


def verdicts(text: str) -> dict[str, Verdict]:
    said = Case(parse_site(text, "site")).said("arrays").verdicts
    assert len({each.rule.key for each in said}) == len(said)
    return {each.rule.key: each for each in said}


def states(text: str) -> dict[str, str]:
    """Whatever does not pass."""
    return {key: each.status for key, each in verdicts(text).items() if each.status != "pass"}


def applied(text: str, found: Verdict) -> str:
    assert changes_of(found.remedy)
    file = parse_site(
        text, "site", [f"{each.path}={each.value}" for each in changes_of(found.remedy)]
    )
    return states_of(Case(file), found.rule.key)


def states_of(case: Case, rule: str) -> str:
    return next(each.status for each in case.said("arrays").verdicts if each.rule.key == rule)


def test_what_is_right_is_told_so() -> None:
    assert states(PUMP_ON_SUN) == {}
    assert states(BATTERY) == {}
    # From a rack of its own to a pump nothing runs on or in a building, and one row on the ground
    # with one pole grounded solidly may do without ground-fault protection in every edition.
    for rule in ("ground fault", "rapid shutdown"):
        assert (
            verdicts(PUMP_ON_SUN)[rule]
            .reason.text("US")
            .startswith("the electrical code asks none")
        )
        assert verdicts(BATTERY)[rule].claims


@pytest.mark.parametrize("text", [PUMP_ON_SUN, BATTERY])
def test_open_in_the_cold_against_what_stands_behind(text: str) -> None:
    # Table 690.7(A) has 1.18 for -18 degC: 6 x 22.6 x 1.18 = 160.0 V.
    for bears, status in (("161", "pass"), ("159", "fail")):
        told = edited(
            text, ('greatest_input_voltage = "200 V"', f'greatest_input_voltage = "{bears} V"')
        )
        found = verdicts(told)["cold open-circuit voltage"]
        assert found.status == status
        assert found.quantity == pytest.approx(6 * 22.6 * 1.18)
        if status == "fail":
            assert applied(told, found) == "pass"
    silent = edited(text, ('greatest_input_voltage = "200 V"\n', ""))
    found = verdicts(silent)["cold open-circuit voltage"]
    assert (found.status, found.needs) == ("unknown", ("array[1].greatest_input_voltage",))
    # 30 x 22.6 V are 678 V with nothing known of the cold: above the 600 V of a dwelling.
    many = edited(silent, ("series = 6", "series = 30"), ('record_low = "-18 degC"\n', ""))
    found = verdicts(many)["cold open-circuit voltage"]
    assert found.status == "fail"
    assert applied(many, found) == "pass"


def test_at_work_against_the_least_that_it_asks() -> None:
    for series, least, status in (
        # By pvlib's De Soto model of this sheet: 18.6 V at 25 degC, about 16 V in the air of July.
        (6, "80", "pass"), (6, "102", "fail"), (4, "80", "fail"),
    ):  # fmt: skip
        text = edited(
            PUMP_ON_SUN,
            ("series = 6", f"series = {series}"),
            ('least_input_voltage = "80 V"', f'least_input_voltage = "{least} V"'),
        )
        found = verdicts(text)["operating voltage"]
        assert found.status == status, (series, least)
        if status == "fail":
            assert applied(text, found) == "pass"
    # What suffices in July and not on a hot roof, which is known from practice alone.
    result = Case(parse_site(PUMP_ON_SUN, "site")).arrays[0]
    assert result.hot_voltage < result.working_voltage < 6 * 18.6
    between = (result.hot_voltage + result.working_voltage) / 2
    text = edited(PUMP_ON_SUN, ('"80 V"', f'"{between:.2f} V"'))
    assert verdicts(text)["operating voltage"].status == "caution"
    # Where no air is told, cells at 25 degC only show what fails even so.
    air = next(line for line in PUMP_ON_SUN.split("\n") if line.startswith("temperature = "))
    for least, status in (("70", "pass"), (f"{between:.2f}", "unknown"), ("125", "fail")):
        text = edited(PUMP_ON_SUN, ('"80 V"', f'"{least} V"'), (air + "\n", ""))
        found = verdicts(text)["operating voltage"]
        assert found.status == status, least
        if status == "unknown":
            assert found.needs == ("sun.temperature",)


def test_the_tighter_window_of_group_and_drive_counts() -> None:
    """The voltages on the pump's drive count as those on the group that feeds it."""
    lowest = 'least_voltage = "{least} V"\ngreatest_voltage = "{most} V"\n[module]'
    for least, most, rule, status in (
        (70, 400, "operating voltage", "pass"), (112, 400, "operating voltage", "fail"),
        (70, 400, "cold open-circuit voltage", "pass"),
        (70, 100, "cold open-circuit voltage", "fail"),
    ):  # fmt: skip
        text = edited(PUMP_ON_SUN, ("[module]", lowest.format(least=least, most=most)))
        assert verdicts(text)[rule].status == status, (least, most, rule)
    # Eight in series would start it, and stand above 140 V in the cold: no number does both.
    narrow = edited(PUMP_ON_SUN, ("[module]", lowest.format(least=112, most=140)))
    for rule in ("operating voltage", "cold open-circuit voltage"):
        remedy = verdicts(narrow)[rule].remedy
        assert not changes_of(remedy)
        assert "both ends of the window" in remedy.by_hand


def test_a_motor_that_turns_too_slowly_to_lift_water() -> None:
    silent = edited(PUMP_ON_SUN, ('least_input_voltage = "80 V"\n', ""))
    # Head goes with the square of the speed: of 260 ft at 90 V, 85 ft are left at 51.5 V.
    assert math.sqrt(85 / 260) * 90 == pytest.approx(51.5, abs=0.1)
    for series, status in ((1, "fail"), (3, "fail"), (4, "unknown")):
        text = edited(silent, ("series = 6", f"series = {series}"))
        found = verdicts(text)["operating voltage"]
        assert found.status == status, series
        if status == "fail":
            assert applied(text, found) == "pass"
        else:
            assert found.needs == ("array[1].least_input_voltage",)


def test_what_a_battery_can_drive_back() -> None:
    silent = edited(BATTERY, ('backfeed = "0 A"\n', ""))
    assert states(silent) == {"pv overcurrent": "unknown"}
    assert verdicts(silent)["pv overcurrent"].needs == ("array[1].backfeed",)
    drives = edited(
        BATTERY, ('"0 A"', '"200 A"'), ("cells = 36", 'cells = 36\nseries_fuse = "20 A"')
    )
    found = verdicts(drives)["pv overcurrent"]
    assert found.status == "fail"
    assert applied(drives, found) == "pass"


def test_no_isolator_below_the_open_voltage() -> None:
    text = edited(PUMP_ON_SUN, ('isolator_voltage = "250 V"', 'isolator_voltage = "125 V"'))
    assert states(text) == {"isolator": "fail"}
    assert applied(text, verdicts(text)["isolator"]) == "pass"


SILENT = edited(PUMP_ON_SUN, ('least_input_voltage = "80 V"\n', ""))
FAR = """
[[other_well]]
name = "far"
depth = "300 ft"
static_level = "200 ft"
specific_capacity = "0.5 gpm/ft"
[[pump]]
name = "far pump"
well = "far"
intake_depth = "280 ft"
flow = "0, 2, 4, 6, 8 gpm"
head = "100, 90, 80, 60, 20 ft"
power = "180, 270, 350, 410, 430 W"
supply = "DC"
voltage = "90 V"
line = { material = "polyethylene SIDR", size = "1 in", length = "50 ft" }
"""


@pytest.mark.parametrize(
    ("series", "more", "limit"),
    [
        # 16 V or so of each module: two turn it at 32 V of 90, which lifts water 33 of its 260 ft,
        # and 85 ft are asked, from 60 ft down to 25 ft up: the root of 85 / 260 of 90 V.
        (2, "", 51.46),
        # Four lift it 140 ft; whether the motor starts on them nobody knows.
        (4, "", None),
        # Beside one that lifts it less far, out of a well of 200 ft, the first still lifts.
        (4, FAR, None),
        # The other well's is no better.
        (2, FAR, 51.46),
    ],
)
def test_a_voltage_at_which_no_motor_lifts_water(
    series: int, more: str, limit: float | None
) -> None:
    text = edited(SILENT, ("series = 6", f"series = {series}")) + more
    found = verdicts(text)["operating voltage"]
    key = "array[1].least_input_voltage"
    if limit is None:
        assert (found.status, found.needs) == ("unknown", (key,))
        return
    assert found.status == "fail"
    assert found.limit == pytest.approx(limit, rel=1e-3)
    assert 28.0 < float(found.quantity or 0.0) < 36.0
    told = {change.path: change.value for change in changes_of(found.remedy)}
    assert told[key] == '"90 V"'
    assert applied(text, found) == "pass"
    head = found.reason.parts["head"]
    assert head == pytest.approx(260 * 0.3048 * (float(found.quantity or 0.0) / 90) ** 2)
    assert found.reason.parts["lift"] == pytest.approx(85 * 0.3048)
    assert (head.kind, found.reason.parts["lift"].kind) == (kinds.HEAD, kinds.LENGTH)


def amperes(value: float | None) -> Quantity | None:
    return None if value is None else Quantity(value, kinds.CURRENT)


def in_rows(rows: int, **other: Any) -> Any:
    """A group of rows whose modules drive 9.6 A at a short circuit: 12 A a row in bright sun, and
    15 A for wire and fuse; on a wire of 30 A before a battery, which drives nothing back."""
    told = {
        "feeds": "battery", "device": None, "fuse": None, "behind": 0.0, "label": 20.0,
        "bears": 30.0, "most": 30.0, "size": 15.0 * rows, "row": 15.0, "gauge": "8 AWG",
    } | other  # fmt: skip
    return SimpleNamespace(
        path="array[1]",
        group=SimpleNamespace(
            name="roof",
            feeds=told["feeds"],
            overcurrent=amperes(told["device"]),
            string_fuse=amperes(told["fuse"]),
            backfeed=amperes(told["behind"]),
        ),
        module=SimpleNamespace(series_fuse=amperes(told["label"])),
        circuit=SimpleNamespace(
            parallel=rows,
            row_current=12.0,
            current=12.0 * rows,
            conductor_current=15.0 * rows,
            ampacity=told["bears"],
            overcurrent_most=told["most"],
            overcurrent_asked=told["size"],
            row_fuse=told["row"],
            system_voltage=160.0,
        ),
        wire=SimpleNamespace(smallest_gauge=told["gauge"]) if told.get("wired", True) else None,
    )


def on_currents(rows: int, **other: Any) -> tuple[str, str]:
    found = overcurrent_verdict(in_rows(rows, **other))
    assert found.subject == "roof"
    return found.status, found.reason.text("US")


SMALL = "is less than the {} required: bright sun fatigues it until it opens"
NO_FUSE = "rows side by side and no fuse in each:"
ONE_ROW = "no fuse in the row: what stands behind feeds {} A into a fault in it, and a module's "
ONE_ROW += "label allows {} A"
BURNS = "no fuse or breaker, and what stands behind drives {} A into a fault in a wire that bears "
BURNS += "{} A: it burns"
PLAIN = "{} and {}: wires sized for {} A carry whatever they can drive, so no fuse is required"
BLOWS = "; nothing here drives more than its wire carries, so that it would not blow"
ALONE = "one row of modules", "no other source"


@pytest.mark.parametrize(
    ("rows", "other", "status", "reason"),
    [
        # What is fitted: 15 A for each row, and no more than the label has.
        (1, {"device": 15.0}, "pass",
         "15.0 A is at least the 15.0 A required and no more than its wire allows"),
        (1, {"device": 14.0}, "fail", "14.0 A " + SMALL.format("15.0 A")),
        (2, {"device": 30.0}, "pass",
         "30.0 A is at least the 30.0 A required and no more than its wire allows"),
        (2, {"device": 29.0}, "fail", "29.0 A " + SMALL.format("30.0 A")),
        (2, {"fuse": 15.0}, "pass", "each of the 2 rows has a fuse of 15.0 A"),
        (2, {"fuse": 14.0}, "fail", "14.0 A " + SMALL.format("15.0 A")),
        (1, {"fuse": 20.0, "device": 15.0}, "pass", "15.0 A is at least the 15.0 A required and "
         "no more than its wire allows; the row has a fuse of 20.0 A"),
        (1, {"fuse": 21.0}, "fail", "21.0 A in each row is more than the 20.0 A that the modules' "
         "label allows: a module burns first"),
        (1, {"fuse": 21.0, "label": None}, "pass", "the row has a fuse of 21.0 A"),
        # Nothing fitted: what the others and what stands behind feed into a faulty row.
        (1, {}, "pass", PLAIN.format(*ALONE, 15.0) + ", and one would not blow"),
        (1, {"feeds": "heater", "behind": None}, "pass",
         PLAIN.format(*ALONE, 15.0) + ", and one would not blow"),
        (1, {"feeds": "pump", "behind": None}, "pass",
         PLAIN.format(*ALONE, 15.0) + ", and one would not blow"),
        (1, {"behind": 20.0}, "pass", PLAIN.format(
            "one row of modules", "20.0 A from what stands behind", 15.0)),
        (1, {"behind": 21.0}, "fail", ONE_ROW.format(21.0, 20.0)),
        (1, {"behind": 12.0, "label": None}, "pass", PLAIN.format(
            "one row of modules", "12.0 A from what stands behind", 15.0)),
        (2, {"label": 12.0}, "pass",
         PLAIN.format("2 rows of modules", "no other source", 30.0)),
        (2, {"label": 11.0}, "fail", f"2 {NO_FUSE} all the others feed 12.0 A into a fault in one,"
         " and a module's label allows 11.0 A"),
        (2, {"behind": 9.0}, "fail", f"2 {NO_FUSE} the others and what stands behind feed 21.0 A "
         "into a fault in one, and a module's label allows 20.0 A"),
        (2, {"label": None}, "pass",
         PLAIN.format("2 rows of modules", "no other source", 30.0)),
        (3, {"label": 24.0}, "pass",
         PLAIN.format("3 rows of modules", "no other source", 45.0)),
        (3, {"label": None}, "fail", f"3 {NO_FUSE} all the others feed 24.0 A into a fault in "
         "one"),
        # A breaker in the common wire lets no more through than it is made for.
        (1, {"behind": 200.0, "device": 20.0}, "pass",
         "20.0 A is at least the 15.0 A required and no more than its wire allows"),
        (1, {"behind": 200.0, "device": 21.0}, "fail", ONE_ROW.format(21.0, 20.0)),
        (1, {"behind": None, "device": 21.0}, "fail", ONE_ROW.format(21.0, 20.0)),
        (1, {"behind": 10.0, "device": 21.0}, "pass",
         "21.0 A is at least the 15.0 A required and no more than its wire allows"),
        # The wire: 30 A, or what the next standard size above its ampacity lets through.
        (1, {"behind": 30.0, "label": 40.0}, "pass", PLAIN.format(
            "one row of modules", "30.0 A from what stands behind", 15.0)),
        (1, {"behind": 31.0, "label": 40.0}, "fail", BURNS.format(31.0, 30.0)),
        (1, {"behind": 28.0, "label": 40.0, "bears": 26.0}, "fail", BURNS.format(28.0, 26.0)),
        (2, {"device": 35.0}, "pass", "35.0 A is at least the 30.0 A required" + BLOWS),
        (1, {"device": 35.0, "behind": 31.0, "label": 40.0}, "fail",
         "35.0 A is more than the 30.0 A allowed for its wire: the wire burns first"),
        (3, {"device": 45.0, "label": 40.0}, "fail",
         "45.0 A is more than the 30.0 A allowed for its wire: the wire burns first"),
        (1, {"device": 45.0, "bears": None, "most": None}, "pass",
         "45.0 A is at least the 15.0 A required"),
    ],
)  # fmt: skip
def test_what_flows_into_a_fault_against_what_bears_it(
    rows: int, other: dict[str, Any], status: str, reason: str
) -> None:
    assert on_currents(rows, **other) == (status, reason)


@pytest.mark.parametrize(
    ("rows", "other", "quantity", "limit"),
    [(1, {"device": 14.0}, "14 A", "15 A"), (1, {"fuse": 21.0}, "21 A", "20 A"),
     (1, {"device": 20.0}, "20 A", "15 A"),
     (3, {"device": 45.0, "label": 40.0}, "45 A", "30 A")],
)  # fmt: skip
def test_a_device_stands_beside_its_limit(
    rows: int, other: dict[str, Any], quantity: str, limit: str
) -> None:
    found = compared(overcurrent_verdict(in_rows(rows, **other)))
    assert found[1:] == (f"{quantity}, current", f"{limit}, current")


@pytest.mark.parametrize(
    ("rows", "other", "needs"),
    [
        (1, {"behind": 13.0, "label": None}, ("module.series_fuse", "array[1].string_fuse")),
        (2, {"behind": 1.0, "label": None}, ("module.series_fuse", "array[1].string_fuse")),
        (1, {"behind": None}, ("array[1].backfeed",)),
        (1, {"behind": None, "fuse": 15.0}, ("array[1].backfeed",)),
    ],
)
def test_what_is_not_known_of_a_fault_is_asked(
    rows: int, other: dict[str, Any], needs: tuple[str, ...]
) -> None:
    assert overcurrent_verdict(in_rows(rows, **other)).needs == needs


DC_MADE = ", made for 160 V of direct current"
BREAKER = "a fuse or breaker of {} A"
IN_EACH = "one of 15.0 A in each of the {} rows, no more than the modules' label allows"


@pytest.mark.parametrize(
    ("rows", "other", "told", "changes"),
    [
        (1, {"device": 14.0}, BREAKER.format("15.0") + DC_MADE, {"overcurrent": "15 A"}),
        (1, {"device": 14.0, "fuse": 15.0}, BREAKER.format("15.0") + " and one of 15.0 A in the "
         "row, no more than the modules' label allows" + DC_MADE,
         {"overcurrent": "15 A", "string_fuse": "15 A"}),
        (1, {"fuse": 14.0}, "a fuse of 15.0 A in the row, no more than the modules' label allows"
         + DC_MADE, {"string_fuse": "15 A"}),
        (2, {"label": 16.0, "behind": 9.0}, f"{BREAKER.format('30.0')} and {IN_EACH.format(2)}"
         + DC_MADE, {"overcurrent": "30 A", "string_fuse": "15 A"}),
        (2, {"device": 29.0}, BREAKER.format("30.0") + DC_MADE, {"overcurrent": "30 A"}),
        (3, {"label": 20.0}, "a fuse" + IN_EACH.format(3).removeprefix("one") + DC_MADE,
         {"string_fuse": "15 A"}),
        (3, {"label": 20.0, "behind": 9.0}, f"{BREAKER.format('45.0')} and {IN_EACH.format(3)}"
         + DC_MADE + ", on wire of 8 AWG",
         {"overcurrent": "45 A", "string_fuse": "15 A", "cable.gauge": "8 AWG"}),
        (3, {"label": 20.0, "behind": 9.0, "gauge": None}, f"{BREAKER.format('45.0')} and "
         f"{IN_EACH.format(3)}{DC_MADE}, on thicker wire than the table has",
         {"overcurrent": "45 A", "string_fuse": "15 A"}),
        (3, {"label": 20.0, "behind": 9.0, "wired": False}, f"{BREAKER.format('45.0')} and "
         f"{IN_EACH.format(3)}{DC_MADE}", {"overcurrent": "45 A", "string_fuse": "15 A"}),
        (1, {"device": 14.0, "label": 15.0}, BREAKER.format("15.0") + DC_MADE,
         {"overcurrent": "15 A"}),
        (1, {"device": 13.0, "label": 14.0},
         "another module: its label allows less than bright sun drives", {}),
        (1, {"device": 14.0, "size": None}, "fewer rows side by side: no device of the code's "
         "table is large enough", {}),
        (1, {"device": 14.0, "row": None}, "fewer rows side by side: no device of the code's "
         "table is large enough", {}),
    ],
)  # fmt: skip
def test_the_devices_that_a_fault_asks_for(
    rows: int, other: dict[str, Any], told: str, changes: dict[str, str]
) -> None:
    found = overcurrent_verdict(in_rows(rows, **other))
    assert found.remedy is not None
    assert found.remedy.text("US").startswith(told)
    made = {each.path: each.value.strip('"') for each in changes_of(found.remedy)}
    assert made == {f"array[1].{key}": value for key, value in changes.items()}
