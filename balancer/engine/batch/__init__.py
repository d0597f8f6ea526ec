"""The log folded into batches, and what is to be said of each."""
