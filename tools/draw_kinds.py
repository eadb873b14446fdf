"""Draw the picture of every sticker kind, and the page that shows them, from the table of kinds.

Usage: python tools/draw_kinds.py [--check]

Writes docs/kinds/<kind>.svg, docs/lists/ and docs/stickers.md from ``kit.kinds.KINDS``; with
``--check`` it only says which are out of date, and exits with 1 if any is. A picture shows the kind
for a planner box of 40 x 52 mm: filled, with its marks, words, and the cut line as a dark teal
dash.
"""

from __future__ import annotations

import base64
import sys
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

from kit.drawings import Drawing
from kit.drawings.icon_file import drawing_of
from kit.drawings.outline_file import outline_of
from kit.kinds import CHECK_STROKE_MM, KINDS, RULE_STROKE_MM, Kind, least_border_mm
from kit.letters import INK, PAPER, fitting_pt
from kit.registration import needed_border_mm
from kit.shapes import Contour, CurvedPath, Rect, bounding_box
from kit.sheet import Picture
from kit.stickers import Slot, dress, light_of
from kit.stickers.dressing import Dress
from kit.stickers.row_words import words_area
from kit.writers import path_data

DOCS = Path(__file__).resolve().parents[1] / "docs"
BOX_MM, RADIUS_MM, MARGIN_MM, PX_PER_MM = (40.0, 52.0), 1.5, 1.5, 5.0
MISS_MM = 0.5  # what a cut may miss, for borders that look even
COLOURS = ("#5c7854", "#3b5b7a", "#a8573f", "#d9b45b", "#8a5a7b")
WORDS = {
    "header": "Thursday",
    "dot": "17",
    "pennant": "Bin day",
    "label": "Seeds",
    "stitched box": "Harvest",
    "strip": "this week",
}
WIDE = "lists/checklist-wide.svg"
_LISTS = f"""
## Lists

A checklist whose panel is 20 mm wide or more is a list: each mark stands on its line, and the row's
text is its title; a sticker without words has none. With `panel = "ruled"` it has lines to write
on, with `"white"` or a colour it has not.

![wide checklist]({WIDE})

```toml
[[rows]]
sticker = "checklist"
size = "1 x 1 box"
panel = "ruled"
rule = "light"
text = ["To do", "Shopping"]
```

Any other sticker with a panel becomes a list if its row has `checks` or `check`. Marks and lines
have one `pitch`; left out, it is about 7 mm, so that the lines fill the panel.

## Dates

`text = "days"` and `text = "dates"` give a sticker for each day of a week and for each date from 1
to 31. `month = "2027-02"` gives the dates of that month, `week = "Sunday"` starts weeks with that
day: days come in that order, and in the layout `"rows"` each week of a month has its own line.

```toml
[[rows]]
sticker = "dot"
month = "2027-02"
week = "Sunday"
fill = "palette"
```"""
LEAF = (
    b'<svg><path d="M50 2 C84 18 98 52 76 80 C68 90 58 94 53 96 L53 112 L47 112 L47 96 '
    b'C42 94 32 90 24 80 C2 52 16 18 50 2 Z"/></svg>'
)


def slot_of(kind: Kind) -> Slot:
    """Return the sticker that stands for its kind."""
    width, height = kind.size_mm(BOX_MM)
    border = least_border_mm(MISS_MM) if kind.panel else 0.0
    shape: Contour | None = None
    drawing: Drawing | None = None
    if kind.source_key == "outline":
        shape = outline_of(LEAF, (width, height), Path("leaf.svg")).contour
    if kind.source_key in {"picture", "from"}:
        drawing = drawing_of(*flower(), (width, height), 2.0)
        shape = drawing.outline
    if shape is not None:
        box = bounding_box(shape)
        width, height = box.width_mm, box.height_mm
    words = WORDS.get(kind.name, "")
    return Slot(
        kind,
        0,
        width,
        height,
        "palette",
        panel=kind.panel,
        border_mm=border,
        words=words,
        text_pt=_points(kind, words, width, height),
        shape=shape,
        drawing=drawing,
        clear_mm=needed_border_mm(MISS_MM),
    )


def _points(kind: Kind, words: str, width: float, height: float) -> float:
    if not words:
        return 0.0
    area = words_area(kind, Rect(0.0, 0.0, width, height), 0.0)
    return min(12.0, fitting_pt([words], area.width_mm, area.height_mm))


def flower() -> tuple[np.ndarray, np.ndarray]:
    """Return a flower on a stalk: pixels on white, and alpha."""
    size = 1200
    picture = Image.new("RGBA", (size, size), (0, 0, 0, 0))
    pen = ImageDraw.Draw(picture)
    pen.line((600, 560, 620, 1160), fill="#5c7854", width=56)
    pen.ellipse((640, 760, 960, 900), fill="#6f8f62")
    for k in range(8):
        x, y = 600 + 250 * np.cos(k * np.pi / 4), 400 + 250 * np.sin(k * np.pi / 4)
        pen.ellipse((x - 130, y - 130, x + 130, y + 130), fill="#d9b45b")
    pen.ellipse((450, 250, 750, 550), fill="#a8573f")
    small = picture.resize((300, 300), Image.Resampling.LANCZOS)
    white = Image.new("RGBA", small.size, (255, 255, 255, 255))
    white.alpha_composite(small)
    return np.array(white.convert("RGB")), np.array(small.getchannel("A"))


def wide_list() -> Slot:
    """Return the wide form of a checklist: with a panel, lines and a title."""
    kind, border = KINDS["checklist"], least_border_mm(MISS_MM)
    bare = Slot(kind, 0, *BOX_MM, "palette", panel="ruled", border_mm=border, is_list=True)
    slot = replace(bare, is_titled=True, words="To do", light=True)
    area = slot.words_area(Rect(0.0, 0.0, *BOX_MM))
    return replace(slot, text_pt=fitting_pt(["To do"], area.width_mm, area.height_mm))


def picture_of(slot: Slot, title: str, colour: str) -> str:
    """Return a sticker's picture as SVG."""
    box = Rect(MARGIN_MM, MARGIN_MM, slot.width_mm, slot.height_mm)
    fill = PAPER if slot.kind.source_key == "picture" else colour
    on_it = dress(slot, box, RADIUS_MM, PAPER if slot.panel else fill)
    cut = path_data(slot.outline(box, RADIUS_MM))
    body = [f'<path d="{cut}" fill="{fill}"/>', *_printed(slot, box, on_it)]
    body.append(
        f'<path d="{cut}" fill="none" stroke="#0b525c" stroke-width="0.3" '
        'stroke-dasharray="1.5 1"/>'
    )
    width, height = box.right_mm + MARGIN_MM, box.bottom_mm + MARGIN_MM
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width * PX_PER_MM:.0f}" '
        f'height="{height * PX_PER_MM:.0f}" viewBox="0 0 {width:.3f} {height:.3f}">\n'
        f"  <title>{title}</title>\n  " + "\n  ".join(body) + "\n</svg>\n"
    )


def _printed(slot: Slot, box: Rect, on_it: Dress) -> list[str]:
    """Return panels, marks, stitches, drawing and words as SVG elements."""
    written_on = slot.written_on(box, RADIUS_MM)
    made = [f'<path d="{path_data(one)}" fill="{PAPER}"/>' for one in written_on]
    band = slot.title_band(box, RADIUS_MM)
    made += [f'<path d="{path_data(one)}" fill="{INK}"/>' for one in (band,) if one is not None]
    check = f'fill="{PAPER}" stroke="{INK}" stroke-width="{CHECK_STROKE_MM}"'
    line = light_of(INK) if slot.light else INK
    rule = f'stroke="{line}" stroke-width="{RULE_STROKE_MM}"'
    made += [f'<path d="{path_data(mark)}" {check}/>' for mark in slot.check_marks(box)]
    made += [f'<path d="{path_data(line)}" {rule}/>' for line in slot.rules(box)]
    made += [f'<path d="{path_data(t)}" fill="{on_it.thread}"/>' for t in on_it.threads]
    if on_it.picture is not None:
        made.append(_image(on_it.picture))
    for words in on_it.lettering:
        data = "".join(_curves(path) for path in words.paths)
        made.append(f'<path d="{data}" fill="{words.colour}"/>')
    return made


def _curves(path: CurvedPath) -> str:
    def pair(point: tuple[float, float]) -> str:
        return f"{point[0]:.3f} {point[1]:.3f}"

    pieces = "".join(f"C{pair(a)} {pair(b)} {pair(c)}" for a, b, c in path.pieces)
    return f"M{pair(path.start)}{pieces}Z"


def _image(picture: Picture) -> str:
    out = BytesIO()
    rgba = np.dstack([picture.on_white, picture.alpha])
    Image.fromarray(rgba).save(out, "PNG", optimize=True)
    data = base64.b64encode(out.getvalue()).decode()
    box = picture.box
    return (
        f'<image x="{box.x_mm:.3f}" y="{box.y_mm:.3f}" width="{box.width_mm:.3f}" '
        f'height="{box.height_mm:.3f}" href="data:image/png;base64,{data}"/>'
    )


def files() -> dict[Path, str]:
    """Return every file that this tool writes, with its text."""
    made: dict[Path, str] = {}
    lines = [
        "# Sticker kinds\n",
        "Each picture is drawn from the kind's entry in `kit/kinds/table.py` by "
        "`python tools/draw_kinds.py`, for a day box of 40 x 52 mm. The dashed line is the "
        "cut.\n",
        "| kind | picture | what it is for |",
        "|---|---|---|",
    ]
    for i, kind in enumerate(KINDS.values()):
        name = f"{kind.name.replace(' ', '-')}.svg"
        made[DOCS / "kinds" / name] = picture_of(
            slot_of(kind), kind.name, COLOURS[i % len(COLOURS)]
        )
        lines.append(f"| `{kind.name}` | ![{kind.name}](kinds/{name}) | {kind.means} |")
    made[DOCS / WIDE] = picture_of(wide_list(), "checklist, wide", COLOURS[1])
    lines.append(_LISTS)
    made[DOCS / "stickers.md"] = "\n".join(lines) + "\n"
    return made


def main() -> int:
    """Write the files, or check them."""
    wanted = files()
    old = [p for p, text in wanted.items() if not p.exists() or p.read_text("utf-8") != text]
    if "--check" in sys.argv[1:]:
        for path in old:
            print(f"out of date: {path.name}")
        return 1 if old else 0
    for path in old:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(wanted[path], "utf-8")
        print(f"written: {path.name}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
