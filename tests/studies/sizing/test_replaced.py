"""What of a file may be replaced, and what is left of the file without it."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from wellsolar.errors import UnknownName
from wellsolar.site.loading.read import parse_part
from wellsolar.studies.sizing import replaced
from wellsolar.verdicts import remedy, set_to

FILE = (
    '[well]\ndepth = "300 ft"\nstatic_level = "100 ft"\n'
    '[piping.drop_pipe]\nmaterial = "polyethylene SIDR"\nsize = "1 in"\n'
    '[[array]]\nname = "roof"\nfeeds = "battery"\n[[array]]\nname = "wall"\nfeeds = "heater"\n'
    '[water_heater]\nvolume = "50 gal"\n'
    '[[water_heater.element]]\nposition = "upper"\nfed_by = "grid"\n'
    '[[water_heater.element]]\nposition = "lower"\nfed_by = "wall"\n'
)
PUMPS = "".join(f'[[pump]]\nname = "{name}"\nrated_power = "1 hp"\n' for name in ("one", "two"))


def test_modules_for_the_tank_and_their_element_stand_for_themselves() -> None:
    """Of two groups the first for the pump, of two elements the second on modules."""
    names = replaced.names_of(parse_part(FILE + PUMPS).file.tables)
    element, wall = ("water_heater", "element", 1), ("array", 1)
    assert (names["modules"], names["element"]) == ((("array", 0),), (element,))
    assert names["tank's modules"] == (wall, element)
    one, two = ("pump", 0), ("pump", 1)
    assert (names["pump"], names["one"], names["two"]) == ((one, two), (one,), (two,))
    assert names["motor"] == ((*one, "rated_power"), (*two, "rated_power"))
    assert {"inverter", "battery", "hand pump"}.isdisjoint(names)


@pytest.mark.parametrize(
    ("name", "gone", "left"),
    [
        # The table round a pipe goes with it, as it is left empty; what else stands stays.
        ("drop pipe", ["piping", "drop_pipe"], ["well", "array", "water_heater"]),
        ("tank's modules", ['"wall"'], ['"roof"', '"grid"']), ("modules", ['"roof"'], ['"wall"']),
        ("two", ['"two"'], ['"one"']), ("pump", ["pump", "rated_power"], ['"roof"']),
        ("water_heater.volume", ["50 gal"], ["[water_heater]"]),
    ],
)  # fmt: skip
def test_a_file_without_a_part_of_it(name: str, gone: list[str], left: list[str]) -> None:
    text = replaced.without(parse_part(FILE + PUMPS), [name]).text
    assert [each for each in gone if each in text] == []
    assert [each for each in left if each not in text] == []
    with pytest.raises(UnknownName):
        replaced.without(parse_part(FILE), ["two"])


@pytest.mark.parametrize(
    ("pumps", "changed", "subject", "name"),
    [
        (PUMPS, "pump[2].rated_power", "one", "motor"), (PUMPS, None, "two", "two"),
        (PUMPS[: PUMPS.rindex("[[")], None, "one", "pump"),
        (PUMPS, None, "three", ""), ("", "piping.drop_pipe.size", "", "drop pipe"),
        ("", None, "element", "element"),
    ],
)  # fmt: skip
def test_the_part_that_a_verdict_does_not_pass_on(
    pumps: str, changed: str | None, subject: str, name: str
) -> None:
    wanted = None if changed is None else remedy("another", [set_to(changed, "1 in")])
    verdict: Any = SimpleNamespace(subject=subject, remedy=wanted)
    assert replaced.kept_part(parse_part(FILE + pumps), verdict) == name
