"""From the text of a site file to its model."""
