"""The commands, one module each: call the library, present what it measured, write files."""
