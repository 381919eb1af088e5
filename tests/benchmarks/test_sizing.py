"""A design against the check of what it comes to, which it holds within it."""

from __future__ import annotations

import time
from collections.abc import Callable

from tests.benchmarks.marks import Read, told
from tests.studies.sizing.needs import BEFORE_THE_VISIT
from wellsolar.site.loading.read import parse_part, parse_site
from wellsolar.studies.case import size_site, study_site

MOST = 30.0
"""Times of a check: some sixty changed sites are tried, most in pump and pipe alone."""


def _best(made: Callable[[], object]) -> float:
    times = []
    for _ in range(3):
        begin = time.process_time()
        made()
        times.append(time.process_time() - begin)
    return min(times)


def test_a_design_takes_no_more_than_thirty_checks(
    record_property: Callable[[str, object], None],
) -> None:
    part = parse_part(BEFORE_THE_VISIT)
    design = parse_site(size_site(part).text)
    sized, checked = _best(lambda: size_site(part)), _best(lambda: study_site(design))
    told(record_property, Read("a design", "the check of it", sized / checked, MOST, None, True))
