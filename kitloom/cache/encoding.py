"""JSON values as short printable text, as they are in a lock."""

from __future__ import annotations

import base64
import json
import zlib
from typing import Any

MOST_BYTES = 50_000_000


def pack(content: object) -> str:
    """Return a JSON value as short printable text."""
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return base64.b64encode(zlib.compress(text.encode(), 9)).decode("ascii")


def unpack(text: str) -> Any:
    """Return the JSON value of ``pack`` text, within the limit that no kit comes near."""
    return json.loads(zlib.decompressobj().decompress(base64.b64decode(text), MOST_BYTES))
