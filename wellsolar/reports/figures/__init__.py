"""The figures of a report as plain data."""
