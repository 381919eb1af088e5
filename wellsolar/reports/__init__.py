"""From results to what is read of them: rows made once, and the writers that print them."""
