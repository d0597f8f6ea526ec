"""Results as text and JSON. No arithmetic."""
