"""Every line of a parts list has a name, a reason and a verdict; prices are added up."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from tests.site_texts import EXAMPLES
from tests.studies.parts.listing import FOOT, GALLON, PSI, listed, part
from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.reports.tables.parts_list import heading, parts_sections
from wellsolar.reports.text.csv import as_csv
from wellsolar.results.parts import Part
from wellsolar.site.part_names import part_names
from wellsolar.sources import SOURCES
from wellsolar.studies.parts import study as parts_study
from wellsolar.units import Quantity
from wellsolar.verdicts import say

EVERY = [path.stem for path in sorted(EXAMPLES.glob("*.toml"))]
LINES = Path(__file__).with_name("lines.txt")


@pytest.mark.parametrize("example", EVERY)
def test_every_line_has_a_known_name_and_a_verdict_of_the_site(example: str) -> None:
    found, results = listed(example)
    assert found.parts
    for each in found.parts:
        assert each.item in part_names()
        assert each.source in SOURCES
        assert each.verdict is None or each.verdict in results.verdicts
    assert parts_sections(found)


def test_the_files_prices_are_added_up() -> None:
    text = (EXAMPLES / "creek_cabin.toml").read_text(encoding="utf-8")
    assert not listed("creek_cabin", text=text)[0].priced
    text += """
[[price]]
item = "pump cable"
cost = "1.50"
per = "ft"
[[price]]
item = "pump cable"
size = "8 AWG"
cost = "3"
per = "ft"
[[price]]
item = "90 elbow"
cost = "4"
[[price]]
item = "pump breaker"
cost = "20"
[[price]]
item = "expansion tank"
cost = "60"
"""
    found, _ = listed("creek_cabin", text=text)
    assert part(found, "pump cable", "old pump").cost == pytest.approx(253 * 1.5)
    assert part(found, "pump cable", "frugal pump").cost == pytest.approx(253 * 3)
    everything = 253 * 1.5 + 253 * 3 + 3 * 4 + 2 * 20
    assert found.cost("in the file", "to change", "to add") == pytest.approx(everything)
    assert found.cost("to change", "to add") == pytest.approx(40)
    assert found.unused_prices == ("expansion tank",)
    assert any(f"{everything:,.2f}" in line for line in heading(found))
    rows = list(csv.DictReader(io.StringIO(as_csv(found, "US"))))
    elbow = next(row for row in rows if row["part"] == "90 elbow")
    assert (elbow["price"], elbow["per"], elbow["cost"]) == ("4.00", "piece", "12.00")


def test_what_was_assumed_is_not_said_to_be_in_the_file() -> None:
    found, _ = listed("smallest")
    assert part(found, "drop pipe").state == "to add"
    assert part(found, "check valve").state == "to add"
    # A suction pump above its reach is no choice to keep.
    assert part(listed("high_pass")[0], "hand pump").state == "to change"


@pytest.mark.parametrize("example", EVERY)
def test_no_line_stands_twice_and_each_says_why(example: str) -> None:
    found, _ = listed(example)
    names = [(each.item, each.of) for each in found.parts]
    assert len(names) == len(set(names))
    for each in found.parts:
        assert each.size.text("US").strip()
        assert any(sentence.text("SI").strip() for sentence in each.why), each.item


def put(each: Part) -> str:
    """How a line is put, without any number: what is asked, in what state and unit, by which rule
    or practice, and which keys prove it."""
    unit = "uncounted" if each.quantity is None else each.quantity.kind.name
    parts = ", ".join(
        f"{name}: {value.kind.name if isinstance(value, Quantity) else value}"
        for name, value in each.size.parts.items()
    )
    rule = each.source if each.verdict is None else each.verdict.rule.key
    why = " / ".join(sentence.template for sentence in each.why[each.verdict is not None :])
    told = f"{unit} | {each.size.template} [{parts}] | by {rule} | {' '.join(each.keys)} | {why}"
    return f"{each.item} | {each.state} | " + re.sub(r"(?<=[a-z]\[)[0-9]+(?=])", "", told)


def test_lines_are_put_in_these_words() -> None:
    """In the program's own words: they tell that a line moved, not that it is right."""
    lines = {put(each) for example in EVERY for each in listed(example)[0].parts}
    assert sorted(lines) == LINES.read_text("utf-8").splitlines()


AMOUNTS = {
    # From the files: pipes hang from the pitless adapter, 3 ft down, to the intake; a tenth more
    # of every cable; rods go to the spout, here at the top of the casing.
    "ridge_house": {
        ("drop pipe", "house pump"): 187 * FOOT, ("drop pipe", "frugal pump"): 167 * FOOT,
        ("pump cable", "house pump"): 363 * FOOT, ("pump cable", "frugal pump"): 341 * FOOT,
        ("trench conduit", "house pump"): 120 * FOOT, ("lateral pipe", ""): 120 * FOOT,
        ("array cable", "hot water"): 275 * FOOT, ("90 elbow", ""): 5, ("ball valve", ""): 2,
        ("module", "hot water"): 4, ("module", "house battery"): 32, ("string", "hot water"): 1,
        ("string", "house battery"): 4, ("string fuse", "house battery"): 4,
        ("array breaker", "house battery"): 1, ("rising main", ""): 125 * FOOT,
    },
    "creek_cabin": {
        ("pump cable", "old pump"): 253 * FOOT, ("90 elbow", ""): 3, ("module", "roof"): 4,
    },
}  # fmt: skip
SIZES = {
    # 86 gal of 1000 kg/m3; half as much again as 60 psi; 9.2 A and 32.6 V of 32 modules.
    ("tank stand", "pressure tank"): 86 * GALLON * 9806.65,
    ("tank stand", "water heater"): 50 * GALLON * 9806.65,
    ("pressure gauge", ""): 90 * PSI,
    ("pressure switch", ""): 40 * PSI,
    ("pressure tank", ""): 86 * GALLON,
    ("heater relief valve", ""): (210 - 32) / 1.8,
    ("charge controller", "house battery"): 32 * 32.6 * 9.2,
    ("surge arrester", "hot water"): 4 * 39.9 * 1.18,  # NEC table 690.7(A) at -2 degF: -19 degC
    ("surge arrester", "house battery"): 8 * 39.9 * 1.18,
    ("string fuse", "house battery"): 20.0,  # the next size above 1.25 x 1.25 x 9.7 A
}  # fmt: skip


@pytest.mark.parametrize("example", AMOUNTS)
def test_amounts_are_the_files(example: str) -> None:
    found, _ = listed(example)
    for (item, of), amount in AMOUNTS[example].items():
        assert part(found, item, of).quantity == pytest.approx(amount), (item, of)


def test_sizes_are_the_files() -> None:
    found, _ = listed("ridge_house")
    for (item, of), size in SIZES.items():
        parts = part(found, item, of).size.parts.values()
        first = next(each for each in parts if isinstance(each, Quantity))
        assert float(first) == pytest.approx(size, rel=2e-3), (item, of)


@pytest.mark.parametrize(
    ("quantity", "kind", "per", "cost"),
    [
        # 30.48 m are 100 ft; 31 m are 101.7 ft, of which 102 are bought; a coil is one piece.
        (30.48, kinds.LENGTH, "ft", 200.0), (31.0, kinds.LENGTH, "ft", 204.0),
        (30.2, kinds.LENGTH, "m", 62.0), (31.0, kinds.LENGTH, "m", 62.0),
        (31.0, kinds.LENGTH, "piece", 2.0), (3.0, kinds.COUNT, "piece", 6.0),
        (None, None, "piece", None), (0.002, kinds.VOLUME, "piece", 0.004),
    ],
)  # fmt: skip
def test_whole_feet_and_metres_are_bought(
    quantity: float | None, kind: Kind | None, per: str, cost: float | None
) -> None:
    amount = None if quantity is None or kind is None else Quantity(quantity, kind)
    made = Part("group", "wire", "pump", amount, say("10 AWG"), "to add", (), None, "")
    site: Any = SimpleNamespace(price=[SimpleNamespace(item="wire", size=None, per=per, cost=2.0)])
    found = parts_study._priced(made, site)
    assert found.cost == (None if cost is None else pytest.approx(cost))
    assert found.price is not None
    assert (float(found.price.amount), found.price.per) == (2.0, per)


if __name__ == "__main__":
    every = {put(each) for example in EVERY for each in listed(example)[0].parts}
    LINES.write_text("".join(f"{line}\n" for line in sorted(every)), "utf-8")
