"""The year of sun on a site, and the modules that it falls on."""
