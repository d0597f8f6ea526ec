"""One module a page, with the template of its name."""
