"""docs/commands/: one page for each command, from the table of commands and their own options."""

from __future__ import annotations

import inspect
import re
import shlex

import click

from kitloom.cli import COMMANDS, kitloom
from reference.command_examples import EXAMPLES, output_of

_STATUS = """\
| exit status | when |
|---|---|
| 0 | nothing stops the work |
| 1 | a finding of severity `stop`{strict}; files are written anyway |
| 2 | the call or an input was unusable; nothing is written |
"""

# what is behind a command's page for those who want more
_SEE = {
    "check": ("how seams are judged", "../verdicts.md#seams"),
    "rescale": ("how resolution is judged", "../verdicts.md#resolution"),
    "mend": ("how seams are judged", "../verdicts.md#seams"),
    "lift": ("kinds of sticker", "../stickers.md"),
    "palette": ("another season", "../another-season.md"),
    "proof": ("presses", "../presses.md"),
    "draft": ("every key of a recipe", "../recipe.md"),
    "trial": ("print and cut", "../print-and-cut.md"),
    "make": ("print and cut", "../print-and-cut.md"),
    "serve": ("the page, step by step", "../the-page.md"),
}


def pages(before: dict[str, str], *, rerun: bool) -> dict[str, str]:
    """Return each page's text by its name in docs/.

    Args:
        before: the pages as they are, by name.
        rerun: whether examples are run again; else their kept output stays.
    """
    made = {}
    for name in COMMANDS:
        path = f"commands/{name}.md"
        shown = output_of(EXAMPLES[name]) if rerun else kept_output(before.get(path, ""))
        made[path] = page(name, shown)
    made["commands/README.md"] = _index()
    return made


def kept_output(text: str) -> str:
    """Return the example's output from a page, without its first line, the call."""
    found = re.search(r"```console\n\$ [^\n]*\n(.*?)\n?```", text, flags=re.DOTALL)
    return found.group(1) if found else ""


def page(name: str, shown: str) -> str:
    """Return the page of one command with this output of its example."""
    command = kitloom.get_command(click.Context(kitloom), name)
    assert command is not None
    context = click.Context(command, info_name=f"kitloom {name}")
    words = [f"# kitloom {name}", f"*{COMMANDS[name]}*", _said(command)]
    usage = " ".join([f"kitloom {name}", *command.collect_usage_pieces(context)])
    words += ["## Usage", f"```\n{usage}\n```", _options(command, context), _status(command)]
    example = EXAMPLES[name]
    call = f"$ kitloom {shlex.join(example.words)}"
    words += ["## Example", example.says, f"```console\n{call}\n{shown}\n```"]
    title, link = _SEE[name]
    words.append(
        f"See also: [{title}]({link}), [findings](../findings.md), [all commands](README.md)."
    )
    return "\n\n".join(words) + "\n"


def _said(command: click.Command) -> str:
    paragraphs = inspect.cleandoc(command.help or "").split("\n\n")
    return "\n\n".join(" ".join(one.split()) for one in paragraphs)


def _options(command: click.Command, context: click.Context) -> str:
    rows = ["| option | default | what it does |", "|---|---|---|"]
    for one in command.get_params(context):
        if not isinstance(one, click.Option) or "--help" in one.opts:
            continue
        names = ", ".join(f"`{text}`" for text in one.opts)
        value = "" if one.is_flag else f" `{one.make_metavar(context)}`"
        needed = "needed" if one.required else _default(one)
        rows.append(f"| {names}{value} | {needed} | {one.help} |")
    return "\n".join(_bars(row) for row in rows)


def _default(option: click.Option) -> str:
    shown = option.show_default and option.default is not None and not option.is_flag
    return f"`{option.default}`" if shown else "–"


def _bars(row: str) -> str:
    """Keep the bars inside code from ending a table's cell."""
    return re.sub(r"`[^`]*`", lambda code: re.sub(r"(?<!\\)\|", r"\\|", code.group()), row)


def _status(command: click.Command) -> str:
    if command.name == "serve":
        return "It runs until you stop it; the exit status is 0, or 2 where the call was unusable."
    strict = any(one.name == "strict" for one in command.params)
    return _STATUS.format(strict=" (with `--strict`, of `warn` too)" if strict else "")[:-1]


def _index() -> str:
    rows = [f"| [{name}]({name}.md) | {what} |" for name, what in COMMANDS.items()]
    head = "# Commands\n\nIn the order of the work.\n\n| command | what it does |\n|---|---|\n"
    return head + "\n".join(rows) + "\n"
