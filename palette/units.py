"""The one unit that palette needs besides millimetres; ``patterns.units`` reads all others."""

MM_PER_INCH = 25.4  # exactly: international yard and pound agreement, 1959
