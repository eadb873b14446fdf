"""What a tile is: opening artwork, seams, repeats, the periodic plane and exact sampling.

Open a file, see whether its joins show, and look into the plane that it makes without end:

>>> from pathlib import Path
>>> from patterns.artwork.opening import open_artwork
>>> from patterns.plane.lattice import STRAIGHT
>>> from patterns.plane.periodic import Plane
>>> from patterns.seams.check import check_seams
>>> art = open_artwork(Path("samples/allotment/tiles/pods.png"))
>>> check = check_seams(art.pixels, STRAIGHT)
>>> check.seamless, check.x.verdict, check.y.verdict
(True, 'seamless', 'seamless')
>>> plane = Plane(art.pixels, repeat_mm=40.64, lattice=STRAIGHT)
>>> round(plane.effective_dpi, 1)
937.5
>>> plane.sample(x_mm=5.0, y_mm=12.0, width_mm=40.0, height_mm=26.0, dpi=300.0).shape
(307, 472, 3)

What others may rely on, by room:

- ``patterns.artwork``: ``open_artwork``, ``Artwork``, ``digest``
- ``patterns.plane``: ``Plane``, ``Lattice``, ``parse_lattice``
- ``patterns.plane``: ``STRAIGHT``, ``HALF_DROP``, ``HALF_BRICK``
- ``patterns.plane``: ``rescale``, ``reduce_to``, ``reduce_by``, ``reduce_blocks``
- ``patterns.seams``: ``check_seams``, ``SeamCheck``, ``AxisCheck``, ``Fault``
- ``patterns.repeats``: ``find_repeat``, ``find_lattice``, ``Repeat``
- ``patterns.mend``: ``mend``, ``MendResult``, ``MendStep``
- ``patterns.coordinates``: ``Coordinate``, ``draw_figure``, ``COORDINATE_KINDS``, ``parse_sett``
- ``patterns.lift``: ``lift_motifs``, ``Lift``, ``Motif``
- ``patterns.motifs``: ``auto_repeat``, ``AutoRepeat``
- ``patterns.lab32``: ``lab32``, ``de76``
- ``patterns.autocorrelation``: ``autocorrelate``
- ``patterns.units``: ``parse_length``, ``parse_size``
- ``patterns.artwork_error``: ``ArtworkError``
"""
