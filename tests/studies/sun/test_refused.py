"""What physics refuses is told in the units of the report."""

from __future__ import annotations

import pytest

from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_range
from wellsolar.physics.sun import synthetic_year
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.sun.refused import why_refused
from wellsolar.studies.sun.year import year_of_site


def test_its_numbers_are_printed_in_either_system() -> None:
    with pytest.raises(OutOfRange) as raised:
        require_range(30.48, 0.0, 15.24, "head", "m")
    told = why_refused(raised.value)
    assert told.text("US") == "head is 100 ft, allowed is 0 ft to 50.0 ft"
    assert told.text("SI") == "head is 30.5 m, allowed is 0 m to 15.2 m"


def test_more_sun_than_there_is_is_told_a_day_as_one_writes_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse(*_: object) -> None:
        raise OutOfRange("...", ("monthly total of month 6", 54e6, 0.0, 36e6, "J/m2"))

    monkeypatch.setattr(synthetic_year, "year_from_monthly", refuse)
    file = parse_site(
        '[site]\nlatitude = "40 deg"\n[well]\ndepth = "90 ft"\nstatic_level = "38 ft"\n[sun]\n'
        'monthly = "2, 3, 4, 5, 6, 6, 6, 6, 5, 4, 3, 2 kWh/m2/day"\n'
    )
    why = year_of_site(file).why
    assert "15.0 kWh/m²" in why.text("US")
    assert "0 kWh/m² to 10.0 kWh/m²" in why.text("US")
