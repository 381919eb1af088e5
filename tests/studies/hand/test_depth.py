"""How deep a cylinder hangs that no file tells."""

from __future__ import annotations

import pytest

from wellsolar.site.loading.read import parse_site
from wellsolar.studies.hand.study import cylinder_depth

FOOT = 0.3048


@pytest.mark.parametrize(
    ("more", "level", "depth", "feet"),
    [
        # 20 ft below the water at rest, common practice without a source; no deeper than the well.
        ("", 80, 200, 100), ("", 80, 90, 90), ('cylinder_depth = "125 ft"\n', 80, 200, 125),
        ('well = "dug well"\n', 80, 200, 29),
    ],
)  # fmt: skip
def test_a_cylinder_hangs_a_little_below_the_water(
    more: str, level: int, depth: int, feet: float
) -> None:
    site = parse_site(
        f'[well]\ndepth = "{depth} ft"\nstatic_level = "{level} ft"\n'
        '[[other_well]]\nname = "dug well"\ndepth = "40 ft"\nstatic_level = "9 ft"\n'
        f'[hand_pump]\nbore = "2 in"\nstroke = "6 in"\n{more}'
    ).site
    assert site.hand_pump is not None
    assert cylinder_depth(site, site.hand_pump) == pytest.approx(feet * FOOT)
