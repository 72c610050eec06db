"""What the caller states: motor, load, supply, site, machine, shop."""
