"""Draw the pictures of the gallery's page with kitloom itself, from the samples.

Usage: python tools/draw_gallery.py [--out FOLDER]

Writes docs/gallery: the sample sheet, a seam found, the same tile mended, a palette card, a neon
tile before, in print and repaired, the evening sheet, two pictures for a shop and a trial strip.
Each command that made a picture is in ``PICTURES``; here they are only made smaller. Needs
pypdfium2 for what is a PDF.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pypdfium2
from PIL import Image, ImageChops
from reference.running import ROOT, desk, run

MOST_BYTES = 200 * 1024
FAULTY = "samples/allotment/faulty"

# name: (command, the file that it writes, what is kept of the picture)
PICTURES: dict[str, tuple[tuple[str, ...], str, Callable[[Image.Image], Image.Image]]] = {
    "seam-found.png": (
        ("check", f"{FAULTY}/cut-motif.png", "--pictures", "seams"),
        "seams/cut-motif.seam.png",
        lambda picture: picture,
    ),
    "seam-mended.jpg": (
        ("mend", f"{FAULTY}/cut-motif.png", "--out", "mended"),
        "mended/cut-motif.before-after.png",
        lambda picture: _wide(picture, 1100),
    ),
    "print-repaired.jpg": (
        ("proof", f"{FAULTY}/neon.png", "--repair", "repaired"),
        "repaired/neon.before-after.png",
        lambda picture: _wide(picture, 1200),
    ),
    "palette-card.png": (
        ("palette", "samples/allotment/tiles", "--colours", "8", "--out", "colours"),
        "colours/swatch-card.pdf",
        lambda picture: picture,
    ),
    "sample-sheet.jpg": (
        ("make", "samples/allotment/kit.toml", "--out", "kit"),
        "kit/sheet-1.png",
        lambda picture: _wide(picture, 780),
    ),
    "evening-sheet.jpg": (
        ("make", "samples/allotment/evening-kit.toml", "--out", "evening"),
        "evening/sheet-1.png",
        lambda picture: _wide(picture, 680),
    ),
    "shop-page.jpg": (
        ("make", "samples/allotment/kit.toml", "--listing", "--out", "shop"),
        "shop/listing-page.png",
        lambda picture: _wide(picture, 900),
    ),
    "shop-stickers.jpg": (
        ("make", "samples/allotment/kit.toml", "--listing", "--out", "stickers"),
        "stickers/listing-stickers.png",
        lambda picture: _wide(picture, 900),
    ),
    "trial-strip.png": (
        ("trial", "samples/allotment/kit.toml", "--out", "trial"),
        "trial/strip.pdf",
        lambda picture: _without_bare_end(picture.crop((0, 0, picture.width, picture.height // 3))),
    ),
}


def _wide(picture: Image.Image, width: int) -> Image.Image:
    """The picture at this width."""
    return picture.resize((width, round(picture.height * width / picture.width)), Image.LANCZOS)


def _without_bare_end(picture: Image.Image, margin_px: int = 32) -> Image.Image:
    """The picture without the white paper below what is on it, but for a margin."""
    inked = ImageChops.invert(picture.convert("L")).getbbox()
    end = min(picture.height, inked[3] + margin_px) if inked else picture.height
    return picture.crop((0, 0, picture.width, end))


def _opened(path: Path) -> Image.Image:
    if path.suffix == ".pdf":
        page = pypdfium2.PdfDocument(path)[0]
        return page.render(scale=110 / 72).to_pil().convert("RGB")
    with Image.open(path) as picture:
        return picture.convert("RGB")


def _bytes_of(picture: Image.Image, name: str) -> bytes:
    out = BytesIO()
    if name.endswith(".jpg"):
        picture.save(out, "JPEG", quality=84, optimize=True)
    else:
        picture.quantize(256, dither=Image.Dither.NONE).save(out, "PNG", optimize=True)
    return out.getvalue()


def main() -> int:
    """Draw every picture."""
    parser = argparse.ArgumentParser(description="Draw the gallery's pictures.")
    parser.add_argument("--out", type=Path, default=ROOT / "docs" / "gallery")
    out = parser.parse_args().out
    out.mkdir(parents=True, exist_ok=True)
    with desk() as folder:
        for name, (words, file, kept) in PICTURES.items():
            run(words, folder)
            data = _bytes_of(kept(_opened(folder / file)), name)
            if len(data) > MOST_BYTES:
                raise SystemExit(f"{name} is too large: {len(data)} bytes")
            (out / name).write_bytes(data)
            print(f"written: {name}, {len(data) // 1024} KiB")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
