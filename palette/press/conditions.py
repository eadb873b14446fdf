"""The two ways of printing that kitloom knows without being shown a profile: glossy and matt.

Each is a public Fogra characterisation data set, kept as its sixteen primaries (CIELAB, D50,
2 degrees, white backing, straight from the data) and what ``tools/fit_press.py`` fitted to its
1,617 patches: the gains of the thirty-two ramps between them, a skew an ink and a Yule-Nielsen
factor, each as X, Y and Z see it:

- glossy: FOGRA39L, ISO 12647-2:2004/Amd 1, paper type 1 and 2, coated 115 g/m2;
- matt: FOGRA47L (March 2009), ISO 12647-2:2004/Amd 1, paper type 4, uncoated white 115 g/m2.

Mean and 95 % CIEDE2000 over all patches: 0.20 and 0.37 glossy, 0.25 and 0.58 matt.

Ink limits: 330 % coated and 300 % uncoated, common practice for sheet-fed offset, no published
source; they set how deep black is, within half a unit of L*.

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

# n: X, Y, Z. skew: rows C, M, Y, K by X, Y, Z. gain: for each ink X, Y and Z in turn, on the
# primaries of the other three inks in their order, the first changing fastest: for cyan paper, M,
# Y, MY and the same with black
GLOSSY = PrintCondition(
    name="FOGRA39L",
    primaries_lab=np.array(_FOGRA39L),
    n=np.array([1.5548, 1.4845, 1.4357]),
    gain=np.array(
        [
            [  # cyan
                [0.0426, 0.0698, 0.0518, 0.062, -0.0051, 0.0491, 0.0313, 0.0732],
                [0.0402, 0.0778, 0.0579, 0.0873, -0.0022, 0.0577, 0.0085, 0.11],
                [-0.0698, -0.0278, 0.0243, -0.0338, -0.1466, 0.0999, -0.0893, 0.0808],
            ],
            [  # magenta
                [0.0716, 0.0589, 0.1055, 0.077, 0.0186, 0.0403, 0.0179, 0.047],
                [0.0753, 0.0557, 0.0969, 0.0656, 0.0128, 0.0477, 0.0292, 0.0682],
                [0.0158, 0.0435, 0.0353, 0.026, -0.0379, -0.0026, -0.0092, -0.0584],
            ],
            [  # yellow
                [0.1447, 0.179, 0.0429, 0.0661, 0.0146, 0.1764, 0.064, 0.1352],
                [0.124, 0.1591, -0.03, -0.0122, -0.0308, 0.1491, 0.0769, 0.1769],
                [0.0693, 0.098, 0.062, 0.0579, 0.0143, 0.0944, 0.0483, 0.0505],
            ],
            [  # black
                [0.0482, 0.0526, 0.0584, 0.0333, 0.0673, 0.0256, 0.0714, 0.0179],
                [0.0599, 0.0555, 0.0682, 0.0323, 0.0749, 0.047, 0.0782, 0.0098],
                [0.0673, 0.0794, 0.0605, 0.0547, 0.07, 0.0379, 0.0675, 0.0681],
            ],
        ]
    ),
    skew=np.array(
        [
            [-0.1712, -0.1716, -0.1683],
            [-0.238, -0.2322, -0.2461],
            [-0.1537, -0.2363, -0.1815],
            [-0.0691, -0.0766, -0.0897],
        ]
    ),
    ink_limit=3.3,
)

MATT = PrintCondition(
    name="FOGRA47L",
    primaries_lab=np.array(_FOGRA47L),
    n=np.array([2.1261, 2.2137, 1.9622]),
    gain=np.array(
        [
            [  # cyan
                [0.0869, 0.0881, 0.1006, 0.1013, -0.0247, 0.0298, 0.1366, 0.0962],
                [0.0718, 0.0866, 0.0927, 0.0946, -0.0278, 0.0034, 0.0867, 0.0588],
                [0.0547, 0.0224, 0.1168, -0.0118, 0.0009, 0.2743, -0.1143, 0.0676],
            ],
            [  # magenta
                [0.1384, 0.0211, 0.1822, -0.0034, 0.0867, -0.0049, 0.0498, 0.0067],
                [0.1089, 0.0394, 0.1405, 0.0139, 0.0541, 0.0363, 0.0356, -0.016],
                [0.0441, 0.0368, 0.0639, -0.119, 0.0073, -0.0624, 0.116, -0.0561],
            ],
            [  # yellow
                [0.0802, 0.1732, 0.1402, 0.025, -0.0556, 0.0108, -0.0574, -0.1642],
                [0.0124, 0.1363, 0.1806, -0.0544, -0.0551, -0.0269, -0.1002, -0.289],
                [0.0844, 0.1456, 0.1408, 0.0733, -0.0309, 0.1735, -0.1008, 0.0944],
            ],
            [  # black
                [0.0748, 0.0668, 0.0799, 0.02, 0.1307, 0.0005, 0.1289, 0.007],
                [0.0688, 0.0526, 0.0637, 0.0165, 0.1207, 0.0365, 0.1223, 0.0113],
                [0.0882, 0.0907, 0.0385, 0.0539, 0.157, 0.0275, 0.1742, 0.011],
            ],
        ]
    ),
    skew=np.array(
        [
            [-0.0525, -0.0616, -0.1024],
            [-0.0161, -0.0149, 0.04],
            [-0.1483, -0.2478, -0.126],
            [-0.0316, -0.0372, -0.0472],
        ]
    ),
    ink_limit=3.0,
)
