"""The line from well to house against the frost. Every field is in SI."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class FrostResult:
    """Depths below the ground [m].

    depth: where the pipe leaves the well; frost: how deep the ground freezes; wanted: where the
    line should lie
    """

    depth: float
    frost: float
    wanted: float
