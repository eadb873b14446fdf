"""The sealed tiles: pictures sold as tiles, patterns drawn as cells, motifs of others strewn anew.

In: the folder that ``learning.sealed.fetch`` filled, and a seed. Out: clean ``Tile``s of four sets:

* ``desktop``: pictures made to tile a desktop, by two painters (propaganda-debian), as they are;
* ``scattered``: motifs of five sets of drawings by others, strewn here, and six hands drawn here;
* ``geometric``: cells drawn by one hand (hero-patterns) and five hands drawn here, each rolled so
  that no line lies on its boundary, as everywhere in the tables;
* ``texture``: two hands drawn here.

``LEFT_OUT`` was decided by eye on tiles rolled by half, before any was judged.
"""

from __future__ import annotations

import json
import random
import re
import subprocess
import tarfile
from collections.abc import Iterator
from io import BytesIO
from itertools import product
from pathlib import Path
from urllib.parse import unquote

import numpy as np
from PIL import Image

from learning.sealed.drawings import SEALED, Ink, inks, places
from learning.sealed.fetch import Package, fetch, read_packages
from learning.tiles import Tile, phased
from palette.arrays import Floats, Pixels

Generator = np.random.Generator
LEFT_OUT: dict[str, str] = {
    "Demonsashimi-With-Wasabe-2": "the same picture as Demonsashimi-With-Wasabi-2",
}
PER_FAMILY = 3
PER_MOTIFS = 5
LEAST_PX = 160


def render_svg(text: str, width: int, height: int) -> Image.Image:
    """Return a drawing as a picture with transparency, stretched to this many pixels."""
    import pymupdf

    page = pymupdf.open(stream=text.encode(), filetype="svg")[0]  # type: ignore[no-untyped-call]
    across, down = width / page.rect.width, height / page.rect.height
    zoom = pymupdf.Matrix(across, down)  # type: ignore[no-untyped-call]
    drawn = page.get_pixmap(matrix=zoom, alpha=True)
    picture = Image.frombytes("RGBA", (drawn.width, drawn.height), drawn.samples)
    return picture.crop((0, 0, width, height))


def desktop_tiles(deb: Path) -> Iterator[Tile]:
    """Yield the pictures of propaganda-debian."""
    unpack = ["dpkg-deb", "--fsys-tarfile", str(deb)]
    packed = subprocess.run(unpack, check=True, capture_output=True)
    with tarfile.open(fileobj=BytesIO(packed.stdout)) as archive:
        for member in sorted(archive.getmembers(), key=lambda m: m.name):
            path = Path(member.name)
            held = archive.extractfile(member) if path.suffix == ".JPG" else None
            if held and path.stem not in LEFT_OUT:
                pixels = np.asarray(Image.open(held).convert("RGB"))
                yield Tile("desktop", "propaganda", path.stem, pixels)


def _cells(tgz: Path) -> dict[str, str]:
    """Return the drawings of hero-patterns by name: functions that put two strings into an SVG."""
    with tarfile.open(tgz) as archive:
        held = archive.extractfile("package/dist/hero-patterns.es.js")
        text = held.read().decode() if held else ""
    names = dict(re.findall(r"(\w+) as (\w+)", text[text.rindex("export") :]))
    parts = re.split(r'(?:^const |,)(\w+)=\(\w+="#000000",\w+=1\)=>', text)
    found = {}
    for short, body in zip(parts[1::2], parts[2::2], strict=True):
        filled = re.sub(r'"\.concat\(\w+\(\w+\),"', "INK", body)
        filled = re.sub(r'"\)\.concat\(\w+,"', "1", filled)
        drawing = re.search(r"data:image/svg\+xml,(.*?)'\)", filled)
        if drawing and short in names:
            found[names[short]] = unquote(drawing[1])
    return dict(sorted(found.items()))


def _in_ink(cell: str, ink: Ink) -> str:
    return cell.replace("#INK", "#{:02x}{:02x}{:02x}".format(*ink))


def _size_of(svg: str) -> tuple[float, float]:
    head = svg[: svg.index(">")]
    size = dict(re.findall(r"\b(width|height|viewBox)=['\"]([\d. ]+)", head))
    box = size.get("viewBox", "").split()
    return float(size.get("width") or box[2]), float(size.get("height") or box[3])


def _on(ground: Ink, picture: Image.Image) -> Pixels:
    flat = Image.new("RGBA", picture.size, ground)
    return np.asarray(Image.alpha_composite(flat, picture).convert("RGB"))


def cell_tiles(tgz: Path, seed: int) -> Iterator[Tile]:
    """Yield each cell of hero-patterns once, enlarged and repeated as a maker would save it."""
    for name, cell in _cells(tgz).items():
        if name in LEFT_OUT:
            continue
        rng = np.random.default_rng([seed, *name.encode()])
        ground, ink = inks(rng, 2)
        width, height = _size_of(cell)
        zoom = int(rng.integers(1, 4)) if min(width, height) >= 60 else int(rng.integers(2, 7))
        size = round(width * zoom), round(height * zoom)
        one = _on(ground, render_svg(_in_ink(cell, ink), *size))
        times = [max(1, -(-LEAST_PX // side)) for side in (size[1], size[0])]
        yield Tile("geometric", "hero-patterns", name, np.tile(one, (*times, 1)))


def _motifs(tgz: Path, rng: Generator, size: int) -> list[Floats]:
    """Return a few motifs as (height, width, 4) with colour times cover, 0 to 1."""
    with tarfile.open(tgz) as archive:
        held = archive.extractfile("package/icons.json")
        drawn = json.loads(held.read()) if held else {}
    names = sorted(drawn["icons"])
    random.Random(int(rng.integers(1 << 30))).shuffle(names)
    ink = "#{:02x}{:02x}{:02x}".format(*inks(rng, 1)[0])
    found = []
    for name in names[: int(rng.integers(2, 7))]:
        icon = drawn["icons"][name]
        width, height = (icon.get(k, drawn.get(k, 16)) for k in ("width", "height"))
        head = f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}">'
        text = head + icon["body"].replace("currentColor", ink) + "</svg>"
        picture = render_svg(text, size, round(size * height / width))
        turned = picture.rotate(float(rng.uniform(-40, 40)), Image.Resampling.BICUBIC, expand=True)
        values = np.asarray(turned).astype(np.float64) / 255.0
        values[..., :3] *= values[..., 3:]
        found.append(values)
    return found


def motif_tile(tgz: Path, rng: Generator) -> Pixels:
    """Strew motifs of one set on a plain ground; what leaves the tile comes in again."""
    width, height = (int(k) for k in rng.integers(200, 420, 2))
    size = int(rng.integers(26, 80))
    picture = np.tile(rng.uniform(0.0, 1.0, 3), (height, width, 1))
    if rng.random() < 0.7:
        picture = 0.75 + 0.25 * picture  # most makers' grounds are pale
    motifs = _motifs(tgz, rng, size)
    for at in places(rng, width, height, size * rng.uniform(1.0, 1.8)):
        motif = motifs[int(rng.integers(len(motifs)))]
        rows = (np.arange(motif.shape[0]) + int(at[1])) % height
        columns = (np.arange(motif.shape[1]) + int(at[0])) % width
        where = np.ix_(rows, columns)
        picture[where] = picture[where] * (1.0 - motif[..., 3:]) + motif[..., :3]
    return np.rint(np.clip(picture, 0.0, 1.0) * 255.0).astype(np.uint8)


def drawn_here(seed: int) -> Iterator[Tile]:
    """Yield ``PER_FAMILY`` tiles of each hand of ``learning.sealed.drawings``."""
    for set_name, families in SEALED.items():
        for (family, draw), k in product(families.items(), range(PER_FAMILY)):
            pixels = draw(np.random.default_rng([seed, k, *family.encode()]))
            yield Tile(set_name, family, f"{family}-{k}", pixels)


def _bought(package: Package, archive: Path, seed: int) -> Iterator[Tile]:
    family = package.name.rpartition("/")[2]
    if package.registry == "debian":
        yield from desktop_tiles(archive)
    elif family == "hero-patterns":
        yield from cell_tiles(archive, seed)
    else:
        for k in range(PER_MOTIFS):
            rng = np.random.default_rng([seed, k, *family.encode()])
            yield Tile("scattered", family, f"{family}-{k}", motif_tile(archive, rng))


def sealed_tiles(folder: Path, seed: int) -> Iterator[Tile]:
    """Yield every tile of the set; the same packages and seed give the same pixels."""
    archives = [(package, fetch(package, folder)) for package in read_packages()]
    found = [tile for package, archive in archives for tile in _bought(package, archive, seed)]
    for tile in (*found, *drawn_here(seed)):
        pixels = tile.pixels
        if tile.set_name == "geometric":
            rng = np.random.default_rng([seed, *tile.name.encode()])
            pixels = phased(pixels, line=False, rng=rng)
        yield Tile(tile.set_name, tile.family, tile.name, pixels)
