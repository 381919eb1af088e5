"""Parts and cautions that keep water clean: each where its thing is, and nowhere else."""

from __future__ import annotations

import pytest

from tests.site_texts import EXAMPLES, edited
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.asked.cautions import there

RIDGE = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")
VILLAGE = (EXAMPLES / "village_borehole.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "change", "shows"),
    [
        (RIDGE, ("[piping]\n", "[piping]\n"), False),
        # The casing ends in a pit; it is wide enough to fall into; nobody knows how wide it is.
        (RIDGE, ('casing_height = "18 in"', 'casing_height = "-4 ft"'), True),
        (RIDGE, ('casing_bore = "6.065 in"', 'casing_bore = "36 in"'), True),
        (RIDGE, ('casing_bore = "6.065 in"\n', ""), True),
        (VILLAGE, ("[piping]\n", "[piping]\n"), True),
    ],
)
def test_the_air_of_pits_is_told_where_somebody_could_climb_in(
    text: str, change: tuple[str, str], shows: bool
) -> None:
    site = parse_site(edited(text, change)).site
    assert bool(there(site, ("pits and open wells",))) == shows
