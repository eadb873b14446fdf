"""What a colour is: CIELAB, differences, palettes, contrast, and what a press makes of them.

Choose the colours of a tile and ask what printing does to them:

>>> import numpy as np
>>> from palette.choose.choice import choose
>>> from palette.choose.histogram import bins_of
>>> from palette.press.register import open_press
>>> from palette.proof.assess import assess_colours
>>> tile = np.zeros((60, 60, 3), np.uint8)
>>> tile[:, :40], tile[:, 40:] = (93, 138, 85), (255, 43, 214)
>>> palette = choose({"two colours": bins_of(tile)}, colours=2)
>>> [swatch.hex for swatch in palette.swatches]
['#5d8a55', '#ff2bd6']
>>> [colour.grade for colour in assess_colours(palette.labs, open_press("glossy"))]
['as seen', 'will shift']

What others may rely on, by room:

- ``palette.arrays``: ``Floats``, ``Floats32``, ``Pixels``, ``Mask``, ``Indices``
- ``palette.space``: ``srgb_to_lab``, ``lab_to_srgb8``, ``hex_to_lab``, ``hex_of``, ``parse_hex``
- ``palette.space``: ``de2000``, ``de2000_table``, ``ratio``, ``contrast_with_pens``
- ``palette.choose``: ``choose``, ``bins_of``, ``ColourBins``, ``pool_bins``
- ``palette.choose``: ``recolour``, ``match_palettes``, ``Palette``, ``Swatch``, ``Role``
- ``palette.pairs``: ``pairs``, ``Pair``, ``lost_pairs``
- ``palette.press``: ``open_press``, ``Press``, ``InkPress``
- ``palette.surfaces``: ``SURFACES``, ``DEFAULT_SURFACE``
- ``palette.proof``: ``assess_colours``, ``assess_fill``, ``proof_pixels``, ``repair_pixels``
- ``palette.exchange``: ``FORMATS``, ``read_colours``, ``NamedColour``
- ``palette.errors``: ``KitloomError``, ``PaletteError``, ``ProfileError``
"""
