"""Steps 2 and 4: each tile with its verdict and its size on paper, and before and after print."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from kit.recipe import PatternPart, Recipe
from kitloom.findings import CRISP_DPI, FILL_SHARE, GRADE_WORDS, PRINTS_TRUE, doubts, where_words
from kitloom.kits import JudgedKit
from kitloom.measure import TileStudy
from kitloom.page.state import Bench
from kitloom.page.views.page_words import share_of
from kitloom.page.views.tile_pictures import cell_tiles
from palette.proof import assess_fill
from palette.surfaces import SURFACES
from patterns.units import MM_PER_INCH

LATTICE_WORDS = {
    "straight": "straight: each beside the other",
    "half-drop": "half-drop: every other column half a tile lower",
    "half-brick": "half-brick: every other row half a tile along",
}
SURFACE_WORDS = {name: surface.words for name, surface in SURFACES.items()}
_VERDICTS = {
    True: ("good", "seamless"),
    False: ("stop", "a seam shows"),
    None: ("warn", "unsure: look at it"),
}
_COLOUR_GRADES = {
    grade: {"mark": "warn" if grade == "will shift" else "good", "words": words}
    for grade, words in GRADE_WORDS.items()
}
_GRAVEST = ("stop", "warn")
MOST_SHOWN_MM = 400  # of a tile at its true size; no screen shows more
_SENTENCES = {
    True: "It repeats without a visible seam.",
    False: "A seam shows where the tile meets itself. The second picture moves the tile so "
    "that its edges meet inside; the place is ringed and enlarged.",
    None: "No seam shows for certain, but the measurements cannot decide. Look at the second "
    "picture, where its edges meet inside.",
}


ACCEPTED = ("good", "you looked at it")
ACCEPTED_SENTENCES = {
    False: "A seam was measured; you looked at it, and it is good. If its file changes, you are "
    "asked again.",
    None: "The measurements cannot decide; you looked at it, and it is good. If its file changes, "
    "you are asked again.",
}


def verdict(bench: Bench, part: PatternPart, study: TileStudy | None) -> tuple[str, str]:
    """Return a tile's mark and its verdict in three words."""
    if study is None:
        return "", "measuring …"
    return ACCEPTED if bench.accepted(part, study) else _VERDICTS[study.check.seamless]


def standing(bench: Bench, recipe: Recipe, part: PatternPart) -> dict[str, Any]:
    """Return how a tile stands: measured, being measured, or why it will not be."""
    there = is_here(recipe, part)
    study = bench.known(recipe, part) if there else None
    mark, words = verdict(bench, part, study)
    if not there:
        mark, words = "stop", f"{part.file.name} is missing"
    elif study is None and bench.stuck:
        mark, words = "stop", "not measured"
    return {"mark": mark, "words": words, "known": study is not None}


def is_here(recipe: Recipe, part: PatternPart) -> bool:
    """Tell whether a tile's file is where the recipe says."""
    return (recipe.folder / part.file).is_file()


def chosen_index(recipe: Recipe, query: Mapping[str, str]) -> int:
    """Return the number of the pattern that the address names, else the first."""
    labels = [part.label for part in recipe.patterns]
    label = query.get("tile", "")
    return labels.index(label) if label in labels else 0


def worst_join(bench: Bench, recipe: Recipe) -> str:
    """Return the tile to look at first: with a seam, else one to look at, else none.

    None either while some are not measured yet, so that nothing jumps as they come.
    """
    studies = [bench.known(recipe, part) for part in recipe.patterns]
    known = [(p, study) for p, study in zip(recipe.patterns, studies, strict=True) if study]
    if len(known) < len(studies):
        return ""
    marks = {part.label: verdict(bench, part, study)[0] for part, study in known}
    return next((name for grave in _GRAVEST for name, mark in marks.items() if mark == grave), "")


def worst_print(job: JudgedKit | None) -> str:
    """Return the tile of which most looks different in print, or none."""
    shares = {one.name: one.printed.share_out_of_gamut for one in job.patterns} if job else {}
    name = max(shares, key=lambda one: shares[one], default="")
    return name if shares.get(name, 0.0) >= FILL_SHARE else ""


def tiles_view(bench: Bench, recipe: Recipe, query: Mapping[str, str]) -> dict[str, Any]:
    """Return the row of tiles and everything about the chosen one."""
    index = chosen_index(recipe, query)
    part = recipe.patterns[index]
    labels = [one.label for one in recipe.patterns]
    study = bench.known(recipe, part)
    return {
        "strip": tile_strip(bench, recipe, index),
        "tile": _tile(bench, recipe, part, study) if study else None,
        "chosen": part.label,
        "lacks": "" if is_here(recipe, part) else part.file.name,
        "after": labels[index + 1] if index + 1 < len(labels) else None,
    }


def tile_strip(bench: Bench, recipe: Recipe, index: int) -> list[dict[str, Any]]:
    """Return all tiles as small links."""
    strip = []
    for number, part in enumerate(recipe.patterns):
        stands = standing(bench, recipe, part)
        strip.append({"name": part.label, "here": number == index} | stands)
    return strip


def plain_strip(bench: Bench, recipe: Recipe, index: int) -> list[dict[str, Any]]:
    """Return all tiles as small links, without their verdicts."""
    return [one | {"mark": "", "words": ""} for one in tile_strip(bench, recipe, index)]


def _tile(bench: Bench, recipe: Recipe, part: PatternPart, study: TileStudy) -> dict[str, Any]:
    art = study.artwork
    wide, high = recipe.planner.box
    found = bench.cache.sizes(study, (wide, high), recipe.sheet.dpi)
    repeat_mm = found.repeat_mm if part.repeat == "auto" else part.repeat
    crisp_mm = art.width_px * MM_PER_INCH / CRISP_DPI
    sizes = [one.repeat_mm for one in reversed(found.considered)]
    least_mm, most_mm = _range(repeat_mm, *sizes)
    across, down = cell_tiles(study.lattice)
    mark, words = verdict(bench, part, study)
    accepted = bench.accepted(part, study)
    return {
        "name": part.label,
        "subject": study.subject,
        "mark": mark,
        "words": words,
        "sentence": (ACCEPTED_SENTENCES if accepted else _SENTENCES)[study.check.seamless],
        "doubts": doubts(study.check) if study.check.seamless is None else "",
        "accepted": accepted,
        "too_little": "" if accepted else bench.cache.too_little(study),
        "ringed": bool(study.check.x.faults or study.check.y.faults),
        "seam": study.check.seamless is not True,
        "lattice": study.lattice.name,
        "lattices": LATTICE_WORDS,
        "size": f"{art.width_px} × {art.height_px} px",
        "repeat": f"{repeat_mm:.4g}",
        "least": f"{least_mm:g}",
        "most": f"{most_mm:g}",
        "crisp": f"{math.floor(crisp_mm * 10.0) / 10.0:g}",
        "aspect": f"{art.height_px / art.width_px:.6f}",
        "across": across,
        "down": down,
        "dpi": round(art.width_px * MM_PER_INCH / repeat_mm),
        "sizes": _named(sizes),
        "no_larger": f"{sizes[1]:.1f}" if f"{sizes[1]:.1f}" == f"{sizes[2]:.1f}" else "",
        "box": {"wide": wide, "high": high},
        "view": {
            "wide": min(MOST_SHOWN_MM, round(wide * 2 + 12)),
            "high": min(MOST_SHOWN_MM, round(high + 14)),
        },
        "lossy": art.lossy,
        "notes": art.notes,
    }


def _named(sizes: Sequence[float]) -> list[dict[str, str]]:
    """Return the sizes to choose from, each once: a small tile has pixels for no large one."""
    named: dict[str, str] = {}
    for words, size in zip(("small", "medium", "large"), sizes, strict=True):
        named.setdefault(f"{size:.1f}", words)
    return [{"words": words, "mm": mm} for mm, words in named.items()]


def _range(repeat_mm: float, *sizes: float) -> tuple[float, float]:
    """Return the ends of the slider: whole millimetres that hold every sensible size."""
    least = max(3.0, float(int(min(repeat_mm, *sizes) * 0.5)))
    return least, float(int(max(repeat_mm, *sizes) * 1.6) + 1)


def _on(recipe: Recipe) -> str:
    decides = _surface(recipe)
    return f"On {decides} paper" if decides in SURFACE_WORDS else "On your printer"


def _surface(recipe: Recipe) -> str:
    """Return what decides how it prints: a chart wins over a profile, both over a surface."""
    if recipe.press.chart:
        return "chart"
    return "profile" if recipe.press.profile else recipe.press.surface


def print_view(
    bench: Bench, recipe: Recipe, job: JudgedKit | None, query: Mapping[str, str]
) -> dict[str, Any]:
    """Return the surfaces, and the chosen tile before and after print."""
    index = chosen_index(recipe, query)
    part = recipe.patterns[index]
    study = bench.known(recipe, part)
    view: dict[str, Any] = {
        "surface": _surface(recipe),
        "surfaces": SURFACE_WORDS,
        "profile": recipe.press.profile.name if recipe.press.profile else "",
        "chart": recipe.press.chart.name if recipe.press.chart else "",
        "strip": tile_strip(bench, recipe, index),
        "chosen": part.label,
        "lacks": "" if is_here(recipe, part) else part.file.name,
        "press": job.press.name if job else "",
        "printed": None,
        "dull": 0,
        "plain": _plain(job) if job else [],
    }
    if job is not None:
        view["dull"] = sum(one.printed.share_out_of_gamut >= FILL_SHARE for one in job.patterns)
        shares = {used.name: used.printed.share_out_of_gamut for used in job.patterns}
        for one in view["strip"]:
            share = shares.get(one["name"], 0.0)
            one["words"] = f"{share:.0%} prints duller" if share >= 0.01 else PRINTS_TRUE
            one["mark"] = "warn" if share >= FILL_SHARE else "good"
    if study is not None and job is not None:
        fill = assess_fill(study.bins, job.press)
        view["printed"] = {
            "on": _on(recipe),
            "share": share_of(fill.share_out_of_gamut, "this tile"),
            "mean": f"{fill.mean_shift_de2000:.1f}",
            "dull": fill.share_out_of_gamut >= FILL_SHARE,
        }
    return view


def _plain(job: JudgedKit) -> list[dict[str, str]]:
    """Return the colours that are on the sheets and not in the palette, then the drawings."""
    colours = [
        {
            "name": one.colour.hex,
            "hex": one.colour.hex,
            "printed": one.colour.printed_hex,
            "places": where_words(one.places),
            **_COLOUR_GRADES[one.colour.grade],
        }
        for one in job.inks.beside(job.verdict.palette)
    ]
    drawings = [
        {
            "name": one.drawing.file,
            "hex": "",
            "places": where_words(one.drawing.places),
            **_drawing_grade(one.printed.share_out_of_gamut),
        }
        for one in job.inks.drawings
    ]
    return [*colours, *drawings]


def _drawing_grade(share: float) -> dict[str, str]:
    if share < FILL_SHARE:
        return {"mark": "good", "words": PRINTS_TRUE}
    return {"mark": "warn", "words": f"{share_of(share, 'it')} prints duller"}
