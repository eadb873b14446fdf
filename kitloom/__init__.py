"""The front door: the command, the report, the page, and every sentence that a person reads."""

__version__ = "0.1.0"
