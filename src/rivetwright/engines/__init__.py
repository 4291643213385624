"""Pure answers: from a frozen plan to columns, findings and their working."""
