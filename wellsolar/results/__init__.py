"""What the studies found of one site: numbers in SI, verdicts and assumptions.

Every field is in SI (temperatures in degC) and named as the trade names it; None stands where the
site file lacks what the number needs. `wellsolar.reports.table` gives each its label and unit.
"""

from wellsolar.results.whole import Results

SCHEMA = "wellsolar.results"
SCHEMA_VERSION = 8

__all__ = ["SCHEMA", "SCHEMA_VERSION", "Results"]
