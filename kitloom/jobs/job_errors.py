"""How a job can end other than by its result or by an error of its own."""

from __future__ import annotations

from palette.errors import KitloomError


class StoppedError(Exception):
    """The job was told to stop, before or while it ran."""


class JobError(KitloomError):
    """A job could not be done, whatever was asked of it."""


class LateError(JobError):
    """A job took longer than its limit, and its worker was ended."""


class BrokenError(JobError):
    """A job ended its worker, or needed too much memory."""
