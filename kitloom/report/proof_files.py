"""The files of a proof: pictures of how fills print, repaired tiles, and their palette."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kitloom.colours import (
    FillProof,
    RepairResult,
    judge_palette,
    measure_repair,
    palette_of_colours,
    stems_of,
)
from kitloom.present import palette_answer, text_of
from kitloom.report.pictures import picture_bytes, png_bytes
from kitloom.report.print_pictures import (
    before_after_print,
    before_after_repair,
    thin_ring,
    where_it_shifts,
)
from palette.choose import ColourBins, bins_of, choose
from palette.exchange import from_hex
from palette.press import Press
from palette.proof import repair_pixels, repair_plain
from palette.space import hex_of, lab_to_srgb8


def proof_pictures(fills: Sequence[FillProof], press: Press) -> dict[str, bytes]:
    """Return the pictures of each fill as PNG files by name, at true size where that is known."""
    files: dict[str, bytes] = {}
    for fill, stem in zip(fills, stems_of(fills), strict=True):
        pixels = fill.artwork.pixels
        size = (fill.dpi_at_repeat, fill.dpi_at_repeat) if fill.dpi_at_repeat else None
        files[f"{stem}.print.png"] = picture_bytes(before_after_print(pixels, press), dpi=size)
        files[f"{stem}.shift.png"] = picture_bytes(where_it_shifts(pixels, press), dpi=size)
        if fill.thin:
            files[f"{stem}.thin.png"] = picture_bytes(thin_ring(pixels, fill.thin), dpi=size)
    return files


def repaired_files(
    fills: Sequence[FillProof], colours: Sequence[str], press: Press, *, keep_hue: bool = False
) -> tuple[dict[str, bytes], list[RepairResult]]:
    """Return repaired tiles, their pictures and their palette, and what the repair reached.

    They get the colours of their own print, or with ``keep_hue`` printable ones of their own hues.
    The palette is that of the fills and colours together, drawn in by the same map as the tiles,
    so that a tile and a plain fill that matched still match.
    """
    files: dict[str, bytes] = {}
    results, bins = [], {}
    for fill, stem in zip(fills, stems_of(fills), strict=True):
        new = repair_pixels(fill.artwork.pixels, press, keep_hue=keep_hue)
        size = (fill.artwork.dpi, fill.artwork.dpi) if fill.artwork.dpi else None
        files[f"{stem}.png"] = png_bytes(new, dpi=size)
        files[f"{stem}.before-after.png"] = picture_bytes(
            before_after_repair(fill.artwork.pixels, new, press)
        )
        bins[stem] = bins_of(new)
        results.append(measure_repair(fill, new, bins[stem], press, keep_hue=keep_hue))
    files |= _repaired_palette(fills, colours, bins, press, keep_hue)
    return files, results


def _repaired_palette(
    fills: Sequence[FillProof],
    colours: Sequence[str],
    repaired: Mapping[str, ColourBins],
    press: Press,
    keep_hue: bool,
) -> dict[str, bytes]:
    """The palette of fills and colours, each drawn in, as palette.json; none for no fills."""
    if not repaired:
        return {}
    bins = {stem: fill.bins for stem, fill in zip(repaired, fills, strict=True)}
    palette = choose(bins, "auto", colours)
    drawn = repair_plain(lab_to_srgb8(palette.labs), press, keep_hue=keep_hue)
    named = tuple(
        from_hex(swatch.name, hex_of(rgb8), "palette")
        for swatch, rgb8 in zip(palette.swatches, drawn, strict=True)
    )
    verdict = judge_palette(palette_of_colours(named, repaired), press)
    return {"palette.json": text_of(palette_answer(verdict)).encode()}
