"""A bar's folder: loaded, checked, started and edited in place."""
