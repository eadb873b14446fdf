"""Broken files for every reader: ``python -m fuzz.run``."""
