"""Every page of every example is whole: its elements are closed, and it names its site."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from tests.reports.conftest import EXAMPLES


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.stem)
@pytest.mark.parametrize("command", ["report", "card", "parts"])
def test_the_pages_of_the_example_are_whole(
    reports: dict[str, Any],
    cards: dict[tuple[str, str], Path],
    lists: dict[str, Any],
    site: Path,
    command: str,
) -> None:
    made = {"report": reports, "parts": lists}
    page = cards[site.stem, "US"] if command == "card" else made[command][site.stem].path
    text = page.read_text("utf-8")
    assert text.startswith("<!doctype html>")
    assert text.rstrip().endswith("</html>")
    for tag in ("table", "section", "ul", "p", "main"):
        assert len(re.findall(rf"<{tag}[ >]", text)) == text.count(f"</{tag}>"), tag
    name = re.search(r'name = "(.*?)"', site.read_text("utf-8"))
    assert name
    assert name.group(1) in text
