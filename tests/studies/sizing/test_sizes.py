"""Tanks alike side by side, against all that could be bought."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any
from unittest import mock

import pytest

from wellsolar import kinds
from wellsolar.studies.pump.verdicts import BOTTOM, SUBMERGENCE
from wellsolar.studies.sizing import pump, search
from wellsolar.studies.sizing.pressure_tank import tank_sizes
from wellsolar.studies.sizing.search import Candidate, Choice, Sized, Trial
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.well.verdicts import RUNS_DRY
from wellsolar.units import System, read


@pytest.mark.parametrize("system", ["US", "SI"])
def test_several_tanks_are_looked_at_where_one_fewer_are_too_small(system: System) -> None:
    """One of each size; two or three alike only where one fewer of the largest hold less."""
    sold = [float(size) for size in sizes("pressure tank", kinds.VOLUME, system)]
    wanted = [(count * one, count) for one in sold for count in (1, 2, 3)
              if count * one > (count - 1) * max(sold) or count == 1]  # fmt: skip
    listed = list(tank_sizes(system))
    found = [(read(volume, kinds.VOLUME) * count, count) for _, (volume, count) in listed]
    assert [count for _, count in found] == [count for _, count in sorted(wanted)]
    volumes = [volume for volume, _ in sorted(wanted)]
    assert [volume for volume, _ in found] == pytest.approx(volumes, rel=1e-6)
    for label, (volume, count) in listed:
        *many, one = label.split(" x ")
        assert many == ([] if count == 1 else [f"{count}"])
        assert read(one, kinds.VOLUME) == pytest.approx(read(volume, kinds.VOLUME), rel=0.02)


@pytest.mark.parametrize(
    ("statuses", "named"),
    [
        (["pass", "caution", "fail", "unknown"], "fail"),
        (["fail", "caution"], "fail"),
        (["unknown", "caution"], "caution"),
        (["pass", "unknown"], None),
    ],
)
def test_what_holds_a_size_back_is_the_worst_that_is_known(
    statuses: list[str], named: str | None
) -> None:
    nothing: Any = None
    said: Any = tuple(SimpleNamespace(status=status) for status in statuses)
    short = Trial(nothing, nothing, said).short
    assert (None if short is None else short.status) == named


@pytest.mark.parametrize("passes", [True, False])
def test_where_no_intake_passes_the_deepest_is_taken(passes: bool) -> None:
    site: Any = SimpleNamespace(pump=[SimpleNamespace(name="other"), SimpleNamespace(name="p")])
    case: Any = SimpleNamespace(site=site)
    first: Any = "the first"

    def smallest(_: Any, choice: Choice) -> Sized:
        assert (choice.part, choice.subjects) == ("intake", ["p"])
        assert (choice.studies, choice.held_by, choice.stopped_by) == (
            ("pumps", "well"), (SUBMERGENCE, RUNS_DRY), (BOTTOM,)
        )  # fmt: skip
        return Sized("intake", first, first, passes, 4)

    with (
        mock.patch.multiple(
            pump, smallest=smallest, trial=lambda _, __, candidate: candidate.label,
            depths=lambda *_: iter(["40 m", "42 m", "44 m", "46 m"]), with_duty=mock.Mock(),
        ),
    ):  # fmt: skip
        found = pump.intake(case, 2, 1e-3)
    assert found.chosen == (first if passes else "46 m")
    assert found.smaller == (first if passes else None)


LOW, LESS, STOP, OTHER = (SimpleNamespace(key=key) for key in ("low", "less", "stop", "other"))
SAID: dict[str, list[tuple[Any, str]]] = {
    "f": [(LOW, "fail")], "c": [(LOW, "caution")], "p": [(LOW, "pass")], "u": [(LOW, "unknown")],
    # Held from above alone, or besides.
    "x": [(LOW, "pass"), (STOP, "fail")], "z": [(STOP, "fail"), (LOW, "caution")],
}  # fmt: skip


class Field(SimpleNamespace):
    """A case whose site is the place of a candidate, of which a letter tells what is said."""

    def with_site(self, site: Any) -> Field:
        return Field(letters=self.letters, site=site)

    def said(self, study: str) -> Any:
        verdicts = [(rule, "it", status) for rule, status in SAID[self.letters[self.site]]]
        verdicts += [(LOW, "another", "fail"), (OTHER, "it", "fail")]
        return SimpleNamespace(verdicts=[_said(*each) for each in verdicts])


def _said(rule: Any, subject: str, status: str) -> Any:
    return SimpleNamespace(rule=rule, subject=subject, status=status)


def _choice(letters: str, **others: Any) -> Any:
    candidates = [Candidate(f"no {place}", (place,)) for place in range(len(letters))]  # type: ignore[arg-type]
    return Choice("part", candidates, ("study",), (LOW, LESS), (STOP,), ["it"], **others)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("letters", "others", "place", "passes", "tried", "shut_out"),
    [
        ("ffcpp", {}, 3, True, 4, {"low": 3}), ("pff", {}, 0, True, 1, {}),
        # What stops the larger ones ends it where nothing else holds it; of two alike the smaller.
        ("fxp", {}, 0, False, 2, {"low": 1, "stop": 1}),
        ("fzp", {}, 2, True, 3, {"low": 1, "stop": 1}),
        # Where none passes the one with the fewest fails, then cautions.
        ("fcf", {}, 1, False, 3, {"low": 3}), ("ccf", {}, 0, False, 3, {"low": 3}),
        ("fzc", {}, 2, False, 3, {"low": 2, "stop": 1}),
        # What is not known holds back only where the part can settle it.
        ("up", {}, 0, True, 1, {}), ("up", {"settles": True}, 1, True, 2, {"low": 1}),
        # By halves: the last, the second, then those between.
        ("fffpp", {"rising": True}, 3, True, 4, {"low": 2}),
        ("ppppp", {"rising": True}, 0, True, 3, {}),
        ("ffffp", {"rising": True}, 4, True, 4, {"low": 3}),
        ("fffff", {"rising": True}, 4, False, 2, {"low": 2}),
        ("pp", {"judge": lambda case: [_said(LESS, "it", "fail")] if case.site == 0 else []}, 1,
         True, 2, {"less": 1}),
    ],
)  # fmt: skip
def test_the_smallest_that_nothing_holds_back(
    monkeypatch: pytest.MonkeyPatch, letters: str, others: dict[str, Any], place: int,
    passes: bool, tried: int, shut_out: dict[str, int],
) -> None:  # fmt: skip
    monkeypatch.setattr(search, "changed_site", lambda site, changes: changes[0])
    field: Any = Field(letters=letters, site=None)
    found = search.smallest(field, _choice(letters, **others))
    assert (found.part, found.candidate.label, found.case.site) == ("part", f"no {place}", place)
    smaller = None if found.smaller is None else found.smaller.candidate.label
    assert smaller == (f"no {place - 1}" if place else None)
    assert (found.passes, found.tried, found.shut_out) == (passes, tried, shut_out)
    assert found.least == "low"
    assert search.smallest(field, _choice(letters, least="why", **others)).least == "why"
    # It is bound by what the next smaller one falls short of, as that stands for it.
    binding = found.binding
    if not passes:
        assert binding is found.chosen.short is not None
    elif found.smaller is None:
        assert binding is None
    else:
        held = found.smaller.short
        own = [each for each in found.chosen.verdicts if each.rule is held.rule]
        assert binding is (own[0] if own else held)


@pytest.mark.parametrize(
    ("letters", "passes", "refused"),
    [
        ("fcpp", True, ["low", "low"]), ("xp", True, ["stop"]), ("p", True, []),
        ("ff", False, ["low", "low"]), ("f", False, ["low"]),
        ("fcxu", True, ["low", "low", "stop"]),
    ],
)  # fmt: skip
def test_the_first_of_a_list_that_nothing_holds_back(
    monkeypatch: pytest.MonkeyPatch, letters: str, passes: bool, refused: list[str]
) -> None:
    monkeypatch.setattr(search, "changed_site", lambda site, changes: changes[0])
    field: Any = Field(letters=letters, site=None)
    choice = _choice(letters)
    found = search.first_listed(field, choice, choice.candidates)
    place = len(refused) - (not passes)
    assert (found.candidate.label, found.passes) == (f"no {place}", passes)
    assert found.refused == {f"no {number}": rule for number, rule in enumerate(refused)}
    assert found.shut_out == {rule: refused.count(rule) for rule in refused}
    smaller = None if found.smaller is None else found.smaller.candidate.label
    assert smaller == (f"no {place - 1}" if place else None)
    assert (found.tried, found.least) == (place + 1, "low")
    assert (
        search.first_listed(field, _choice(letters, least="why"), choice.candidates).least == "why"
    )
