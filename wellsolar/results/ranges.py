"""How the verdicts stand over the ranges of a site file. Every number is in SI."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.units import Quantity


@dataclass(frozen=True)
class RangedInput:
    """A key of the file that is a range.

    path: the key; value: with its low and high end and the likeliest value
    """

    path: str
    value: Quantity


@dataclass(frozen=True)
class VerdictShare:
    """One verdict over the sampled cases.

    rule, subject: which verdict; passes, cautions, fails, unknowns: shares of the cases
    driver: the key it hangs on most, empty where nothing moves it
    correlation: Spearman's rank correlation of the driver with how well the verdict stands
    turns_at: value of the driver, the others at their likeliest, at which the verdict begins to
        fail, or where it fails throughout the likeliest, ceases to; None where it does not turn
    """

    rule: str
    subject: str
    passes: float
    cautions: float
    fails: float
    unknowns: float
    driver: str
    correlation: float
    turns_at: Quantity | None

    @property
    def usual(self) -> str:
        """The status it has in most cases."""
        shares = {
            "pass": self.passes,
            "caution": self.cautions,
            "fail": self.fails,
            "unknown": self.unknowns,
        }
        return max(shares, key=lambda status: shares[status])

    @property
    def unsettled(self) -> bool:
        """True where the verdict is not the same in all cases."""
        return max(self.passes, self.cautions, self.fails, self.unknowns) < 1.0


@dataclass(frozen=True)
class ChoiceShare:
    """A pump over the sampled cases: the share in which nothing that it is asked fails."""

    pump: str
    holds: float


@dataclass(frozen=True)
class RangeResult:
    """The site over its ranges.

    cases: number of Sobol samples; seed: of their scrambling
    inputs: what was varied; verdicts: those that are not the same in all cases come first
    choices: the pumps, the one that holds in most cases first
    """

    cases: int
    seed: int
    inputs: tuple[RangedInput, ...]
    verdicts: tuple[VerdictShare, ...]
    choices: tuple[ChoiceShare, ...]
