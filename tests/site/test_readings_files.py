"""Files of readings: every mistake is told with its line, and a table is read as keys are."""

from __future__ import annotations

from pathlib import Path

import pytest

from wellsolar.errors import SiteFileError
from wellsolar.site.readings.file import load_readings


def test_a_file_of_readings_tells_every_mistake_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "day.toml"
    path.write_text(
        '[[reading]]\nelement_amps = "8.4 V"\nsky = "blue"\n[[reading]]\nfil_time = "40 s"\n',
        encoding="utf-8",
    )
    with pytest.raises(SiteFileError) as error:
        load_readings(path)
    text = str(error.value)
    assert "day.toml:2" in text
    assert "reading[1].element_amps" in text
    assert "day.toml:3" in text
    assert "thin cloud" in text
    assert "day.toml:5" in text
    assert 'did you mean "fill_time"' in text


def test_a_csv_is_read_as_a_toml_is(tmp_path: Path) -> None:
    path = tmp_path / "day.csv"
    path.write_text("date,time,element amps\n2026-06-14,12:10,8.4 A +- 2 %\n", encoding="utf-8")
    (made,) = load_readings(path)
    assert (made.month, made.hour) == (6, pytest.approx(12 + 1 / 6))
    assert made.values["element_amps"].high == pytest.approx(8.568)
