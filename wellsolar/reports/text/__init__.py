"""Text: terminal, JSON, CSV, card, comparison."""
