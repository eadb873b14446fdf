"""A measured printer as an ICC profile, for programs that convert colours.

In: a ``ChartRecord``. Out: the profile's bytes. Forward, RGB to CIELAB, the tables hold the fit's
own answers. Backward, for a colour that can be printed, they hold the RGB that prints it, found by
damped least squares (Levenberg 1944, Marquardt 1963) in the forward table, with a slight pull
towards the RGB asked for, which decides where many print alike. A colour that cannot be printed is
first moved to the one that ``palette.press.mapping`` would take for it; the darker it is, the more
the print that is nearest in CIELAB is taken instead. The colorimetric tables are relative to the
paper; those of the other intents scale black to black besides (ISO 18619:2015), because many
programs print by them without compensation.

A chart is read as the printer was sent it, driver and all: so is this profile. What is converted
through it has to be sent in the very same way.
"""

from __future__ import annotations

from itertools import product

import numpy as np

from palette.arrays import Floats
from palette.press.chart_file import ChartRecord
from palette.press.chart_press import ChartPress
from palette.press.cube import SIDE, cube_nodes
from palette.press.icc import IccPress, profile_press
from palette.press.icc_bytes import BEYOND, REACH, PrinterTables, lab_nodes, profile_bytes
from palette.press.mapping import clip
from palette.press.neugebauer import with_black, without_black
from palette.space import (
    D50,
    de2000,
    from_polar,
    lab_to_oklab,
    lab_to_srgb,
    lab_to_xyz,
    oklab_to_lab,
    to_polar,
)

BACK_SIDE = 41  # of the tables from CIELAB: with 33 there and back is up to a quarter farther off
GAMUT_SIDE = 17
OUT_DE2000 = 3.0  # as everywhere: a colour that moves by so much is not printed as asked
_ROUNDS = 8
_HIT = 0.7  # CIEDE2000: what comes so near can be printed
_PULL = 5.0  # CIELAB for the whole way from 0 to 1
_DARK = 12.0  # L* over black
_STEP = 0.01  # of RGB, for slopes


def printer_profile(record: ChartRecord, name: str) -> bytes:
    """Return the profile of a measured printer; ``name`` is what programs will call it."""
    return _profile(ChartPress(record, name), name)


def converted_press(measured: ChartPress, where: str) -> IccPress:
    """Return the press of a print that is drawn through a measured printer's profile.

    Args:
        measured: the printer as it prints what is sent to it.
        where: its file, for errors.
    """
    press = profile_press(_profile(measured, measured.name), where, "relative", bpc=True)
    press.name = f"{measured.name}, the print drawn through it"
    press.limits = measured.limits
    return press


def _profile(press: ChartPress, name: str) -> bytes:
    printed = press.fit.predict(cube_nodes())
    printed[0, 0], printed[-1] = 0.0, (100.0, 0.0, 0.0)  # plain paper is never tinted
    forward = with_black(printed, press.black_l)
    back = _Back(press, printed)
    nodes = lab_nodes(BACK_SIDE)
    cube = (BACK_SIDE, BACK_SIDE, BACK_SIDE, 3)
    scaled = back.sent(nodes).reshape(cube)
    # colorimetric tables are asked for colours beside the paper, whose black is a dark grey
    relative = back.sent(_without_black(nodes, press.black_l)).reshape(cube)
    _hold_black(relative, forward[0])
    asked = _without_black(lab_nodes(GAMUT_SIDE), press.black_l)
    moved = de2000(asked, back.printed(back.sent(asked)))
    paper = press.record.paper_lab
    tables = PrinterTables(
        printed=forward.reshape(SIDE, SIDE, SIDE, 3),
        sent={"B2A0": scaled, "B2A1": relative, "B2A2": scaled},
        outside=(moved > OUT_DE2000).astype(np.float64).reshape([GAMUT_SIDE] * 3),
        paper_xyz=lab_to_xyz(np.array(paper)) if paper else D50,
    )
    return profile_bytes(tables, name)


def _hold_black(sent: Floats, black: Floats) -> None:
    """Let a colorimetric table give RGB 0 for the printed black and for the grey as deep as it.

    Both lie between nodes, and the nodes below them stand for no colour: so those are set so far
    under 0 that black comes out as 0. Drivers print a text's black best where it is sent as that.

    Args:
        sent: (n, n, n, 3) for ``lab_nodes(n)``; changed.
        black: CIELAB of RGB 0, relative to the paper.
    """
    middle, last = len(sent) // 2, len(sent) - 1
    place = black[0] / 100.0 * last
    below = int(place)
    share = place - below
    columns = [{middle, int(at), int(at) + 1} for at in middle * (1.0 + black[1:] / REACH)]
    for across, along in product(*columns):
        column = sent[:, across, along]
        highest = BEYOND * (1.0 - share) / max(share, 1e-9)
        column[below + 1] = np.minimum(column[below + 1], highest)
        column[: below + 1] = -column[below + 1] * share / (1.0 - share)


def _without_black(lab: Floats, black_l: float) -> Floats:
    """Return colours beside the paper as colours beside paper and black; deeper ones are black."""
    own = without_black(lab, black_l)
    own[:, 0] = np.maximum(own[:, 0], 0.0)
    return own


class _Back:
    """What to send for a colour: the forward table, searched backwards."""

    def __init__(self, press: ChartPress, printed: Floats) -> None:
        self._gamut = press.gamut
        self._table = printed.reshape(SIDE, SIDE, SIDE, 3)

    def printed(self, rgb: Floats) -> Floats:
        """Return what the table prints for (n, 3) RGB 0 to 1, between nodes linear."""
        from scipy.ndimage import map_coordinates

        at = rgb.T * (SIDE - 1)
        bands = [map_coordinates(self._table[..., i], at, order=1) for i in range(3)]
        return np.stack(bands, axis=1)

    def sent(self, lab: Floats) -> Floats:
        """Return the RGB, (n, 3) 0 to 1, to send for colours relative to paper and black."""
        rgb = self._solved(lab)
        out = np.flatnonzero(de2000(self.printed(rgb), lab) > _HIT)
        polar = to_polar(lab_to_oklab(lab[out]))
        mapped = self._solved(oklab_to_lab(from_polar(clip(self._gamut, polar))))
        # in the dark a colour's own hue is not worth the light that it would take
        dark = np.clip(1.0 - lab[out, :1] / _DARK, 0.0, 1.0)
        rgb[out] = dark * rgb[out] + (1.0 - dark) * mapped
        grey = (np.abs(lab[:, 1:]) < 1e-9).all(axis=1)
        rgb[grey & (lab[:, 0] >= 100.0)] = 1.0
        rgb[grey & (lab[:, 0] <= 0.0)] = 0.0
        return rgb

    def _solved(self, wanted: Floats) -> Floats:
        """Return the RGB whose print comes nearest, in CIELAB."""
        asked = lab_to_srgb(wanted)
        rgb, damping = asked.copy(), np.full(len(wanted), 1.0)
        cost = self._cost(rgb, wanted, asked)
        for _ in range(_ROUNDS):
            trial = self._step(rgb, wanted, asked, damping)
            new = self._cost(trial, wanted, asked)
            better = new < cost
            rgb[better], cost[better] = trial[better], new[better]
            damping = np.where(better, damping * 0.3, damping * 4.0)
        return rgb

    def _cost(self, rgb: Floats, wanted: Floats, asked: Floats) -> Floats:
        off = ((self.printed(rgb) - wanted) ** 2).sum(axis=1)
        cost: Floats = off + _PULL**2 * ((rgb - asked) ** 2).sum(axis=1)
        return cost

    def _step(self, rgb: Floats, wanted: Floats, asked: Floats, damping: Floats) -> Floats:
        """Return a damped step; a channel at an end that would leave it stays there."""
        slopes = np.empty((len(rgb), 3, 3))
        for i in range(3):
            low, high = rgb.copy(), rgb.copy()
            low[:, i] = np.maximum(rgb[:, i] - _STEP, 0.0)
            high[:, i] = np.minimum(rgb[:, i] + _STEP, 1.0)
            rise = self.printed(high) - self.printed(low)
            slopes[:, :, i] = rise / (high[:, i] - low[:, i])[:, None]
        off = wanted - self.printed(rgb)
        uphill = np.einsum("nji,nj->ni", slopes, off) + _PULL**2 * (asked - rgb)
        held = ((rgb <= 0.0) & (uphill < 0.0)) | ((rgb >= 1.0) & (uphill > 0.0))
        normal = np.einsum("nji,njk->nik", slopes, slopes)
        normal += (_PULL**2 + damping[:, None, None]) * np.eye(3)
        free = ~held
        normal = np.where(free[:, :, None] & free[:, None, :], normal, np.eye(3))
        move = np.linalg.solve(normal, (uphill * free)[..., None])[..., 0]
        return np.clip(rgb + move, 0.0, 1.0)
