"""Fixtures for all tests. The embedded servers are started by `tests/settings.py`."""
