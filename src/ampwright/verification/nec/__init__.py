"""The rules of the National Electrical Code, written a second time from their text."""
