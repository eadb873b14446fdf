"""Which colours is this set of artwork made of?

Input: for each tile its ``ColourBins``. Output: a ``Palette``: colours that really occur in the
artwork, each with its share of every tile: the area that looks like it. Every tile has equal say,
whatever its size in pixels; a small accent that stands far from everything else is a colour, and
the blur along an outline is not.

The same tiles give the same palette in any order of files. Where the colours come from is
``palette.choose.bodies``; here each becomes a real colour of the artwork, with share, name and
role.

Source: none; the choice of a member of the group instead of its mean is the medoid of
Kaufman and Rousseeuw, "Finding groups in data", 1990.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Literal

import numpy as np

from palette.arrays import Floats, Mask, Pixels
from palette.choose.belong import NEAR_DE2000
from palette.choose.bodies import find_bodies
from palette.choose.histogram import ColourBins, pool_bins
from palette.choose.joining import MAIN_SHARE, USUAL
from palette.choose.kmeans import kmeans, squared_distances
from palette.choose.roles import roles_for
from palette.choose.swatch import Palette, Role, Swatch
from palette.choose.tile_facts import dense_core, grounds_of, tiles_apart
from palette.errors import PaletteError
from palette.space import de2000, hex_of, names_for, parse_hex, srgb_to_lab, triple_of

MOST_COLOURS = 64
FAINT_SHARE = 0.001  # of all the artwork: as "under 0.1%" it would be on a card
STANDS_OFF_DE2000 = 25.0  # a black eye on a pale ground draws the eye as a strong hue does
_POOL = 12_000
_CURVE_POINTS = 600
_CURVE_TO = 12
_CURVE_STARTS = 10
_WORN_SHARE = 0.5  # of the area looks like the palette: the artwork is in its colours


def choose(
    bins_by_name: Mapping[str, ColourBins],
    colours: int | Literal["auto"] = USUAL,
    pinned: Sequence[str] = (),
    *,
    names: Mapping[str, str] = MappingProxyType({}),
    without: Sequence[str] = (),
) -> Palette:
    """Choose the palette of a set of tiles.

    Args:
        bins_by_name: the bins of each tile, by the name to show it under.
        colours: how many colours, 1 to 64, or "auto" to let the artwork decide: each has to be
            worth its place by difference, area and chroma, so that more than ten are seldom, and
            none is one that less than 0.1% of it looks like, accents and tiles' main colours
            apart. Fewer come back where the artwork holds fewer that can be told apart.
        pinned: colours "#rrggbb" that must be in the palette as they are; they count.
        names: what the maker calls some colours, by "#rrggbb"; all others get words of ours.
        without: colours "#rrggbb" that must not be in it, nor their near relatives (CIEDE2000
            under 10), unless these are pinned.

    Raises:
        PaletteError: no tiles, an impossible number, a text that is not a colour, a colour both
            pinned and left out, or nothing but what is left out.
    """
    count = _check(bins_by_name, colours)
    fixed, unwanted = _pinned_and_left_out(pinned, without)
    # Sorted by content and not by name, so that renamed or reordered files change nothing.
    tile_names = sorted(bins_by_name, key=lambda name: (bins_by_name[name].key, name))
    tiles = [bins_by_name[name] for name in tile_names]
    found = find_bodies(tiles, srgb_to_lab(fixed), count, unwanted)
    if not len(found.chosen):
        raise PaletteError(
            "nothing is left", where="palette", remedy="Leave fewer colours out, or add artwork."
        )
    pool = pool_bins(tiles, _POOL)
    rgb8 = np.concatenate([fixed, _standing(pool, found.chosen.lab, unwanted)[len(fixed) :]])
    if count == "auto":
        rgb8 = _without_faint(rgb8, tiles, len(fixed))
    nearest, shares = _all_shares(tiles, srgb_to_lab(rgb8))
    rest = np.maximum(1.0 - shares.sum(axis=0), 0.0)
    swatches = _swatches(rgb8, nearest, shares, tile_names, pinned=len(fixed), names=names)
    labs = np.array([one.lab for one in swatches])
    return Palette(
        swatches,
        _curve(pool),
        tuple(sorted(zip(tile_names, rest.tolist(), strict=True))),
        grounds_of(tiles, tile_names, labs, unwanted),
        tiles_apart(found.every, tile_names),
    )


def _check(bins: Mapping[str, ColourBins], colours: int | str) -> int | Literal["auto"]:
    if not bins:
        raise PaletteError(
            "there is no artwork to take colours from",
            where="palette",
            remedy="Name at least one image file.",
        )
    if colours == "auto":
        return "auto"
    if not isinstance(colours, int) or not 1 <= colours <= MOST_COLOURS:
        raise PaletteError(
            f'"{colours}" is not a number of colours',
            where="colours",
            remedy=f'Give a whole number from 1 to {MOST_COLOURS}, or "auto".',
        )
    return colours


def _pinned_and_left_out(pinned: Sequence[str], without: Sequence[str]) -> tuple[Pixels, Floats]:
    """Return the pinned colours, each once, (n, 3) uint8, and those left out, (m, 3) CIELAB."""
    fixed = np.array([parse_hex(text, where="pinned colour") for text in pinned], dtype=np.uint8)
    fixed = np.unique(fixed.reshape(-1, 3), axis=0)
    gone = np.array([parse_hex(text, where="colour left out") for text in without], dtype=np.uint8)
    gone = np.unique(gone.reshape(-1, 3), axis=0)
    both = [hex_of(one) for one in fixed if (one == gone).all(axis=1).any()]
    if both:
        raise PaletteError(
            f"{both[0]} is pinned and left out",
            where="palette",
            remedy="Take it out of one of the two.",
        )
    return fixed, srgb_to_lab(gone)


def _standing(pool: ColourBins, centres: Floats, left_out: Floats) -> Pixels:
    """Return for each centre the colour of the artwork that stands for it best, (k, 3) uint8.

    What is nearest to a colour that is left out stands for none.
    """
    labels = squared_distances(pool.lab, np.concatenate([centres, left_out])).argmin(axis=1)
    chosen = np.zeros((len(centres), 3), dtype=np.uint8)
    for k, centre in enumerate(centres):
        members = np.flatnonzero(labels == k)
        if len(members):
            chosen[k] = pool.rgb8[members[_medoid(pool.lab[members], pool.body[members], centre)]]
    return chosen


def _medoid(lab: Floats, body: Floats, centre: Floats) -> int:
    """Return the member nearest to the mean of the group's dense core.

    The mean of the whole group is drawn towards neighbours by what blur is left in it; the single
    most frequent colour is chance in grainy artwork. The core's mean is neither.
    """
    if not body.sum() > 0.0:
        return int(((lab - centre) ** 2).sum(axis=1).argmin())
    core = dense_core(lab, body)
    mean = body[core] @ lab[core] / body[core].sum()
    solid = np.flatnonzero(core & (body >= 0.02 * body[core].max()))
    return int(solid[((lab[solid] - mean) ** 2).sum(axis=1).argmin()])


def _without_faint(rgb8: Pixels, tiles: Sequence[ColourBins], pinned: int) -> Pixels:
    """Return the colours without those that hardly any area looks like and no eye is drawn to.

    The faintest goes first; what it was nearest to counts for the others then.
    """
    while True:
        labs = srgb_to_lab(rgb8)
        nearest, shares = _all_shares(tiles, labs)
        mean = shares.mean(axis=1)
        faint = (mean < FAINT_SHARE) & ~_stand_out(labs, nearest)
        faint[:pinned] = False
        if not faint.any():
            return rgb8
        rgb8 = np.delete(rgb8, int(np.where(faint, mean, np.inf).argmin()), axis=0)


def _stand_out(labs: Floats, nearest: Floats) -> Mask:
    """Say which colours are accents, far from all others, or a main colour of some tile, (k,)."""
    accents = np.array([role == Role.ACCENT for role in roles_for(labs, nearest)])
    distance = de2000(labs[:, None], labs[None])
    np.fill_diagonal(distance, np.inf)
    mains = (nearest == nearest.max(axis=0)) | (nearest >= MAIN_SHARE)
    prominent: Mask = accents | (distance.min(axis=1) >= STANDS_OFF_DE2000) | mains.any(axis=1)
    return prominent


def _all_shares(tiles: Sequence[ColourBins], labs: Floats) -> tuple[Floats, Floats]:
    """Return ``_shares`` of all tiles: nearest to each colour, and near it, (k, tiles) each."""
    nearest, near = np.stack([_shares(tile, labs) for tile in tiles], axis=2)
    return nearest, near


def _shares(tile: ColourBins, labs: Floats) -> Floats:
    """Return the shares of one tile's area that are nearest to each colour, and near it, (2, k).

    Near is what looks like it: a wash is not ivory because the palette has nothing nearer.
    """
    labels = squared_distances(tile.lab, labs).argmin(axis=1)
    near = de2000(tile.lab, labs[labels]) < NEAR_DE2000
    weights = [tile.weight, np.where(near, tile.weight, 0.0)]
    return np.stack([np.bincount(labels, weights=one, minlength=len(labs)) for one in weights])


def _swatches(
    rgb8: Pixels,
    nearest: Floats,
    shares: Floats,
    tiles: Sequence[str],
    *,
    pinned: int,
    names: Mapping[str, str],
) -> tuple[Swatch, ...]:
    # a palette that the artwork is yet to wear has its roles from all the area that a colour is
    # nearest to: it has a ground too then, and not everything in it is an accent
    of_roles = shares if shares.sum(axis=0).mean() >= _WORN_SHARE else nearest
    mean, whole = (np.round(one.mean(axis=1), 9) for one in (shares, nearest))
    order = np.lexsort((rgb8[:, 2], rgb8[:, 1], rgb8[:, 0], -whole, -mean))
    rgb8, shares, mean = rgb8[order], shares[order], shares.mean(axis=1)[order]
    labs = srgb_to_lab(rgb8)
    hexes = [hex_of(one) for one in rgb8]
    words = names_for(labs, [names.get(one) for one in hexes])
    names_and_roles = zip(words, roles_for(labs, of_roles[order]), strict=True)
    return tuple(
        Swatch(
            name=name,
            hex=hexes[i],
            lab=triple_of(labs[i]),
            share=float(mean[i]),
            role=role,
            sources=dict(sorted(zip(tiles, shares[i].tolist(), strict=True))),
            pinned=bool(order[i] < pinned),
        )
        for i, (name, role) in enumerate(names_and_roles)
    )


def _curve(pool: ColourBins) -> tuple[tuple[int, float], ...]:
    few = pool_bins([pool], _CURVE_POINTS)
    most = min(_CURVE_TO, len(few))
    losses = [kmeans(few.lab, few.weight, k, starts=_CURVE_STARTS).loss for k in range(1, most + 1)]
    return tuple(enumerate(np.minimum.accumulate(losses).tolist(), start=1))
