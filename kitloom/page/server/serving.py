"""Start the page on this machine and open it in the browser.

In: a folder or recipe, a port, and whether a browser is wanted. Runs until it is interrupted.
Loopback only, unless another address is asked for.
"""

from __future__ import annotations

import os
import signal
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from threading import Thread
from types import FrameType
from typing import Any

import uvicorn

from kitloom.page.edits import begin_with_folder
from kitloom.page.page_error import PageError
from kitloom.page.server.app import Page, page_app
from kitloom.page.server.safety import Door
from kitloom.page.state import Bench, open_bench

WORKING = {"beginning", "drawing", "making", "trying"}  # threads that compute
LOOPBACK = ("127.0.0.1", "localhost", "[::1]")


def serve(
    given: Path, port: int, *, address: str, browser: bool, say: Callable[[str], None]
) -> None:
    """Serve a folder or a recipe until interrupted.

    Args:
        given: what to open.
        port: where to listen; 0 for any that is free.
        address: which of the machine's addresses to listen on.
        browser: whether to open a browser.
        say: shows one line to the maker.

    Raises:
        PageError: the port is taken, or the folder cannot be used.
    """
    code = 0
    try:
        _serve(given, port, address, browser=browser, say=say)
    except SystemExit as ended:
        code = int(ended.code or 0)
    _end_with_work_under_way(code)
    if code:
        sys.exit(code)


def _serve(
    given: Path, port: int, address: str, *, browser: bool, say: Callable[[str], None]
) -> None:
    bench = open_bench(given)
    with closing(bench), listening(address, port) as listener:
        _end_in_order()
        bench.shelter.warm()
        port = int(listener.getsockname()[1])
        door = Door.at({*LOOPBACK, address}, port)

        def way_in() -> str:
            return f"http://{address}:{port}/enter?key={door.key}"

        app = page_app(bench, door, lambda: say(f"For another browser: {way_in()}"))
        beginning = (bench, app.app.state.page)
        Thread(target=_begin, args=beginning, name="beginning", daemon=True).start()
        say(f"kitloom works in {bench.workspace.folder}. Stop it with Ctrl-C; all is kept.")
        say(f"Open: {way_in()}")
        if browser:
            Thread(target=webbrowser.open, args=(way_in(),), daemon=True).start()
        with suppress(KeyboardInterrupt):
            server_of(app).run(sockets=[listener])


def _end_in_order() -> None:
    """Let a request to end unwind as Ctrl-C does, so that what was started is ended too.

    uvicorn shuts down on the signal, then raises it once more for whoever was there before.
    """

    def leave(number: int, frame: FrameType | None) -> None:
        del frame
        sys.exit(128 + number)

    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGTERM, leave)


def _end_with_work_under_way(code: int) -> None:
    """End at once where a sheet is still being drawn or files are being made.

    Python takes its libraries down at the end while such a thread is still inside them, which can
    break it. Nothing is lost: files are put in place whole, or not at all.
    """
    at_work = [thread for thread in threading.enumerate() if thread.name in WORKING]
    for thread in at_work:
        thread.join(0.5)
    if any(thread.is_alive() for thread in at_work):
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def _begin(bench: Bench, page: Page) -> None:
    page.said_at_start += begin_with_folder(bench)
    bench.start()


def server_of(app: Any) -> uvicorn.Server:
    """Return a server for the page, which listens on the sockets that it is given."""
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
    return uvicorn.Server(config)


def listening(address: str, port: int) -> socket.socket:
    """Return a socket that listens there.

    Raises:
        PageError: the port is taken, or the address is not this machine's.
    """
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    listener = socket.socket(family, socket.SOCK_STREAM)
    try:
        if sys.platform != "win32":  # there it would let two servers share a port
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((address.strip("[]"), port))
        listener.listen(64)
    except OSError as error:
        listener.close()
        raise PageError(
            "cannot listen there",
            where=f"{address}:{port}",
            why=error.strerror or str(error),
            remedy="Give another --port, or none for any that is free.",
        ) from error
    return listener
