"""Physics: numbers in, numbers out; formulas and scalar drivers load no numpy."""
