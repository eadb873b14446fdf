"""What is read of an archive, before any picture in it is looked at."""

from __future__ import annotations

import io
import zipfile

import pytest

from kitloom.page.edits.intake import Incoming
from kitloom.page.edits.packed import pictures_in
from kitloom.page.page_error import PageError


def zipped(names: tuple[str, ...], method: int = zipfile.ZIP_STORED) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        for name in names:
            archive.writestr(name, bytes(range(256)) * 20)
    return out.getvalue()


@pytest.mark.parametrize("method", [zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_a_damaged_archive_is_called_damaged_however_it_is_packed(method: int) -> None:
    """A maker would look for room on the disk, or give up, where a new download helps."""
    content = bytearray(zipped(("a.png",), method))
    packed_at = 30 + len("a.png")  # after the header of its only file (PKWARE's APPNOTE.TXT, 4.3.7)
    content[packed_at : packed_at + 40] = b"\xa5" * 40
    with pytest.raises(PageError) as caught:
        list(pictures_in(io.BytesIO(content), "odd.zip", "", 60))
    assert caught.value.what == "cannot be unpacked"
    assert "damaged" in caught.value.why


def test_a_picture_comes_before_one_whose_name_is_that_of_a_copy() -> None:
    """The copy would be kept under its number, and the maker's own picture called the copy."""
    content = zipped(("x (1).png", "x.png", "X-2.png"))
    found = pictures_in(io.BytesIO(content), "set.zip", "", 60)
    names = [one.name for one in found if isinstance(one, Incoming)]
    assert names == ["x.png", "x (1).png", "X-2.png"]
