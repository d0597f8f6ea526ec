"""One module a command: options to a question, one engine call, an Answer. None imports another."""
