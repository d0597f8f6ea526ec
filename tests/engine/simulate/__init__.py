"""What measuring is worth."""
