"""What the studies say of the site so far, and what of it is new."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from wellsolar.errors import SiteFileError, WellsolarError
from wellsolar.site.loading.read import SiteFile
from wellsolar.units import System
from wellsolar.verdicts import Verdict

if TYPE_CHECKING:
    from wellsolar.studies.case import Case, Section

ORDER = ("fail", "caution", "pass", "unknown")

MOVED = 0.1
"""Share by which the number of a verdict must have moved to be told again: our mark."""


@dataclass(frozen=True)
class Told:
    """What a look at the site brought.

    fresh: verdicts that are new or have changed, the gravest first
    standing: all verdicts
    trouble: why nothing could be judged; "" where it could
    """

    fresh: tuple[Verdict, ...] = ()
    standing: tuple[Verdict, ...] = ()
    trouble: str = ""


@dataclass
class Judge:
    """Studies the site again and again, and remembers what was said of it.

    system: units of the sentences; seen: verdicts by rule and subject; case: of the last look, so
    that an answer has only those studies made anew that read it
    """

    system: System
    seen: dict[tuple[str, str], Verdict] = field(default_factory=dict)
    case: Case | None = None

    def look(self, file: SiteFile) -> Told:
        """Study the site so far and compare with the last time."""
        # Loading the studies takes longer than anybody waits for a first question.
        from wellsolar.studies.case import Case

        last, self.case = self.case, Case(file)
        if last is not None:
            self.case.kept = last.kept
            self.case.kept.forget("frost")  # It asks which values the file did not give.
        try:
            verdicts = self.case.results(_parts(file)).verdicts
        except SiteFileError as error:
            return Told(trouble=str(error))
        except Exception as error:  # the answers are kept and the talk goes on
            what = str(error) if isinstance(error, WellsolarError) else type(error).__name__
            return Told(trouble=f"the verdicts could not be computed ({what}); this is a bug")
        fresh = [verdict for verdict in verdicts if self._is_news(verdict)]
        self.seen = {(verdict.rule.key, verdict.subject): verdict for verdict in verdicts}
        fresh.sort(key=lambda verdict: ORDER.index(verdict.status))
        return Told(tuple(fresh), tuple(verdicts))

    def _is_news(self, verdict: Verdict) -> bool:
        """True for a verdict that is new, of another status, or on a number that has moved."""
        before = self.seen.get((verdict.rule.key, verdict.subject))
        if before is None or before.status != verdict.status:
            return True
        if verdict.status in ("pass", "unknown"):
            return False
        if verdict.quantity is None or before.quantity is None:
            return verdict.reason.text(self.system) != before.reason.text(self.system)
        return abs(verdict.quantity - before.quantity) > MOVED * abs(before.quantity)


def _parts(file: SiteFile) -> tuple[Section, ...]:
    """The parts that the site has something for."""
    site = file.site
    there: dict[Section, bool] = {
        "pump": bool(site.pump),
        "tank": site.pressure_tank is not None,
        "hand": site.hand_pump is not None or bool(site.lift),
        "supply": site.module is not None or bool(site.array),
        "heat": site.water_heater is not None,
        "match": site.water_heater is not None,
    }
    return tuple(part for part, has in there.items() if has)
