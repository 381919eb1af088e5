"""What physics refuses is told in the units of the report."""

from __future__ import annotations

import math

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


@pytest.mark.parametrize(
    ("value", "unit", "number", "told_in"),
    [
        # 1 m3/s are 60000 L/min, 1 kWh 3.6 MJ.
        (2e-3, "m3/s", 120.0, "L/min"), (75.0, "W", 75.0, "W"), (24.0, "V", 24.0, "V"),
        (8.4, "A", 8.4, "A"), (45.0, "degC", 45.0, "°C"), (5.0, "K", 5.0, "K"),
        (1.5, "m/s", 1.5, "m/s"), (18e6, "J/m2", 5.0, "kWh/m²"),
    ],
)  # fmt: skip
def test_each_unit_has_its_kind(value: float, unit: str, number: float, told_in: str) -> None:
    told = why_refused(OutOfRange("...", ("x", value, 0.0, math.inf, unit))).text("SI")
    first, _, rest = told.removeprefix("x is ").partition(" ")
    assert (float(first), rest.partition(",")[0]) == (number, told_in)


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
