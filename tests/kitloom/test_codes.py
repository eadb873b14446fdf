"""The table of findings: every line can be used, and every finding about a kit is in it."""

from __future__ import annotations

from pathlib import Path

import pytest

import kitloom.findings
from kitloom.findings import CODES
from kitloom.findings.kit_facts import finder

ROOM = Path(kitloom.findings.__file__).parent
WORDS = "".join(path.read_text("utf-8") for path in ROOM.glob("*.py") if path.stem != "codes")


@pytest.mark.parametrize("code", CODES)
def test_every_code_is_said_by_a_module_of_the_room(code: str) -> None:
    assert f'"{code}"' in WORDS


@pytest.mark.parametrize("source", sorted({one.source for one in CODES.values() if one.source}))
def test_what_a_line_names_can_be_called_and_says_such_findings(source: str) -> None:
    assert callable(finder(source))
    module = (ROOM / f"{source.partition(':')[0]}.py").read_text("utf-8")
    own = [name for name, code in CODES.items() if code.source == source]
    assert all(f'"{name}"' in module for name in own)
