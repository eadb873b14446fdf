"""What a sticker sheet is: recipe, sticker kinds, fills, layout, print and cut files.

Compose a kit from a recipe, and write its cut lines:

>>> from pathlib import Path
>>> from kit.compose.kit import Pattern, compose
>>> from kit.recipe import parse_recipe
>>> from kit.render.raster_page import render_page
>>> from kit.writers.table import WRITERS
>>> from palette.choose.choice import choose
>>> from palette.choose.histogram import bins_of
>>> from patterns.artwork.opening import open_artwork
>>> from patterns.plane.lattice import STRAIGHT
>>> from patterns.plane.periodic import Plane
>>> recipe = parse_recipe(
...     '''
...     [planner]
...     box = "40mm x 52mm"
...     [sheet]
...     paper = "A5"
...     dpi = 100
...     [[patterns]]
...     file = "samples/allotment/tiles/dots.png"
...     [[rows]]
...     sticker = "half box"
...     count = 4
...     ''',
...     Path("kit.toml"),
... )
>>> art = open_artwork(recipe.patterns[0].file)
>>> bins = bins_of(art.pixels)
>>> dots = Pattern("dots", Plane(art.pixels, 24.0, STRAIGHT), bins.weight @ bins.lab)
>>> kit = compose(recipe, [dots], choose({"dots": bins}, colours=4))
>>> [round(placed.box.width_mm) for placed in kit.sheets[0].placements]
[40, 40, 40, 40]
>>> cut = WRITERS["svg"].write(render_page(kit.sheets[0], kit.planes))
>>> cut.count(b'id="sticker-')
4

What others may rely on, by room:

- ``kit.recipe``: ``read_recipe``, ``parse_recipe``, ``Recipe``
- ``kit.recipe``: ``with_patterns``, ``with_box``, ``with_paper``
- ``kit.kinds``: ``KINDS``, ``Kind``
- ``kit.compose``: ``compose``, ``Kit``, ``Pattern``, ``read_lock``, ``lock_text``, ``Lock``
- ``kit.sheet``: ``Sheet``, ``Placement``
- ``kit.registration``: ``measure_tolerance``, ``Registration``, ``Tolerance``
- ``kit.card``: ``card_files``, ``card_sheet``
- ``kit.render``: ``Page``, ``render_page``, ``render_sheet``
- ``kit.writers``: ``WRITERS``, ``Writer``
- ``kit.recipe_error``: ``RecipeError``
"""
