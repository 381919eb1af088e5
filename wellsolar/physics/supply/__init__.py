"""A pump on sun, battery or store through the hours of a year."""
