"""Energy use and range: cycles, wheel energy, the chain to the wall, test and label arithmetic."""
