"""What a counter sells, for remedies to name."""
