"""The state of a line, by what the file says of its part, with its size and the rule beside it.

Sizes and amounts are those of the plain sites, the heater's those of its file (see the limits of
`tests/properties/whole/sides.py`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import NamedTuple

import pytest

from tests.properties.whole.sides import DRY, ELEMENT, MAINS, Given, base_tables, with_given
from tests.studies.parts.listing import FOOT, SECTIONS
from wellsolar import site_from
from wellsolar.results.parts import Part, State
from wellsolar.studies.case import study_site
from wellsolar.studies.parts.study import study_parts

NOTHING: Given = MappingProxyType({})
ABSENT = "absent"
HEATED = ("south_slope", "ridge_house")


class Line(NamedTuple):
    """A line of a site.

    given: what the file has besides, None for what it lacks; state: absent where no line stands
    told: pieces of its size and of its reasons; rule: beside it; amount: pieces, or length [m]
    keys: all that it rests on, where they are told
    """

    site: str
    item: str
    of: str
    given: Given
    state: State | str
    told: tuple[str, ...] = ()
    rule: str = ""
    amount: float | None = None
    keys: tuple[str, ...] = ()


def _elbows(*kinds: str) -> list[Mapping[str, object]]:
    return [{"kind": kind, "count": 2 if "elbow" in kind else 1} for kind in kinds]


PUMP, TANK, PIPE = "pump[1]", "pressure_tank", "piping"
DEEP = {"well.depth": "400 ft", f"{PUMP}.intake_depth": "300 ft"}
RELIEF, PLATE = f"{TANK}.relief_pressure", f"{TANK}.greatest_pressure"
VALVE = {"set_pressure": "50 psi", "least_flow": "1 gpm", "greatest_pressure": "200 psi"}
HEATER, MIXING = "water_heater", "water_heater.mixing_valve"
EXPANDS = f"{HEATER}.expansion_tank"
OPENS_HOT, OPENS = f"{HEATER}.relief_temperature", f"{HEATER}.relief_pressure"
GROUP = "array[2]"
ALL = _elbows("pitless adapter", "check valve", "90 elbow")

LINES = (
    # The pump gives 10 gpm against 70 + 6 + 92.3 ft at cut-in.
    Line("steady", "pump", "steady", {}, "to check", ("1.00 hp", "10.0 gpm", "against 169 ft")),
    Line("steady", "pump", "steady", {f"{PUMP}.kind": "submersible", f"{PUMP}.phases": 1},
         "in the file", ("submersible", "230 V single-phase"), "reaches cut-out", 1),
    Line("steady", "pump", "steady", {f"{PUMP}.kind": "submersible", f"{PUMP}.phases": 3},
         "in the file", ("230 V three-phase",)),
    Line("steady", "pump", "steady", {**DEEP, "well.static_level": "257 ft"}, "to change",
         ("shut-off head of at least 4",), "reaches cut-out"),
    Line("steady", "dry-run protection", "steady", {}, ABSENT),
    Line("steady", "dry-run protection", "steady", {"well.tested_yield": "5 gpm"}, "to add",
         ("before it draws air",), "yield"),
    Line("steady", "dry-run protection", "steady", {
        "well.tested_yield": "5 gpm", f"{PUMP}.dry_run_protection": True}, "in the file", (),
         "yield"),
    # 250 % of 8 A.
    Line("steady", "pump breaker", "steady", {}, "to add", ("20 A, 230 V single-phase",)),
    Line("steady", "pump breaker", "steady", {f"{PUMP}.breaker": "9.9 A"}, "to change",
         ("20 A, 230 V", "a breaker of 20.0 A"), "pump breaker"),
    Line("steady", "pump breaker", "steady", {f"{PUMP}.breaker": "15 A", f"{PUMP}.phases": 1},
         "to check", ("15.0 A, 230 V single-phase",), "pump breaker"),
    Line("steady", "pump cable", "steady", {f"{PUMP}.full_load_current": "40 A"}, "to change",
         ("two conductors and ground, made for wells", "100 ft of run"), "motor conductor",
         110 * FOOT),
    Line("steady", "pump cable", "steady", {
        f"{PUMP}.full_load_current": "40 A", f"{PUMP}.phases": 3}, "to change",
         ("three conductors",)),
    Line("steady", "pump cable", "steady", {}, "in the file", ("10 AWG, 5.26 mm",), "",
         110 * FOOT),
    Line("steady", "trench conduit", "steady", {}, "to check", ("cable for burial",), "",
         50 * FOOT),
    # From the pitless adapter, 4 ft down, to the intake; 400.5 ft are 173.6 psi.
    Line("steady", "drop pipe", "steady", {}, "in the file",
         ("polyethylene SIDR, 2 in, class 250 psi", "up to 174 psi"), "drop pipe pressure",
         96 * FOOT),
    Line("steady", "drop pipe", "steady", {f"{PIPE}.drop_pipe.pressure_class": "160 psi"},
         "to change", ("class of 200 psi",), "drop pipe pressure"),
    Line("steady", "drop pipe", "steady", {f"{PIPE}.drop_pipe.pressure_class": None}, "to check",
         (), "drop pipe pressure"),
    Line("steady", "drop pipe", "steady", {f"{PIPE}.drop_pipe.size": "3/4 in"}, "to change",
         ("1 in", "3/4 in is too narrow for 10.0 gpm"), "pipe velocity"),
    Line("steady", "lateral pipe", "", {}, "in the file", ("class 250 psi", "up to 150 psi"),
         "pipe velocity", 50 * FOOT),
    Line("steady", "lateral pipe", "", {f"{PIPE}.lateral.pressure_class": "100 psi"},
         "to change", (), "lateral pressure"),
    Line("steady", "90 elbow", "", {}, "to add", ("the file names no fittings",)),
    Line("steady", "90 elbow", "", {f"{PIPE}.fittings": ALL}, "in the file",
         ("2 in, as the lateral pipe",), "", 2,
         (f"{PIPE}.fittings[3].kind", f"{PIPE}.fittings[3].count", f"{PIPE}.lateral.size")),
    Line("steady", "pitless adapter", "", {f"{PIPE}.fittings": ALL}, "in the file",
         ("2 in, as the lateral pipe", "casing of 6.00 in bore"), "", 1,
         (f"{PIPE}.fittings[1].kind", f"{PIPE}.lateral.size", "well.casing_bore")),
    Line("steady", "check valve", "", {f"{PIPE}.fittings": ALL}, "to check", (),
         "check valve's place"),
    Line("steady", "check valve", "", {
        f"{PIPE}.fittings": ALL, f"{PIPE}.check_valve_place": "casing"}, "in the file",
         ("2 in, as the lateral pipe, on the pump or above it",), "check valve's place", 1),
    Line("steady", "check valve", "", {
        f"{PIPE}.fittings": ALL, f"{PIPE}.check_valve_place": "house"}, "to change", (),
         "check valve's place"),
    Line("steady", "check valve", "", {
        f"{PIPE}.fittings": ALL, f"{PIPE}.check_valve_place": "house",
        f"{PIPE}.pitless_depth": "0 ft"}, "to change", (), "check valve's place"),
    Line("two", "check valve", "second", {}, "to check", ("2 in, as its drop pipe",)),
    Line("two", "check valve", "steady", {}, ABSENT),
    Line("two", "pitless adapter", "second", {}, "to check", ("2 in, as its drop pipe",)),
    Line("two", "pitless adapter", "second", {f"{PIPE}.fittings": _elbows("90 elbow")}, ABSENT),
    Line("two", "well cap", "", {}, "to check", ("bore of 6.00 in", "passes 2 pump cables")),
    Line("two", "well cap", "", {f"{PIPE}.fittings": _elbows("90 elbow")}, "to check",
         ("passes 2 pump cables and 2 drop pipes",)),
    Line("steady", "well cap", "", {}, "to check", ("passes 1 pump cable",)),
    Line("steady", "well cap", "", {f"{PIPE}.fittings": _elbows("90 elbow")}, "to check",
         ("passes 1 pump cable and 1 drop pipe",)),
    Line("steady", "treatment bypass", "", {}, ABSENT),
    Line("steady", "treatment bypass", "", {f"{PIPE}.treatment_loss": "5 psi"}, "to check"),
    Line("steady", "pressure switch", "", {}, "in the file",
         ("cut-in 40.0 psi, cut-out 60.0 psi",), "reaches cut-out"),
    # 10 gpm for two minutes are 20 gal, 25.8 % of 77.5 gal; tanks of 20, 44 and 86 gal are sold.
    Line("steady", "pressure tank", "", {}, "in the file", ("86.0 gal, precharge 38.0 psi",),
         "run time", 1),
    Line("steady", "pressure tank", "", {f"{TANK}.volume": "40 gal"}, "to change",
         ("86.0 gal (needs 77.", "precharge 38.0 psi"), "run time", 1),
    Line("steady", "pressure tank", "", {f"{TANK}.volume": "86 gal", f"{TANK}.count": 2},
         "in the file", ("86.0 gal each",), "run time", 2),
    Line("steady", "pressure tank", "", {f"{TANK}.precharge": "41 psi"}, "to change",
         ("86.0 gal, precharge 38.0 psi",), "precharge", 1),
    Line("steady", "pressure tank", "", {f"{TANK}.precharge": "36 psi"}, "in the file",
         ("precharge 36.0 psi",), "run time"),
    Line("steady", "pressure tank", "", {TANK: None}, "to add",
         ("86.0 gal (needs 77.", "precharge 38.0 psi", "2.0 min of running at 10.0 gpm"), "", 1),
    Line("steady", "pressure tank", "", {TANK: None, f"{PUMP}.rated_power": "3/4 hp"}, "to add",
         ("44.0 gal (needs 38.", "60.0 s of running at 10.0 gpm"), "", 1),
    Line("vfd", "pressure tank", "", {}, "in the file", (), "drive's precharge"),
    Line("steady", "pressure gauge", "", {}, "to check", ("to 90.0 psi",)),
    Line("steady", "tank relief valve", "", {}, "to check",
         ("opens above 60.0 psi", "lets 10.1 gpm through", "steady can hold 145 psi"),
         "tank relief"),
    Line("steady", "tank relief valve", "", {PLATE: "100 psi"}, "to add",
         ("opens at 75.0 psi, lets 10.1 gpm through",), "tank relief"),
    Line("steady", "tank relief valve", "", {PLATE: "100 psi", RELIEF: "80 psi"}, "in the file",
         ("opens at 80.0 psi",), "tank relief"),
    Line("steady", "tank relief valve", "", {PLATE: "100 psi", RELIEF: "110 psi"}, "to change",
         ("opens at 75.0 psi, lets",), "tank relief"),
    Line("steady", "tank relief valve", "", {RELIEF: "80 psi"}, "to check",
         ("opens at 80.0 psi, lets 10.1 gpm through",), "tank relief"),
    Line("steady", "tank stand", "pressure tank", {}, "to check", ("bears 718 lbf",)),
    Line("steady", "constant-pressure valve", "", {"constant_pressure_valve": VALVE}, "to check",
         ("holds 50.0 psi", "lets 1.00 gpm through", "bears 200 psi before it")),
    Line("steady", "constant-pressure valve", "", {
        "constant_pressure_valve": {**VALVE, "set_pressure": "60 psi"}}, "to change",
         ("set it to 50.0 psi",), "valve setting"),
    Line("steady", "constant-pressure valve", "", {
        "constant_pressure_valve": {**VALVE, "greatest_pressure": "100 psi"}}, "to change",
         ("made for 145 psi",), "pressure before the valve"),
    Line("south_slope", "mixing valve", "", {}, "in the file", ("ASSE 1017, set to 120 °F",),
         "mixing valve"),
    Line("south_slope", "mixing valve", "", {f"{MIXING}.outlet": "125 degF"}, "to change",
         ("set to 120 °F or less",), "mixing valve"),
    Line("south_slope", "mixing valve", "", {f"{MIXING}.standard": "ASSE 1070"}, "to change", (),
         "mixing-valve standard"),
    Line("south_slope", "mixing valve", "", {f"{MIXING}.standard": None}, "to change", (),
         "mixing-valve standard"),
    Line("south_slope", "mixing valve", "", {MIXING: None}, "to add", ("120 °F or less",),
         "mixing valve"),
    Line("south_slope", "fixture valve", "", {f"{HEATER}.fixture_valves": False}, "to add", (),
         "scald protection at fixtures"),
    Line("south_slope", "fixture valve", "", {f"{HEATER}.fixture_valves": True}, "in the file"),
    Line("south_slope", "heater relief valve", "", {OPENS_HOT: "200 degF"}, "in the file",
         ("200 °F, 150 psi",), "relief valve"),
    Line("south_slope", "heater relief valve", "", {OPENS: "125 psi"}, "in the file",
         ("210 °F, 125 psi",), "relief valve"),
    Line("south_slope", "heater relief valve", "", {OPENS: "160 psi"}, "to change",
         ("210 °F, 150 psi",), "relief valve"),
    Line("south_slope", "heater relief valve", "", {OPENS: None, OPENS_HOT: "200 degF"}, "to add",
         ("200 °F, 150 psi",), "relief valve"),
    Line("south_slope", "heater relief valve", "", {OPENS: "125 psi", OPENS_HOT: None}, "to add",
         ("210 °F, 125 psi",), "relief valve"),
    Line("south_slope", "heater relief valve", "", {f"{HEATER}.relief_capacity": None}, "to add",
         (), "relief capacity"),
    Line("south_slope", "heater relief valve", "", {f"{HEATER}.relief_capacity": "1000 W"},
         "to change", (), "relief capacity"),
    Line("south_slope", "expansion tank", "", {}, "in the file",
         ("3.20 gal, precharge 50.0 psi",), "thermal expansion"),
    # 2.354 gal are asked.
    Line("south_slope", "expansion tank", "", {f"{EXPANDS}_volume": "1 gal"}, "to change",
         ("at least 2.3", "precharge 50.0 psi"), "thermal expansion"),
    Line("south_slope", "expansion tank", "", {EXPANDS: False}, "to add", ("at least 2.3",),
         "thermal expansion"),
    Line("south_slope", "expansion tank", "", {
        f"{HEATER}.check_valve": False, EXPANDS: None}, ABSENT),
    Line("south_slope", "high limit", "", {}, "in the file",
         ("hand reset, 170 °F, breaks 250 V, 32.0 A", "2 poles"), "", 1),
    Line("south_slope", "high limit", "", {OPENS_HOT: "165 degF"}, "to change",
         ("hand reset, 170 °F, or up to 180 °F",), "high limit"),
    Line("south_slope", "high limit", "", {f"{HEATER}.high_limit": None}, "to add",
         ("hand reset, 170 °F, or up to 180 °F",)),
    Line("south_slope", "high limit", "", {f"{ELEMENT}.high_limit_voltage": "150 V"}, "to change",
         ("breaks 182 V, 12.2 A of direct current",), "high limit on direct current"),
    Line("south_slope", "high limit", "", {f"{ELEMENT}.high_limit_poles": None}, "to check",
         ("in both conductors",), "high limit on direct current"),
    Line("ridge_house", "high limit", "element 2", {}, "in the file",
         ("hand reset, 170 °F, opens every live conductor of grid",),
         "high limit on grid or inverter"),
    Line("ridge_house", "high limit", "element 2", {f"{MAINS}.high_limit_poles": None},
         "to check", ("of grid",), "high limit on grid or inverter"),
    Line("ridge_house", "high limit", "element 2", {f"{MAINS}.high_limit_switches": "nothing"},
         "to change", ("of grid",), "high limit on grid or inverter"),
    Line("south_slope", "relay or controller", "hot water", {}, "in the file",
         ("breaks 250 V, 32.0 A of direct current",), "thermostat on direct current"),
    Line("south_slope", "relay or controller", "hot water", {
        f"{ELEMENT}.switch_voltage": "150 V"}, "to change",
         ("breaks 182 V, 12.2 A of direct current",), "thermostat on direct current"),
    Line("south_slope", "relay or controller", "hot water", {
        f"{ELEMENT}.thermostat_switches": "AC"}, "to add", (), "thermostat on direct current"),
    Line("south_slope", "relay or controller", "hot water", {
        f"{ELEMENT}.switch_voltage": None}, "to check", (), "thermostat on direct current"),
    Line("south_slope", "relay or controller", "hot water", {
        f"{ELEMENT}.thermostat_switches": "DC"}, ABSENT),
    Line("south_slope", "heating element", "lower, on hot water", {
        "array[1].series": 8, "array[1].parallel": 2}, "to change", ("no more than 6 modules",),
         "element load"),
    Line("south_slope", "heating element", "lower, on hot water", {f"{ELEMENT}.count": 2},
         "in the file", ("3800 W, 240 V",), "element load", 2),
    Line("south_slope", "water heater", "", {}, "in the file", ("30.0 gal",)),
    Line("south_slope", "water heater", "", {f"{HEATER}.volume": "20 gal"}, "to change", (),
         "hot water stored"),
    Line("south_slope", "vacuum relief valve", "", {f"{HEATER}.vacuum_relief": False}, "to add",
         (), "vacuum relief"),
    Line("south_slope", "isolator", "hot water", {}, "in the file",
         ("breaks 600 V of direct current under load, 32.0 A, in both",), "isolator"),
    Line("south_slope", "isolator", "hot water", {"array[1].isolator_voltage": "150 V"},
         "to change", ("breaks 182 V, 12.2 A",), "isolator"),
    Line("south_slope", "isolator", "hot water", {"array[1].isolator_voltage": None}, "to check",
         (), "isolator"),
    Line("south_slope", "isolator", "hot water", {
        "array[1].isolator_voltage": None, "array[1].isolator_current": None}, "to add", (),
         "isolator"),
    Line("south_slope", "string", "hot water", {}, "in the file", ("4 modules in series",),
         "cold open-circuit voltage", 1),
    Line("south_slope", "string", "hot water", {"array[1].series": 1, "array[1].parallel": 2},
         "in the file", ("1 module",), "", 2, ("array[1].series", "array[1].parallel")),
    Line("south_slope", "string", "hot water", {"array[1].series": 14}, "to change",
         ("no more than 13 modules",), "cold open-circuit voltage"),
    Line("south_slope", "array breaker", "hot water", {}, ABSENT),
    # 15.2 A are asked: the next standard size.
    Line("south_slope", "array breaker", "hot water", {"array[1].overcurrent": "10 A"},
         "to change", ("20 A, made for 182 V",), "pv overcurrent", 1),
    Line("south_slope", "array breaker", "hot water", {"array[1].overcurrent": "20 A"},
         "to check", ("20.0 A, made for 182 V",), "pv overcurrent", 1),
    Line("south_slope", "string fuse", "hot water", {"array[1].parallel": 4}, "to add",
         ("20 A, one in each row", "made for 182 V"), "pv overcurrent", 4),
    Line("south_slope", "ground-fault protection", "hot water", {
        "array[1].ground_fault_protection": False}, "to add", (), "ground fault"),
    # 32.6 V x 9.2 A where the sheet's power is not told.
    Line("south_slope", "module", "hot water", {"module.rated_power": None}, "in the file",
         ("300 W, 39.9 V open, 9.70 A",), "module's sheet", 4),
    Line("south_slope", "module", "all groups", {"module.on_hand": 1}, "to add", (),
         "modules on hand"),
)  # fmt: skip


@cache
def _listed(number: int) -> list[Part]:
    line = LINES[number]
    given = {**(DRY if line.site in HEATED else NOTHING), **line.given}
    file = site_from(with_given(base_tables(line.site), given))
    return list(study_parts(file.site, study_site(file, SECTIONS)).parts)


@pytest.mark.parametrize("number", range(len(LINES)), ids=[
    f"{number}: {line.item} {line.state}" for number, line in enumerate(LINES)])  # fmt: skip
def test_a_line_stands_as_the_file_has_it(number: int) -> None:
    line = LINES[number]
    found = [part for part in _listed(number) if (part.item, part.of) == (line.item, line.of)]
    assert len(found) == (line.state != ABSENT), [part.of for part in found]
    for part in found:
        text = " / ".join(each.text("US") for each in (part.size, *part.why))
        assert part.state == line.state, text
        for piece in line.told:
            assert re.search(rf"{re.escape(piece)}(?![a-z])", text), text
        assert not line.keys or set(part.keys) == set(line.keys)
        if line.rule:
            assert part.verdict is not None
            assert part.verdict.rule.key == line.rule, text
        if line.amount is not None:
            assert part.quantity == pytest.approx(line.amount)
