"""What a bar may be asked: one function a question, for the command line and for Python alike."""
