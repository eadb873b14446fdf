"""What a colour is: CIELAB, differences, palettes, contrast, and what a press makes of them."""
