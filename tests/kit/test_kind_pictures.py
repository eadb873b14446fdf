"""The docs show every kind as its table entry draws it: a kind without a current picture fails."""

from __future__ import annotations

import re
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from kit.kinds import KINDS

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def wanted():
    spec = spec_from_file_location("draw_kinds", ROOT / "tools" / "draw_kinds.py")
    tool = module_from_spec(spec)
    spec.loader.exec_module(tool)
    return {path.name: text for path, text in tool.files().items()}


def picture_file(kind):
    return f"{kind.name.replace(' ', '-')}.svg"


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.name)
def test_its_picture_is_current(kind, wanted):
    text = (ROOT / "docs" / "kinds" / picture_file(kind)).read_text("utf-8")
    root = ET.fromstring(text)  # noqa: S314  our own file
    assert root.find("{http://www.w3.org/2000/svg}title").text == kind.name
    if kind.source_key == "picture":
        return  # its pixels come from an image library, whose versions differ in the last digit
    assert text == wanted[picture_file(kind)]


def test_the_page_lists_every_kind_and_no_other(wanted):
    text = (ROOT / "docs" / "stickers.md").read_text("utf-8")
    assert text == wanted["stickers.md"]
    assert re.findall(r"^\| `(.+?)` \|", text, flags=re.MULTILINE) == list(KINDS)
    kept = {path.name for path in (ROOT / "docs" / "kinds").iterdir()}
    assert kept == {picture_file(kind) for kind in KINDS.values()}
