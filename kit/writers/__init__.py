"""The output formats, one module each, from a ``Sheet`` to bytes."""
