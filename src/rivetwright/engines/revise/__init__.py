"""Two revisions of a plan: what differs, what of it is done, what comes out, how."""
