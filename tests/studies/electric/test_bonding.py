"""Metal at a well that hands touch: NEC 250.112(L) and (M), read in three reprints."""

from __future__ import annotations

from tests.site_texts import EXAMPLES
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.electric.bonding import bonding_verdicts
from wellsolar.verdicts import Verdict


def judged(example: str, *settings: str) -> list[Verdict]:
    text = (EXAMPLES / f"{example}.toml").read_text(encoding="utf-8")
    return bonding_verdicts(parse_site(text, settings=list(settings)).site)


def test_it_is_asked_wherever_a_powered_pump_hangs_in_the_well() -> None:
    (untold,) = judged("smallest")
    assert untold.needs == ("well.bonded",)
    (right,) = judged("smallest", "well.bonded=true")
    assert right.status == "pass"
    (wrong,) = judged("ridge_house", "well.bonded=false")
    assert wrong.status == "fail"
    assert "hand pump" in wrong.reason.text("US")
    assert "hand pump" not in right.reason.text("US")


def test_a_well_without_one_is_asked_nothing() -> None:
    assert judged("high_pass") == []
    assert judged("smallest", "pump[1].kind=suction") == []
