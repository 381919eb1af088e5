"""The rows of each section, made once for every writer."""
