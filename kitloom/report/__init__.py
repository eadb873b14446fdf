"""The report, and pictures for people.

In: a finished kit. Out: one HTML file that stands alone, and pictures as bytes. Not done here:
measuring anything.
"""

from kitloom.report.document import print_picture, report_html, sheet_picture, template
from kitloom.report.pictures import draw_repeats, jpeg_bytes, picture_bytes, png_bytes
from kitloom.report.proof_files import proof_pictures, repaired_files
from kitloom.report.tile_parts import tile_part

__all__ = [
    "draw_repeats",
    "jpeg_bytes",
    "picture_bytes",
    "png_bytes",
    "print_picture",
    "proof_pictures",
    "repaired_files",
    "report_html",
    "sheet_picture",
    "template",
    "tile_part",
]
