"""The hand pump and the other lifts."""
