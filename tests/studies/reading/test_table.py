"""The table of readings and the classes that read it: a slip in either is refused at import."""

from __future__ import annotations

import pytest

from wellsolar.site.readings.table import READINGS, Row, refuse_slips
from wellsolar.studies.reading.pressure import Precharge
from wellsolar.studies.reading.table import TABLE, refuse_unread


@pytest.mark.parametrize(
    ("row", "slip"),
    [
        (Row("wind", "Of the wind.", needs="gust"), "gust"),
        (Row("wind", "Of the wind.", together=("gust",)), "gust"),
        (Row("wind", "Of the wind.", cautions=("cold feet",)), "cold feet"),
        (Row("precharge", "Air again.", "PRESSURE"), "stands twice"),
    ],
)
def test_a_row_that_names_what_there_is_not_is_refused(row: Row, slip: str) -> None:
    with pytest.raises(ValueError, match=slip):
        refuse_slips((*READINGS, row))


def test_a_quantity_that_no_class_reads_is_refused() -> None:
    with pytest.raises(ValueError, match="wind"):
        refuse_unread((*READINGS, Row("wind", "Of the wind.", "SPEED")), TABLE)


@pytest.mark.parametrize("slip", [{"reads": ("prechrage",)}, {"step": "tnak"}], ids=str)
def test_a_class_that_reads_no_row_or_stands_on_no_step_is_refused(
    slip: dict[str, object],
) -> None:
    with pytest.raises(ValueError, match="no such reading or step"):
        type("Slip", (Precharge,), slip)
