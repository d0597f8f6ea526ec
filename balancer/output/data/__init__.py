"""Results as JSON objects: ids and names, unrounded floats, null for what is not defined."""
