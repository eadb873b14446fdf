"""Where is my work kept? In a folder that the maker names, as plain files.

In: a folder, or a recipe in one. It holds the recipe (``kit.toml``), ``artwork/`` with what was
dropped, ``kit/`` with what was made, and ``.kitloom/steps/`` with one small JSON file for every
state the recipe had, for undo. The recipe is the only truth: a state is written first, then the
recipe in one rename, so that a process killed at any moment loses at most the edit under way. A
recipe changed by hand is taken over as one more step.

Not done here: reading images, or checking recipes.
"""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from kitloom.disk import OutputError, folder_made, replace_file
from kitloom.page.page_error import PageError
from patterns.artwork import SUFFIXES

KEPT_STEPS = 400


@dataclass(frozen=True, slots=True)
class Step:
    """One state of the recipe.

    Attributes:
        number: counts up.
        label: what was done to reach it, in the maker's words.
        text: the recipe's text; empty before there is one.
        drop: the drop that it came from; steps of one drop are undone together.
    """

    number: int
    label: str
    text: str
    drop: str = ""


class Workspace:
    """The maker's folder.

    Attributes:
        folder: where it is.
        recipe: the recipe's file in it.
        position: the number of the state that is in the recipe.
    """

    def __init__(self, given: Path) -> None:
        """Open a folder or a recipe, and take over what is there.

        Raises:
            PageError: a file that is not a recipe.
        """
        given = given.absolute()
        if given.is_file() and given.suffix.lower() != ".toml":
            raise PageError(
                "is neither a folder nor a recipe",
                where=str(given),
                remedy="Name a folder, or a recipe that ends in .toml.",
            )
        if not given.exists() and given.suffix.lower() in SUFFIXES:
            raise PageError(
                "no such file",
                where=str(given),
                remedy="Name a folder to keep your work in; one that does not exist is made.",
            )
        named = given.suffix.lower() == ".toml"
        self.folder = given.parent if named else given
        self.recipe = given if named else _recipe_in(given)
        self._steps = self.folder / ".kitloom" / "steps" / self.recipe.stem
        self._at = self._steps / "at"
        self._beginning = self.folder / ".kitloom" / "beginning.toml"
        with folder_made(self.folder / "artwork"), folder_made(self._steps):
            self.position = self._last_position()
            self._take_over()

    @property
    def artwork(self) -> Path:
        """Where dropped artwork is kept."""
        return self.folder / "artwork"

    @property
    def incoming(self) -> Path:
        """Where dropped files wait until they have proved to be artwork."""
        return self.folder / ".kitloom" / "incoming"

    @property
    def made(self) -> Path:
        """Where finished kits go: the same place as the command's."""
        return self.recipe.with_suffix("")

    def text(self) -> str:
        """Return the recipe's text, empty if there is none."""
        try:
            return self.recipe.read_bytes().decode("utf-8")
        except FileNotFoundError:
            return ""

    def beginning(self) -> str:
        """Return what was asked before there was a recipe, as a piece of one; empty if nothing."""
        with suppress(OSError, UnicodeDecodeError):
            return self._beginning.read_text("utf-8")
        return ""

    def keep_beginning(self, piece: str) -> None:
        """Keep what the recipe will begin with.

        Raises:
            OutputError: the disk refuses.
        """
        replace_file(self._beginning, piece.encode())

    def save(self, text: str, label: str, drop: str = "") -> None:
        """Make this the recipe; undone steps after the present one are forgotten.

        Raises:
            OutputError: the disk refuses; the recipe is what it was.
        """
        for later in self._numbers():
            if later > self.position:
                self._file(later).unlink(missing_ok=True)
        number = self.position + 1
        entry = {"label": label, "text": text} | ({"drop": drop} if drop else {})
        written = json.dumps(entry, ensure_ascii=False, indent=1)
        try:
            replace_file(self._file(number), written.encode())
            self._stand_at(number, text)
        except OutputError as error:
            self._file(number).unlink(missing_ok=True)
            raise OutputError(
                error.what, where=str(self.recipe), why=error.why, remedy=error.remedy
            ) from error
        for old in self._numbers()[:-KEPT_STEPS]:
            self._file(old).unlink(missing_ok=True)

    def undoable(self) -> list[Step]:
        """Return the steps that one undo takes back, the latest first: a whole drop, or one step.

        Empty where nothing is before them.
        """
        return self._together(self.position, -1)

    def redoable(self) -> list[Step]:
        """Return the steps that one redo makes again, in their order."""
        return self._together(self.position + 1, 1)

    def undo(self) -> Step | None:
        """Go back before the last step, and return that one; None where there is none."""
        left = self.undoable()
        before = self.step(left[-1].number - 1) if left else None
        if before is None:
            return None
        self._stand_at(before.number, before.text)
        return left[0]

    def redo(self) -> Step | None:
        """Go forward again to the state that was undone last; None where there is none."""
        steps = self.redoable()
        if not steps:
            return None
        self._stand_at(steps[-1].number, steps[-1].text)
        return steps[-1]

    def _together(self, number: int, way: int) -> list[Step]:
        """The step of this number with those of its drop before or after it."""
        steps: list[Step] = []
        step = self.step(number)
        while step is not None and (not steps or (step.drop and step.drop == steps[0].drop)):
            if self.step(step.number - 1) is None:  # the oldest that is kept has none to go back to
                break
            steps.append(step)
            step = self.step(step.number + way)
        return steps

    def step(self, number: int) -> Step | None:
        """Return a state by its number, if it is still kept."""
        try:
            entry = json.loads(self._file(number).read_text("utf-8"))
            drop = str(entry.get("drop", ""))
            return Step(number, str(entry["label"]), str(entry["text"]), drop)
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            return None

    def _stand_at(self, number: int, text: str) -> None:
        if text:
            replace_file(self.recipe, text.encode("utf-8"))
        else:
            self.recipe.unlink(missing_ok=True)
        self.position = number
        with suppress(OutputError):  # the recipe is saved; when opened again, it is what counts
            replace_file(self._at, str(number).encode())

    def _last_position(self) -> int:
        with suppress(OSError, ValueError):
            return int(self._at.read_text("utf-8"))
        return max(self._numbers(), default=0)

    def _take_over(self) -> None:
        """Agree with the recipe's file, whoever wrote it last."""
        text = self.text()
        now = self.step(self.position)
        if now is not None and now.text == text:
            return
        # a process killed between the two renames has written the next state already
        after = self.step(self.position + 1)
        if after is not None and after.text == text:
            self._stand_at(after.number, text)
        elif now is None:
            self.save(text, "opened the folder")
        else:
            self.save(text, "the recipe was changed outside this page")

    def _file(self, number: int) -> Path:
        return self._steps / f"{number:06d}.json"

    def _numbers(self) -> list[int]:
        return sorted(int(p.stem) for p in self._steps.glob("*.json") if p.stem.isdigit())


def _recipe_in(folder: Path) -> Path:
    usual = folder / "kit.toml"
    others = sorted(folder.glob("*.toml")) if folder.is_dir() else []
    return usual if usual.exists() or len(others) != 1 else others[0]
