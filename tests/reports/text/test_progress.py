"""The bar of a long study."""

from __future__ import annotations

import io

from wellsolar.reports.text.progress import PATIENCE, Bar


def test_the_bar_shows_itself_late_and_only_at_a_terminal() -> None:
    from rich.console import Console

    def shown(terminal: bool, waited: float) -> str:
        text = io.StringIO()
        bar = Bar("ranking", Console(file=text, force_terminal=terminal, width=60))
        bar.started -= waited
        bar(1, 4)
        bar(2, 4)
        bar.stop()
        return text.getvalue()

    assert "ranking" in shown(True, PATIENCE + 0.1)
    assert shown(True, 0.0) == ""
    assert shown(False, PATIENCE + 0.1) == ""
