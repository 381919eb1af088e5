"""Texts of sites that tests share, and what a test does with one: change, study, look."""

from __future__ import annotations

from pathlib import Path

EXAMPLES = Path(__file__).parents[1] / "examples"
