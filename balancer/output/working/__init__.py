"""The working of an answer, to follow with a pocket calculator."""
