"""The built-in conversion methods, registered through entry points like any other."""
