"""The parts list as CSV: whole lengths, and no cell that a spreadsheet would run."""

from __future__ import annotations

import csv
import io

from tests.studies.parts.listing import listed
from wellsolar.reports.text.csv import HEADER, MARK, as_csv


def test_csv_has_whole_feet_or_metres_and_no_formula() -> None:
    found, _ = listed("creek_cabin", ["pump[1].name==1+1"])
    assert as_csv(found, "US", MARK).encode().startswith(b"\xef\xbb\xbfline,")
    us, si = (list(csv.DictReader(io.StringIO(as_csv(found, each)))) for each in ("US", "SI"))
    assert tuple(us[0]) == HEADER
    pipes = [next(row for row in rows if row["part"] == "drop pipe") for rows in (us, si)]
    # 155 ft are 47.244 m.
    assert [(row["quantity"], row["unit"]) for row in pipes] == [("155", "ft"), ("48", "m")]
    assert us[0]["for"] == "'=1+1"
    assert as_csv(found, "US").endswith("\r\n")
