"""The command line: a table of commands, each loaded only when it is called.

Rule: ``kitloom --help`` must always answer at once, so nothing here imports more than click; every
command's module does the same at its top. Exit status: 0 nothing to mend, 1 findings that stop,
2 the call or an input was unusable and nothing was written.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

import click

from kitloom import __version__
from kitloom.commands.calls import one_line, unknown_command
from kitloom.commands.streams import print_any_letter

if TYPE_CHECKING:
    from palette.errors import KitloomError

# name: what it does, in the order of the work
COMMANDS = {
    "check": "Does each tile repeat without a visible seam?",
    "rescale": "Write tiles at a physical repeat and a printer's resolution.",
    "mend": "Write tiles with their seams mended, or cut out of larger pictures.",
    "lift": "Take whole motifs out of tiles, as pictures on a clear ground.",
    "palette": "Choose the colours that belong to a set of tiles.",
    "proof": "What will printing do to these colours and fills?",
    "draft": "Write a starting recipe from a folder of artwork.",
    "trial": "Before the good paper: a fit sheet and one strip of sticker paper.",
    "make": "Make the whole kit: verdicts, print files and cut files.",
    "serve": "Do all of this in your browser.",
}

MOST_FAULTS = 20  # of one recipe that are shown at once


class _Commands(click.Group):
    """A group that knows its commands by name and loads one only to run it."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        del ctx
        if cmd_name not in COMMANDS:
            return None
        command = getattr(import_module(f"kitloom.commands.{cmd_name}"), cmd_name)
        assert isinstance(command, click.Command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args[0] not in COMMANDS and not args[0].startswith("-"):
            raise click.UsageError(unknown_command(args[0], COMMANDS))
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(
    cls=_Commands,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(__version__, prog_name="kitloom")
@click.pass_context
def kitloom(context: click.Context) -> int:
    """Pattern artwork and a short recipe in; a sticker sheet that prints and cuts out.

    Start with a folder of tiles: kitloom draft FOLDER --out kit.toml, then kitloom make kit.toml.
    Without a command the page opens, which does all of this in your browser.
    """
    if context.invoked_subcommand is None:
        from kitloom.commands.serve import open_page

        open_page()
    return 0


def _check_words(words: list[str]) -> None:
    """Refuse arguments that cannot be shown: they would break output files and terminals."""
    if all(word.isprintable() for word in words):
        return
    from kitloom.disk import check_name

    for word in words:
        check_name(word)


def _finish_moves(words: list[str]) -> None:
    """Let no command read or write a folder that an earlier one was killed in half-way."""
    ends = (word.partition("=")[2] if word.startswith("-") else word for word in words)
    named = [Path(word) for word in ends if word and os.path.lexists(word)]
    if named:
        from kitloom.disk import finish_moves

        finish_moves(named)


def _unforeseen(error: OSError) -> str:
    """Say what no reader or writer foresaw, such as a name beyond all length."""
    from kitloom.disk import is_full
    from palette.errors import reason_of, short, shown

    reason = reason_of(error)
    if not error.filename:
        remedy = "Make room" if is_full(error) else "Check where it is to go"
        return f"what is printed here cannot be written ({reason}). {remedy}, and run it again."
    name = short(shown(os.fsdecode(error.filename)))
    remedy = "Check its name, its place and its permissions."
    return f"{name}: cannot be used ({reason}). {remedy}"


def _tell(faults: Sequence[KitloomError]) -> None:
    """Print a line for each fault of one input, up to ``MOST_FAULTS``."""
    for fault in faults[:MOST_FAULTS]:
        click.echo(f"kitloom: {fault.line()}", err=True)
    if len(faults) > MOST_FAULTS:
        click.echo(f"kitloom: and {len(faults) - MOST_FAULTS} more like these.", err=True)


def _how_to_go_on(words: Sequence[str]) -> str:
    """Return what to say to one who stopped a run that can continue."""
    goes_on = any(word.split("=")[0] in {"--each", "--resume"} for word in words)
    return " What is finished stays: the same command goes on from here." if goes_on else ""


def main() -> None:
    """Run the command and turn every unusable input into one clear line and exit status 2."""
    # read when numpy is loaded: our products are small, and threads that wait for them cost time
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    print_any_letter()
    try:
        _check_words(sys.argv[1:])
        _finish_moves(sys.argv[1:])
        status = kitloom.main(prog_name="kitloom", standalone_mode=False)
    except click.Abort:
        click.echo(f"Stopped.{_how_to_go_on(sys.argv[1:])}", err=True)
        sys.exit(130)
    except click.ClickException as error:
        line = one_line(error)
        if line:
            click.echo(line, err=True)
        else:
            error.show()
        sys.exit(2)
    except MemoryError:
        click.echo(
            "kitloom: there is not enough memory for this. Use smaller artwork, a lower dpi or "
            "smaller paper, or close other programs.",
            err=True,
        )
        sys.exit(2)
    except OSError as error:
        click.echo(f"kitloom: {_unforeseen(error)}", err=True)
        sys.exit(2)
    except UnicodeEncodeError as error:  # a file's name, where the system knows ASCII alone
        from palette.errors import short

        click.echo(
            f"kitloom: {short(error.object)}: the language that your system is set to has no such "
            "letters in the names of files. Set PYTHONUTF8=1 and run it again.",
            err=True,
        )
        sys.exit(2)
    except Exception as error:
        from palette.errors import KitloomError

        if not isinstance(error, KitloomError):
            raise
        _tell((error, *error.also))
        sys.exit(2)
    sys.exit(status if isinstance(status, int) else 0)
