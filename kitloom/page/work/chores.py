"""Use what was tried: in one tile or in all of them, with progress, and stopped when asked.

In: for each tile how it is made, and what is done with them once all are there. Tiles that were
tried before are there already; the others are made one after another in the background. A stopped
chore changes nothing. What is soon done is answered at once; for the rest the page shows how far it
is, on every step.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace
from threading import Lock, Thread
from typing import Literal

from kit.recipe import PatternPart
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench, StoppedError
from kitloom.page.work.remade import Try
from kitloom.page.work.tries import Tries
from palette.errors import KitloomError

GRACE_SECONDS = 1.5
Plan = tuple[Hashable, Callable[[], Try]]
Made = Sequence[tuple[PatternPart, Try]]


@dataclass(frozen=True, slots=True)
class Chore:
    """How far it is.

    Attributes:
        state: idle where there is nothing to tell.
        label: what is done, in the maker's words.
        done: tiles done.
        of: tiles in all.
        fault: why it failed.
    """

    state: Literal["idle", "working", "stopped", "failed"] = "idle"
    label: str = ""
    done: int = 0
    of: int = 1
    fault: KitloomError | None = None


class Chores:
    """One chore at a time."""

    def __init__(self, bench: Bench, tries: Tries) -> None:
        """Have nothing to do."""
        self.bench = bench
        self.tries = tries
        self.now = Chore()
        self._lock = Lock()
        self._stop = False
        self._number = 0

    def begin(
        self, label: str, plans: Sequence[tuple[PatternPart, Plan]], finish: Callable[[Made], None]
    ) -> None:
        """Begin a chore, and wait a moment whether it is done soon.

        Raises:
            KitloomError: it failed in that moment, or another one is under way.
        """
        with self._lock:
            if self.now.state == "working":
                raise PageError(
                    "something else is being made",
                    where=label,
                    remedy="Wait until it is done, or stop it.",
                )
            self._stop, self.now = False, Chore("working", label, 0, len(plans))
        thread = Thread(target=self._run, args=(plans, finish), name="chore", daemon=True)
        thread.start()
        thread.join(GRACE_SECONDS)
        fault = self.now.fault
        if not thread.is_alive() and fault is not None:
            self.now = Chore()
            raise fault

    def stop(self) -> None:
        """Stop the chore, in the middle of a tile too."""
        with self._lock:
            self._stop = True
            self.bench.aside.stop(self._number)

    def _run(
        self, plans: Sequence[tuple[PatternPart, Plan]], finish: Callable[[Made], None]
    ) -> None:
        try:
            made = []
            for part, plan in plans:
                made.append((part, self._made(plan)))
                self._tell(replace(self.now, done=self.now.done + 1))
            self._check()
            finish(made)
            self._tell(Chore())
        except StoppedError:
            self._tell(Chore("stopped", self.now.label))
        except KitloomError as error:
            self._tell(Chore("failed", self.now.label, fault=error))
        except Exception as error:  # whatever breaks here must be told, not end in a dead thread
            fault = PageError(
                "could not be done",
                where=self.now.label,
                why=str(error),
                remedy="Nothing was changed; the terminal shows more.",
            )
            self._tell(Chore("failed", self.now.label, fault=fault))
            raise

    def _made(self, plan: Plan) -> Try:
        with self._lock:
            self._check()
            self._number = self.tries.number_of(*plan)
        return self.tries.now(*plan)

    def _check(self) -> None:
        if self._stop:
            raise StoppedError

    def _tell(self, chore: Chore) -> None:
        self.now = chore
        self.bench.tell("chore")
