"""``python -m kitloom`` is the same as ``kitloom``."""

from kitloom.cli import main

if __name__ == "__main__":
    main()
