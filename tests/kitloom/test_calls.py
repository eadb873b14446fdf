"""Wrong calls: each gets one line that says what to write instead, with any version of click."""

from __future__ import annotations

import sys

import click
import pytest

from kitloom import cli
from kitloom.cli import COMMANDS, kitloom


def said(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """The one line that a call is refused with, by the installed command's own entry."""
    monkeypatch.setattr(sys, "argv", ["kitloom", *words])
    with pytest.raises(SystemExit) as left:
        cli.main()
    shown = capsys.readouterr()
    assert left.value.code == 2
    assert shown.out == ""
    assert len(shown.err.splitlines()) == 1, shown.err
    return shown.err.strip()


def needed_words() -> list[tuple[str, str, list[str]]]:
    """Every required word of every command, with a call in which that word alone is missing."""
    calls = []
    for name in COMMANDS:
        command = kitloom.get_command(click.Context(kitloom), name)
        assert command is not None
        required = [param for param in command.params if param.required]
        for missing in required:
            words = [name]
            for param in required:
                if param is missing:
                    continue
                words += [param.opts[0], "1in"] if isinstance(param, click.Option) else ["x.png"]
            shown = missing.opts[0] if isinstance(missing, click.Option) else missing.metavar
            calls.append((name, shown or missing.name.upper(), words))
    return calls


def test_the_commands_need_what_their_docs_say() -> None:
    assert {(name, word) for name, word, _ in needed_words()} == {
        ("check", "FILE|FOLDER..."),
        ("rescale", "FILE|FOLDER..."),
        ("rescale", "--repeat"),
        ("rescale", "--out"),
        ("mend", "FILE|FOLDER..."),
        ("mend", "--out"),
        ("lift", "FILE|FOLDER..."),
        ("lift", "--out"),
        ("palette", "FILE|FOLDER..."),
        ("trial", "RECIPE"),
        ("make", "RECIPE"),
    }


@pytest.mark.parametrize(("name", "word", "words"), needed_words())
def test_each_needed_word_is_asked_for_by_name(
    name: str,
    word: str,
    words: list[str],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    del name
    assert said(monkeypatch, capsys, *words).startswith(f"kitloom: {word} is missing: ")


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["mend", "a.png"], "name a folder for the mended tiles."),
        (["chek"], 'did you mean "check"?'),
        (["kit.toml"], "write kitloom make kit.toml."),
        (["make", "kit.toml", "--bleed", "2mm"], "write bleed under [sheet] in the recipe"),
        (["trial", "kit.toml", "--corner-radius", "2mm"], "write corner_radius under [sheet]"),
        (["make", "kit.toml", "--overwrit"], 'did you mean "--overwrite"?'),
        (["check", "a.png", "--margin", "2mm"], "kitloom check --help names them all."),
        (["rescale", "a.png", "--repeat", "1in", "--out", "o", "--dpi", "3"], "--dpi"),
        (["draft"], "kitloom draft --help tells how."),
    ],
)
def test_a_wrong_word_is_answered_with_the_right_one(
    words: list[str],
    expected: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert expected in said(monkeypatch, capsys, *words)
