"""One stage of the plan a module, in the order of the work."""
