"""What would my own printer make of my colours? A press from a measured chart.

In and out: CIELAB (D50), (n, 3), relative to the paper's white and with black point compensation,
like every press. A home printer takes RGB and converts it by itself: so what will be on paper
for a colour is what the printer was measured to print when sent that very RGB, driver and all.

``open_chart`` opens the file that ``chart_file`` describes. Not done here: reading a chart
(``palette.scan``, ``palette.chart.measurement``); colours outside sRGB, which no artwork holds.
"""

from __future__ import annotations

from functools import cached_property
from pathlib import Path

import numpy as np

from palette.arrays import Floats
from palette.press.builtin import builtin_press
from palette.press.chart_file import ChartRecord, read_record
from palette.press.chart_fit import ChartFit, fit_chart
from palette.press.cube import SIDE, cube_nodes, look_up
from palette.press.gamut import Gamut, gamut_of
from palette.press.mapping import HUE_KEEPING, clip
from palette.press.nearest import nearest_of_all
from palette.press.protocol import AS_SEEN
from palette.space import (
    D50,
    de2000,
    from_polar,
    lab_to_oklab,
    lab_to_srgb,
    lab_to_xyz,
    oklab_to_lab,
    srgb_to_lab,
    to_polar,
    xyz_to_lab,
)

LIMITS = {
    "instrument": "Measured on your printer: patches left out of the fit are missed by {mean:.1f} "
    "on average and by up to {p95:.1f} for 95% of them (CIEDE2000); other paper, ink or driver "
    "settings print otherwise.",
    "trusted": "Read by a scanner that says what it sees: patches left out of the fit are missed "
    "by {mean:.1f} on average (CIEDE2000), and the scanner's own error comes on top. Other paper, "
    "ink or driver settings print otherwise.",
    "fitted": "Read by a scanner of which nothing is known: patches left out of the fit are missed "
    "by {mean:.1f} on average (CIEDE2000), but a tone, tint or vividness of the whole print cannot "
    "be told from the scanner's own. Trust which colours merge more than the figures.",
    "doubtful": "Read by a scanner that could not be told apart from the printer: figures may "
    "hold or be off by 5 and more (CIEDE2000). Trust which colours merge, and no more.",
}


def black_of(record: ChartRecord) -> float:
    """Return L* of a printer's black beside its paper's 100.

    Where the record does not tell it, as from a scan, it is the likelier built-in press's.
    """
    if record.black_l is not None:
        return record.black_l
    paper, black = record.paper_lab, record.black_lab
    if paper is None or black is None:
        return builtin_press(record.choice.like).black_l
    depth = lab_to_xyz(np.array(black))[1] / lab_to_xyz(np.array(paper))[1]
    return float(xyz_to_lab(depth * D50)[0])


class ChartPress:
    """A ``Press`` from one printer's chart."""

    def __init__(self, record: ChartRecord, name: str) -> None:
        self.record = record
        self.name = f"{name}, measured by {record.source}"
        scanned = "trusted" if record.trusted else record.scanner or "fitted"
        self.limits = LIMITS["instrument" if record.source == "instrument" else scanned].format(
            mean=record.error.mean_de2000, p95=record.error.p95_de2000
        )
        self.fit: ChartFit = fit_chart(record.rgb, record.lab, record.choice)

    @cached_property
    def black_l(self) -> float:
        """L* of its black beside the paper's 100; where unknown the likelier built-in press's."""
        return black_of(self.record)

    @cached_property
    def gamut(self) -> Gamut:
        """All that this printer can be made to print."""
        return gamut_of(lambda rgb: lab_to_oklab(self.fit.predict(rgb)), channels=3)

    @cached_property
    def _table(self) -> Floats:
        """What is printed at the nodes of sRGB, for searches over many colours."""
        return self.fit.predict(cube_nodes()).reshape(SIDE, SIDE, SIDE, 3)

    def to_print(self, lab: Floats) -> Floats:
        """Return the colours that would be on paper for the colours asked for."""
        return self.fit.predict(lab_to_srgb(np.asarray(lab, dtype=np.float64).reshape(-1, 3)))

    def shift(self, lab: Floats) -> Floats:
        """Return, shape (n,), how far in CIEDE2000 each colour moves by printing."""
        values = np.asarray(lab, dtype=np.float64).reshape(-1, 3)
        return de2000(values, self.to_print(values))

    def nearest(self, lab: Floats) -> Floats:
        """Return the nearest colours of all that print as they are seen."""
        return nearest_of_all(self.gamut, self.to_print, lab)

    def nearest_of_hue(self, lab: Floats) -> Floats:
        """Return the nearest colours that print as they are seen and keep their hue.

        Where the driver shifts every colour of a hue, the one that shifts least.
        """
        values = np.asarray(lab, dtype=np.float64).reshape(-1, 3)
        result = values.copy()
        moves = self.shift(values) > AS_SEEN
        for first in range(0, int(moves.sum()), 2_000):
            rows = np.flatnonzero(moves)[first : first + 2_000]
            result[rows] = self._in_hue(values[rows])
        return result

    def _in_hue(self, request: Floats) -> Floats:
        """Try the printable colour of the same hue and paler, lighter and darker ones about it."""
        inside = clip(self.gamut, to_polar(lab_to_oklab(request)), HUE_KEEPING)
        paler, lighter = np.linspace(1.0, 0.0, 13), np.linspace(-8.0, 8.0, 5)
        candidates = np.repeat(inside[:, None, :], len(paler) * len(lighter), axis=1)
        candidates[..., 1] *= np.repeat(paler, len(lighter))
        candidates[..., 0] = np.clip(candidates[..., 0] + np.tile(lighter, len(paler)), 0.0, 100.0)
        # back through sRGB: only what a pixel can ask for is worth proposing
        seen = srgb_to_lab(lab_to_srgb(oklab_to_lab(from_polar(candidates))))
        shift = de2000(seen, self._look_up(seen.reshape(-1, 3)).reshape(seen.shape))
        cost = de2000(seen, request[:, None, :]) + 20.0 * np.maximum(shift - AS_SEEN, 0.0)
        best: Floats = seen[np.arange(len(seen)), np.argmin(cost, axis=1)]
        return best

    def _look_up(self, lab: Floats) -> Floats:
        """Return ``to_print`` by interpolation in the table."""
        return look_up(self._table, lab_to_srgb(lab))


def open_chart(path: Path) -> ChartPress:
    """Return the press of a printer's file.

    Raises:
        ProfileError: the file cannot be used.
    """
    return ChartPress(read_record(path), path.stem)
