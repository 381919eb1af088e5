"""Elements switched by relays, against pvlib's own chain."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from tests.studies.match.greensboro import (
    HOUR,
    OHMS,
    by_pvlib,
    element,
    matched,
    on_ohms,
    verdict,
    written,
)

pytestmark = pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")


def test_two_elements_switched_take_the_best_of_three_every_hour(tmp_path: Path) -> None:
    matching = matched(written(tmp_path, element('count = 2\ncoupling = "switched"'))).matching
    match = matching.match
    ohms = (OHMS / 2, OHMS, OHMS * 2)
    assert match.own.resistances == pytest.approx(ohms)
    assert match.own.text == "as it is: by relays, best each hour"
    best = np.max([on_ohms(each) for each in ohms], axis=0)
    assert match.own.energy == pytest.approx(float(best.sum()) * HOUR, rel=0.01)
    for each in match.months:
        energy = float(best[by_pvlib().month == each.month].sum()) * HOUR
        assert each.energy == pytest.approx(energy, rel=0.01)


def test_relays_switch_where_the_file_says(tmp_path: Path) -> None:
    more = (
        'coupling = "switched"\nswitched_resistances = "12.8, 25.6, 51.2 ohm"\n'
        'switch_irradiances = "250, 500 W/m2"'
    )
    match = matched(written(tmp_path, element(more))).matching.match
    assert match.own.text == "as it is: by relays, by the sun"
    light = by_pvlib().light
    power = np.select(
        [light >= 500.0, light >= 250.0], [on_ohms(12.8), on_ohms(25.6)], on_ohms(51.2)
    )
    assert match.own.energy == pytest.approx(float(power.sum()) * HOUR, rel=0.01)
    # No thresholds of a sweep do better than the best ones it names.
    assert match.thresholds is not None
    sweep = [
        float(
            np.select(
                [light >= high, light >= low], [on_ohms(12.8), on_ohms(25.6)], on_ohms(51.2)
            ).sum()
        )
        * HOUR
        for high in range(400, 1001, 50)
        for low in range(100, 400, 50)
    ]
    assert match.thresholds.energy > max(sweep) * 0.997
    assert all(low < high for low, high in pairwise(match.thresholds.best))


def test_the_remedy_of_bad_thresholds_clears_them(tmp_path: Path) -> None:
    more = (
        'coupling = "switched"\nswitched_resistances = "12.8, 25.6, 51.2 ohm"\n'
        'switch_irradiances = "60, 150 W/m2"'
    )
    path = written(tmp_path, element(more))
    bad = verdict(matched(path), "switching thresholds")
    assert bad.status == "caution"
    suns = re.findall(r"(\d+) W/m²", bad.remedy.text("SI"))
    assert len(suns) == 2
    text = path.read_text(encoding="utf-8").replace('"60, 150 W/m2"', f'"{", ".join(suns)} W/m2"')
    path.write_text(text, encoding="utf-8")
    assert verdict(matched(path), "switching thresholds").status == "pass"
    assert verdict(matched(path), "matched to the array").status == "pass"
