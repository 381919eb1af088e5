"""Whose papers they are: what stands on the cover of a report, and on the card."""

from __future__ import annotations

from dataclasses import dataclass


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
