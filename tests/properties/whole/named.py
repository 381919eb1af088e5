"""Sites by name: the shipped examples, the invented ones of the tests, and the starter file."""

from __future__ import annotations

import pickle
import tomllib
from functools import cache
from pathlib import Path

from tests.properties.whole.strategy import Tables
from wellsolar.site.starter import starter_text

FEW, MANY = 5, 300
"""Random sites of the usual run and of the long one."""

ROOT = Path(__file__).parents[3]
EXAMPLES = {path.stem: path for path in sorted((ROOT / "examples").glob("*.toml"))}
INVENTED = {path.stem: path for path in sorted((ROOT / "tests" / "sites").glob("*.toml"))}
NAMED = (*EXAMPLES, *INVENTED)


@cache
def _text_of(name: str) -> str:
    if name == "starter":
        return starter_text()
    return {**EXAMPLES, **INVENTED}[name].read_text(encoding="utf-8")


@cache
def _packed(name: str) -> bytes:
    return pickle.dumps(tomllib.loads(_text_of(name)))


def tables_of(name: str) -> Tables:
    """The tables of a site by its name, which are the caller's own: a test may take a key out of
    them."""
    tables: Tables = pickle.loads(_packed(name))
    return tables
