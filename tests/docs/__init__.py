"""The documentation: what it shows is what the commands print, what it names exists, nothing is left out."""
