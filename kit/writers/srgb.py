"""The sRGB profile that print files carry, the same bytes every time.

Out: an ICC profile from LittleCMS's own sRGB (IEC 61966-2-1 primaries and curve). LittleCMS stamps
the moment of creation into the header; it is replaced by a fixed date (ICC.1, header bytes 24 to
35), so that equal sheets give equal files. The header's version is set to 4.2, the newest that PDF
1.7 names; the tags are the same.
"""

from __future__ import annotations

import struct
from functools import cache

FIXED_DATE = struct.pack(">6H", 2000, 1, 1, 0, 0, 0)
VERSION_4_2 = bytes((4, 0x20, 0, 0))


@cache
def srgb_profile() -> bytes:
    """Return the profile."""
    from PIL import ImageCms

    data = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    data[8:12] = VERSION_4_2
    data[24:36] = FIXED_DATE
    data[84:100] = bytes(16)  # the profile's own checksum: zero means not computed
    return bytes(data)
