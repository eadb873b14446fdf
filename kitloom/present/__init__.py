"""Show findings and measurements to people and to programs, without deciding anything.

In: findings and measurements. Out: lines at the terminal, or one JSON object.
"""

from kitloom.present.as_json import palette_answer, text_of, tile_dict
from kitloom.present.kit_lines import findings_of, show_kit, size_words
from kitloom.present.terminal import block, console, plural, progress, show_findings, show_verdict
from kitloom.present.tile_lines import axis_words, show_tiles, tile_table, worst_first

__all__ = [
    "axis_words",
    "block",
    "console",
    "findings_of",
    "palette_answer",
    "plural",
    "progress",
    "show_findings",
    "show_kit",
    "show_tiles",
    "show_verdict",
    "size_words",
    "text_of",
    "tile_dict",
    "tile_table",
    "worst_first",
]
