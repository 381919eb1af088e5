"""Cables and motors."""
