"""Whose papers they are, and what their owner does in the year."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.verdicts import Sentence


@dataclass(frozen=True)
class Photograph:
    """A picture of the site: its name in the file, and what it shows."""

    file: str
    shows: str


@dataclass(frozen=True)
class Job:
    """Names, date and pictures for the papers, each None where the file does not tell it.

    date: year, month and day, such as "2026-11-29"
    """

    made_for: str | None = None
    made_by: str | None = None
    phone: str | None = None
    licence: str | None = None
    date: str | None = None
    revision: str | None = None
    logo: str | None = None
    photographs: tuple[Photograph, ...] = ()


@dataclass(frozen=True)
class Care:
    """What is done again and again so that a site stays as it was handed over.

    often: such as "once a year"; by: who may do it; source: key into `wellsolar.sources`
    """

    often: str
    by: str
    text: Sentence
    source: str
