"""Answers as people write them."""
