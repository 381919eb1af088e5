"""The commented site file to begin from."""

from __future__ import annotations

from importlib import resources


def starter_text() -> str:
    """The text of the starter file: an invented site with every common key explained."""
    return resources.files("wellsolar.site").joinpath("starter.toml").read_text(encoding="utf-8")
