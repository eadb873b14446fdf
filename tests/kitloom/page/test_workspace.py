"""Work is kept as plain files, whatever kills the process and whoever edits them."""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

import pytest

from kitloom.page.page_error import PageError
from kitloom.page.state import parse_place, place_words
from kitloom.page.state.workspace import Workspace


def steps_of(work: Workspace) -> Path:
    """Where the recipe's states lie, a file each, and the number of the present one."""
    return work.folder / ".kitloom" / "steps" / work.recipe.stem


def file_of(work: Workspace, number: int) -> Path:
    return steps_of(work) / f"{number:06d}.json"


def test_undo_and_redo_give_back_the_very_bytes(tmp_path: Path) -> None:
    work = Workspace(tmp_path)
    first, second = "# mine\na = 1  # ü\n", "a = 2\n"
    work.save(first, "one")
    work.save(second, "two")
    assert work.undo().label == "two"  # type: ignore[union-attr]
    assert work.recipe.read_bytes() == first.encode()
    assert work.redo().label == "two"  # type: ignore[union-attr]
    assert work.recipe.read_bytes() == second.encode()
    assert work.redo() is None


def test_undo_reaches_the_empty_folder_and_no_further(tmp_path: Path) -> None:
    work = Workspace(tmp_path)
    work.save("a = 1\n", "one")
    work.undo()
    assert not work.recipe.exists()
    assert work.undo() is None


def test_a_new_change_forgets_what_was_undone(tmp_path: Path) -> None:
    work = Workspace(tmp_path)
    for text in ("a", "b", "c"):
        work.save(text, text)
    work.undo()
    work.undo()
    work.save("d", "d")
    assert work.redo() is None
    work.undo()
    assert work.text() == "a"


def test_all_is_there_after_a_new_start(tmp_path: Path) -> None:
    work = Workspace(tmp_path)
    work.save("a", "one")
    work.save("b", "two")
    again = Workspace(tmp_path)
    assert again.text() == "b"
    again.undo()
    assert Workspace(tmp_path).text() == "a"
    assert Workspace(tmp_path).redo().text == "b"  # type: ignore[union-attr]


def test_killed_before_the_recipe_was_replaced(tmp_path: Path) -> None:
    work = Workspace(tmp_path)
    work.save("a", "one")
    state = file_of(work, work.position + 1)  # written first; the recipe never came
    state.write_text(json.dumps({"label": "two", "text": "b"}))
    again = Workspace(tmp_path)
    assert again.text() == "a"
    assert again.step(again.position).label == "one"  # type: ignore[union-attr]


def test_killed_between_the_recipe_and_its_number(tmp_path: Path) -> None:
    work = Workspace(tmp_path)
    work.save("a", "one")
    file_of(work, work.position + 1).write_text(json.dumps({"label": "two", "text": "b"}))
    work.recipe.write_text("b")
    again = Workspace(tmp_path)
    assert again.step(again.position).label == "two"  # type: ignore[union-attr]
    again.undo()
    assert again.text() == "a"


def test_a_recipe_changed_by_hand_is_one_more_step(tmp_path: Path) -> None:
    Workspace(tmp_path).save("a", "one")
    (tmp_path / "kit.toml").write_text("by hand")
    again = Workspace(tmp_path)
    assert again.text() == "by hand"
    again.undo()
    assert again.text() == "a"


@pytest.mark.parametrize("broken", [b"", b"{", b"\xff", b"[1]", b'{"label": 1}'])
def test_broken_states_are_as_if_they_were_not(tmp_path: Path, broken: bytes) -> None:
    work = Workspace(tmp_path)
    work.save("a", "one")
    work.save("b", "two")
    file_of(work, work.position - 1).write_bytes(broken)
    (steps_of(work) / "at").write_bytes(broken)
    again = Workspace(tmp_path)
    assert again.text() == "b"
    assert again.undo() is None
    assert again.text() == "b"


def test_a_recipe_may_be_named_and_others_stay_apart(tmp_path: Path) -> None:
    (tmp_path / "winter.toml").write_text("w")
    (tmp_path / "summer.toml").write_text("s")
    work = Workspace(tmp_path / "summer.toml")
    work.save("s2", "warmer")
    assert (tmp_path / "winter.toml").read_text() == "w"
    assert work.made == tmp_path / "summer"
    assert Workspace(tmp_path / "winter.toml").undo() is None


def test_what_is_no_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "x.png").write_bytes(b"")
    with pytest.raises(PageError, match="neither a folder nor a recipe"):
        Workspace(tmp_path / "x.png")


def test_a_picture_that_is_not_there_makes_no_folder(tmp_path: Path) -> None:
    with pytest.raises(PageError, match="no such file"):
        Workspace(tmp_path / "gone.png")
    assert not list(tmp_path.iterdir())


def test_nothing_half_written_is_left(tmp_path: Path) -> None:
    work = Workspace(tmp_path)
    for i in range(5):
        work.save(str(i), str(i))
    assert [p.name for p in tmp_path.rglob(".*.new-*")] == []


@pytest.mark.skipif(os.name == "nt", reason="Windows' own shell knows no ~")
def test_a_place_in_the_home_folder_reads_short_and_can_be_typed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "My kits" / "it's"
    assert place_words(place) == str(place)
    monkeypatch.setenv("HOME", str(tmp_path))
    assert place_words(place) == "~/My kits/it's"
    said = subprocess.run(  # by the shell's own rules
        ["sh", "-c", f"printf %s {parse_place(place)}"], capture_output=True, text=True, check=True
    )
    assert said.stdout == str(place)
    assert place_words(tmp_path) == str(tmp_path)
    assert place_words(tmp_path.parent) == str(tmp_path.parent)
