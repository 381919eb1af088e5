"""Readings on the finished job, and the sheet that asks for them."""
