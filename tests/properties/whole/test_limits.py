"""Each rule on both sides of its limit, in the limit's own unit, and unknown without its key.

A row says of a site which value of a key just passes and which just does not, and why the limit
lies between the two. A rule without a row says which tests hold its sides, and that they name it
is tested. Then, of all sites: whatever passes keeps its limit, whatever does not breaks it.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from tests.properties.whole.named import FEW, NAMED, tables_of
from tests.properties.whole.strategy import sample
from tests.properties.whole.verdicts import WATER, judged
from wellsolar import site_from
from wellsolar.site.loading.overrides import changed, python_settings
from wellsolar.studies.case import Section
from wellsolar.studies.rules import all_rules
from wellsolar.verdicts import RANK, Status, Verdict

HEAT: tuple[Section, ...] = ("heat",)


class Sides(NamedTuple):
    """A rule at its limit.

    key: of the file; keeps, breaks: values that just pass and just do not
    broken: how the verdict then stands
    why: where the limit lies, and on whose authority
    lacks: a key without which the rule is unknown; empty where it never is
    """

    rule: str
    site: str
    key: str
    keeps: str
    breaks: str
    broken: Status
    why: str
    lacks: str = ""
    sections: tuple[Section, ...] = WATER


ELEMENT = "water_heater.element[1]"
RIDGE, SLOPE = "ridge_house", "south_slope"
SIDES = (
    Sides("house pressure", RIDGE, "pressure_switch.cut_out", "80 psi", "81 psi", "fail",
          "80 psi (552 kPa), as the source of the rule has it"),
    Sides("precharge", RIDGE, "pressure_tank.precharge", "40 psi", "41 psi", "fail",
          "never above a cut-in of 40 psi", "pressure_tank.precharge"),
    Sides("precharge", RIDGE, "pressure_tank.precharge", "35 psi", "34 psi", "caution",
          "5 psi below cut-in: common practice"),
    Sides("drive's precharge", "vfd", "pressure_tank.precharge", "36 psi", "35 psi", "caution",
          "60 % of the 60 psi held: from memory", "pressure_tank.precharge"),
    Sides("drive's precharge", "vfd", "pressure_tank.precharge", "51 psi", "52 psi", "caution",
          "85 % of the 60 psi held: from memory"),
    Sides("tank relief", RIDGE, "pressure_tank.greatest_pressure", "75 psi", "74 psi", "fail",
          "the relief valve opens at 75 psi"),
    Sides("relief at the hand pump", RIDGE, "hand_pump.relief_pressure", "61 psi", "60 psi",
          "fail", "above a cut-out of 60 psi"),
    Sides("relief at the hand pump", RIDGE, "hand_pump.relief_pressure", "125 psi", "126 psi",
          "fail", "no more than the tank's plate of 125 psi"),
    Sides("frost", RIDGE, "piping.frost_depth", "30 in", "31 in", "caution",
          "6 in above a line at 36 in, as the source of the rule has it", "piping.frost_depth"),
    Sides("setback", RIDGE, "well.septic_tank_distance", "50 ft", "49 ft", "caution",
          "50 ft from a septic tank, as the source of the rule has it"),
    Sides("setback", RIDGE, "well.drain_field_distance", "100 ft", "99 ft", "caution",
          "100 ft from a drain field, as the source of the rule has it"),
    Sides("above the bottom", RIDGE, "pump[1].intake_depth", "215 ft", "216 ft", "caution",
          "5 ft above a bottom at 220 ft: common practice"),
    Sides("supply voltage", RIDGE, "power.inverter_voltage", "253 V", "254 V", "fail",
          "a tenth above the motor's 230 V", "power.inverter_voltage"),
    Sides("inverter rating", "twoatonce", "power.inverter_rating", "2.28 kVA", "2.26 kVA", "fail",
          "637 W of water, as test_composed has it, over 35 % and a power factor of 0.8: 2275 VA",
          "power.inverter_rating"),
    Sides("inverter surge", RIDGE, "power.inverter_surge", "13.9 kVA", "13.7 kVA", "caution",
          "1.25 x 48 A x 230 V is 13.8 kVA: common practice", "power.inverter_surge"),
    Sides("hand travel", RIDGE, "hand_pump.stroke", "6.5 in", "6.6 in", "caution",
          "a metre at the end of a lever of 6 to 1, 39.4 in / 6"),
    Sides("depth of the hand pump", RIDGE, "hand_pump.rated_depth", "112 ft", "111 ft", "caution",
          "105 ft in the low season and 2.24 gpm / 0.35 gpm/ft: 111.4 ft"),
    Sides("cylinder under water", RIDGE, "hand_pump.cylinder_depth", "112 ft", "111 ft", "fail",
          "105 ft in the low season and 2.24 gpm / 0.35 gpm/ft: 111.4 ft"),
    Sides("fits the casing", "twoatonce", "limits.casing_clearance", "0.75 in", "0.76 in",
          "caution", "6 in less a pump of 3.9 in beside a pipe of 1.35 in outside: 0.75 in",
          "well.casing_bore"),
    Sides("storage temperature", SLOPE, f"{ELEMENT}.thermostat", "140 degF", "139 degF",
          "caution", "60 degC of storage against legionella", sections=HEAT),
    Sides("high limit", SLOPE, "water_heater.high_limit", "180 degF", "181 degF", "caution",
          "high limits of such tanks open at 170 to 180 degF", "water_heater.high_limit",
          sections=HEAT),
    Sides("mixing valve", SLOPE, "water_heater.mixing_valve.outlet", "120 degF", "121 degF",
          "fail", "120 degF of model plumbing codes", sections=HEAT),
    Sides("mixing-valve supply", SLOPE, "water_heater.high_limit", "180 degF", "181 degF",
          "caution", "180 degF of the valve's standard", sections=HEAT),
    Sides("relief valve", SLOPE, "water_heater.relief_pressure", "150 psi", "151 psi", "fail",
          "the tank is made for 150 psi", "water_heater.relief_pressure", sections=HEAT),
    Sides("pressure at the relief valve", SLOPE, "water_heater.relief_pressure", "56 psi",
          "55 psi", "caution", "50 psi of the switch are 90 % of 55.6 psi", sections=HEAT),
    Sides("isolator", SLOPE, "array[1].isolator_voltage", "182 V", "181 V", "fail",
          "4 x 39.9 V x 1.14 by the table of NEC 690.7 at -8 degC: 181.9 V",
          "array[1].isolator_voltage", sections=HEAT),
    Sides("isolator", SLOPE, "array[1].isolator_current", "12.2 A", "12 A", "fail",
          "1.25 x a short-circuit current of 9.7 A is 12.1 A", sections=HEAT),
    Sides("pv overcurrent", SLOPE, "array[1].overcurrent", "15.2 A", "15.1 A", "fail",
          "1.25 x 1.25 x 9.7 A is 15.2 A", sections=HEAT),
    Sides("thermostat on direct current", SLOPE, f"{ELEMENT}.switch_voltage", "182 V", "181 V",
          "fail", "4 x 39.9 V x 1.14 by the table of NEC 690.7 at -8 degC: 181.9 V",
          sections=HEAT),
)  # fmt: skip

BETWEEN: dict[str, str] = {
    "inverter surge": "cautions from the starting current up to a margin above it",
    "precharge": "cautions where it is far below cut-in too",
    "drive's precharge": "cautions on both sides of the usual share",
    "survival by hand": "cautions where it takes more than half of a day's work",
    "supply voltage": "lies within a tenth of its limit, on both sides",
    "mixing-valve supply": "names the hottest that the valve is made for",
}
"""Rules whose verdict may stand otherwise than limit and quantity do, with the reason."""

HOLDERS = ("tests/studies", "tests/examples", "tests/properties/whole/lines.py")
"""Where the sides of the other rules are held."""

ROOT = Path(__file__).parents[3]


def with_keys(site: str, settings: dict[str, Any]) -> dict[str, Any]:
    """The tables of a named site with some keys set."""
    return changed(tables_of(site), python_settings(settings)).tables


def worst_of(tables: dict[str, Any], rule: str, sections: tuple[Section, ...]) -> Verdict:
    """The verdict of a rule; of several, the worst."""
    found = judged(site_from(tables), sections).verdicts.values()
    return min((each for each in found if each.rule.key == rule), key=lambda v: RANK[v.status])


@pytest.mark.parametrize("row", SIDES, ids=lambda row: f"{row.rule}, {row.breaks}")
def test_a_rule_turns_at_its_limit(row: Sides) -> None:
    kept = worst_of(with_keys(row.site, {row.key: row.keeps}), row.rule, row.sections)
    broken = worst_of(with_keys(row.site, {row.key: row.breaks}), row.rule, row.sections)
    assert (kept.status, broken.status) == ("pass", row.broken), row.why
    assert broken.remedy is not None


def without(tables: dict[str, Any], path: str) -> dict[str, Any]:
    """The tables without a key; of several tables, without it in all."""
    *names, key = path.replace("[1]", "").split(".")
    kept = dict(tables)
    if names:
        inner = kept[names[0]]
        rest = ".".join([*names[1:], key])
        kept[names[0]] = (
            [without(each, rest) for each in inner]
            if isinstance(inner, list)
            else without(inner, rest)
        )
    else:
        kept.pop(key, None)
    return kept


@pytest.mark.parametrize("row", [row for row in SIDES if row.lacks], ids=lambda row: row.rule)
def test_a_rule_is_unknown_without_its_key(row: Sides) -> None:
    verdict = worst_of(without(tables_of(row.site), row.lacks), row.rule, row.sections)
    assert verdict.status == "unknown"
    assert row.lacks in verdict.needs


def test_every_rule_has_a_row_or_tests_that_name_it() -> None:
    texts = "".join(
        path.read_text("utf-8")
        for place in HOLDERS
        for path in ([ROOT / place] if place.endswith(".py") else (ROOT / place).rglob("*.py"))
    )
    rows = {row.rule for row in SIDES}
    assert rows <= set(all_rules())
    assert set(BETWEEN) <= set(all_rules())
    nowhere = {rule for rule in all_rules() if f'"{rule}"' not in texts} - rows
    assert nowhere == set()


@cache
def verdicts_of(name: str) -> list[Verdict]:
    number = name.removeprefix("random ")
    tables = sample(FEW)[int(number)] if number.isdecimal() else tables_of(name)
    sections = (*WATER, *HEAT) if name == SLOPE else WATER
    return list(judged(site_from(tables), sections).verdicts.values())


@pytest.mark.parametrize("name", [*NAMED, *(f"random {number}" for number in (0, 1, 3, 4))])
def test_what_passes_keeps_its_limit_and_what_does_not_breaks_it(name: str) -> None:
    for verdict in verdicts_of(name):
        asks, found, limit = verdict.rule.limit_is, verdict.quantity, verdict.limit
        if found is None or limit is None or verdict.rule.key in BETWEEN:
            continue
        # What prints alike is alike: three digits.
        off = (float(found) - float(limit)) * (1.0 if asks == "at most" else -1.0)
        about = 0.006 * max(abs(float(limit)), 1e-9)
        told = f"{verdict.rule.key} of {verdict.subject}: {verdict.reason.text('US')}"
        if verdict.status == "pass":
            assert off <= about, told
        elif verdict.status in ("fail", "caution"):
            assert off >= -about, told
        if verdict.status == "unknown":
            assert verdict.needs, told
        if verdict.status in ("fail", "caution"):
            assert verdict.remedy is not None, told
