"""What a caller may want ranked, pumps or heated tanks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wellsolar.physics.types import Progress

if TYPE_CHECKING:
    from wellsolar.site.loading.stock import Stock


@dataclass(frozen=True)
class RankingAsked:
    """What a caller wants ranked.

    stock: of the user's own, whose pumps are ranked beside those of the site
    top: rows of a ranking to print
    workers: processes to start for the ranking of heated tanks; 1 for none
    progress: is told how much of a ranking is done, and of how much
    """

    stock: Stock | None = None
    top: int = 10
    workers: int = 1
    progress: Progress | None = None
