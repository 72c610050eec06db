"""Wiring codes of the North American kind: percentages, wire gauges, terminal temperatures."""
