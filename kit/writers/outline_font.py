"""Letters as outlines that a PDF holds once each: a Type 3 font, whose glyphs are drawings.

In: the characters in use. Out: a PDF font resource, and the operators that write with it. What is
shown is filled outlines of our font, and no font program is embedded; yet it is text, which can be
searched and copied.

Source: ISO 32000-1, 9.6.5 (Type 3 fonts), 9.10.3 (ToUnicode). Not done here: where words stand.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from kit.letters import Lettering, Typeface, typeface
from kit.writers.pdf import closed_path, number, points
from patterns.units import MM_PER_POINT

if TYPE_CHECKING:
    from pikepdf import Dictionary, Pdf, Stream

UNITS = 1000  # an em
MOST_CHARACTERS = 255  # a simple font's codes


class OutlineFont:
    """One weight of the font, with the characters that some words use."""

    def __init__(self, lettering: Sequence[Lettering], *, bold: bool) -> None:
        """Take the characters of all words in this weight; "?" stands in for the last few of many.

        The font has a few letters more than codes are to be had, and no palette needs them all.
        """
        self.face: Typeface = typeface(bold=bold)
        used = sorted({c for one in lettering if one.bold == bold for c in one.words})
        if len(used) > MOST_CHARACTERS:
            used = sorted({*used[: MOST_CHARACTERS - 1], "?"})
        self.codes = {c: code for code, c in enumerate(used, start=1)}

    def resource(self, pdf: Pdf) -> Dictionary:
        """Return the font for a page's resources."""
        from pikepdf import Array, Dictionary, Name

        widths = [round(UNITS * self.face.glyph(c).advance) for c in self.codes]
        drawings = {f"/c{code}": self._drawing(pdf, c) for c, code in self.codes.items()}
        return Dictionary(
            Type=Name.Font,
            Subtype=Name.Type3,
            FontBBox=Array([0, 0, 0, 0]),  # says nothing: each glyph has its own
            FontMatrix=Array([1 / UNITS, 0, 0, 1 / UNITS, 0, 0]),
            CharProcs=Dictionary(drawings),
            Encoding=Dictionary(
                Type=Name.Encoding,
                Differences=Array([1, *(Name(f"/c{code}") for code in self.codes.values())]),
            ),
            FirstChar=1,
            LastChar=len(self.codes),
            Widths=Array(widths),
            Resources=Dictionary(),
            ToUnicode=_deflated(pdf, self._to_unicode()),
        )

    def _drawing(self, pdf: Pdf, character: str) -> Stream:
        glyph = self.face.glyph(character)
        paths = [path.scale(UNITS * MM_PER_POINT, 0.0, 0.0) for path in glyph.paths]
        outline = "".join(closed_path(path.start, path.pieces, 0.0) for path in paths)
        # d0 and not d1: some readers keep d1's glyphs as pixels and set them on whole pixels
        operators = f"{round(UNITS * glyph.advance)} 0 d0\n{outline}{'f' if paths else ''}"
        return _deflated(pdf, operators)

    def _to_unicode(self) -> str:
        pairs = [f"<{code:02x}> <{c.encode('utf-16-be').hex()}>" for c, code in self.codes.items()]
        blocks = [pairs[at : at + 100] for at in range(0, len(pairs), 100)]
        lines = [
            "/CIDInit /ProcSet findresource begin 12 dict begin begincmap",
            "/CMapName /Words def /CMapType 2 def",
            "1 begincodespacerange <00> <ff> endcodespacerange",
            *("\n".join([f"{len(b)} beginbfchar", *b, "endbfchar"]) for b in blocks),
            "endcmap CMapName currentdict /CMap defineresource pop end end",
        ]
        return "\n".join(lines)

    def operators(self, words: Lettering, name: str, height_mm: float) -> str:
        """Return the operators that write words with the font resource of that name."""
        x, y = points(words.box.x_mm), points(height_mm - words.box.bottom_mm)
        size, across, up = map(number, (words.size_pt, x, y))
        text = "".join(c if c in self.codes else "?" for c in words.words)
        kerns = [0.0, *(-UNITS * self.face.kern(a, b) for a, b in pairwise(text))]
        parts = [
            f"{number(kern) if kern else ''}<{self.codes[c]:02x}>"
            for c, kern in zip(text, kerns, strict=False)
        ]
        shown = "".join(parts).replace("><", "")
        return f"BT /{name} {size} Tf {across} {up} Td [{shown}] TJ ET\n"


def _deflated(pdf: Pdf, text: str) -> Stream:
    from pikepdf import Name, Stream

    stream: Stream = pdf.make_indirect(
        Stream(pdf, zlib.compress(text.encode("ascii"), 9), Filter=Name.FlateDecode)
    )
    return stream
