"""Tables from and to a spreadsheet."""
