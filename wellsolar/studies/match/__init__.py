"""How array and element suit each other, and which others would suit better."""
