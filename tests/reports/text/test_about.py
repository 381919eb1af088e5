"""What many finds of a word are told as."""

from __future__ import annotations

import pytest

from tests.reports.tables.made import BARE, Made
from wellsolar.reports.text.about import about


@pytest.mark.parametrize(("number", "more"), [(2, 0), (22, 0), (23, 1), (37, 15)])
def test_what_a_screen_holds_is_listed_and_the_rest_counted(number: int, more: int) -> None:
    keys = {f"zzz.key_{place:02}": f"the meaning of {place}" for place in range(number)}
    told = about(Made(BARE).results, (), {}, keys, "zzz", 80).splitlines()
    assert told[0] == f"{number} things have it; more words narrow it:"
    listed = [line for line in told[1:] if "zzz.key_" in line]
    assert [line.split()[0] for line in listed] == [*keys][: number - more]
    assert len(told) <= 24
    assert told[1 + len(listed) :] == ([f"  and {more} more"] if more else [])


def test_a_key_by_its_whole_path_is_told_with_its_meaning() -> None:
    keys = {"zzz.one": "what it means", "zzz.two": "something else"}
    told = about(Made(BARE).results, (), {}, keys, "zzz.one", 80)
    assert "what it means" in told
    assert "something else" not in told
