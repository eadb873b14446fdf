"""What should the maker know? Measurements become findings here, and nowhere else.

In: measurements. Out: ``Finding``s with a code of ``CODES``, a severity and three sentences: what,
why it matters on paper, how to mend it. Not done here: showing them (``kitloom.present``).
"""

from kitloom.findings.codes import CODES, Finding, exit_status, in_order
from kitloom.findings.colourways import colourway_findings
from kitloom.findings.ink import fills_ink, stickers_ink
from kitloom.findings.keeping import kept_findings
from kitloom.findings.mending import SIDES, in_doubt, mend_findings
from kitloom.findings.print_colours import (
    FILL_SHARE,
    belonging_findings,
    colour_findings,
    fill_findings,
    nudge_or_leave,
    off_screen,
    pair_findings,
    palette_findings,
    press_finding,
    repair_findings,
    rest_told,
    thin_findings,
)
from kitloom.findings.printed_charts import chart_findings, written_finding
from kitloom.findings.proofs import proof_findings
from kitloom.findings.sheets import binding_findings, kit_findings
from kitloom.findings.slips import size_findings
from kitloom.findings.tiles import (
    CRISP_DPI,
    QUESTIONS,
    crisp_to_mm,
    doubts,
    duplicate_finding,
    fault_dict,
    floored,
    opening_findings,
    pixel_findings,
    plain_findings,
    resolution_findings,
    seam_findings,
    seam_remedy,
    tile_findings,
)
from kitloom.findings.unopened import passed_over_finding, unreadable_finding
from kitloom.findings.unseen import unseen_findings

__all__ = [
    "CODES",
    "CRISP_DPI",
    "FILL_SHARE",
    "QUESTIONS",
    "SIDES",
    "Finding",
    "belonging_findings",
    "binding_findings",
    "chart_findings",
    "colour_findings",
    "colourway_findings",
    "crisp_to_mm",
    "doubts",
    "duplicate_finding",
    "exit_status",
    "fault_dict",
    "fill_findings",
    "fills_ink",
    "floored",
    "in_doubt",
    "in_order",
    "kept_findings",
    "kit_findings",
    "mend_findings",
    "nudge_or_leave",
    "off_screen",
    "opening_findings",
    "pair_findings",
    "palette_findings",
    "passed_over_finding",
    "pixel_findings",
    "plain_findings",
    "press_finding",
    "proof_findings",
    "repair_findings",
    "resolution_findings",
    "rest_told",
    "seam_findings",
    "seam_remedy",
    "size_findings",
    "stickers_ink",
    "thin_findings",
    "tile_findings",
    "unreadable_finding",
    "unseen_findings",
    "written_finding",
]
