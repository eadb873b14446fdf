"""What should the maker know? Measurements become findings here, and nowhere else.

In: measurements. Out: ``Finding``s with a code of ``CODES``, a severity and three sentences: what,
why it matters on paper, how to mend it. Not done here: showing them (``kitloom.present``).
"""

from kitloom.findings.altered_tiles import colourway_findings, new_seam
from kitloom.findings.bare_stickers import bare_findings
from kitloom.findings.codes import CODES, Finding, exit_status, in_order
from kitloom.findings.heavy_ink import fills_ink, stickers_ink
from kitloom.findings.keeping import keeping_findings
from kitloom.findings.kinds import Kind, kinds_of, shared_end
from kitloom.findings.kit_facts import KitFacts, kit_findings
from kitloom.findings.lifted_motifs import coarse_motif_findings, lift_findings
from kitloom.findings.mending import (
    LOST_SHARE,
    SIDES,
    closes_otherwise,
    in_doubt,
    mend_findings,
    repeat_factor,
    step_name,
    told_of_mend,
)
from kitloom.findings.no_repeat import few_repeats_findings, repeat_unseen_findings
from kitloom.findings.no_tile import cover_looks, no_tile_findings
from kitloom.findings.palettes import (
    BELONGS_SHARE,
    CLOSE_DE2000,
    belonging_findings,
    foreign_findings,
    pair_findings,
    palette_findings,
    rest_sentence,
)
from kitloom.findings.places import place_dicts, where_words
from kitloom.findings.printed_charts import chart_findings, written_finding
from kitloom.findings.printing import (
    FILL_SHARE,
    GRADE_WORDS,
    PRINTS_TRUE,
    colour_findings,
    fill_findings,
    larger_repeat,
    nudge_or_leave,
    press_finding,
    thin_findings,
    worth_offering,
)
from kitloom.findings.proofs import proof_findings
from kitloom.findings.repairs import left_findings, repair_findings
from kitloom.findings.sheet_colours import sheet_colour_findings
from kitloom.findings.sheets import binding_findings, place_findings
from kitloom.findings.sized_artwork import sized_findings
from kitloom.findings.small_sizes import size_findings
from kitloom.findings.tiles import (
    CRISP_DPI,
    crisp_to_mm,
    duplicate_finding,
    floor_to_tenth,
    opening_findings,
    pixel_findings,
    plain_findings,
    resolution_findings,
    tile_findings,
)
from kitloom.findings.unreadable import unopenable_finding, unreadable_finding
from kitloom.findings.visible_seams import (
    QUESTIONS,
    doubts,
    fault_dict,
    look_findings,
    seam_findings,
    seam_name,
    seam_remedy,
)

__all__ = [
    "BELONGS_SHARE",
    "CLOSE_DE2000",
    "CODES",
    "CRISP_DPI",
    "FILL_SHARE",
    "GRADE_WORDS",
    "LOST_SHARE",
    "PRINTS_TRUE",
    "QUESTIONS",
    "SIDES",
    "Finding",
    "Kind",
    "KitFacts",
    "bare_findings",
    "belonging_findings",
    "binding_findings",
    "chart_findings",
    "closes_otherwise",
    "coarse_motif_findings",
    "colour_findings",
    "colourway_findings",
    "cover_looks",
    "crisp_to_mm",
    "doubts",
    "duplicate_finding",
    "exit_status",
    "fault_dict",
    "few_repeats_findings",
    "fill_findings",
    "fills_ink",
    "floor_to_tenth",
    "foreign_findings",
    "in_doubt",
    "in_order",
    "keeping_findings",
    "kinds_of",
    "kit_findings",
    "larger_repeat",
    "left_findings",
    "lift_findings",
    "look_findings",
    "mend_findings",
    "new_seam",
    "no_tile_findings",
    "nudge_or_leave",
    "opening_findings",
    "pair_findings",
    "palette_findings",
    "pixel_findings",
    "place_dicts",
    "place_findings",
    "plain_findings",
    "press_finding",
    "proof_findings",
    "repair_findings",
    "repeat_factor",
    "repeat_unseen_findings",
    "resolution_findings",
    "rest_sentence",
    "seam_findings",
    "seam_name",
    "seam_remedy",
    "shared_end",
    "sheet_colour_findings",
    "size_findings",
    "sized_findings",
    "step_name",
    "stickers_ink",
    "thin_findings",
    "tile_findings",
    "told_of_mend",
    "unopenable_finding",
    "unreadable_finding",
    "where_words",
    "worth_offering",
    "written_finding",
]
