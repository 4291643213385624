"""The plan, the shop and bulletins as files: read whole or refused, and written back.

A file is YAML 1.2.  Every mistake in it is told with its line; nothing is half read.
"""
