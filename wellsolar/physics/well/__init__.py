"""The well and its casing: levels, drawdown, pumping tests, what hangs beside what."""
