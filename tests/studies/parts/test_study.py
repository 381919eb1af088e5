"""Every line of a parts list has a name, a reason and a verdict; prices are added up."""

from __future__ import annotations

import csv
import io

import pytest

from tests.site_texts import EXAMPLES
from tests.studies.parts.listing import listed, part
from wellsolar.reports.tables.parts_list import heading, parts_sections
from wellsolar.reports.text.csv import as_csv
from wellsolar.site.part_names import part_names
from wellsolar.sources import SOURCES


@pytest.mark.parametrize("example", [path.stem for path in sorted(EXAMPLES.glob("*.toml"))])
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


@pytest.mark.parametrize("example", [path.stem for path in sorted(EXAMPLES.glob("*.toml"))])
def test_no_line_stands_twice_and_each_says_why(example: str) -> None:
    found, _ = listed(example)
    names = [(each.item, each.of) for each in found.parts]
    assert len(names) == len(set(names))
    for each in found.parts:
        assert each.size.text("US").strip()
        assert any(sentence.text("SI").strip() for sentence in each.why), each.item
