"""What studies that come after others ask of a case."""
