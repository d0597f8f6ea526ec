"""Published formulas: floats in, floats out, cited, range enforced."""
