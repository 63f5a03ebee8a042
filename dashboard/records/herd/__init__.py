"""Animals, pairings and hatchlings."""
