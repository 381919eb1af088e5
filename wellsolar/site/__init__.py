"""From the text of a site file to a checked model in SI: the only folder that knows pydantic."""
