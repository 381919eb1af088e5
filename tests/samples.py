"""How many examples a test tries: a part of them on every run, all with `-m long`."""

from __future__ import annotations

from typing import Any

from hypothesis import settings

USUAL = settings.get_profile("wellsolar")


def examples(usual: int, long: int, **how: Any) -> settings:
    """Settings for a test whose examples take their time.

    Parameters:
        usual, long: examples on every run, and with `-m long`; the same ones each time
        how: further settings of hypothesis
    """
    is_long = settings.default.max_examples > USUAL.max_examples  # as of `tests/conftest.py`
    return settings(max_examples=long if is_long else usual, **how)
