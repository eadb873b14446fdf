"""How the sample artwork is drawn: shapes, a torus to stamp them on, motifs, and the tiles."""
