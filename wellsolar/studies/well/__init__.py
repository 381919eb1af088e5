"""The well: its levels, its tests, the lift to the house, frost."""
