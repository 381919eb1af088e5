"""Metal at a well that hands touch: NEC 250.112(L) and (M), read in three reprints."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from tests.site_texts import EXAMPLES
from tests.studies.printed import told
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.electric.bonding import bonding_verdicts
from wellsolar.verdicts import Verdict, changes_of


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


PLASTIC, STEEL, COPPER = (
    SimpleNamespace(material=each)
    for each in ("polyethylene SIDR", "galvanised steel", "copper L")
)


def pump(
    kind: str = "submersible", draws: str = "well", well: str | None = None, pipe: Any = None
) -> Any:
    return SimpleNamespace(kind=kind, draws=draws, well=well, drop_pipe=pipe)


@pytest.mark.parametrize(
    ("pumps", "usual", "main", "named"),
    [
        ([pump()], PLASTIC, None, "metal casing and cap"),
        ([pump()], STEEL, None, "metal casing, cap and drop pipe"),
        ([pump(pipe=COPPER)], PLASTIC, None, "metal casing, cap and drop pipe"),
        ([pump(pipe=PLASTIC)], STEEL, None, "metal casing and cap"),
        # What hangs in another well, stands above the water or draws from a tank is not here.
        ([pump(well="other")], STEEL, None, None),
        ([pump("suction")], STEEL, None, None),
        ([pump(draws="storage tank")], STEEL, None, None),
        ([], STEEL, None, None),
        ([pump(), pump(well="other", pipe=STEEL)], PLASTIC, None, "metal casing and cap"),
        # A rising main is of metal, where the file does not say otherwise: common practice, no
        # source.
        ([pump()], PLASTIC, "untold", "metal casing, cap, hand pump's head and rising main"),
        ([pump()], PLASTIC, STEEL, "metal casing, cap, hand pump's head and rising main"),
        ([pump()], PLASTIC, PLASTIC, "metal casing, cap and hand pump's head"),
    ],
)
@pytest.mark.parametrize(
    ("bonded", "status"), [(None, "unknown"), (True, "pass"), (False, "fail")]
)
def test_which_metal_is_joined(
    pumps: list[Any], usual: Any, main: Any, named: str | None, bonded: bool | None, status: str
) -> None:
    hand = (
        None if main is None else SimpleNamespace(rising_main=None if main == "untold" else main)
    )
    site: Any = SimpleNamespace(
        pump=pumps, hand_pump=hand, piping=SimpleNamespace(drop_pipe=usual),
        well=SimpleNamespace(bonded=bonded),
    )  # fmt: skip
    found = bonding_verdicts(site)
    if named is None:
        assert found == []
        return
    (verdict,) = found
    assert (verdict.status, verdict.subject) == (status, "well")
    if bonded is None:
        assert verdict.needs == ("well.bonded",)
        assert verdict.reason.text("US").startswith(f"whether {named} are joined")
    else:
        assert told(verdict.reason) == {"named": named}
        assert verdict.claims == (("well.bonded",) if bonded else ())
        assert [str(each) for each in changes_of(verdict.remedy)] == (
            [] if bonded else ["well.bonded=true"]
        )
