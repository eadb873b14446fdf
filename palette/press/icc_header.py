"""Is this an ICC profile at all, and of what? Its header, before LittleCMS is bothered with it.

Source: ICC.1:2022, header 7.2, tag table 7.3. Not done here: what is in its tags.
"""

from __future__ import annotations

import struct

from palette.errors import ProfileError

_MAX_TAGS = 200


def check_profile(data: bytes, where: str, remedy: str) -> tuple[str, str]:
    """Return a profile's device class and its colour space, such as "prtr" and "CMYK".

    Args:
        data: the file's bytes.
        where: names it in errors.
        remedy: what to do where it is not a profile.

    Raises:
        ProfileError: no profile, damaged or cut short.
    """
    if len(data) < 132 or data[36:40] != b"acsp":
        raise ProfileError("is not an ICC profile", where=where, remedy=remedy)
    size, tags = struct.unpack(">I", data[:4])[0], struct.unpack(">I", data[128:132])[0]
    if size > len(data) or tags > _MAX_TAGS or 132 + 12 * tags > len(data):
        raise _cut_short(where)
    for at in range(132, 132 + 12 * tags, 12):
        offset, length = struct.unpack(">II", data[at + 4 : at + 12])
        if offset + length > len(data):
            raise _cut_short(where)
    return data[12:16].decode("latin-1"), data[16:20].decode("latin-1").strip()


def _cut_short(where: str) -> ProfileError:
    return ProfileError(
        "is damaged or cut short", where=where, remedy="Download or export the profile again."
    )
