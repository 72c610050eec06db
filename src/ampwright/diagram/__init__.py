"""One scene, then a symbol set for each standard."""
