"""Keep every drink tasting as designed although syrups vary."""

__version__ = "0.1.0"
