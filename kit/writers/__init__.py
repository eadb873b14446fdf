"""The output formats, one module each, from a ``Page`` to bytes.

``WRITERS`` is the table of them. Not done here: putting files anywhere (``kitloom.disk``).
"""

from kit.writers.marks_csv import marks_csv
from kit.writers.pdf import join_pdfs, print_pdf
from kit.writers.png import print_png
from kit.writers.svg import path_data
from kit.writers.table import WRITERS, Writer, cut_files, load_cut_writers

__all__ = [
    "WRITERS",
    "Writer",
    "cut_files",
    "join_pdfs",
    "load_cut_writers",
    "marks_csv",
    "path_data",
    "print_pdf",
    "print_png",
]
