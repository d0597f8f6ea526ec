"""What measuring is worth: a menu poured of thousands of batches, as written, with new pours, and corrected."""
