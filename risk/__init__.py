"""Exact genetic risks for family trees, for teaching."""

__version__ = "0.1.0"
