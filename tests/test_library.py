"""The packages as a library: their examples run, and the names that they promise are there."""

from __future__ import annotations

import doctest
import re
from importlib import import_module
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGES = ["patterns", "palette", "kit"]
PROMISE = re.compile(r"^- ``([\w.]+)``: (.+)$", re.MULTILINE)


@pytest.mark.parametrize("package", PACKAGES)
def test_the_example_says_what_it_shows(package: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    result = doctest.testmod(import_module(package))
    assert result.attempted > 5
    assert result.failed == 0


@pytest.mark.parametrize("package", PACKAGES)
def test_every_promised_name_is_there_and_says_what_it_is(package: str) -> None:
    promised = PROMISE.findall(import_module(package).__doc__ or "")
    assert promised
    for module, names in promised:
        for name in re.findall(r"``(\w+)``", names):
            found = getattr(import_module(module), name)
            assert not callable(found) or found.__doc__, f"{module}.{name}"
