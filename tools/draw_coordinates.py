"""Draw a picture of every kind of coordinate, and write the page that shows them.

Usage: python tools/draw_coordinates.py

Writes docs/coordinates/*.png from ``EXAMPLES``, drawn by kitloom in colours of the sample artwork,
docs/coordinates/set.jpg (what ``kitloom palette --coordinates`` makes for the samples, beside some
of them), and docs/coordinates.md. The page is also written, and checked, by tools/write_docs.py.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT)]

from kit.recipe import SPACED  # noqa: E402
from kitloom.coordinates import artwork_spacing_mm, propose, tile_motifs  # noqa: E402
from kitloom.measure import Request, bins_by_name  # noqa: E402
from palette.choose import choose  # noqa: E402
from palette.press import open_press  # noqa: E402
from patterns.artwork import open_artwork  # noqa: E402
from patterns.coordinates import (  # noqa: E402
    ALL_OVER,
    COORDINATE_KINDS,
    TOSSED,
    Coordinate,
    Figure,
    all_over,
    draw_figure,
)
from patterns.lift import lift_motifs  # noqa: E402
from patterns.plane import STRAIGHT, Plane  # noqa: E402

DOCS = ROOT / "docs"
PICTURES = DOCS / "coordinates"
TILES = ROOT / "samples" / "allotment" / "tiles"
SIZE_MM, DPI, ROUND_MM = (42.0, 28.0), 200.0, 1.5
SET_MM = 32.0
IVORY, PINE, FERN, BERRY, SKY, SAGE = (
    *("#f7efdf", "#25443a", "#5d8a55", "#b8435a", "#5f8797", "#b9cd90"),
)
NAVY, SUN, PALE = "#2f4a63", "#efc06b", "#dfe8d0"


@dataclass(frozen=True)
class Example:
    """One picture: a kind in a style and in some colours."""

    file: str
    kind: str
    size_mm: float
    colours: tuple[str, ...]
    style: str = ""
    sett: str = ""
    tile: str = ""
    motif: int = 1

    @property
    def words(self) -> str:
        """What is under it: what a recipe says, but for the colours."""
        more = f", `{self.style}`" if self.style else ""
        if self.tile:
            which = f"`motif = {self.motif}` of "
            return f"`{self.kind}`, `{self.style}`, {which}{self.tile}, {self.size_mm:g} mm"
        number = {2: "two", 3: "three", 4: "four", 5: "five"}[len(self.colours)]
        return f"`{self.kind}`{more}, {number} colours, {self.size_mm:g} mm"

    def pixels(self) -> np.ndarray:
        """Return it as it fills a sticker, its middle in the middle."""
        figure = self._figure()
        wide, high = SIZE_MM
        x, y = figure.centre_mm
        drawn = Coordinate(figure, self.colours)
        return drawn.sample(x - wide / 2.0, y - high / 2.0, wide, high, DPI)

    def _figure(self) -> Figure:
        if not self.tile:
            return draw_figure(self.kind, self.size_mm, len(self.colours), self.style, self.sett)
        artwork = open_artwork(TILES / self.tile)
        motif = lift_motifs(artwork.pixels, lossy=artwork.lossy, most=self.motif).motifs[-1]
        spacing_mm = SPACED * self.size_mm
        tossed = self.style == TOSSED
        return all_over(motif.rgba, self.colours[0], self.size_mm, spacing_mm, tossed=tossed)


EXAMPLES = (
    Example("stripe-even", "stripe", 7.0, (IVORY, FERN), "even"),
    Example("stripe-of-four", "stripe", 16.0, (PINE, SAGE, IVORY, BERRY), "even"),
    Example("stripe-ticking", "stripe", 10.0, (IVORY, NAVY), "ticking"),
    Example("stripe-ticking-of-three", "stripe", 10.0, (IVORY, NAVY, BERRY), "ticking"),
    Example("stripe-awning", "stripe", 14.0, (IVORY, SKY), "awning"),
    Example("stripe-awning-of-three", "stripe", 14.0, (IVORY, PINE, SUN), "awning"),
    Example("gingham", "gingham", 6.0, (IVORY, BERRY)),
    Example("gingham-of-three", "gingham", 6.0, (IVORY, SKY, FERN)),
    Example("windowpane", "windowpane", 8.0, (PINE, IVORY)),
    Example("windowpane-of-three", "windowpane", 12.0, (IVORY, FERN, SUN)),
    Example(
        "tartan", "tartan", 20.0, (NAVY, IVORY, FERN, BERRY), sett="N/24 W2 N4 W2 N4 G22 R3 G/8"
    ),
    Example("tartan-plain", "tartan", 12.0, (BERRY, PINE, SUN), sett="R18 G8 Y2 G2"),
    Example("dots-grid", "dots", 4.5, (IVORY, PINE), "grid"),
    Example("dots-grid-of-three", "dots", 9.0, (IVORY, BERRY, SKY), "grid"),
    Example("dots-half-drop", "dots", 6.0, (SAGE, IVORY), "half-drop"),
    Example("dots-half-drop-of-three", "dots", 6.0, (IVORY, SUN, SKY), "half-drop"),
    Example("check", "check", 7.0, (IVORY, PINE)),
    Example("grid", "grid", 4.0, (IVORY, SKY)),
    Example("chevron", "chevron", 9.0, (IVORY, SKY)),
    Example("chevron-of-three", "chevron", 9.0, (IVORY, SAGE, FERN)),
    Example("scallop", "scallop", 8.0, (SKY, IVORY)),
    Example("scallop-of-three", "scallop", 9.0, (IVORY, FERN, BERRY)),
    Example("gradient", "gradient", 56.0, (SKY, IVORY), "down"),
    Example("gradient-of-three", "gradient", 84.0, (BERRY, SUN, IVORY), "across"),
    Example("all-over", ALL_OVER, 15.0, (PALE,), "half-drop", tile="bees.png"),
    Example("all-over-tossed", ALL_OVER, 15.0, (PINE,), TOSSED, tile="watering-cans.png", motif=2),
)

_HEAD = """\
# Coordinates

Patterns that kitloom draws in the palette's colours, to go with the artwork that you bought. The
trade calls them coordinates. A recipe says what is drawn, in which colours and how
large; you need no picture.

```toml
[[coordinates]]
kind = "gingham"
colours = ["ivory", "#5d8a55"]   # the ground first
size = "6mm"                     # one repeat

[[rows]]
sticker = "full box"
count = 4
fill = ["pods", "gingham"]
```

A row's `fill` or `panel` names a coordinate as it names a tile. If two are of one kind, give
them a `name`. A colour is a hex such as `"#5d8a55"`, the name of one of the palette's colours or
its role (`"ground"`, `"deep"`, `"mid"`, `"light"`, `"accent"`, `"neutral"`: the one with most area;
`"mid 2"` is that with the next most) as `kitloom palette` shows them, or a CSS name. A role also suits
[another season](another-season.md)'s artwork: if its palette has no colour of that role, the one
that comes nearest stands in. Stripes run down the sticker; `turn = "90deg"` in the
row lays them across, `turn = "45deg"` makes a gingham a bias check. A gradient of twice a box's
height passes once from top to foot. Every key is on [its
page](recipe.md#coordinates).

A coordinate is centred on each sticker, so that both sides match;
`offset` in the row moves it.

## A set that goes with your tiles

```
kitloom palette artwork/autumn --coordinates autumn-coordinates
```

This chooses kinds, colours and sizes for these tiles: two light coordinates, two of middle weight,
two bold ones, and where a motif can be lifted from a tile, an all-over of it on another ground. Any
two colours in one differ by at least 12 on your paper (CIEDE2000); `--tone-on-tone` draws each in
two tones of one colour instead, 8 to 11.5 apart, and no all-over. Their parts are at least one and
a half times closer together than the tiles' motifs at a usual size, or farther apart, so that
neither looks like the other. The folder gets each as a seamless picture of 300 pixels per inch, for
other programs, and `coordinates.toml`: the lines to copy into a recipe.

![Two tiles of the samples and the seven coordinates chosen for all of them](coordinates/set.jpg)

## Every kind

Drawn as they fill a sticker of 42 x 28 mm.
"""

_TAIL = """
## Tartans

A `sett` is a tartan's thread counts. Its letters are the colours, in the order in which
they first come: in `"N/24 W2 G22 R/8"` the first colour is N, the second W, then G and R.
You can write it in two ways (common practice, no published source):

- `"R18 G8 Y2 G2"`: one whole repeat; after the last stripe comes the first.
- `"N/24 W2 G22 R/8"`: half a sett between two pivots, marked by `/`. It runs to the end and
  back again. The counts at the pivots are whole: each pivot comes once, and is not doubled.

```toml
[[coordinates]]
kind = "tartan"
sett = "N/24 W2 G22 R/8"
colours = ["#2f4a63", "#f7efdf", "#5d8a55", "#b8435a"]
size = "20mm"
```

Where two colours cross, they are mixed in equal parts, as light: flat, without the cloth's twill,
which is too fine to print.

## All-overs

```toml
[[coordinates]]
kind = "all-over"
from = "pods"                    # a pattern of this recipe, on a plain ground
motif = 1                        # which one, as `kitloom lift` numbers them; 1 if left out
colours = ["#dfe8d0"]            # the new ground
size = "15mm"                    # from one motif to the next
spacing = "2mm"                  # ground between them at least; if left out, 5% of the size
style = "tossed"                 # each turned another way; "half-drop" stands them upright
```

The motif is lifted out of the tile, free of its ground, and laid on the colour that you name: as
large as size and spacing leave room for, its longest way across. A tile from which nothing can be
lifted is refused with the reason, as for [motif stickers](stickers.md). The artwork's licence
decides whether you may use its motifs by themselves.

## How exact they are

Each pixel of the sheet shows the mean light of its area, worked out by formula, not from a picture
of another resolution. A size of 7.3 mm is 7.3 mm at the far edge too. No pixel is off by more than
1 of 255, compared with points 160 times finer each way, with the coordinate's own drawing 16 times
finer, and with itself a thousand repeats on. This holds for stripes, gingham and tartan at any
`turn`. The others, at turns other than quarter turns, have pixels that are the mean of 16 parts: up
to about 30 of 255 off where black meets white, 1.5 or less on average.

An all-over is the one exception: it has the artwork's own pixels, upright copies unchanged, turned
ones sampled once. A copy that crosses the edge of the repeat goes on at the other one, so nothing
is cut and no join shows. If the artwork has fewer than 300 pixels per inch at that size, kitloom
says so ([finding](findings.md#motif-coarse)).

## What is refused, and what you are warned of

kitloom refuses, with its line: a sett that cannot be read, a motif that is not there, a kind, style
or colour that it does not know, and a size at which the finest line would be under 0.18 mm, too
fine to print. Findings warn of two colours of a coordinate that
[look the same in print](findings.md#coordinate-merges), and of each colour that
[prints duller](findings.md#colour-shift).
"""


def page() -> str:
    """Return docs/coordinates.md."""
    parts = [_HEAD]
    for kind in COORDINATE_KINDS.values():
        own = [one for one in EXAMPLES if one.kind == kind.name]
        parts.append(f"### {kind.name}\n\n{kind.means} `size` is {kind.size}.\n")
        cells = [f"![{one.file}](coordinates/{one.file}.png)<br>{one.words}" for one in own]
        for i in range(0, len(cells), 2):
            pair = [*cells[i : i + 2], ""][:2]
            parts += [f"| {pair[0]} | {pair[1]} |", *(["|---|---|"] if i == 0 else [])]
        parts.append("")
    return "\n".join(parts).rstrip("\n") + "\n" + _TAIL


def _rounded(pixels: np.ndarray, radius_px: int) -> Image.Image:
    """Return pixels as a sticker with round corners on white."""
    picture = Image.fromarray(pixels)
    large = tuple(4 * side for side in picture.size)
    mask = Image.new("L", large)
    ImageDraw.Draw(mask).rounded_rectangle(
        (0, 0, large[0] - 1, large[1] - 1), 4 * radius_px, fill=255
    )
    white = Image.new("RGB", picture.size, "white")
    white.paste(picture, mask=mask.resize(picture.size, Image.Resampling.BOX))
    return white


def _set_picture() -> bytes:
    """Return two tiles and the coordinates that are chosen for all samples, as JPEG."""
    files = sorted(path for path in TILES.iterdir())
    palette = choose(bins_by_name(files, lambda: None))
    press = open_press("glossy")
    motifs = tile_motifs([Request(path, "auto", path.stem) for path in files])
    drawn = propose(palette, press, artwork_spacing_mm(files), motifs=motifs)
    shown = [
        Plane(open_artwork(TILES / name).pixels, repeat, STRAIGHT).sample(
            0.0, 0.0, SET_MM, SET_MM, DPI
        )
        for name, repeat in (("marigolds.png", 30.0), ("watering-cans.png", 30.0))
    ]
    for one in (proposal.coordinate() for proposal in drawn):
        x, y = one.figure.centre_mm
        half = SET_MM / 2.0
        shown.append(one.sample(x - half, y - half, SET_MM, SET_MM, DPI))
    side, gap = shown[0].shape[0], 14
    sheet = Image.new("RGB", (3 * side + 2 * gap, 3 * side + 2 * gap), "white")
    for i, pixels in enumerate(shown):
        place = (i % 3 * (side + gap), i // 3 * (side + gap))
        sheet.paste(_rounded(pixels, round(ROUND_MM * DPI / 25.4)), place)
    out = BytesIO()
    sheet.save(out, "JPEG", quality=86, optimize=True)
    return out.getvalue()


def main() -> int:
    """Draw the pictures and write the page."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    for one in EXAMPLES:
        picture = _rounded(one.pixels(), round(ROUND_MM * DPI / 25.4))
        few = picture.quantize(256 if one.kind == "gradient" else 64, dither=Image.Dither.NONE)
        few.save(PICTURES / f"{one.file}.png", "PNG", optimize=True)
    (PICTURES / "set.jpg").write_bytes(_set_picture())
    (DOCS / "coordinates.md").write_text(page(), "utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
