"""Every state of every step is opened, every link followed, every kind of control used and undone.

In a wide window and with the page's script, in Debian's Chromium. No published source:
what an address asks for is compared with what its page shows.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from ..conftest import Served
from .conftest import served_kit
from .crawling import Crawl, crawl_kit

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory, chromium: Any, files: dict[str, Path]) -> Crawl:
    """The crawl of the kit that can be made, with every choice."""
    with served_kit("whole", tmp_path_factory.mktemp("crawl")) as kit:
        return crawl_kit(kit, chromium, files, 1280, scripted=True, thorough=True)


def test_every_control_is_used_in_a_wide_window(whole: Crawl) -> None:
    assert whole.used


@pytest.mark.parametrize("kit", ["missing", "damaged", "broken", "empty"], indirect=True)
def test_every_state_shows_what_was_asked_for_in_a_wide_window(
    kit: Served, whole: Crawl, chromium: Any, files: dict[str, Path]
) -> None:
    crawl_kit(kit, chromium, files, 1280, scripted=True, known=whole.known)
