"""What to pour tonight, and what the bar hangs on its bottles about it."""
