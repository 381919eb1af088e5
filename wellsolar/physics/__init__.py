"""Pure functions in SI units, without knowledge of files, sites or printing."""
