"""Rivetwright: a home builder's riveting plan and record."""

__version__ = "0.1.0"
