"""Which palettes can the artwork wear? The kit's own, and earlier ones that were given as files.

In: palette files as ``kitloom.colours.palette_io`` reads them. They are kept as they came,
under plain names of our own, in ``palettes/`` of the maker's folder.
"""

from __future__ import annotations

from pathlib import Path

from kitloom.colours import read_palette_file
from kitloom.disk import write_file
from kitloom.kits import JudgedKit
from kitloom.page.edits.intake import Incoming, incoming_file
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench, plain_stem, unused_stem
from palette.exchange import FORMATS, NamedColour, from_hex

OWN = "the kit's own palette"
FOLDER = "palettes"
MAX_PALETTE_BYTES = 4 * 1024 * 1024
MAX_PALETTES = 24
SUFFIXES = (*sorted((f.suffix for f in FORMATS.values() if f.read), key=len, reverse=True), ".json")


def take_palette(bench: Bench, file: Incoming) -> str:
    """Keep a palette file and return what it is called here.

    Raises:
        KitloomError: it cannot be read, or there are too many.
    """
    suffix = next(end for end in SUFFIXES if file.name.lower().endswith(end))
    stem = plain_stem(file.name[: -len(suffix)], "palette")
    if len(file.content) > MAX_PALETTE_BYTES:
        raise PageError("is too large for a palette", where=stem, remedy="Give a palette file.")
    with incoming_file(bench, file.content, suffix, stem) as path:
        bench.reader.check_palette(path)
    with bench.lock:
        return _keep(bench, stem, suffix, file.content)


def _keep(bench: Bench, stem: str, suffix: str, content: bytes) -> str:
    there = palettes(bench)
    for path in there:
        if path.name.endswith(suffix) and path.read_bytes() == content:
            return path.name
    if len(there) >= MAX_PALETTES:
        raise PageError(
            f"there are {MAX_PALETTES} palettes already",
            where=stem,
            remedy='Remove some from the folder "palettes" of your work.',
        )
    taken = {path.name.split(".")[0] for path in there}
    place = _folder(bench) / f"{unused_stem(stem, taken)}{suffix}"
    write_file(place, [content], overwrite=False)
    bench.tell("palette")
    return place.name


def palettes(bench: Bench) -> list[Path]:
    """Return the palette files that are kept, by name."""
    folder = _folder(bench)
    files = folder.iterdir() if folder.is_dir() else iter(())
    return sorted(p for p in files if p.is_file() and p.name.lower().endswith(SUFFIXES))


def palette_setting(name: str) -> str:
    """Return what the recipe's `palette.from` says for a palette that is kept."""
    return f"{FOLDER}/{name}"


def colours_of(bench: Bench, job: JudgedKit, name: str) -> tuple[NamedColour, ...]:
    """Return the colours of a palette by its name; only names that are in the folder are known.

    Raises:
        KitloomError: there is none of that name, or it cannot be read any more.
    """
    if name == OWN:
        shown = job.verdict.palette.swatches
        return tuple(from_hex(swatch.name, swatch.hex, OWN) for swatch in shown)
    path = next((path for path in palettes(bench) if path.name == name), None)
    if path is None:
        raise PageError(f'there is no palette "{name}"', where="palette", remedy="Choose another.")
    return read_palette_file(path)


def _folder(bench: Bench) -> Path:
    return bench.workspace.folder / FOLDER
