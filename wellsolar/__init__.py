"""Sizing and checking of water, power and heat for a house with its own well."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from wellsolar.errors import (
        OutOfRange,
        OutputError,
        Problem,
        SiteFileError,
        UnknownName,
        WellsolarError,
    )
    from wellsolar.library import as_html, as_json, tables, write
    from wellsolar.results import Results
    from wellsolar.site.loading.read import SiteFile, load_part, load_site, parse_site, site_from
    from wellsolar.site.loading.stock import load_stock
    from wellsolar.studies.case import Case, Options, size_designs, size_site, study_site
    from wellsolar.studies.rules import rule
    from wellsolar.units import Quantity
    from wellsolar.verdicts import Verdict

__version__ = "0.1.0"

# Each name is fetched when it is first asked for, so that `wellsolar --help` loads no numpy.
_HOMES = {
    "load_site": "wellsolar.site.loading.read",
    "load_part": "wellsolar.site.loading.read",
    "parse_site": "wellsolar.site.loading.read",
    "site_from": "wellsolar.site.loading.read",
    "load_stock": "wellsolar.site.loading.stock",
    "SiteFile": "wellsolar.site.loading.read",
    "Case": "wellsolar.studies.case",
    "Options": "wellsolar.studies.case",
    "study_site": "wellsolar.studies.case",
    "size_designs": "wellsolar.studies.case",
    "size_site": "wellsolar.studies.case",
    "rule": "wellsolar.studies.rules",
    "Results": "wellsolar.results",
    "Verdict": "wellsolar.verdicts",
    "Quantity": "wellsolar.units",
    "as_html": "wellsolar.library",
    "as_json": "wellsolar.library",
    "tables": "wellsolar.library",
    "write": "wellsolar.library",
    "WellsolarError": "wellsolar.errors",
    "SiteFileError": "wellsolar.errors",
    "OutputError": "wellsolar.errors",
    "OutOfRange": "wellsolar.errors",
    "Problem": "wellsolar.errors",
    "UnknownName": "wellsolar.errors",
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(_HOMES[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOMES})


__all__ = [
    "Case",
    "Options",
    "OutOfRange",
    "OutputError",
    "Problem",
    "Quantity",
    "Results",
    "SiteFile",
    "SiteFileError",
    "UnknownName",
    "Verdict",
    "WellsolarError",
    "__version__",
    "as_html",
    "as_json",
    "load_part",
    "load_site",
    "load_stock",
    "parse_site",
    "rule",
    "site_from",
    "size_designs",
    "size_site",
    "study_site",
    "tables",
    "write",
]
