"""Human power against a root finder."""

from __future__ import annotations
