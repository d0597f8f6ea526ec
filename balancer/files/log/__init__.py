"""The batch log, appended and never rewritten."""
