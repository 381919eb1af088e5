"""The invented site of the tests of readings."""

from tests.studies.reading.conftest import make_site

__all__ = ["make_site"]
