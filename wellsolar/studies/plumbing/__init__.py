"""Valves, drains and guards of a site's pipes, each with one name and one rest position."""
