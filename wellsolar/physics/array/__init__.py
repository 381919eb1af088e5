"""Modules, arrays and the elements that they heat."""
