"""Clutches with more than one possible sire."""
