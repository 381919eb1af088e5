"""The array on the heating element."""
