"""What people use instead, measured beside us: a spreadsheet of the same menu, and the °Bx-ratio rule of thumb."""
