"""Heads: check them, find the cause, decide what to do.

`entry` is what was measured and seen, `called` what was called for at the hole,
`verdict` the limits, `volume` and `cause` why one head looks as it does, `pattern`
what many heads show together, `square` a hole off square, `decide` what to do,
`sampling` which heads to measure, `removal` how to take a rivet out.
"""
