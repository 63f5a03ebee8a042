"""Prices and counts that were seen."""
