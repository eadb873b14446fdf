"""Every state of every step is opened, every link followed, every kind of control used and undone.

In a wide window and with the page's script, in Debian's Chromium. No published source:
what an address asks for is compared with what its page shows.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from ..conftest import Served
from .crawling import crawl_kit

pytestmark = pytest.mark.slow

KITS = ("whole", "missing", "damaged", "broken", "empty")


@pytest.mark.parametrize("kit", KITS, indirect=True)
def test_every_state_shows_what_was_asked_for_in_a_wide_window(
    kit: Served, cookies: Any, chromium: Any, files: dict[str, Path]
) -> None:
    crawl_kit(kit, cookies, chromium, files, 1280, scripted=True)
