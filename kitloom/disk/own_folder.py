"""Where is a maker's work kept who names no folder?

In: nothing. Out: a folder in their Documents, or in their home where there are none. Not done here:
making it.
"""

from __future__ import annotations

from pathlib import Path

import kitloom
from kitloom.disk.apart import OutputError

NAME = "My kitloom kit"


def own_folder() -> Path:
    """Return the maker's own folder, the same at each start; it may not be there yet.

    Raises:
        OutputError: there is no home folder, or it lies in kitloom's own.
    """
    try:
        home = Path.home()
    except RuntimeError as error:
        raise OutputError(
            "no home folder is known",
            where=NAME,
            remedy="Name a folder for your work: kitloom serve my-kit",
        ) from error
    documents = home / "Documents"
    folder = (documents if documents.is_dir() else home) / NAME
    if folder.resolve().is_relative_to(Path(kitloom.__file__).resolve().parents[1]):
        raise OutputError(
            "would lie in kitloom's own folder",
            where=str(folder),
            remedy="Name another folder for your work: kitloom serve ../my-kit",
        )
    return folder
