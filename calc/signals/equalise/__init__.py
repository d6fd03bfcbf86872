"""Filters that bring what the listening spots hear towards a target, and what is left alone."""
