"""Exact genetic risks for family trees, for teaching."""
