"""Benchmarks: what is measured, its goals, and the report of both."""
