"""Reading and writing the bar's files."""
