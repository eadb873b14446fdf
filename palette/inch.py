"""The one unit beside the millimetre that palette needs; ``patterns.units`` reads all lengths."""

MM_PER_INCH = 25.4  # exactly: international yard and pound agreement, 1959
