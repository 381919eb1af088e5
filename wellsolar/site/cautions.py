"""What there is to mind at a site, by keys; plain data, so that a command's help loads nothing."""

from __future__ import annotations

CAUTIONS = (
    "electric shock",
    "mains",
    "direct current",
    "generator fumes",
    "pits and open wells",
    "roof",
    "lifting",
    "overheating",
    "battery",
    "pressure",
    "closed valve",
    "scald",
    "pumps together",
    "legionella",
    "drinking water",
    "stored water",
    "heater water",
    "freezing",
)
"""Most deadly first: by what kills at once, then by what harms: our choice."""
