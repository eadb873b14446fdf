"""What has to be sent to a measured printer for a colour: its forward table, sought backwards.

In: what is printed at the nodes of RGB. Out: a table from CIELAB to RGB, as an ICC profile holds
it. For a colour that can be printed a node holds the RGB that prints it, found by damped least
squares (Levenberg 1944, Marquardt 1963). Where several RGB print alike, which drivers do with vivid
colours, the least vivid is taken everywhere: between two nodes that chose otherwise lies neither. A
colour that cannot be printed is first moved to the one that ``palette.press.mapping`` would take
for it; the darker it is, the more the print that is nearest in CIELAB is taken instead.

Between a node that can be printed and one that cannot, neither would come out right. So the latter
settle: each moves, beyond 0 and 1 too, until the printer's own colours about it lead back to
themselves, by the mean of what they miss (simultaneous iterative reconstruction, Gilbert 1972).
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats, Mask
from palette.press.cube import SIDE, cube_nodes
from palette.press.gamut import Gamut
from palette.press.icc_bytes import BEYOND, LabNodes, lab_nodes
from palette.press.mapping import clip
from palette.press.neugebauer import with_black, without_black
from palette.press.simplex import Corners, corners
from palette.space import (
    de2000,
    from_polar,
    lab_to_oklab,
    oklab_to_lab,
    to_polar,
)

BACK_SIDE = 49  # nodes an axis
_ROUNDS = 8
_HIT = 0.7  # CIEDE2000: what comes so near can be printed
_FAR = 3.0  # CIEDE2000: what the gamut moves so far cannot be printed, and is not tried
_TRUE = 0.1  # CIEDE2000: a node that prints so near is right as it is
_ALIKE = 2.0  # CIELAB: in so wide a cube of prints the least vivid RGB is a start
_STARTS = 12  # how many are compared
_VIVID = 60.0  # CIELAB: what the whole way from grey costs a start
_PULL = 4.0  # CIELAB for the whole way from 0 to 1, towards the start
_DARK = 12.0  # L* over black
_SETTLING = 30  # rounds
_SAMPLES = 61  # of the printer's own colours, an axis of RGB
_CALM = 2000.0  # damping, CIELAB squared, where colours hardly differ from one RGB to the next
_MOVE = 0.05  # of RGB, the farthest in a round
_UNDER = -0.015  # RGB of the printed black: 0 still where a reader finds black a little lighter
_SLOW = 0.3  # of a sample: a node that hardly any sample asks for stays where it was


class Backward:
    """What to send for colours relative to paper and black."""

    def __init__(self, gamut: Gamut, printed: Floats) -> None:
        """Take the bound and the (SIDE ** 3, 3) colours printed at ``cube_nodes``."""
        from scipy.spatial import KDTree

        self._gamut = gamut
        self._forward = printed.reshape(SIDE, SIDE, SIDE, 3)
        own = cube_nodes()
        calm_first = np.argsort(_vividness(own), kind="stable")
        alike = np.floor(printed[calm_first] / _ALIKE)
        kept = calm_first[np.unique(alike, axis=0, return_index=True)[1]]
        self._sent_at_starts, self._starts = own[kept], KDTree(printed[kept])

    def printed(self, rgb: Floats) -> Floats:
        """Return what is printed for (n, 3) RGB, where below 0 is 0 and over 1 is 1."""
        return corners(rgb, SIDE).read(self._forward)

    def table(self, black_l: float) -> tuple[LabNodes, Floats]:
        """Return nodes and RGB of a table from colours whose black is as light as ``black_l``."""
        nodes = lab_nodes(BACK_SIDE, black_l)
        asked = beside_black(nodes, black_l)
        rgb = self.sent(asked)
        right = de2000(self.printed(rgb), asked) < _TRUE
        right |= self._ends(nodes, black_l, rgb)
        self._settle(nodes, black_l, rgb, right)
        return nodes, rgb.reshape([nodes.side] * 3 + [3])

    def sent(self, lab: Floats) -> Floats:
        """Return the RGB, (n, 3) 0 to 1, to send for colours relative to paper and black."""
        mapped = oklab_to_lab(from_polar(clip(self._gamut, to_polar(lab_to_oklab(lab)))))
        # in the dark a colour's own hue is not worth the light that it would take
        dark = np.clip(1.0 - lab[:, :1] / _DARK, 0.0, 1.0)
        out = (de2000(mapped, lab) > _FAR) & (dark[:, 0] == 0.0)
        rgb = np.zeros_like(lab)
        rgb[~out] = self._solved(lab[~out])
        out[~out] = de2000(self.printed(rgb[~out]), lab[~out]) > _HIT
        rgb[out] = dark[out] * rgb[out] + (1.0 - dark[out]) * self._solved(mapped[out])
        grey = (np.abs(lab[:, 1:]) < 1e-9).all(axis=1)
        rgb[grey & (lab[:, 0] >= 100.0)] = 1.0
        rgb[grey & (lab[:, 0] <= 0.0)] = 0.0
        return rgb

    def _ends(self, nodes: LabNodes, black_l: float, rgb: Floats) -> Mask:
        """Set the nodes about paper to 1, and those about the printed black under 0; return which.

        About a grey as deep as that black too. Drivers print a text's black best where they are
        sent 0 for it.
        """
        black = with_black(self._forward[0, 0, :1], black_l)
        ends = np.concatenate([black, black * [1.0, 0.0, 0.0], [[100.0, 0.0, 0.0]]])
        about = corners(nodes.places(ends), nodes.side)
        own = np.zeros(len(rgb), dtype=np.bool_)
        for at, shares, value in zip(about.nodes, about.shares, (_UNDER, _UNDER, 1.0), strict=True):
            own[at[shares > 1e-9]] = True
            rgb[at[shares > 1e-9]] = value
        return own

    def _settle(self, nodes: LabNodes, black_l: float, rgb: Floats, right: Mask) -> None:
        """Move the nodes that are not right, until the printer's own colours between them are."""
        steps = np.linspace(0.0, 1.0, _SAMPLES)
        own = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(-1, 3)
        printed = self.printed(own)
        about = corners(nodes.places(with_black(printed, black_l)), nodes.side)
        amiss = (~right[about.nodes] & (about.shares > 0.0)).any(axis=1)
        about = Corners(about.nodes[amiss], about.shares[amiss], about.axes[amiss])
        at, count = about.nodes.ravel(), len(rgb)
        weight = _SLOW + np.bincount(at, about.shares.ravel(), count)
        weight[right] = np.inf
        table = rgb.reshape([nodes.side] * 3 + [3])
        for _ in range(_SETTLING):
            move = self._step(about.read(table), printed[amiss], _CALM).clip(-_MOVE, _MOVE)
            for i in range(3):
                asked = np.bincount(at, (about.shares * move[:, i, None]).ravel(), count)
                rgb[:, i] = (rgb[:, i] + asked / weight).clip(-BEYOND, 1.0 + BEYOND)

    def _solved(self, wanted: Floats) -> Floats:
        """Return the RGB whose print comes nearest, in CIELAB, and of several the least vivid."""
        rgb = self._from_start(wanted, _VIVID)
        off = de2000(self.printed(rgb), wanted)
        # a start that is too pale may lie behind a bend: then the nearest is the better one
        again = np.flatnonzero(off > _HIT)
        nearest = self._from_start(wanted[again], 0.0)
        better = de2000(self.printed(nearest), wanted[again]) < off[again] - _HIT
        rgb[again[better]] = nearest[better]
        return rgb

    def _from_start(self, wanted: Floats, vivid: float) -> Floats:
        """Return RGB found from a start near in print, for which ``vivid`` is what colour costs."""
        off, which = self._starts.query(wanted, _STARTS)
        near = self._sent_at_starts[which]
        cost = off + vivid * _vividness(near)
        start: Floats = near[np.arange(len(near)), cost.argmin(axis=1)]
        rgb, damping = start.copy(), np.ones((len(wanted), 1))
        least = self._cost(rgb, wanted, start)
        for _ in range(_ROUNDS):
            step = self._step(rgb, wanted, damping, _PULL**2, start)
            trial = np.clip(rgb + step, 0.0, 1.0)
            new = self._cost(trial, wanted, start)
            better = new < least
            rgb[better], least[better] = trial[better], new[better]
            damping *= np.where(better, 0.3, 4.0)[:, None]
        return rgb

    def _cost(self, rgb: Floats, wanted: Floats, start: Floats) -> Floats:
        off = ((self.printed(rgb) - wanted) ** 2).sum(axis=1)
        cost: Floats = off + _PULL**2 * ((rgb - start) ** 2).sum(axis=1)
        return cost

    def _step(
        self,
        rgb: Floats,
        wanted: Floats,
        damping: Floats | float,
        pull: float = 0.0,
        towards: Floats | float = 0.0,
    ) -> Floats:
        """Return a damped step; a channel at an end, or beyond, goes no farther out."""
        about = corners(rgb, SIDE)
        slopes = about.slopes(self._forward)
        off = wanted - about.read(self._forward)
        uphill = np.einsum("nji,nj->ni", slopes, off) + pull * (towards - rgb)
        held = ((rgb <= 0.0) & (uphill < 0.0)) | ((rgb >= 1.0) & (uphill > 0.0))
        normal = slopes.transpose(0, 2, 1) @ slopes
        normal[:, range(3), range(3)] += pull + damping
        free = ~held
        normal = np.where(free[:, :, None] & free[:, None, :], normal, np.eye(3))
        step: Floats = np.linalg.solve(normal, (uphill * free)[..., None])[..., 0]
        return step


def beside_black(nodes: LabNodes, black_l: float) -> Floats:
    """Return the colours of nodes beside paper and black, (n, 3); deeper ones are black."""
    beside = without_black(nodes.colours(), black_l)
    beside[:, 0] = np.maximum(beside[:, 0], 0.0)
    return beside


def _vividness(rgb: Floats) -> Floats:
    """Return how far RGB, (..., 3), are from grey, 0 to 1."""
    far: Floats = rgb.max(axis=-1) - rgb.min(axis=-1)
    return far
