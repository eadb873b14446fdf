"""Start the page on this machine and open it in the browser.

In: a folder or recipe, a port, and whether to open a browser. Runs until it is interrupted, unless
the folder's page is open already: then it shows that one. Loopback only, unless another address is
asked for.
"""

from __future__ import annotations

import socket
import sys
import webbrowser
from collections.abc import Callable
from functools import partial
from pathlib import Path
from threading import Thread
from typing import Any

import uvicorn

from kitloom.jobs import Job
from kitloom.page.edits import begin_with_folder
from kitloom.page.page_error import PageError, unforeseen_as
from kitloom.page.server.app import Handlers, page_app
from kitloom.page.server.safety import Door
from kitloom.page.server.way_in import (
    HERE,
    address_of,
    forget_way_in,
    keep_way_in,
    way_into_running,
)
from kitloom.page.state import open_bench
from kitloom.system import end_at_once, exit_code_of, reuse_address, when_asked_to_end
from palette.errors import KitloomError, reason_of

END_SECONDS = 0.5
LOOPBACK = ("127.0.0.1", "localhost", "[::1]")


def serve(
    given: Path, port: int, *, address: str, browser: bool, say: Callable[[str], None]
) -> None:
    """Serve a folder or a recipe until interrupted; show its page if it is open already.

    Args:
        given: what to open.
        port: where to listen; 0 for any that is free.
        address: which of the machine's addresses to listen on.
        browser: whether to open a browser.
        say: shows one line to the maker.

    Raises:
        PageError: the port is taken, or the folder cannot be used.
    """
    if browser and port == 0 and (running := way_into_running(given)):
        say("Its page is open already and is shown again. The first window keeps it open.")
        say(f"Open: {running}")
        webbrowser.open(running)
        return
    with listening(address, port) as listener:  # before a folder is made
        bench, code = open_bench(given), 0
        try:
            port = int(listener.getsockname()[1])
            door = Door.at({*LOOPBACK, address}, port)

            def next_address() -> str:
                """Return what opens the page next; a second start finds it in the folder."""
                if address == HERE and given.is_dir():
                    keep_way_in(given, port, door.key)
                return address_of(port, door.key, address)

            handlers = Handlers(bench)
            app = page_app(handlers, door, lambda: say(f"For another browser: {next_address()}"))
            server = server_of(app, bench.signals.end)

            def end(number: int) -> None:
                nonlocal code
                code, server.should_exit = exit_code_of(number), True

            # uvicorn shuts down on a signal, then raises it again for whoever was there before
            when_asked_to_end(end)
            bench.runner.start()
            bench.runner.coordinate(partial(_begin, handlers), "the folder")
            say(
                f"kitloom works in {bench.workspace.folder}. Leave this window open while you work."
            )
            say("To stop, close it or press Ctrl-C; all is kept.")
            opens = next_address()
            say(f"Open: {opens}")
            if browser:
                Thread(target=webbrowser.open, args=(opens,), daemon=True).start()
            server.run(sockets=[listener])
        finally:
            forget_way_in(given, port)
            listener.close()  # no tab waits for an answer while the work ends
            ended = bench.close(END_SECONDS)
    if not ended:  # nothing is lost: files are put in place whole, or not at all
        end_at_once(code)
    if code:
        sys.exit(code)


def _begin(handlers: Handlers, job: Job[None]) -> None:
    """Take the artwork in that lies in the folder, then draw."""
    del job
    remedy = "The terminal shows more; drop its files on the page."
    try:
        with unforeseen_as("cannot be opened", where="the folder", remedy=remedy):
            handlers.refused_at_start += begin_with_folder(handlers.bench)
    except KitloomError as error:
        handlers.refused_at_start.append(error)
    handlers.bench.start()


class _Server(uvicorn.Server):
    """Lets those go who listen before it waits for its last answers."""

    def __init__(self, config: uvicorn.Config, let_go: Callable[[], None]) -> None:
        super().__init__(config)
        self._let_go = let_go

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        self._let_go()
        await super().shutdown(sockets)


def server_of(app: Any, let_go: Callable[[], None]) -> uvicorn.Server:
    """Return a server for the page, which listens on the sockets that it is given.

    Args:
        app: what answers.
        let_go: called as it ends, so that no tab that listens holds it up.
    """
    config = uvicorn.Config(
        app,
        log_level="warning",
        server_header=False,
        date_header=False,
        proxy_headers=False,
        ws="none",
        lifespan="off",
        limit_concurrency=100,
        h11_max_incomplete_event_size=64 * 1024,
        timeout_graceful_shutdown=1,
    )
    return _Server(config, let_go)


def listening(address: str, port: int) -> socket.socket:
    """Return a socket that listens there.

    Raises:
        PageError: the port is taken, or the address is not this machine's.
    """
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    listener = socket.socket(family, socket.SOCK_STREAM)
    try:
        reuse_address(listener)
        listener.bind((address.strip("[]"), port))
        listener.listen(64)
    except OSError as error:
        listener.close()
        raise PageError(
            "cannot listen there",
            where=f"{address}:{port}",
            why=reason_of(error),
            remedy="Give another --port, or none for any that is free.",
        ) from error
    return listener
