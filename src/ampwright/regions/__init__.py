"""The built-in regions, registered through entry points like any other."""
