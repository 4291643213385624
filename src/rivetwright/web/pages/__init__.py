"""One module per page or group of pages; each parses, asks the bench, and shows."""
