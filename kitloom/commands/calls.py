"""What was wrong with the call? One line for a missing, unknown or unusable word.

In: click's own error. Out: a sentence: the word, what is wrong with it, what to write instead. A
word near a known one is answered with that one; an option that is really a key of the recipe, with
its place there. The same words whatever click's version.
"""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from typing import Any

import click

# what an argument shows in the usage line: what to name
_NAMES = {
    "FILE": "a file",
    "FILE|FOLDER...": "one or more files or folders",
    "RECIPE": "a recipe, such as kit.toml",
}


class Needed(click.Option):
    """An option that the command cannot do without, with the words for one who left it out."""

    def __init__(self, *args: Any, name_it: str, **kwargs: Any) -> None:
        # no default: from click 8.3 on even None would count as a value given
        super().__init__(*args, required=True, **kwargs)
        self.name_it = name_it


def one_line(error: click.ClickException) -> str:
    """Return one line for a wrong call, or "" where click's own words are many lines of help."""
    from palette.errors import short_line

    return short_line(_line(error))


def _line(error: click.ClickException) -> str:
    if isinstance(error, click.MissingParameter) and error.param is not None:
        return _missing(error.param)
    if isinstance(error, click.NoSuchOption):
        return _no_option(error)
    if isinstance(error, click.BadOptionUsage) and "requires an argument" in error.message:
        return f"kitloom: {error.option_name} needs a value after it, such as a name or a number."
    message = error.format_message()
    if "\n" in message:
        return ""
    if message.endswith("?"):
        return f"kitloom: {message}"
    context = error.ctx if isinstance(error, click.UsageError) else None
    more = f" {context.command_path} --help tells how." if context else ""
    return f"kitloom: {message.rstrip('.')}.{more}"


def unknown_command(name: str, known: Iterable[str]) -> str:
    """Return what to say to a command that there is not."""
    if name.lower().endswith(".toml"):
        return f'there is no command "{name}"; write kitloom make {name}'
    close = get_close_matches(name.lower(), list(known), n=1)
    ending = f'; did you mean "{close[0]}"?' if close else "; kitloom --help names them all"
    return f'there is no command "{name}"{ending}'


def _missing(param: click.Parameter) -> str:
    if isinstance(param, Needed):
        return f"kitloom: {param.opts[0]} is missing: {param.name_it}."
    shown = (param.metavar or param.name or "").upper()
    name = _NAMES.get(shown, f"what {shown} stands for")
    return f"kitloom: {shown} is missing: name {name}."


def _no_option(error: click.NoSuchOption) -> str:
    name, context = error.option_name, error.ctx
    command = context.command_path if context else "kitloom"
    head = f'kitloom: {command} has no option "{name}"'
    params = context.command.params if context else []
    if any(param.name == "recipe" for param in params):
        table = _table_with(name.lstrip("-").replace("-", "_"))
        if table:
            key = name.lstrip("-").replace("-", "_")
            return f"{head}: write {key} under [{table}] in the recipe (docs/recipe.md)."
    known = [word for param in params if isinstance(param, click.Option) for word in param.opts]
    close = get_close_matches(name, known, n=1)
    if close:
        return f'{head}; did you mean "{close[0]}"?'
    return f"{head}. {command} --help names them all."


def _table_with(key: str) -> str:
    """Return the recipe's table that holds a key, "" where none does."""
    from kit.recipe import Recipe

    for table, field in Recipe.model_fields.items():
        keys = getattr(field.annotation, "model_fields", {})
        if key in keys:
            return table
    return ""
