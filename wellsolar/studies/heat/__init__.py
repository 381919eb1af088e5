"""The heated tank: days, year, household."""
