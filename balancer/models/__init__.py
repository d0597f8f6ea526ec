"""What the files may hold."""
