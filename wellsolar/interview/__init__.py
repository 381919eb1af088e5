"""The interview: questions in the trade's order, answers as people write them, a site file."""
