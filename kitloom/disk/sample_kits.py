"""Where are the sample artwork and recipes, and what belongs to them?

In: nothing. Out: the samples' files by folder. In a wheel they lie inside ``kitloom``, in a clone
in ``samples/`` beside it. Not done here: writing them (``kitloom.disk.writing``).
"""

from __future__ import annotations

from pathlib import Path

import kitloom
from palette.errors import KitloomError

FOLDERS = ("tiles", "evening", "faulty", "")  # the recipes last: what they name is there by then
_HERE = Path(kitloom.__file__).parent
_PLACES = (_HERE / "samples", _HERE.parent / "samples" / "allotment")


def sample_files() -> dict[str, dict[str, bytes]]:
    """Return the samples: folder, "" for the topmost, to name to content.

    Raises:
        KitloomError: this installation has none.
    """
    place = next((one for one in _PLACES if (one / "kit.toml").is_file()), None)
    if place is None:
        raise KitloomError(
            "are not part of this installation",
            where="samples",
            remedy="Install kitloom from its wheel or a clone.",
        )
    return {
        folder: {
            path.name: path.read_bytes()
            for path in sorted((place / folder).iterdir())
            if path.is_file() and not path.name.startswith(".")
        }
        for folder in FOLDERS
    }
