"""The terminal's face: parse, call the bench floor, show."""
