"""Plan how three-phase machines are run from a single-phase supply."""
