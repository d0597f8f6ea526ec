"""Readings, corrections, recipes and the list of the day."""
