"""A line of the parts list says "in the file" only of what keys of the file prove."""

from __future__ import annotations

import tomllib
from copy import deepcopy
from dataclasses import replace
from functools import cache
from types import SimpleNamespace
from typing import Any

import pytest

from tests.sampled import every
from tests.site_texts import EXAMPLES
from tests.studies.parts.listing import listed, part
from wellsolar import kinds
from wellsolar.errors import SiteFileError
from wellsolar.results import Results
from wellsolar.results.parts import Part, PartsList
from wellsolar.site.loading.read import site_from
from wellsolar.site.locate import path_of, value_at
from wellsolar.studies.parts.lines import Lines, Practice, sized
from wellsolar.studies.parts.study import study_parts
from wellsolar.studies.rules import all_rules
from wellsolar.units import Quantity, UnreadableQuantity, read
from wellsolar.verdicts import remedy, say

EXAMPLE_NAMES = [path.stem for path in sorted(EXAMPLES.glob("*.toml"))]
HAS = "in the file"


@cache
def parts_of(example: str) -> tuple[PartsList, Results, dict[str, Any]]:
    text = (EXAMPLES / f"{example}.toml").read_text(encoding="utf-8")
    return *listed(example, text=text), tomllib.loads(text)


def without(tables: dict[str, Any], key: str) -> dict[str, Any]:
    *above, last = path_of(key)
    copy = deepcopy(tables)
    del value_at(copy, tuple(above))[last]
    return copy


def shown(line: Part) -> tuple[object, ...]:
    return line.item, line.of, line.quantity, line.size.text("US")


@pytest.mark.parametrize("example", every(EXAMPLE_NAMES, 3))
def test_what_a_line_has_falls_with_each_key_that_it_rests_on(example: str) -> None:
    found, results, tables = parts_of(example)
    has = [each for each in found.parts if each.state == HAS]
    for line in has:
        assert line.keys, line.item
        for key in line.keys:
            assert value_at(tables, path_of(key)) is not None, (line.item, key)
    for key in {key for line in has for key in line.keys}:
        try:
            less = site_from(without(tables, key))
        except SiteFileError:
            # No site can be without it, or without it beside another key.
            continue
        # What was found of the whole site stands: only what the file says is another.
        again = study_parts(less.site, replace(results, assumptions=less.assumptions))
        rest = {shown(line): set(line.keys) for line in again.parts if line.state == HAS}
        for line in has:
            # The same words stand only where other keys say them, as Vmp x Imp does the power.
            if key in line.keys and shown(line) in rest:
                assert rest[shown(line)] - set(line.keys), (line.item, key)


def test_a_surge_arrester_is_told_the_voltage_of_its_modules_alone() -> None:
    found, _, tables = parts_of("ridge_house")
    arresters = {each.of: each for each in found.parts if each.item == "surge arrester"}
    for name in arresters.keys() | {each["name"] for each in tables["array"]}:
        parts = arresters[name].size.parts.values()
        told = [part.kind for part in parts if isinstance(part, Quantity)]
        assert told == ([] if name == "pumps" else [kinds.VOLTAGE])


WORKED_OUT = {"pump", "module", "drop pipe", "lateral pipe", "heater relief valve"}
"""Parts that are sized by a curve, a product or a table of what the file tells."""


@pytest.mark.parametrize("example", EXAMPLE_NAMES)
def test_what_a_line_has_is_as_large_as_its_keys_say(example: str) -> None:
    found, _, tables = parts_of(example)
    if example == "village_borehole":
        # Rods reach from the cylinder at 53 m to the spout at 0.6 m.
        assert part(found, "pump rods").quantity == pytest.approx(53.0 + 0.6)
    for line in found.parts:
        if line.item in WORKED_OUT:
            continue
        told = [value_at(tables, path_of(key)) for key in line.keys]
        for size in line.size.parts.values():
            if told and isinstance(size, Quantity):
                assert any(_is(value, size) for value in told), (line.item, size)


def _is(written: object, size: Quantity) -> bool:
    try:
        return size == pytest.approx(float(read(written, size.kind)))
    except UnreadableQuantity:
        return False


def test_a_line_with_a_word_that_no_key_proves_is_to_check() -> None:
    site = site_from({"well": {"depth": "180 ft", "static_level": "85 ft", "casing_bore": "6 in"}})
    results = replace(parts_of("smallest")[1], assumptions=site.assumptions)
    lines = Lines(site.site, results, "well")
    well = site.site.well
    bore = lines.claim("{} bore", well, "casing_bore")
    lines.add("well cap", sized(bore), None)
    lines.add("well cap", sized(bore, ("vermin-proof", "")), None)
    lines.add("well cap", say("as it is"), None)
    # The water's temperature is a default, and no word of the file.
    lines.add("well cap", sized(lines.claim("{}", well, "water_temperature")), None)
    lines.add("well cap", sized(bore), None, keys=["well.transmissivity"])
    assert [each.state for each in lines.made] == [HAS, *["to check"] * 4]
    told = [" ".join(each.text("US") for each in line.why) for line in lines.made]
    assert "vermin-proof" in told[1]
    assert "well.water_temperature" in told[3]
    assert "well.transmissivity" in told[4]


def test_a_line_has_its_amount_its_reason_and_what_is_worst_of_its_verdicts() -> None:
    site = site_from({"well": {"depth": "180 ft", "static_level": "85 ft", "casing_bore": "6 in"},
                      "pressure_tank": {"volume": "20 gal", "precharge": "38 psi"}})  # fmt: skip
    one, other = (all_rules()[key] for key in ("yield", "delivers"))
    way = remedy("ask", "nobody prints it")
    told: list[Any] = [
        rule.verdict(status, subject, say(f"{status} {subject}"), remedy=way)  # type: ignore[arg-type]
        for rule, status, subject in (
            (other, "fail", "a"), (one, "pass", "a"), (one, "caution", "c"), (one, "fail", "b"))
    ]  # fmt: skip
    failed, passed, _, worst = told
    results = replace(parts_of("smallest")[1], assumptions=site.assumptions, verdicts=tuple(told))
    lines = Lines(site.site, results, "well")
    assert lines.worst_of_all(one) is worst
    assert lines.worst_of_all(all_rules()["submergence"]) is None
    assert [lines.worst(subject, one, other) for subject in "abx"] == [failed, worst, None]
    bore = lines.claim("{} bore", site.site.well, "casing_bore")
    practice = Practice("as it is done", "common practice")
    for verdict, amounts, reason, source, kind, amount in (
        (None, {}, "the file's own", "common practice", kinds.COUNT, 1.0),
        (passed, {"count": 3}, "pass a", one.source, kinds.COUNT, 3.0),
        (worst, {"length": 2.0}, "fail b", one.source, kinds.LENGTH, 2.0),
        (failed, {"length": 2.0, "volume": 0.5}, "fail a", other.source, kinds.VOLUME, 0.5),
        (None, {"practice": practice}, "as it is done", practice.source, kinds.COUNT, 1.0),
    ):  # fmt: skip
        lines.add("well cap", sized(bore), verdict, **amounts)
        line = lines.made[-1]
        assert line.why[0].text("US").startswith(reason)
        assert (line.source, line.quantity, line.keys) == (source, amount, ("well.casing_bore",))
        assert line.quantity is not None
        assert line.quantity.kind is kind
    lines.add("well cap", sized(bore), None, count=None, state="to add")
    assert (lines.made[-1].quantity, lines.made[-1].keys, lines.made[-1].why) == (None, (), ())
    # What a sizing has set is bought, unless it is only set of a thing that is there.
    vessel = site.site.pressure_tank
    assert vessel is not None
    for table, key, state in (
        (site.site.well, "casing_bore", "sized"),
        (vessel, "precharge", HAS),
    ):
        path = lines.key(table, key)
        chosen = site.site.model_copy(update={"sized": (SimpleNamespace(key=path),)})
        own = Lines(chosen, results, "well")
        own.add("well cap", sized(own.claim("{}", table, key)), None)
        assert (own.made[0].state, own.made[0].keys) == (state, (path,))
        assert path in own.made[0].why[-1].text("US")
    # What the file tells is there; else it is to add where a verdict asks for it.
    count, lacks = len(lines.made), lines.claim("{}", site.site.well, "transmissivity")
    for piece, verdict, states in (
        (bore, None, [HAS]), (bore, failed, [HAS]), (lacks, failed, ["to add"]),
        (lacks, passed, []), (lacks, None, []),
    ):  # fmt: skip
        lines.add_told("well cap", say("a cap"), verdict, piece, of="it")
        assert [each.state for each in lines.made[count:]] == states
        count = len(lines.made)


def test_a_size_from_the_command_line_counts_as_the_files() -> None:
    text = (EXAMPLES / "smallest.toml").read_text(encoding="utf-8")
    named = ["pump[1].kind=submersible", "pump[1].phases=1", "piping.lateral.size=1 in"]
    assert part(listed("smallest", text=text)[0], "pump").state == "to check"
    assert part(listed("smallest", named, text)[0], "pump").state == HAS
