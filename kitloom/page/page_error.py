"""What can be refused on the page, as errors with a remedy like all others."""

from __future__ import annotations

import traceback
from collections.abc import Iterator
from contextlib import contextmanager

from kitloom.jobs import StoppedError
from palette.errors import KitloomError, short_line


class PageError(KitloomError):
    """A wish of the page that cannot be granted.

    Args:
        what: what is wrong, in a few words.
        where: the field or thing it is about, as the page calls it.
        why: why that stops it; empty where ``what`` says it.
        remedy: what the maker can do about it.
        field: the page's field that it was typed into, if it was.
        typed: what was typed there, for a page without its script to show again.
    """

    def __init__(
        self,
        what: str,
        *,
        where: str,
        why: str = "",
        remedy: str,
        field: str = "",
        typed: str | None = None,
    ) -> None:
        super().__init__(what, where=where, why=why, remedy=remedy)
        self.field = field
        self.typed = typed

    def at_field(self) -> str:
        """Return what is beside the field."""
        return short_line(f"{self.what}. {self.remedy}")


@contextmanager
def unforeseen_as(what: str, *, where: str, remedy: str) -> Iterator[None]:
    """Turn an error that nobody foresaw into one the page can say; the terminal shows it whole.

    Raises:
        PageError: instead of whatever is neither a ``KitloomError`` nor a ``StoppedError``.
    """
    try:
        yield
    except (KitloomError, StoppedError):
        raise
    except Exception as error:
        traceback.print_exc()
        raise PageError(what, where=where, why=str(error), remedy=remedy) from error
