"""The questions, in the order in which the trade thinks."""
