"""Read a printed chart back from a scan or a photograph: pixels in, patch readings out.

``read.read_scan`` is the way in. On the way: ``targets`` finds the four corners, ``frame`` tells
how the sheet lies and undoes rotation, perspective and mirror, ``sample`` reads the patches,
``illumination`` takes the lamp's fall-off out by the white patches, ``checks`` says why a scan is
refused, ``scanner`` and ``profiled`` turn readings into colours.
Millimetres are from the sheet's top left corner, y down; pixels likewise, the first centre at 0.5.
Not done here: what the printer makes of other colours (``palette.press``).
"""

from palette.scan.code import CELLS, code_cells
from palette.scan.print_faults import PrintFaults
from palette.scan.profiled import SRGB_SCANNER, ProfiledScanner, open_scanner
from palette.scan.read import ScanReading, read_scan
from palette.scan.targets import DISC, RING_INSIDE

__all__ = [
    "CELLS",
    "DISC",
    "RING_INSIDE",
    "SRGB_SCANNER",
    "PrintFaults",
    "ProfiledScanner",
    "ScanReading",
    "code_cells",
    "open_scanner",
    "read_scan",
]
