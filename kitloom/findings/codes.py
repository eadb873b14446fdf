"""What should the maker know? Measurements become findings here, and nowhere else.

A ``Finding`` has a stable code, a severity, a subject and three sentences: what, why it matters on
paper, how to mend it. ``CODES`` is the one table of codes; the modules beside it hold the
sentences, one module for each kind of measurement.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

Severity = Literal["stop", "warn", "note"]
ORDER: dict[Severity, int] = {"stop": 0, "warn": 1, "note": 2}


@dataclass(frozen=True, slots=True)
class Code:
    """One kind of finding.

    Attributes:
        severity: how grave it is unless the measurement says otherwise.
        title: its heading in reports and docs.
        means: what it is about, in one sentence.
        source: of a finding about a composed kit, the module of this room and its function, as
            "module:function"; it takes ``KitFacts``. Empty where whoever measures calls for it.
        many: its heading after a number, where several are shown together: "tiles are unlike …".
    """

    severity: Severity
    title: str
    means: str
    source: str = ""
    many: str = ""


CODES: dict[str, Code] = {
    "seam": Code(
        "stop",
        "A seam shows",
        "Where the tile meets itself, a person would see it.",
        many="seams show",
    ),
    "seam-unsure": Code(
        "warn",
        "A join to look at",
        "The measurements cannot decide; a person must look.",
        many="joins to look at",
    ),
    "looked-idle": Code(
        "note",
        "Looked at without need",
        "You looked at a tile that is seamless anyway, or whose file has changed since.",
    ),
    "repeat-inside": Code(
        "note",
        "Several repeats in one tile",
        "The tile holds its repeat more than once.",
        many="tiles with several repeats",
    ),
    "repeat-unseen": Code(
        "note",
        "No whole repeat found",
        "The tile holds less than one and a half repeats, or none was found in it.",
        many="tiles without a whole repeat",
    ),
    "too-wide": Code("note", "Cut too wide", "A tile's last columns or rows repeat its first."),
    "one-colour": Code(
        "note",
        "One colour all over",
        "The tile has nothing to judge in it.",
        many="tiles of one colour all over",
    ),
    "unreadable": Code(
        "stop",
        "Cannot be opened",
        "A file in the folder is not usable artwork.",
        many="files cannot be opened",
    ),
    "no-tile": Code(
        "warn",
        "Not a tile",
        "A picture that shows patterns: a collage, a frame round artwork, a mock-up, or a title.",
    ),
    "near-duplicate": Code(
        "note", "The same artwork again", "Shifted, in another size or in other colours."
    ),
    "resolution": Code(
        "warn",
        "Few pixels for print",
        "At its repeat the tile has too few pixels to print crisply.",
        many="tiles have few pixels for print",
    ),
    "mended": Code(
        "note",
        "Mended",
        "What was done to a tile so that its joins no longer show.",
        many="tiles mended",
    ),
    "not-mended": Code(
        "stop", "Not mended", "A seam, or the mend itself, still shows.", many="tiles not mended"
    ),
    "opened": Code(
        "note",
        "Changed on opening",
        "What was done to make the file printable.",
        many="files changed on opening",
    ),
    "colour-shift": Code(
        "warn",
        "A colour prints duller",
        "The press cannot reach this colour of the palette, of a row, or of words and lines.",
        many="colours print duller",
    ),
    "fill-shift": Code(
        "warn",
        "A fill prints duller",
        "A good part of this pattern or drawing is outside the press.",
        many="fills print duller",
    ),
    "thin-lines": Code(
        "warn",
        "Very fine lines",
        "At this repeat some lines may break up or fill in.",
        many="tiles with very fine lines",
    ),
    "ink": Code(
        "note",
        "Heavy with ink",
        "Which fills and stickers take most ink; a limit only where the press knows its inks.",
    ),
    "repaired": Code(
        "note",
        "Repaired for print",
        "How close to the original a repaired tile prints.",
        many="tiles repaired for print",
    ),
    "repair-left": Code(
        "note",
        "Colours that a repair leaves",
        "A coordinate names a colour by its hex, which does not follow the repaired tiles.",
    ),
    "chart-written": Code("note", "A chart to print", "How to print and read the colour chart."),
    "chart-fit": Code("note", "Your printer, measured", "How well the fit through a chart holds."),
    "chart-rough": Code(
        "warn", "The chart fits badly", "The forecast is too far off on patches it had not seen."
    ),
    "chart-scanned": Code(
        "note", "Read by a scanner", "What a scan of a chart supports, and what it does not."
    ),
    "chart-scanner": Code(
        "warn",
        "Printer and scanner cannot be told apart",
        "The scanner's colours had to be guessed, and the guess does not hold.",
    ),
    "chart-overexposed": Code(
        "warn", "The scan is too light", "Paper is at the end of the scanner's scale."
    ),
    "chart-banded": Code(
        "warn", "The print has bands", "A nozzle is clogged, or the head is out of line."
    ),
    "chart-patchy": Code(
        "warn",
        "The print is patchy",
        "Some parts of the sheet have more ink, or more light, than others.",
    ),
    "chart-mirrored": Code(
        "warn", "The sheet looks mirrored", "A driver's mirror setting would do that."
    ),
    "chart-merges": Code(
        "note", "Colours that merge", "Chart colours that look the same in print."
    ),
    "chart-ramp": Code("note", "Where the greys end", "The printer's ramp ends before black."),
    "chart-chroma": Code("note", "How vivid it prints", "How much of each vivid hue is reached."),
    "print-scale": Code(
        "warn",
        "The chart came out at another size",
        "A scan of the printed chart shows that the printer does not keep the size.",
    ),
    "print-margin": Code(
        "warn",
        "The printer reaches less far",
        "The printer leaves more white than the recipe's margin.",
    ),
    "press-limits": Code(
        "note", "What this forecast is worth", "How far to trust the press model."
    ),
    "own-numbers": Code(
        "note",
        "Drawn in your printer's own numbers",
        "How to print files that are drawn through a chart or profile.",
        "printing:own_numbers_findings",
    ),
    "darks-closer": Code(
        "note",
        "Darks come closer together",
        "The paper prints black as a dark grey.",
        "printing:dark_findings",
    ),
    "pair-close": Code(
        "warn",
        "Two colours too alike",
        "Two palette colours are hard to tell apart.",
        many="pairs of colours too alike",
    ),
    "pair-merges": Code(
        "warn",
        "Two colours become one",
        "Two palette colours look the same in print.",
        many="pairs of colours become one",
    ),
    "pen-contrast": Code(
        "note",
        "Hard to write on",
        "No common pen reads well on this colour as a plain fill.",
        many="colours hard to write on",
    ),
    "sight": Code(
        "note",
        "Alike to some eyes",
        "Some people cannot tell two colours apart.",
        many="pairs of colours alike to some eyes",
    ),
    "ground-missing": Code(
        "note",
        "A tile's ground is not in the palette",
        "No palette colour looks like the colour that covers most of this tile.",
        many="tiles whose ground is not in the palette",
    ),
    "tile-apart": Code(
        "warn",
        "A tile unlike all others",
        "One tile's colours are far from all the others', and some became palette colours.",
    ),
    "stranger": Code(
        "warn",
        "Does not belong to the palette",
        "A good part of this artwork has other colours.",
        many="tiles do not belong to the palette",
    ),
    "colourway-seam": Code(
        "warn", "A seam shows in the new colours", "In the new colours a seam became visible."
    ),
    "nothing-lifted": Code(
        "warn",
        "No motif can be lifted",
        "The tile's ground is not one plain colour, or its motifs do not stand apart on it.",
    ),
    "motif-coarse": Code(
        "warn",
        "A lifted motif with few pixels",
        "At its size a motif has too few pixels to print crisply.",
        "lifted_motifs:coarse_motifs",
    ),
    "licence": Code("note", "May it be altered?", "Bought artwork's licence decides."),
    "small-size": Code(
        "warn",
        "Suspiciously small size",
        "A day box, or a sticker with its own size, is smaller than planners and stickers are.",
        "small_sizes:recipe_size_findings",
        many="suspiciously small sizes",
    ),
    "outline-beside": Code(
        "warn",
        "More than the outline in its file",
        "An outline's file draws other shapes beside the path that is cut.",
        "own_drawings:beside_findings",
    ),
    "icon-left-out": Code(
        "warn",
        "Part of a picture is left out",
        "Some of a picture's colour lies outside its cut line.",
        "own_drawings:left_out_findings",
    ),
    "fine-outline": Code(
        "warn",
        "Too fine for blade and paper",
        "An outline has strips or slits under 0.5 mm wide, or teeth that no blade follows.",
        "own_drawings:fine_findings",
    ),
    "bleed": Code(
        "warn",
        "Bleed too small",
        "A cut that misses its print could show white.",
        "sheets:sheet_findings",
        many="sheets with too little bleed",
    ),
    "gap": Code(
        "warn",
        "Gap too small",
        "A cut that misses its print could touch a neighbour's ink.",
        "sheets:sheet_findings",
        many="sheets with too small a gap",
    ),
    "bleed-clipped": Code(
        "note",
        "The bleed is smaller than asked for",
        "Between stickers, or at the paper's edge, there is no room for all of the recipe's bleed.",
        "sheets:clipped_findings",
    ),
    "through-sliver": Code(
        "warn",
        "Slivers between through cuts",
        "The backing between two through cuts is so narrow that it lifts under the blade.",
        "through:sliver_findings",
    ),
    "through-mark": Code(
        "warn",
        "A through cut goes round a mark",
        "A piece that is cut out of the sheet has a mark for the machine on it.",
        "through:mark_findings",
    ),
    "unprinted": Code(
        "stop",
        "A sticker is left bare",
        "A sticker was drawn without its fill where its cut may land.",
    ),
    "neighbours-alike": Code(
        "stop",
        "Neighbours look the same",
        "Two plain fills side by side cannot be told apart.",
        "sheets:sheet_findings",
        many="pairs of neighbours look the same",
    ),
    "neighbours-merge": Code(
        "warn",
        "Neighbours become alike in print",
        "Two plain fills side by side look the same in print.",
        "sheets:sheet_findings",
        many="pairs of neighbours become alike in print",
    ),
    "cut-moved": Code(
        "note",
        "Cut lines are moved",
        "The recipe moves the cuts, because your cutter always misses the same way.",
        "cut_moves:moved_findings",
    ),
    "printer-scale": Code(
        "warn",
        "The ruler came out at another size",
        "Your ruler reads more or less than the printed ruler's length.",
        "sheets:scale_findings",
    ),
    "border": Code(
        "warn",
        "Border too narrow",
        "Where a cut misses, a panel, marks, stitches, words or a drawing would look off centre.",
        "borders:border_findings",
        many="borders too narrow",
    ),
    "coordinate-merges": Code(
        "warn",
        "A coordinate fades in print",
        "Two colours of a coordinate look the same in print.",
        "coordinate_colours:merging_findings",
    ),
    "small-words": Code(
        "warn",
        "Words too small",
        "Type this small may fill in when it is printed.",
        "small_words:words_findings",
    ),
    "fills-repeat": Code(
        "note",
        "Fills are used again",
        "There are more stickers than fills.",
        "fills_again:again_findings",
    ),
    "copies-alike": Code(
        "warn",
        "Copies look the same",
        "No position makes copies of this pattern differ.",
        "fills_again:window_findings",
        many="patterns whose copies look the same",
    ),
    "cut-motifs": Code(
        "note",
        "Cuts cannot avoid the motifs",
        "No position in this pattern makes its cuts cleaner.",
        "fills_again:window_findings",
        many="patterns whose motifs cuts cannot avoid",
    ),
    "sheets": Code(
        "note", "Sheets and paper", "How much paper the kit takes.", "sheets:paper_findings"
    ),
    "held-lost": Code(
        "note",
        "Could not stay as they were",
        "Stickers that the recipe holds show something else, because a colour or tile is gone.",
        "holding:lost",
    ),
    "kept": Code(
        "note", "Kept from an earlier run", "How many stickers --keep kept, and what changed."
    ),
    "bound-names": Code(
        "note",
        "Patterns bound by order",
        "Another folder's files took the recipe's names, in alphabetical order.",
    ),
    "places-left": Code(
        "note",
        "Placed anew",
        "Stickers that were put somewhere by hand no longer fit there at this box or paper.",
    ),
}


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing a maker should know.

    Attributes:
        code: a key of ``CODES``.
        severity: stop, warn or note.
        subject: the file, colour or sticker it is about.
        what: what was found.
        why: why it matters on paper.
        remedy: how to mend it.
        measures: the figures behind it, units in the keys.
    """

    code: str
    severity: Severity
    subject: str
    what: str
    why: str
    remedy: str
    measures: Mapping[str, Any] = field(default_factory=dict)

    def as_dict(self) -> dict[str, Any]:
        """Return the finding as ``--json`` shows it."""
        return {
            "severity": self.severity,
            "code": self.code,
            "subject": self.subject,
            "what": self.what,
            "why": self.why,
            "remedy": self.remedy,
            "measures": dict(self.measures),
        }


def finding(
    code: str,
    subject: str,
    *,
    what: str,
    why: str,
    remedy: str,
    severity: Severity | None = None,
    **measures: Any,
) -> Finding:
    """Return a finding of a known code, with its usual severity unless another is given."""
    return Finding(code, severity or CODES[code].severity, subject, what, why, remedy, measures)


def in_order(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Return the findings with the gravest first, otherwise as they came."""
    return tuple(sorted(findings, key=lambda one: ORDER[one.severity]))


def exit_status(findings: Sequence[Finding], *, strict: bool = False) -> int:
    """Return 1 if anything stops the work (with ``strict``: or warns), else 0."""
    grave = {"stop", "warn"} if strict else {"stop"}
    return int(any(one.severity in grave for one in findings))
