"""Families of wiring codes, to which a region adds data and differences."""
