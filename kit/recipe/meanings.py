"""What each key of a recipe means, in one sentence; the check fails for a key that is missing.

The one place for these words: the reference (``docs/recipe.md``) and the page's forms show them.
``LABELS`` says what the page calls a key whose own name is no word for it.
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
    "sheet.registration": "How far the cut may land off the print. A bare length is the shift, "
    "with turn and scale 0; a [trial](print-and-cut.md#a-trial-first) tells.",
    "cut": "Through cuts, and what HP-GL files tell the machine.",
    "press": "What the sheet is printed on: see [presses](presses.md).",
    "palette": "How many colours are wanted, and which must be among them.",
    "letters": "What stickers are lettered in.",
    "fills": "How windows into patterns are chosen.",
    "marks": "Printed marks of your own for a machine that looks for some. None by default.",
    "patterns": "Your artwork, one table a file.",
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
    "sheet.margin": "What printer or cutter cannot reach along each edge.",
    "sheet.margin.top": "The same for the top edge alone.",
    "sheet.margin.right": "For the right edge alone.",
    "sheet.margin.bottom": "For the bottom edge alone.",
    "sheet.margin.left": "For the left edge alone.",
    "sheet.keep_out": "Bands inside the margins that must stay free.",
    "sheet.keep_out.edge": "The edge that the band runs along.",
    "sheet.keep_out.depth": "How deep the band is.",
    "sheet.gap": "From one cut line to the next.",
    "sheet.layout": '"rows" keeps the recipe\'s rows; "pack" saves paper and may turn stickers.',
    "sheet.top_up": "Kinds that fill what is left of the last sheet, in this order.",
    "sheet.top_up_held": "The colours that these were dealt and keep, a list for each kind. The "
    "page writes it.",
    "sheet.bleed": "How far print runs past the cut line.",
    "sheet.registration": "How far the cut may land off the print.",
    "sheet.registration.shift": "By how much it may lie off along and across.",
    "sheet.registration.turn": "By how much it may be turned.",
    "sheet.registration.scale": "By which share it may be larger or smaller.",
    "sheet.held": "What stays in place where a cut is turned or stretched off the print: the "
    'sheet\'s "middle", the middle of your "marks", or the corner that the sheet is laid in, such '
    'as "top left". Misses grow from there.',
    "sheet.corner_radius": "The radius of a box's round corners.",
    "sheet.frame": "Print a thin frame a millimetre round all stickers, to align files by.",
    "sheet.ruler_reads": "What your own ruler reads along the printed rulers, across and down. "
    "One length is the ruler across, and is taken for both. Over 3% off is refused.",
    "sheet.correct_scale": "Print larger or smaller so that the rulers come out right.",
    "cut.through": "Where to cut the backing too: round each row, once round all, or both.",
    "cut.hpgl_arcs": "Whether the machine takes arcs; else they are cut as short strokes.",
    "cut.overcut": "How far a cut runs past its start; only for a machine that adds none.",
    "cut.blade_offset": "The blade's offset; only for a machine that makes up for none.",
    "cut.spot": "What PDF files call the kiss cut's spot colour, for a program that picks its tool "
    "by that name.",
    "cut.offset": "How far to move what is cut, to the right and down (negative: left and up), "
    "against a steady miss of your cutter. A trial tells. Page outline and marks stay.",
    "cut.turn": "How far to turn what is cut, clockwise, about the point that sheet.held names.",
    "press.surface": f"What it is printed on: {surfaces_in_words()}.",
    "press.profile": "Your printer's own ICC profile; in place of surface.",
    "press.chart": "Your printer as its chart was read; in place of surface and profile.",
    "press.intent": "The rendering intent, with a profile.",
    "press.black_point_compensation": "Whether black is scaled to black, with a profile.",
    "press.convert": "Draw the print in your printer's own numbers, through its chart or RGB "
    "profile: see [your own printer](own-press.md).",
    "palette.colours": 'How many colours to choose, or "auto": as many as the artwork is worth, '
    "seldom more than ten.",
    "palette.pinned": 'Colours that must be in the palette: "#hex" or a CSS name; with `from` too.',
    "palette.without": 'Colours left out, with their near relatives: "#hex" or a CSS name; of '
    "`from` exactly these.",
    "palette.from": "A palette file of an earlier season to use again.",
    "palette.tiles": "The patterns that colours are taken from; all where empty.",
    "palette.allow": "Pairs of colours, by name or hex, that may be as close as they are.",
    "letters.font": "A font file of your own, TrueType or OpenType (.ttf, .otf), in any script; "
    "left out, it is Lato. What its licence allows is yours to keep.",
    "fills.variety": "From 0, cuts run between motifs, to 1, copies differ.",
    "marks.shape": "What is drawn.",
    "marks.at": "Its middle, from the paper's top left corner.",
    "marks.size": "How wide it is.",
    "marks.stroke": "How thick its line is.",
    "marks.quiet": "How far stickers, rulers and other marks keep off it.",
    "marks.corner": 'Which way a "corner" points.',
    "patterns.file": "The artwork, from the recipe's folder.",
    "patterns.name": "What fills call it; left out, the file's name without its ending.",
    "patterns.repeat": 'The width of the whole tile on paper, or "auto".',
    "patterns.lattice": 'How tiles sit beside each other; "auto" looks for it.',
    "patterns.looked": "You looked at its joins and they are good, whatever was measured "
    "there: the first 12 digits of the file's SHA-256, so that another file is asked about "
    "anew. Take it out when you change the lattice.",
    "coordinates.kind": "What is drawn: " + ", ".join(f'"{name}"' for name in COORDINATES) + ".",
    "coordinates.name": "What fills call it; left out, its kind.",
    "coordinates.style": "How, where its kind has several: "
    + "; ".join(
        f"for {name} " + ", ".join(f'"{style}"' for style in kind.style_names)
        for name, kind in COORDINATES.items()
        if kind.style_names
    )
    + ". The first is the usual one.",
    "coordinates.colours": "Its colours, the ground first: hex, names or roles in the palette, or "
    "CSS names.",
    "coordinates.size": "One repeat's width on paper.",
    "coordinates.sett": 'A tartan\'s thread counts, such as "B24 W4 R2", or half of them between '
    'pivots, "B/24 W4 R/2".',
    "rows.sticker": "The [kind](stickers.md).",
    "rows.count": "How many; may be left out where text says it.",
    "rows.fill": '"patterns" or "palette" for a different one each, the name of a pattern or a '
    "coordinate, a colour, or a list of them.",
    "rows.panel": 'The area to write on: "white", "ruled", "none" or a colour; left out, the kind '
    "decides.",
    "rows.border": "From the cut line to the panel; left out, at least 3 mm and five times what "
    'the cut may miss there, so that opposite borders look even. For "motif" the colour round it, '
    '"white" (as it is where left out) or one like "#3b5b7a".',
    "rows.frame": "What the panel is framed in, inside the border: a pattern, a coordinate or a "
    "colour.",
    "rows.frame_width": "How broad the frame is; left out, 2 mm. The border grows by as much.",
    "rows.panel_line": "Whether a thin line goes round the panel; left out, it does where the "
    "artwork round it is so like the panel that its edge would not be seen.",
    "rows.band": "A second fill along the sticker's foot: a pattern, a coordinate or a colour.",
    "rows.band_height": "How high the band is; left out, three tenths of the sticker.",
    "rows.size": 'Another size, such as "20mm x 30mm" or "2 x 0.5 box".',
    "rows.checks": "How many marks to tick off, on a checklist or any panel; left out, one every "
    "7 mm. On a narrow sticker they get smaller, down to 3 mm, so that the borders beside them "
    "look even. On a panel each has its line: see [lists](stickers.md#lists).",
    "rows.check": 'Their shape; left out, "circle".',
    "rows.pitch": "From one line or mark to the next, at least 4 mm; left out, about 7 mm.",
    "rows.rule": "How dark the lines of a ruled panel are.",
    "rows.turn": "By how much the artwork is turned inside its sticker, up to 360 degrees either "
    "way; a list has one a sticker.",
    "rows.scale": "How large the artwork is inside its sticker, 0.1 to 10 times its own size; a "
    "list has one a sticker.",
    "rows.offset": 'Where in the pattern the window sits: "5mm x 12mm", "centred", or a list with '
    'one a sticker ("auto" where any will do).',
    "rows.upright": "Never lay these stickers on their side when packing.",
    "rows.text": 'Words: "days", "dates", your own, or a list; one sticker for each. On a list '
    "they are its title.",
    "rows.text_size": "The type's size; left out, as large as the longest words allow.",
    "rows.month": 'The month that dates are of, such as "2027-01": as many stickers as it has '
    "days; text may be left out.",
    "rows.beside": "Whether the row stands at the end of the lines of the row before it, where "
    "these have room, as checklists beside boxes do. What finds no room there has lines of its "
    "own.",
    "rows.week": 'The day that weeks start with, such as "Sunday": "days" come in that order, and '
    "each week of a month has its own line.",
    "rows.outline": 'For "custom": an SVG file with one closed path or shape.',
    "rows.picture": 'For "icon": a drawing on a transparent or plain ground.',
    "rows.from": 'For "motif": the pattern that its motifs are lifted from, each once, the largest '
    "and most unlike first; beyond the last they begin again.",
    "rows.held": "What its stickers were dealt and keep, one after another; {} for one that is "
    "dealt anew. The page writes it when something is changed, so that all else stays; take it out "
    "to have all dealt anew. A colour that leaves the palette gives way to the nearest.",
    "rows.held.fill": "The pattern or colour that it was dealt.",
    "rows.held.offset": "Where in the pattern its window sits.",
    "rows.held.panel": "The pattern or colour that its panel was dealt.",
    "rows.held.panel_offset": "Where its panel's window sits, where both show a pattern.",
    "rows.distance": 'For "icon" and "motif": from the drawing\'s edge to the cut.',
}

LABELS: Mapping[str, str] = {
    "cut.hpgl_arcs": "The machine takes arcs",
    "cut.offset": "Move all cuts by",
    "cut.spot": "Name of the spot colour",
    "cut.through": "Cuts through the backing",
    "cut.turn": "Turn all cuts by",
    "letters.font": "Font of your own",
    "marks.at": "Middle",
    "marks.quiet": "Kept clear round it",
    "palette.allow": "Pairs that may be close",
    "palette.from": "Colours of a file",
    "palette.pinned": "Colours that stay",
    "palette.tiles": "Tiles that give colours",
    "palette.without": "Colours left out",
    "press.chart": "Your printer's chart",
    "press.convert": "In your printer's numbers",
    "rows.beside": "Beside the row before",
    "rows.check": "Shape of the marks",
    "rows.checks": "Marks to tick off",
    "rows.distance": "From picture to cut",
    "rows.fill": "Fills",
    "rows.month": "Month of the dates",
    "rows.offset": "Place in the pattern",
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
