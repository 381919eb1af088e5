"""What cannot be: mistakes that show only between keys."""
