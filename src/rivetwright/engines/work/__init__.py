"""What is left to do, what of it can be done now, and what the rest waits for."""
