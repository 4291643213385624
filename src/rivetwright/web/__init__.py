"""The plan as pages for a browser on this machine."""
