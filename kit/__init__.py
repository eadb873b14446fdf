"""What a sticker sheet is: recipe, sticker kinds, fills, layout, print and cut files."""
