"""Each powered pump and the pressure tank: reach, yield, suction, cooling, starts."""
