"""A whole nameplate, read from the text that stands on it."""
