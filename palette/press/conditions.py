"""The two ways of printing that kitloom knows without being shown a profile: glossy and matt.

Each is a public Fogra characterisation data set, kept as its sixteen primaries (CIELAB, D50,
2 degrees, white backing, straight from the data) and the twenty-four figures that
``tools/fit_press.py`` fitted to its 1,617 patches:

- glossy: FOGRA39L, ISO 12647-2:2004/Amd 1, paper type 1 and 2, coated 115 g/m2;
- matt: FOGRA47L (March 2009), ISO 12647-2:2004/Amd 1, paper type 4, uncoated white 115 g/m2.

Mean and 95 % CIEDE2000 over all patches: 0.46 and 0.86 glossy, 0.57 and 1.30 matt.

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

# gain: one row an ink (C, M, Y, K), one column for each of X, Y, Z;
# over: the ink of the row adds to the gain of the ink of the column
GLOSSY = PrintCondition(
    name="FOGRA39L",
    primaries_lab=np.array(_FOGRA39L),
    n=1.6295,
    gain=np.array(
        [
            [0.0506, 0.0504, 0.015],
            [0.0846, 0.0688, 0.0152],
            [0.0895, 0.0339, 0.0354],
            [0.0343, 0.0343, 0.0343],
        ]
    ),
    over=np.array(
        [
            [0.0, -0.0156, 0.0452, -0.0124],
            [-0.003, 0.0, -0.0201, 0.0126],
            [-0.0062, 0.0264, 0.0, 0.0099],
            [-0.0205, -0.0514, -0.0228, 0.0],
        ]
    ),
    skew=-0.1739,
    ink_limit=3.3,
)

MATT = PrintCondition(
    name="FOGRA47L",
    primaries_lab=np.array(_FOGRA47L),
    n=2.1836,
    gain=np.array(
        [
            [0.0781, 0.0683, 0.0449],
            [0.1276, 0.1095, 0.0432],
            [0.0574, -0.0026, 0.0766],
            [0.0785, 0.0785, 0.0785],
        ]
    ),
    over=np.array(
        [
            [0.0, -0.0338, 0.0387, -0.0341],
            [-0.0053, 0.0, -0.0278, 0.0097],
            [0.0219, 0.005, 0.0, 0.0395],
            [-0.0931, -0.1017, -0.0267, 0.0],
        ]
    ),
    skew=-0.0327,
    ink_limit=3.0,
)
