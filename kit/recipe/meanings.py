"""What each key of a recipe means, in one sentence; the check fails for a key that is missing.

The one place for these words: the reference (``docs/recipe.md``) and the page's forms show them.
``LABELS`` says what the page calls a key whose own name is not a word for it.
"""

from __future__ import annotations

from collections.abc import Mapping

from palette.surfaces import surfaces_in_words
from patterns.coordinates import COORDINATE_KINDS as COORDINATES

TABLES: Mapping[str, str] = {
    "kit": "What the kit is called.",
    "planner": "The day box of your own planner. Every sticker's size follows from it.",
    "sheet": "The paper, and how exactly it is printed and cut.",
    "sheet.margin": "One length for all four edges, or a table of them.",
    "sheet.keep_out": "Bands along edges that must stay free, such as where rollers grip.",
    "sheet.registration": "How far the cut may land off the print. A length alone is the shift, "
    "with turn and scale 0. A [trial](print-and-cut.md#a-trial-first) measures it.",
    "cut": "Cuts through the backing, and settings for your cutter.",
    "press": "What the sheet is printed on: see [presses](presses.md).",
    "palette": "How many colours to choose, and which must be among them.",
    "letters": "The font of the words on stickers.",
    "fills": "How kitloom chooses the part of a pattern that a sticker shows.",
    "marks": "Printed marks of your own, for a machine that looks for them. None by default.",
    "patterns": "Your artwork, one table for each file.",
    "coordinates": "Patterns that kitloom draws in your colours, to go with the artwork: see "
    "[coordinates](coordinates.md).",
    "rows": "Some stickers of one kind, side by side. A row too wide for the sheet wraps.",
}

MEANINGS: Mapping[str, str] = {
    "kit.name": "The kit's name, shown in the report and on the swatch card.",
    "kit.format": "The format that the recipe is written in; left out, it is this one.",
    "planner.box": "Width and height of the day box, measured on your planner.",
    "sheet.paper": '"Letter", "A4", "A5", or a measure such as "8.5in x 11in".',
    "sheet.dpi": "Printer pixels per inch; 300 suits most inkjets.",
    "sheet.margin": "From each edge to the nearest cut: what printer or cutter cannot reach, and "
    "the bleed, which is printed past the cut.",
    "sheet.margin.top": "Along the top edge.",
    "sheet.margin.right": "Along the right edge.",
    "sheet.margin.bottom": "Along the bottom edge.",
    "sheet.margin.left": "Along the left edge.",
    "sheet.keep_out": "Bands inside the margins that must stay free.",
    "sheet.keep_out.edge": "The edge that the band runs along.",
    "sheet.keep_out.depth": "How deep the band is.",
    "sheet.gap": "From one cut line to the next.",
    "sheet.layout": '"rows" keeps the recipe\'s rows; "pack" saves paper and may turn stickers.',
    "sheet.top_up": "Kinds that fill what is left of the last sheet, in this order.",
    "sheet.top_up_held": "The colours chosen for these, a list for each kind. The page writes it.",
    "sheet.bleed": "How far the print runs past the cut line.",
    "sheet.registration": "How far the cut may land off the print.",
    "sheet.registration.shift": "How far the cut may be shifted, across and down.",
    "sheet.registration.turn": "How far it may be turned.",
    "sheet.registration.scale": 'How much larger or smaller it may be, such as "0.1%".',
    "sheet.held": "What stays in place when a cut is turned or stretched off the print: the "
    'sheet\'s "middle", the middle of your "marks", or the corner that you lay the sheet into, '
    'such as "top left". The farther from there, the more a cut misses.',
    "sheet.corner_radius": "The radius of a box's round corners.",
    "sheet.frame": "Print a thin frame a millimetre outside all stickers and their bleed, to align "
    "files by.",
    "sheet.ruler_reads": "What your own ruler reads along the printed rulers, across and down. "
    "One length alone is the ruler across, and counts for both. Over 3% off is refused.",
    "sheet.correct_scale": "Draw the PDFs to print larger or smaller so that the rulers come out "
    "right.",
    "cut.through": 'Where to cut the backing too: "groups" round each row, "sheet" once round '
    "all, or both.",
    "cut.hpgl_arcs": "Whether the machine understands arcs; if not, they are cut as short strokes.",
    "cut.overcut": "How far a cut runs past its start; only for a machine that adds no overcut "
    "itself.",
    "cut.blade_offset": "The blade's offset; only for a machine that does not correct it itself.",
    "cut.spot": "The name of the kiss cut's spot colour in PDF files, for a program that picks its "
    "tool by that name.",
    "cut.offset": "How far to move all cuts to the right and down (negative: left and up), to "
    "correct a steady miss of your cutter. A trial measures it. Page outline and marks stay in "
    "place.",
    "cut.turn": "How far to turn all cuts, clockwise, about the point that stays in place "
    "(sheet.held).",
    "press.surface": f"What it is printed on: {surfaces_in_words()}.",
    "press.profile": "Your printer's own ICC profile; it replaces surface.",
    "press.chart": "The file that a reading of your printer's chart wrote; it replaces surface and "
    "profile.",
    "press.intent": "With a profile: the rendering intent.",
    "press.black_point_compensation": "With a profile: whether its black point is compensated.",
    "press.convert": "Draw the print in your printer's own numbers, through its chart or RGB "
    "profile: see [your own printer](own-press.md).",
    "palette.colours": 'How many colours to choose, or "auto": as many as the artwork is worth, '
    "seldom more than ten.",
    "palette.pinned": 'Colours that must be in the palette, each "#hex" or a CSS name. They may '
    "be added to `from`.",
    "palette.without": 'Colours to leave out, along with those much like them, each "#hex" or a '
    "CSS name. From the palette of `from`, exactly these are left out.",
    "palette.from": "A palette file of an earlier season to use again.",
    "palette.tiles": "The patterns that give colours to the palette; if empty, all do.",
    "palette.allow": "Pairs of colours, by name or hex, that may look this alike.",
    "letters.font": "A font file of your own, TrueType or OpenType (.ttf, .otf), in any script; "
    "left out, it is Lato. Check what its licence allows.",
    "fills.variety": "A number from 0 (cuts run between motifs) to 1 (copies differ).",
    "marks.shape": "What is drawn.",
    "marks.at": "Its middle, from the paper's top left corner.",
    "marks.size": "How wide it is.",
    "marks.stroke": "How thick its line is.",
    "marks.quiet": "How far stickers, rulers and other marks keep away from it.",
    "marks.corner": 'Which way a "corner" points.',
    "patterns.file": "The artwork, from the recipe's folder.",
    "patterns.name": "The name that rows use for it; left out, the file's name without its ending.",
    "patterns.repeat": 'The width of the whole tile on paper, or "auto".',
    "patterns.lattice": 'How tiles sit beside each other; "auto" looks for it.',
    "patterns.looked": "Says that you looked at its joins and found them good. It holds the "
    "first 12 digits of the file's SHA-256, so that kitloom asks again about another file. "
    "Remove it when you change the lattice.",
    "coordinates.kind": "What is drawn: " + ", ".join(f'"{name}"' for name in COORDINATES) + ".",
    "coordinates.name": "The name that rows use for it; left out, its kind.",
    "coordinates.style": "Which style, if its kind has several: "
    + "; ".join(
        f"for {name} " + ", ".join(f'"{style}"' for style in kind.style_names)
        for name, kind in COORDINATES.items()
        if kind.style_names
    )
    + ". The first is the usual one.",
    "coordinates.colours": "Its colours, the ground first: hex, names or roles in the palette, or "
    "CSS names.",
    "coordinates.size": "One repeat's width on paper; for an all-over the step from one motif to "
    "the next in its column.",
    "coordinates.sett": 'A tartan\'s thread counts, such as "B24 W4 R2", or half of them between '
    'pivots, "B/24 W4 R/2".',
    "coordinates.from": "The pattern that an all-over's motif is lifted out of.",
    "coordinates.motif": "Which of its motifs, in the order in which `kitloom lift` writes them.",
    "coordinates.spacing": "How much ground lies between an all-over's motifs at least; left out, "
    "5% of its size.",
    "rows.sticker": "The [kind](stickers.md).",
    "rows.count": "How many; not needed if the row's text says it.",
    "rows.fill": '"patterns" or "palette" gives each sticker a different one. Or the name of a '
    "pattern or a coordinate, a colour, or a list of these.",
    "rows.panel": 'The area to write on: "white", "ruled", "none" or a colour; left out, the '
    "kind of sticker decides.",
    "rows.border": "From the cut line to the panel, a length: it shows the sticker's fill, so its "
    "colour is set there. Left out, at least 3 mm and five times what "
    'the cut may miss by there, so that opposite borders look even. For "motif" it is the colour '
    'round the motif, "white" or one such as "#3b5b7a"; left out, white.',
    "rows.frame": "A frame round the panel, inside the border: a pattern, a coordinate or a "
    "colour.",
    "rows.frame_width": "How wide the frame is; left out, 2 mm. The border grows by as much.",
    "rows.panel_line": "Whether a thin line goes round the panel; left out, it does if the panel's "
    "edge would not show against the artwork.",
    "rows.band": "A second fill along the bottom of the sticker: a pattern, a coordinate or a "
    "colour.",
    "rows.band_height": "How high the band is; left out, three tenths of the sticker.",
    "rows.size": 'Another size, such as "20mm x 30mm" or "2 x 0.5 box".',
    "rows.checks": "How many marks to tick off, on a checklist or any panel; left out, one every "
    "7 mm. On a narrow sticker they shrink, down to 3 mm, so that the borders beside them look "
    "even. On a ruled panel each has a line: see [lists](stickers.md#lists).",
    "rows.check": 'The shape of the marks; left out, "circle".',
    "rows.pitch": "From one line or mark to the next, at least 4 mm; left out, about 7 mm.",
    "rows.rule": "How dark the lines of a ruled panel are.",
    "rows.turn": "How far the artwork is turned inside its sticker, up to 360 degrees either "
    "way; a list has one for each sticker.",
    "rows.scale": "How large the artwork is inside its sticker, 0.1 to 10 times its own size; a "
    "list has one for each sticker.",
    "rows.offset": 'Which part of the pattern a sticker shows: a position such as "5mm x 12mm", '
    '"centred", or a list with one for each sticker ("auto": kitloom chooses).',
    "rows.at": "Where a sticker lies on the sheet: from the paper's left and top edge to its cut "
    "line's left and top (not to its middle, as for marks), "
    'such as "12.5mm x 80mm", "12.5mm x 80mm on sheet 2" or "12.5mm x 80mm on its side"; a '
    'list has one for each sticker ("auto": kitloom places it). The others keep their places; '
    "those in its way move to the nearest free one, and to a further sheet where there is none.",
    "rows.upright": "Never lay these stickers on their side when packing.",
    "rows.text": '"days", "dates", your own words, or several; one sticker for each. On a '
    "wide checklist with a ruled panel they are its title.",
    "rows.text_size": "The type's size; left out, as large as the longest words allow.",
    "rows.month": 'The month of the dates, such as "2027-01". It gives a sticker for each of its '
    "days; no text is needed.",
    "rows.beside": "Put these stickers at the right of the row before, if there is room, as with "
    "checklists beside boxes. Those that do not fit there get lines of their own.",
    "rows.week": 'The day that weeks start with, such as "Sunday": "days" come in that order, and '
    "each week of a month has a line of its own.",
    "rows.outline": 'For "custom": an SVG file with one closed path or shape.',
    "rows.picture": 'For "icon": a drawing on a transparent or plain ground.',
    "rows.from": 'For "motif": the pattern that its motifs are lifted from. Each comes once, the '
    "largest and most different first; after the last they start again.",
    "rows.held": "What each of its stickers shows, one after another; {} where kitloom is to "
    "choose again. The page writes it when you change something, so that all else stays; remove "
    "it to have all chosen again. A colour that leaves the palette is replaced by the nearest.",
    "rows.held.fill": "The pattern or colour chosen for it.",
    "rows.held.offset": "Which part of the pattern it shows.",
    "rows.held.panel": "The pattern or colour chosen for its panel.",
    "rows.held.panel_offset": "Which part of the pattern its panel shows, if both show one.",
    "rows.distance": 'For "icon" and "motif": from the drawing\'s edge to the cut.',
}

LABELS: Mapping[str, str] = {
    "cut.hpgl_arcs": "The machine understands arcs",
    "cut.offset": "Move all cuts by",
    "cut.spot": "Name of the spot colour",
    "cut.through": "Cuts through the backing",
    "cut.turn": "Turn all cuts by",
    "letters.font": "Font of your own",
    "marks.at": "Place of its middle",
    "marks.quiet": "Kept clear round it",
    "palette.allow": "Pairs that may be close",
    "palette.from": "Colours of a file",
    "palette.pinned": "Colours that stay",
    "palette.tiles": "Tiles that give colours",
    "palette.without": "Colours left out",
    "press.chart": "Your printer's chart",
    "press.convert": "In your printer's numbers",
    "rows.at": "Places on the sheet",
    "rows.beside": "Beside the row before",
    "rows.check": "Shape of the marks",
    "rows.checks": "Marks to tick off",
    "rows.distance": "From picture to cut",
    "rows.fill": "Fills",
    "rows.month": "Month of the dates",
    "rows.offset": "Position in the pattern",
    "rows.pitch": "From line to line",
    "rows.rule": "Lines are",
    "rows.scale": "Size of the artwork",
    "rows.text": "Words",
    "rows.text_size": "Size of the words",
    "rows.turn": "Artwork turned by",
    "rows.upright": "Always upright",
    "rows.week": "Weeks start with",
    "sheet.correct_scale": "Correct the scale",
    "sheet.dpi": "Pixels per inch",
    "sheet.keep_out.depth": "Depth",
    "sheet.keep_out.edge": "Edge",
    "sheet.margin.bottom": "Margin at the bottom",
    "sheet.margin.left": "Margin at the left",
    "sheet.margin.right": "Margin at the right",
    "sheet.margin.top": "Margin at the top",
    "sheet.registration.scale": "A cut may be stretched by",
    "sheet.registration.turn": "A cut may be turned by",
    "sheet.held": "What holds the sheet",
    "sheet.ruler_reads": "The printed ruler reads",
    "sheet.top_up": "Fills the rest of the sheet",
}
