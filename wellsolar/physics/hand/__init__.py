"""The hand pump and the people at its handle."""
