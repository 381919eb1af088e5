"""What hangs side by side in the casing, and whether it fits."""
