"""The two ways of printing that kitloom knows without being shown a profile: glossy and matt.

Each is a public Fogra characterisation data set, kept as its sixteen primaries (CIELAB, D50,
2 degrees, white backing, straight from the data) and the seventeen figures that
``tools/fit_press.py`` fitted to its 1,617 patches:

- glossy: FOGRA39L, ISO 12647-2:2004/Amd 1, paper type 1 and 2, coated 115 g/m2;
- matt: FOGRA47L (March 2009), ISO 12647-2:2004/Amd 1, paper type 4, uncoated white 115 g/m2.

Mean and 95 % CIEDE2000 over all patches: 0.58 and 1.15 glossy, 0.79 and 1.65 matt.

Ink limits: 330 % coated and 300 % uncoated, common practice for sheet-fed offset, no published
source; they set how deep the deepest neutral is, within half a unit of L*.

They are offset presses, not inkjets: no public data of an inkjet on sticker paper is known to us.
"""

from __future__ import annotations

import numpy as np

from palette.press.neugebauer import PrintCondition

# rows: paper, C, M, CM, Y, CY, MY, CMY, then the same with black
_FOGRA39L = [
    [95.0, 0.0, -2.0],
    [55.0, -37.0, -50.0],
    [48.0, 74.0, -3.0],
    [24.0, 22.0, -46.0],
    [89.0, -5.0, 93.0],
    [50.0, -65.0, 27.0],
    [47.0, 68.0, 48.0],
    [23.0, 0.0, 0.0],
    [16.0, 0.0, 0.0],
    [10.41, -8.2, -10.25],
    [10.42, 13.93, 1.35],
    [7.88, 5.79, -5.94],
    [15.71, -3.08, 11.68],
    [11.32, -12.88, 3.56],
    [11.33, 8.61, 7.28],
    [8.71, -0.07, 2.06],
]
_FOGRA47L = [
    [95.0, 0.0, -2.0],
    [60.0, -26.0, -44.0],
    [56.0, 61.0, -1.0],
    [38.0, 8.0, -31.0],
    [89.0, -4.0, 78.0],
    [54.0, -44.0, 14.0],
    [54.0, 55.0, 26.0],
    [33.0, 0.0, 0.0],
    [31.0, 1.0, 1.0],
    [28.22, 0.13, -4.89],
    [29.63, 6.92, 5.51],
    [25.1, 2.89, -0.01],
    [29.59, -4.4, 2.21],
    [28.55, -5.37, -4.43],
    [29.07, 0.91, -0.53],
    [23.46, 2.45, 1.59],
]

GLOSSY = PrintCondition(
    name="FOGRA39L",
    primaries_lab=np.array(_FOGRA39L),
    n=1.6422,
    # one row an ink (C, M, Y, K), one column for each of X, Y, Z
    gain=np.array(
        [
            [0.0442, 0.0444, 0.0423],
            [0.0709, 0.0621, -0.0024],
            [0.1413, 0.117, 0.052],
            [0.0331, 0.0313, 0.0295],
        ]
    ),
    skew=np.array([-0.1304, -0.2665, -0.1768, -0.0815]),
    ink_limit=3.3,
)

MATT = PrintCondition(
    name="FOGRA47L",
    primaries_lab=np.array(_FOGRA47L),
    n=2.7181,
    gain=np.array(
        [
            [0.063, 0.0567, 0.0828],
            [0.1151, 0.0883, 0.0182],
            [0.0792, 0.0199, 0.0676],
            [0.052, 0.0499, 0.0535],
        ]
    ),
    skew=np.array([-0.0048, -0.0251, -0.1147, -0.091]),
    ink_limit=3.0,
)
