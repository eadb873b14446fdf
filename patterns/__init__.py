"""What a tile is: opening artwork, seams, repeats, the periodic plane and exact sampling."""
