"""YAML with positions: every value knows its line and column."""
