"""The pumps of a site over the ranges its file gives: shares of cases, and what they hang on.

A range without a likeliest value is taken as uniform between its ends, one with a likeliest value
as triangular. Cases are a scrambled Sobol sequence, the same for the same seed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np

from wellsolar import kinds
from wellsolar.beside import beside
from wellsolar.physics.types import FloatArray
from wellsolar.results.ranges import ChoiceShare, RangedInput, RangeResult, VerdictShare
from wellsolar.results.whole import StudyPart
from wellsolar.site.locate import Path, key_text
from wellsolar.site.schema import Site
from wellsolar.site.table import nothing_noted
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.intervals import ranged_inputs, site_at
from wellsolar.units import Quantity
from wellsolar.verdicts import RANK, Place, Remedy, Rule, Status, Verdict, remedy, say

CASES = 256
"""Cases sampled where the user asks for no other number; a power of two keeps Sobol even."""

NEARLY_ALL = 0.95
"""Share of the cases that counts as nearly all: our choice."""

TURN_PRECISION = 1e-9
"""Part of an input's range to which the value where a verdict turns is found."""

HOLDS = Rule(
    "holds over the ranges",
    "does the pump work over the whole of the file's ranges?",
    "nothing that is asked of the pump fails in 95 % of the sampled cases",
    "sobol",
    limit_is="at least",
    by="driller",
    place=Place(section="ranges"),
)

Key = tuple[str, str]


class Standing(NamedTuple):
    """How a verdict comes out in one case: its status, and its margin or the rank of that."""

    status: Status
    measure: float


Along = Callable[[int, float], dict[Key, Standing]]
"""The verdicts at a value of one input, by its place, the others at their likeliest."""


@dataclass(frozen=True)
class _Cases:
    """Every case: values of the inputs, and how the verdicts stand by rule and subject."""

    values: FloatArray
    verdicts: list[dict[Key, Standing]]


def study_ranges(
    case: Studied, cases: int = CASES, seed: int = 1
) -> tuple[RangeResult | None, StudyPart]:
    """The verdicts of a site's pumps and pressure tank over the ranges of its file.

    Parameters:
        cases: how many to sample; rounded up to a power of two
    Returns:
        the shares, None where the file has no range or no pump, and a verdict on each pump
    """
    site = case.site
    inputs = tuple(ranged_inputs(site))
    if not inputs or not site.pump:
        return None, StudyPart()
    sampled = _sample(case, inputs, cases, seed)
    keys = list(dict.fromkeys(key for verdict in sampled.verdicts for key in verdict))

    @cache
    def along(driver: int, sample: float) -> dict[Key, Standing]:
        # The verdicts that hang on one input turn along the same line, so they share its cases.
        row = np.array([float(value) for _, value in inputs])
        row[driver] = sample
        return _standings_at(case, inputs, row)

    shares = [_share(inputs, sampled, key, along) for key in keys]
    shares = [share for share in shares if share.unknowns < 1]
    result = RangeResult(
        cases=len(sampled.verdicts),
        seed=seed,
        inputs=tuple(RangedInput(key_text(path), value) for path, value in inputs),
        verdicts=tuple(sorted(shares, key=_settledness)),
        choices=_choices(site, sampled),
    )
    verdicts = tuple(_holds(result, choice) for choice in result.choices)
    return result, StudyPart(verdicts)


def _settledness(share: VerdictShare) -> float:
    """The share of a verdict's commonest status: the least settled verdicts are read first."""
    return max(share.passes, share.cautions, share.fails, share.unknowns)


def _sample(
    case: Studied, inputs: tuple[tuple[Path, Quantity], ...], cases: int, seed: int
) -> _Cases:
    from scipy.stats import qmc

    exponent = (max(8, cases) - 1).bit_length()  # of the power of two that is no less
    unit = qmc.Sobol(len(inputs), scramble=True, seed=seed).random_base2(exponent)
    values = np.column_stack(
        [_quantile(value, unit[:, column]) for column, (_, value) in enumerate(inputs)]
    )
    half = len(values) // 2

    def standings(rows: FloatArray) -> list[dict[Key, Standing]]:
        with nothing_noted():
            return [_standings_at(case, inputs, row) for row in rows]

    # A second core halves the one wait of `pump` that a user feels.
    with beside(lambda: standings(values[half:])) as second_half:
        # The keys that the first reads are those that all read.
        first = _standings_at(case, inputs, values[0])
        return _Cases(values, [first, *standings(values[1:half]), *second_half()])


def _quantile(value: Quantity, share: FloatArray) -> FloatArray:
    """The value below which a share of the cases lies."""
    low, high, likeliest = value.low, value.high, float(value)
    if np.isclose(likeliest, (low + high) / 2):
        return low + (high - low) * share
    turn = (likeliest - low) / (high - low)
    rising = low + np.sqrt(share * (high - low) * (likeliest - low))
    falling = high - np.sqrt((1 - share) * (high - low) * (high - likeliest))
    return np.where(share < turn, rising, falling)


def _standings_at(
    case: Studied, inputs: tuple[tuple[Path, Quantity], ...], row: FloatArray
) -> dict[Key, Standing]:
    site = case.site
    for (path, value), sample in zip(inputs, row, strict=True):
        site = site_at(site, path, Quantity(float(sample), value.kind))
    sampled = case.with_site(site, passing=True)
    verdicts = (*sampled.said("pumps").verdicts, *sampled.said("pressure_tank").verdicts)
    return {(verdict.rule.key, verdict.subject): _standing(verdict) for verdict in verdicts}


def _share(
    inputs: tuple[tuple[Path, Quantity], ...], sampled: _Cases, key: Key, along: Along
) -> VerdictShare:
    standings = [verdict.get(key) for verdict in sampled.verdicts]
    counts = Counter(verdict.status for verdict in standings if verdict is not None)
    total = sum(counts.values())
    driver, correlation, turning = None, 0.0, None
    if len(counts) > 1:
        driver, correlation = _driver(sampled, standings)
    if driver is not None:
        value = inputs[driver][1]
        turning = _turning(value, key, lambda sample: along(driver, sample))
    return VerdictShare(
        rule=key[0],
        subject=key[1],
        passes=counts["pass"] / total,
        cautions=counts["caution"] / total,
        fails=counts["fail"] / total,
        unknowns=counts["unknown"] / total,
        driver="" if driver is None else key_text(inputs[driver][0]),
        correlation=correlation,
        turns_at=turning,
    )


def _driver(sampled: _Cases, standings: list[Standing | None]) -> tuple[int | None, float]:
    """The input that a verdict's margin, or else its status, goes with most, by ranks."""
    from scipy.stats import spearmanr

    known = [index for index, verdict in enumerate(standings) if verdict is not None]
    standing = np.array([verdict.measure for verdict in standings if verdict is not None])
    if len(known) < 3 or np.ptp(standing) < 1e-12:
        return None, 0.0
    correlations = np.array(
        [float(spearmanr(column[known], standing).statistic) for column in sampled.values.T]
    )
    best = int(np.argmax(np.abs(correlations)))
    return best, float(correlations[best])


def _standing(verdict: Verdict) -> Standing:
    margin = verdict.margin
    return Standing(
        verdict.status, float(RANK[verdict.status]) if margin is None else float(margin)
    )


def _turning(
    value: Quantity, key: Key, verdicts_at: Callable[[float], dict[Key, Standing]]
) -> Quantity | None:
    """Where a verdict turns from failing along one input, the others at their likeliest."""
    from scipy.optimize import bisect

    def side(sample: float) -> float:
        verdict = verdicts_at(sample).get(key)
        return 1.0 if verdict is not None and verdict.status == "fail" else -1.0

    low, high = value.low, value.high
    if side(low) == side(high):
        return None
    return Quantity(bisect(side, low, high, xtol=(high - low) * TURN_PRECISION), value.kind)


def _choices(site: Site, sampled: _Cases) -> tuple[ChoiceShare, ...]:
    def holds(name: str) -> float:
        good = [
            all(
                verdict.status != "fail"
                for (_, subject), verdict in case.items()
                if subject == name
            )
            for case in sampled.verdicts
        ]
        return sum(good) / len(good)

    shares = [ChoiceShare(pump.name, holds(pump.name)) for pump in site.pump]
    return tuple(sorted(shares, key=lambda reading: -reading.holds))


def _holds(result: RangeResult, choice: ChoiceShare) -> Verdict:
    share = Quantity(choice.holds, kinds.FRACTION)
    failing = [
        verdict
        for verdict in result.verdicts
        if verdict.subject == choice.pump and verdict.fails > 0
    ]
    status: Status = "pass" if choice.holds >= NEARLY_ALL else "caution"
    if choice.holds == 0:
        status = "fail"
    worst = max(failing, key=lambda verdict: verdict.fails, default=None)
    reason = "in {share} of {cases} cases over the file's ranges nothing fails"
    parts: dict[str, Quantity | str] = {"share": share, "cases": f"{result.cases}"}
    if worst is not None:
        reason += "; {rule} fails in {fails}"
        parts |= {"rule": worst.rule, "fails": Quantity(worst.fails, kinds.FRACTION)}
        if worst.driver:
            reason += ", which hangs on {driver} most"
            parts["driver"] = worst.driver
        if worst.turns_at is not None:
            reason += " and turns at {turn}"
            parts["turn"] = worst.turns_at
    return HOLDS.verdict(
        status,
        choice.pump,
        say(reason, **parts),
        quantity=share,
        limit=Quantity(NEARLY_ALL, kinds.FRACTION),
        remedy=None if status == "pass" else _surer(result, choice, worst),
    )


def _surer(result: RangeResult, choice: ChoiceShare, worst: VerdictShare | None) -> Remedy:
    """Another pump that holds in more cases, and what this one would hold for."""
    ways_told: list[str] = []
    parts: dict[str, Quantity | str] = {}
    better = result.choices[0]
    if better.holds > choice.holds:
        ways_told.append("choose {pump}, which holds in {holds}")
        parts |= {"pump": better.pump, "holds": Quantity(better.holds, kinds.FRACTION)}
    if worst is not None and worst.turns_at is not None:
        side = "below" if worst.correlation < 0 else "above"
        ways_told.append("be sure that {driver} stays " + side + " {turn}")
        parts |= {"driver": worst.driver, "turn": worst.turns_at}
    elif worst is not None and not worst.driver:
        ways_told.append("mend {rule} first, which fails whatever the ranges hold")
        parts["rule"] = worst.rule
    elif worst is not None:
        ways_told.append("measure {driver}: the narrower its range, the surer the answer")
        parts["driver"] = worst.driver
    return remedy("; or ".join(ways_told), "it is a choice of pump or a measurement", **parts)
