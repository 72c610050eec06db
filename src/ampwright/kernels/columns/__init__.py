"""The same physics over columns, in numpy."""
