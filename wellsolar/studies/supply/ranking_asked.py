"""What a caller may want ranked, pumps or heated tanks."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.physics.types import Progress


@dataclass(frozen=True)
class RankingAsked:
    """What a caller wants ranked.

    starters: True to rank the invented pumps too; top: rows of a ranking to print
    workers: processes to start for the ranking of heated tanks; 1 for none
    progress: is told how much of a ranking is done, and of how much
    """

    starters: bool = False
    top: int = 10
    workers: int = 1
    progress: Progress | None = None
