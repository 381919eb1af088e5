"""The example sites as text, studied once each, and mended as their reader would mend them."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from functools import cache
from pathlib import Path
from types import SimpleNamespace

import pytest

from wellsolar.results import Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import USUAL, study_site
from wellsolar.verdicts import Verdict

FOLDER = Path(__file__).parents[2] / "examples"

Study = Callable[..., Results]


def example_text(name: str) -> str:
    return (FOLDER / f"{name}.toml").read_text(encoding="utf-8")


@cache
def _study(text: str, parts: tuple[str, ...]) -> Results:
    return study_site(parse_site(text), parts)


def study_text(text: str, parts: Collection[str] = USUAL) -> Results:
    return _study(text, tuple(parts))


def verdict_of(results: Results, rule: str, subject: str | None = None) -> Verdict:
    found = [
        each
        for each in results.verdicts
        if each.rule.key == rule and subject in (None, each.subject)
    ]
    assert len(found) == 1, f"{len(found)} verdicts on {rule} of {subject}"
    return found[0]


def edited(text: str, *changes: tuple[str, str]) -> str:
    """The text with each change made once; the old words must stand in it exactly once."""
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the file"
        text = text.replace(old, new)
    return text


def with_key(text: str, path: str, value: str) -> str:
    """The text with one more key, by its path as a verdict names it."""
    table, _, key = path.rpartition(".")
    name = re.sub(r"\[\d+\]", "", table)
    header = f"[[{name}]]\n" if "[" in table else f"[{name}]\n"
    line = f"{key} = {value}\n"
    if header in text:
        return text.replace(header, header + line, 1)
    inline = f"\n{name} = {{ "
    if inline in text:
        return text.replace(inline, f"{inline}{key} = {value}, ", 1)
    assert "[" not in table, f"no {header} in the file"
    return f"{text}\n{header}{line}"


def printed(verdict: Verdict, pattern: str, system: str = "US") -> str:
    """The first group of a pattern in a printed remedy: what its reader writes into the file."""
    text = verdict.remedy.text("SI" if system == "SI" else "US")
    match = re.search(pattern, text)
    assert match is not None, text
    return match.group(1)


@pytest.fixture(scope="session")
def site() -> SimpleNamespace:
    """The helpers above: a test module can't import a conftest."""
    return SimpleNamespace(
        text=example_text,
        study=study_text,
        verdict=verdict_of,
        edited=edited,
        with_key=with_key,
        printed=printed,
    )
