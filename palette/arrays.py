"""What kind of array goes in or out? One name for each element type.

The names say what an element is, docstrings say the shape. Shapes are written as numpy writes them,
slowest axis first: (height, width, 3) is a picture, (..., 3) any number of colours. Unless said
otherwise:

* pictures have row 0 at the top and column 0 on the left; pixels are (height, width, 3) sRGB;
* colours have their three values along the last axis: sRGB, linear light, XYZ, or CIELAB under D50,
  in its own units (L* 0 to 100);
* a name ends with its unit: ``_mm`` millimetres, ``_px`` pixels, ``_pt`` points, ``_de`` a colour
  difference, ``_l`` lightness; a share is 0 to 1.

Arrays that are kept or handed to more than one caller are read-only. Not done here: checks.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]  # where a large picture is measured: half the memory and time
Pixels = NDArray[np.uint8]  # sRGB, 0 to 255
Mask = NDArray[np.bool_]
Indices = NDArray[np.intp]  # rows, columns or items of another array
