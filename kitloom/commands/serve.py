"""``kitloom serve``: the local page, for those who would rather see and click."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("folder", type=click.Path(path_type=Path), default=Path("my-kit"))
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=0,
    metavar="N",
    help="The page's port; any free one unless given.",
)
@click.option("--no-browser", is_flag=True, help="Open no browser, only print the address.")
@click.option(
    "--address",
    default="127.0.0.1",
    show_default=True,
    metavar="ADDRESS",
    help="Which of this machine's addresses to listen on; leave it unless you know why.",
)
def serve(folder: Path, port: int, no_browser: bool, address: str) -> int:
    """Open the page: it does the whole job on this machine, step by step.

    FOLDER is where your work is kept, by default my-kit; name a folder of artwork or a recipe to
    begin with it. If the folder's page is open already, it is shown again. Nothing leaves your
    machine.
    """
    from kitloom.page.server import serve as run

    run(folder, port, address=address, browser=not no_browser, say=click.echo)
    return 0


def open_page() -> None:
    """Open the page in the maker's own folder, for those who name neither command nor folder.

    Raises:
        KitloomError: there is no such folder, or it cannot be used.
    """
    from kitloom.disk import own_folder
    from kitloom.page.server import serve as run

    folder = own_folder()
    click.echo("The page opens in your browser. (kitloom --help names the commands.)")
    click.echo(f"Your work is kept in {folder}{'' if folder.exists() else ', made for it now'}.")
    run(folder, 0, address="127.0.0.1", browser=True, say=click.echo)
