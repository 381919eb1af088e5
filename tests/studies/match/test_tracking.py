"""Electronics that track an array's best, against pvlib's own chain."""

from __future__ import annotations

import json
import re
from pathlib import Path

import numpy as np
import pytest

from tests.sampled import sampled
from tests.studies.match.greensboro import (
    HOUR,
    SITE,
    at_best,
    element,
    matched,
    verdict,
    written,
)
from wellsolar.site.loading.read import load_site
from wellsolar.studies.case import study_site
from wellsolar.verdicts import changes_of

pytestmark = pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")


def test_tracking_electronics_give_what_pvlib_gives_times_their_efficiency(
    tmp_path: Path,
) -> None:
    more = (
        'coupling = "tracking"\ntracker_efficiency = "94 %"\ntracker_minimum = "100 W"\n'
        'tracker_maximum = "900 W"\ntracker_converter = "both"'
    )
    results = matched(written(tmp_path, element(more)))
    match = results.matching.match
    best = at_best()
    power = np.minimum(0.94 * np.where(best >= 100.0, best, 0.0), 900.0)
    assert match.own.energy == pytest.approx(float(power.sum()) * HOUR, rel=0.01)
    assert match.own.ratio == pytest.approx(float(power.sum() / best.sum()), rel=0.005)
    assert match.peak_power == pytest.approx(900.0)
    assert verdict(results, "matched to the array").status == "pass"
    assert verdict(results, "tracking electronics").status == "pass"
    assert match.ceiling is None
    fifth = next(each for each in match.wirings if (each.series, each.parallel) == (5, 1))
    best = at_best(5)
    more = np.minimum(0.94 * np.where(best >= 100.0, best, 0.0), 900.0)
    assert fifth.gain == pytest.approx(float(more.sum() / power.sum()) - 1.0, abs=0.005)


def test_electronics_of_no_sheet_are_assumed_and_said_to_be(tmp_path: Path) -> None:
    told = 'coupling = "tracking"\ntracker_converter = "both"'
    results = matched(written(tmp_path, element(told)))
    assumed = {each.path: each for each in results.assumptions}
    path = "water_heater.element[1].tracker_efficiency"
    assert assumed[path].value == pytest.approx(0.95)
    assert assumed[path].source == "common practice"
    best = at_best()
    energy = 0.95 * float(best[best >= 20.0].sum()) * HOUR
    assert results.matching.match.own.energy == pytest.approx(energy, rel=0.01)


def test_electronics_too_good_to_be_true_are_doubted(tmp_path: Path) -> None:
    told = 'coupling = "tracking"\ntracker_converter = "both"\ntracker_efficiency = "99.8 %"'
    path = written(tmp_path, element(told))
    bad = verdict(matched(path), "tracking electronics")
    assert bad.status == "caution"
    told = re.search(r"([\d.]+)%", bad.remedy.text("US"))
    text = path.read_text(encoding="utf-8").replace('"99.8 %"', f'"{told[1]} %"')
    path.write_text(text, encoding="utf-8")
    assert verdict(matched(path), "tracking electronics").status == "pass"


@pytest.mark.parametrize(
    ("converter", "status"),
    [("both", "pass"), ("boost", "pass"), ("buck", "caution"), (None, "unknown")],
)
def test_what_electronics_can_do_is_told_or_judged_at_its_worst(
    tmp_path: Path, converter: str | None, status: str
) -> None:
    """Four modules in series work at 130 V at most, an element of 1500 W, 240 V wants more."""
    told = "" if converter is None else f'\ntracker_converter = "{converter}"'
    text = element('coupling = "tracking"' + told).replace("4500 W", "1500 W")
    found = verdict(matched(written(tmp_path, text)), "matched to the array")
    assert found.status == status
    if converter is None:
        assert found.needs == ("water_heater.element[1].tracker_converter",)


@pytest.mark.parametrize(("bears", "status"), [(190, "pass"), (185, "fail"), (None, "unknown")])
def test_electronics_bear_the_array_open_in_the_cold(
    tmp_path: Path, bears: int | None, status: str
) -> None:
    """Four of 39.9 V at -18 degC: 1.18 by the code's table of 690.7(A) (second hand), 188 V."""
    told = "" if bears is None else f'\ntracker_greatest_input = "{bears} V"'
    text = element('coupling = "tracking"\ntracker_converter = "both"' + told)
    cold = SITE.replace("albedo", 'record_low = "-18 degC"\nalbedo')
    path = written(tmp_path, text, base=cold)
    found = verdict(matched(path), "electronics on the array")
    assert found.status == status
    if status == "fail":
        assert found.quantity == pytest.approx(4 * 39.9 * 1.18)
        changes = {change.path: json.loads(change.value) for change in changes_of(found.remedy)}
        mended = study_site(load_site(path).with_values(changes), ("match",))
        assert verdict(mended, "electronics on the array").status == "pass"


@pytest.mark.parametrize(
    ("watts", "more"),
    sampled([
        (6000, ""), (6000, "series = 2\nparallel = 2"), (6000, 'switch_voltage = "100 V"'),
        (1500, 'coupling = "tracking"\ntracker_converter = "buck"'),
    ], (6000, ""), (1500, 'coupling = "tracking"\ntracker_converter = "buck"')),
)  # fmt: skip
def test_what_would_match_is_tried_within_what_the_site_bears(
    tmp_path: Path, watts: int, more: str
) -> None:
    """Every remedy of an element that does not match can be bought, works and breaks nothing."""
    base = SITE.replace("series = 4", more) if "series" in more else SITE
    own = "" if "series" in more else more
    text = element(own + '\nthermostat_switches = "relay"').replace("4500 W", f"{watts} W")
    path = written(tmp_path, text, base=base)
    found = verdict(matched(path), "matched to the array")
    assert found.status == "caution"
    changes = {change.path: json.loads(change.value) for change in changes_of(found.remedy)}
    assert changes
    mended = study_site(load_site(path).with_values(changes), ("match", "heat"))
    assert verdict(mended, "matched to the array").status == "pass"
    assert verdict(mended, "element load").status == "pass"
    if "100 V" in more:
        # It may not be strung higher than it is for a relay of 100 V.
        assert not {key for key in changes if key.startswith("array")}


@pytest.mark.parametrize(
    ("converter", "surely", "perhaps"),
    [
        ("buck", (False, True), (False, True)), ("boost", (True, False), (True, False)),
        ("both", (True, True), (True, True)), (None, (False, False), (True, True)),
    ],
)  # fmt: skip
def test_what_nobody_tells_of_a_converter_is_open_to_both_ends(
    converter: str | None, surely: tuple[bool, bool], perhaps: tuple[bool, bool]
) -> None:
    """A boost raises the voltage, a buck lowers it; told of neither, the least does neither and
    what is hardest on an element both."""
    from wellsolar.site.schema import ElementTable
    from wellsolar.studies.array.coupling import _hardest, electronics_of

    plate = {"rated_power": "3000 W", "rated_voltage": "240 V", "coupling": "tracking"}
    plate |= {"position": "lower", "fed_by": "roof"}
    table = ElementTable.model_validate(plate).model_copy(update={"tracker_converter": converter})
    for ends, made in ((surely, electronics_of(table)), (perhaps, _hardest(table))):
        assert (made.raises_voltage, made.lowers_voltage) == ends
