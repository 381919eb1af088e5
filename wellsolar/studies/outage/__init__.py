"""What is left when things fail."""
