"""The independent check of a plan: every step, number and rule derived a second time."""
