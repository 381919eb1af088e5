"""The parts list as CSV: whole lengths, and no cell that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
from types import SimpleNamespace
from typing import Any

from tests.studies.parts.listing import listed
from wellsolar import kinds
from wellsolar.reports.text.csv import HEADER, MARK, _harmless, as_csv
from wellsolar.results.parts import Part
from wellsolar.studies.rules import all_rules
from wellsolar.units import Quantity
from wellsolar.verdicts import say


def test_no_spelling_of_a_sign_makes_a_cell_a_formula() -> None:
    signs = "=+-@\uff1d\uff0b\uff0d\uff20\ufe66\ufe62\ufe63\ufe6b\u207a\u208c\u2212"
    for before in ("", " ", "\t", "\r", "\n", "\u200b", "\ufeff", "\u3000\t"):
        for sign in signs:
            assert _harmless(f"{before}{sign}1+1").startswith("'"), (before, sign)
    for word in ("", "1+1", "pump = well", "Größe", "(a)", "\u00d7 2", "3 - 4", "'", "\u00b12"):
        assert _harmless(word) == word


def test_csv_has_whole_feet_or_metres_and_no_formula() -> None:
    found, _ = listed("creek_cabin")
    assert as_csv(found, "US", MARK).encode().startswith(b"\xef\xbb\xbfline,")
    us, si = (list(csv.DictReader(io.StringIO(as_csv(found, each)))) for each in ("US", "SI"))
    assert tuple(us[0]) == HEADER
    pipes = [next(row for row in rows if row["part"] == "drop pipe") for rows in (us, si)]
    # 155 ft are 47.244 m.
    assert [(row["quantity"], row["unit"]) for row in pipes] == [("155", "ft"), ("48", "m")]
    assert as_csv(found, "US").endswith("\r\n")
    named, _ = listed("smallest", ["pump[1].name==1+1"])
    of_pump = [row["for"] for row in csv.DictReader(io.StringIO(as_csv(named, "US")))]
    assert of_pump[0] == "'=1+1"
    assert "=1+1" not in of_pump


def test_each_column_has_what_its_head_says() -> None:
    verdict = all_rules()["yield"].verdict("caution", "deep pump", say("reason"))
    part = Part("water", "foot valve", "the pump", Quantity(2.0, kinds.COUNT), say("1 in"),
                "to add", (say("since"),), verdict, "a source")  # fmt: skip
    made: Any = SimpleNamespace(parts=(part,), priced=False)
    (row,) = csv.DictReader(io.StringIO(as_csv(made, "US")))
    why = row.pop("why")
    assert "since" in why
    assert row == {
        "line": "1", "group": "water", "part": "foot valve", "for": "the pump", "quantity": "2",
        "unit": "piece", "size": "1 in", "state": "to add", "verdict": "yield",
        "subject": "deep pump", "status": "caution", "source": "a source",
    }  # fmt: skip
