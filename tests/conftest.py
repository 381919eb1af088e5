"""What all tests share."""

from __future__ import annotations

from hypothesis import settings

# The same examples on every run: a rare case is found at a desk, not on somebody else's change.
settings.register_profile("wellsolar", derandomize=True, deadline=None)
settings.load_profile("wellsolar")
