"""The owner's card."""
