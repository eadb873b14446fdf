"""Findings about pictures that show patterns and are not tiles, such as collages and mock-ups."""

from __future__ import annotations

from kitloom.findings.codes import Finding, finding
from palette.arrays import Pixels
from patterns.covers import Cover, find_cover

# kind: (what it looks like, what to do)
_LOOKS = {
    "collage": (
        "{panels} pictures side by side with gutters between them, as on the cover of a set",
        "Use the set's single tiles.",
    ),
    "frame": (
        "artwork with a border all round, as a scan or a photograph of a print has",
        "Crop it to exactly one repeat.",
    ),
    "title": (
        "a pattern with a box of lettering on it, as in a shop's preview",
        "Use the file without the lettering.",
    ),
    "mock-up": (
        "a mock-up: one thing with artwork on it, photographed or drawn on plain ground",
        "Use the artwork's own file.",
    ),
}


def no_tile_findings(subject: str, pixels: Pixels) -> list[Finding]:
    """Say what a picture looks like that is not a tile.

    Args:
        subject: the picture.
        pixels: (height, width, 3) sRGB uint8.
    """
    cover = find_cover(pixels)
    return [_no_tile(subject, cover)] if cover else []


def cover_looks(cover: Cover) -> tuple[str, str]:
    """Return what a picture that is not a tile looks like, as half a sentence, and what to do."""
    looks, remedy = _LOOKS[cover.kind]
    return looks.format(panels=cover.panels), remedy


def _no_tile(subject: str, cover: Cover) -> Finding:
    looks, remedy = cover_looks(cover)
    x, y, width, height = cover.box_px
    return finding(
        "no-tile",
        subject,
        what=f"It looks like {looks}, not like a tile.",
        why="Used as a tile, its gutters, borders, lettering or ground come back on every sticker.",
        remedy=f"{remedy} If it is a tile after all, name it in the recipe yourself.",
        kind=cover.kind,
        panels=cover.panels,
        x_px=x,
        y_px=y,
        width_px=width,
        height_px=height,
    )
