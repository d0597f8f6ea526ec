"""What is printed of a bar, set in memory: for a file that the command line writes, and for a browser."""
