"""A folder's page that is open already is found by its port and key, and by nothing else."""

from __future__ import annotations

import os
import socket
import stat
from pathlib import Path

import pytest

from kitloom.page.server.way_in import forget_way_in, keep_way_in, way_into_running


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / ".kitloom").mkdir()
    return tmp_path


@pytest.mark.skipif(os.name != "posix", reason="permissions of POSIX")
def test_the_key_is_for_its_maker_alone(folder: Path) -> None:
    """Else another user of the computer opens the page, and changes the kit."""
    keep_way_in(folder, 8765, "a-key")
    (file,) = (folder / ".kitloom").iterdir()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    forget_way_in(folder, 8766)  # another server's
    assert file.exists()
    forget_way_in(folder, 8765)
    assert not file.exists()


def test_of_a_server_that_was_killed_nothing_is_opened(folder: Path) -> None:
    """Else a second double-click shows an address that nobody answers."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    keep_way_in(folder, port, "a-key")
    assert way_into_running(folder) is None


@pytest.mark.parametrize(
    "text", ["", "8765", "http://example.org/ key\n", "99999 key\n", "8 ../k\n"]
)
def test_a_strangers_file_leads_nowhere(folder: Path, text: str) -> None:
    """Else a folder from elsewhere opens a page of its own choice."""
    (folder / ".kitloom" / "way-in").write_text(text)
    assert way_into_running(folder) is None


def test_without_a_folder_there_is_no_page(tmp_path: Path) -> None:
    assert way_into_running(tmp_path / "none") is None
