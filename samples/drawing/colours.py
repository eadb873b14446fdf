"""The two sets' colours: about ten each, one ground, one deep, one vivid accent.

A palette is a mapping of a name to an sRGB hex. Every motif takes its colours by these names, so
that two sets can share a motif and still look like themselves.
"""

from types import SimpleNamespace

DAY = SimpleNamespace(
    ground="#f7efdf",
    deep="#25443a",
    leaf="#5d8a55",
    sprout="#b9cd90",
    zinc="#5f8797",
    mist="#cfdfdb",
    clay="#c4703f",
    marigold="#efab45",
    accent="#d63a55",
    blush="#f4c9bb",
)

DUSK = SimpleNamespace(
    ground="#2a2f52",
    deep="#191c38",
    leaf="#3f7077",
    sprout="#8fb8b0",
    zinc="#5c4a78",
    mist="#b7a3cb",
    clay="#b8607a",
    marigold="#f3c774",
    accent="#f0764e",
    blush="#f4e9d6",
)


def rgb(colour: str) -> tuple[int, int, int]:
    """The three 8-bit channels of ``#rrggbb``."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def mixed(first: str, second: str, share: float) -> str:
    """``first`` with ``share`` (0 to 1) of ``second`` stirred in, per sRGB channel."""
    pairs = zip(rgb(first), rgb(second), strict=True)
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs)
