"""What must hold from every door of the program at once: black box, on houses nobody thought of."""
