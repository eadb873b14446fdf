"""Which colours did someone choose for this artwork, as against blurs and stray tones?

Input: the bins of each tile. Output: ``Bodies``, one centre for each colour that covers something.

Each tile is clustered finely on its own, so that a small accent in one tile of many is seen as well
as in a single one. Then the nearest clusters, of all tiles, are joined (``palette.choose.joining``)
as long as they are closer than ``JOIN_DE2000``. What is left has to cover a little of some tile,
and has to be more than the fringe between two larger colours.

Down to a number, what is nearest is joined, hardly by area; left to the artwork, a colour has to be
worth its place by difference, area and chroma, and the worth that is asked rises with each beyond
``USUAL``.

Source: none for the whole; it is k-means (see ``palette.choose.kmeans``) followed by
centroid-linkage agglomeration in CIEDE2000. The limits are ours, measured on artwork drawn for
that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from palette.arrays import Floats, Indices, Mask
from palette.choose.antialiasing import lies_between
from palette.choose.histogram import ColourBins
from palette.choose.joining import Bodies, Rule, join
from palette.choose.kmeans import kmeans
from palette.space import de2000, lab_to_srgb8

JOIN_DE2000 = 8.0
LEAST_JOIN_DE2000 = 6.0  # under 5 two count as too alike, and what stands for one is off
RELATIVE_DE2000 = 10.0  # nearer, two are tones of one colour to who looks at a whole palette
FINE_CLUSTERS = 28
LEAST_SHARE = 0.002  # of some tile
LEAST_TONE_SHARE = 0.01  # the same, of a tone within JOIN_DE2000 of a larger body
MOST_TONE_FRINGE = 0.15
MOSTLY_FRINGE = 0.5
OFTEN_FRINGE = 0.4  # enough where the colour also lies between two larger ones
_POINTS = 200
TILES_AT_ONCE = 64
LEAST_WORTH = 7.0  # of a colour: CIEDE2000 to its nearest, by area and chroma as below
RISING_WORTH = 1.4  # times as much for each colour beyond the usual number


@dataclass(frozen=True)
class Found:
    """The colours of a set of tiles: every one, and those of them that make the palette."""

    every: Bodies
    chosen: Bodies


def bodies_of(tiles: Sequence[ColourBins], pinned: Floats) -> Bodies:
    """Find every colour of a set of tiles that can be told apart, as ``find_bodies`` does."""
    return _settle(_fine_bodies(tiles, pinned), JOIN_DE2000)


def find_bodies(
    tiles: Sequence[ColourBins],
    pinned: Floats,
    colours: int | Literal["auto"],
    left_out: Floats | None = None,
) -> Found:
    """Find the colours of a set of tiles, and choose among them.

    Args:
        tiles: bins of each tile.
        pinned: (m, 3) CIELAB (D50) colours that must be among the answer, first.
        colours: how many to choose, or "auto" to let the artwork decide. Fewer come back where the
            artwork holds fewer colours that can be told apart.
        left_out: (m, 3) CIELAB (D50) colours that nobody wants, nor their near relatives.
    """
    fine = _fine_bodies(tiles, pinned)
    limit = JOIN_DE2000
    every = _left(_settle(fine, limit), left_out)
    if colours == "auto":
        return Found(every, _worthwhile(every))
    while len(every) < colours and limit > LEAST_JOIN_DE2000:
        limit = max(limit * 0.85, LEAST_JOIN_DE2000)
        every = _left(_settle(fine, limit), left_out)
    return Found(every, _reduce(every, max(colours, len(pinned))))


def _left(bodies: Bodies, left_out: Floats | None) -> Bodies:
    """Return the bodies without those that somebody left out, or that look much like them."""
    if left_out is None or not len(left_out) or not len(bodies):
        return bodies
    apart = de2000(bodies.lab[:, None], left_out[None]).min(axis=1)
    return bodies.select(apart >= RELATIVE_DE2000)


def _fine_bodies(tiles: Sequence[ColourBins], pinned: Floats) -> Bodies:
    """Cluster each tile; of many tiles some at a time, as their table of shares would be large."""
    result = Bodies(
        pinned,
        np.zeros((len(pinned), len(tiles))),
        np.zeros(len(pinned)),
        np.ones(len(pinned), dtype=np.bool_),
    )
    for start in range(0, len(tiles), TILES_AT_ONCE):
        result = _join_by_cell(_with_tiles(result, tiles, range(start, start + TILES_AT_ONCE)))
    return result


def _with_tiles(result: Bodies, tiles: Sequence[ColourBins], which: range) -> Bodies:
    lab, shares, fringe = [result.lab], [result.shares], [result.fringe]
    for column, tile in list(enumerate(tiles))[which.start : which.stop]:
        clusters = kmeans(tile.lab, tile.body, FINE_CLUSTERS)
        count = len(clusters.centres)
        body = np.bincount(clusters.labels, weights=tile.body, minlength=count)
        area = np.bincount(clusters.labels, weights=tile.weight, minlength=count)
        blur = np.bincount(clusters.labels, weights=tile.weight * tile.fringe, minlength=count)
        share = np.zeros((count, len(tiles)))
        share[:, column] = body
        lab.append(clusters.centres)
        shares.append(share)
        fringe.append(blur / np.maximum(area, 1e-12))
    bodies = Bodies(
        np.concatenate(lab),
        np.concatenate(shares),
        np.concatenate(fringe),
        np.concatenate([result.pinned, np.zeros(sum(map(len, lab)) - len(result), dtype=np.bool_)]),
    )
    return bodies.select(bodies.shares.sum(axis=1) > 0.0)


def _join_by_cell(bodies: Bodies) -> Bodies:
    """Join what lies in one cell of Lab, in ever larger cells, until a full table is affordable."""
    cell = 0.5
    while len(bodies) > _POINTS:
        cell *= 1.5
        keys = np.floor(bodies.lab / cell).astype(np.int64) @ np.array([1 << 40, 1 << 20, 1])
        keys[bodies.pinned] = -np.arange(1, int(bodies.pinned.sum()) + 1) - (1 << 60)
        _, groups = np.unique(keys, return_inverse=True)
        bodies = _join_groups(bodies, groups)
    return bodies


def _join_groups(bodies: Bodies, groups: Indices) -> Bodies:
    weight = bodies.shares.sum(axis=1) + 1e-12
    total = np.bincount(groups, weights=weight)
    shares = np.zeros((len(total), bodies.shares.shape[1]))
    np.add.at(shares, groups, bodies.shares)
    lab = np.stack([np.bincount(groups, weights=weight * bodies.lab[:, i]) for i in range(3)], 1)
    fringe = np.bincount(groups, weights=weight * bodies.fringe)
    pinned = np.bincount(groups, weights=bodies.pinned) > 0
    order = np.argsort(~pinned, kind="stable")
    return Bodies(
        (lab / total[:, None])[order], shares[order], (fringe / total)[order], pinned[order]
    )


def _settle(bodies: Bodies, limit_de2000: float) -> Bodies:
    """Join the nearest while they are nearer than the limit, then drop blurs and strays."""
    bodies = join(bodies, Rule(limit_de2000))
    covers = bodies.shares.max(axis=1) >= LEAST_SHARE
    bodies = bodies.select(covers & (bodies.fringe < MOSTLY_FRINGE))
    bodies = bodies.select(~_mixtures(bodies))
    return bodies.select(~_rims(bodies))


def _rims(bodies: Bodies) -> Mask:
    """Say which bodies are only the grain or the outline's rim of a larger one close by."""
    share = bodies.shares.max(axis=1)
    close = de2000(bodies.lab[:, None], bodies.lab[None]) < JOIN_DE2000
    near_larger = (close & (share[None] > share[:, None])).any(axis=1)
    rims: Mask = near_larger & ((share < LEAST_TONE_SHARE) | (bodies.fringe > MOST_TONE_FRINGE))
    return rims


def _mixtures(bodies: Bodies) -> Mask:
    """Say which bodies are often fringe and lie between two larger ones."""
    rgb8, share = lab_to_srgb8(bodies.lab), bodies.shares.max(axis=1)
    result = np.zeros(len(bodies), dtype=np.bool_)
    for i in np.flatnonzero(bodies.fringe >= OFTEN_FRINGE):
        larger = rgb8[share > share[i]]
        one, other = np.triu_indices(len(larger), 1)
        here = np.broadcast_to(rgb8[i], (len(one), 3)).T
        result[i] = bool(lies_between(here, larger[one].T, larger[other].T).any())
    return result


def _reduce(bodies: Bodies, colours: int) -> Bodies:
    """Join further until ``colours`` are left; differences count for more than areas.

    By areas alone the accents would go first.
    """
    return join(bodies, Rule(at_least=colours, area=0.1))


def _worthwhile(bodies: Bodies) -> Bodies:
    """Join further what is not worth a colour of its own."""
    return join(bodies, Rule(LEAST_WORTH, area=0.15, chroma=1.0, rises=RISING_WORTH))
