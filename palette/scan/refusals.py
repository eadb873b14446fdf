"""Why a scan cannot be read, each reason with its remedy, and the limits that decide.

A ``ScanError`` carries a short ``kind`` besides its sentences, so that a program can tell them
apart. The limits are kitloom's own choice, set where a patch's reading would move by more than
about 1 in CIEDE2000; common practice, no published source.
"""

from __future__ import annotations

from palette.errors import ProfileError

LEAST_PX_PER_MM = 4.3  # 110 dpi; at 150 dpi it is 5.9
MOST_SCALE_ERROR = 0.03
MOST_BLUR_MM = 0.35  # standard deviation of the smear of an edge
MOST_BENT_MM = 0.55  # how far a patch may lie from where the corners say
MOST_SHADE = 0.08  # dip in the paper's white that no lamp makes
MOST_LOST_WHITE = 0.05  # of a scanner's values; 2 L* or so
BENT_SHARE = 0.02
UNEVEN_SHARE = 0.06


class ScanError(ProfileError):
    """A scan or photograph of a chart cannot be read.

    Attributes:
        kind: a key of ``REMEDIES``.
    """

    def __init__(self, kind: str, what: str, *, where: str, why: str = "") -> None:
        super().__init__(what, where=where, why=why, remedy=REMEDIES[kind])
        self.kind = kind


REMEDIES = {
    "no chart": "Scan the sheet that kitloom proof --chart wrote, the whole of it, at 150 dpi or "
    "more.",
    "cropped": "Scan the whole sheet: all four corner targets must be in the picture, uncovered.",
    "another chart": "Give the chart.txt that was written with this sheet.",
    "resolution": "Scan at 150 dpi or more, and do not shrink the picture afterwards.",
    "scale": 'Print at 100% ("actual size", not "fit to page") and do not resize the scan.',
    "blurred": "Lay the sheet flat on the clean glass, or hold the camera still, and scan again.",
    "folded": "Lay a flat, uncreased print on the glass, close the lid, and scan again.",
    "saturated": "Switch automatic exposure and background removal off, or expose less, and scan "
    "again.",
    "crushed": "Switch automatic contrast off and scan again.",
    "grey": "Print and scan in colour.",
    "damaged": "Print the chart again on a clean sheet and wipe the glass.",
}
