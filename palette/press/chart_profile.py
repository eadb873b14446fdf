"""A measured printer as an ICC profile, for programs that convert colours.

In: a ``ChartRecord``. Out: the profile's bytes. Forward, RGB to CIELAB, the tables hold the fit's
own answers; backward they hold what ``palette.press.backward`` finds in those. The colorimetric
tables are relative to the paper; those of the other intents scale black to black besides (ISO
18619:2015), because many programs print by them without compensation.

A chart is read as the printer was sent it, driver and all: so is this profile. What is converted
through it has to be sent in the very same way.
"""

from __future__ import annotations

import numpy as np

from palette.press.backward import Backward, beside_black
from palette.press.chart_file import ChartRecord
from palette.press.chart_press import ChartPress
from palette.press.cube import SIDE, cube_nodes
from palette.press.icc import IccPress, profile_press
from palette.press.icc_bytes import PrinterTables, lab_nodes, profile_bytes
from palette.press.neugebauer import with_black
from palette.space import D50, de2000, lab_to_xyz

GAMUT_SIDE = 17
OUT_DE2000 = 3.0  # as everywhere: a colour that moves by so much is not printed as asked


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
    back = Backward(press.gamut, printed)
    # colorimetric tables are asked for colours beside the paper, whose black is a dark grey
    relative, scaled = (back.table(black_l) for black_l in (press.black_l, 0.0))
    gamut_nodes = lab_nodes(GAMUT_SIDE, press.black_l)
    asked = beside_black(gamut_nodes, press.black_l)
    outside = de2000(asked, back.printed(back.sent(asked))) > OUT_DE2000
    paper = press.record.paper_lab
    tables = PrinterTables(
        printed=with_black(printed, press.black_l).reshape(SIDE, SIDE, SIDE, 3),
        sent={"B2A0": scaled, "B2A1": relative, "B2A2": scaled},
        outside=(gamut_nodes, outside.astype(np.float64).reshape([GAMUT_SIDE] * 3)),
        paper_xyz=lab_to_xyz(np.array(paper)) if paper else D50,
    )
    return profile_bytes(tables, name)
