"""One sweetener for another, and what a change moves in the glass."""
