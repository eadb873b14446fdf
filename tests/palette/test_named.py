"""Colours by name: a palette's own before those of CSS, and the nearest where it is mistyped."""

from __future__ import annotations

import pytest

from palette.errors import PaletteError
from palette.space import colour_of, named_colours, suggestion
from palette.space.named import css_names

OWN = {"moss": "#7a7c3e", "teal": "#408488", "soft salmon": "#e2ada7"}


@pytest.mark.parametrize(
    ("text", "hex_"),
    [
        ("#AbC", "#aabbcc"),
        ("3b5b7a", "#3b5b7a"),
        ("rebeccapurple", "#663399"),
        ("Rebecca Purple", "#663399"),
        ("moss", "#7a7c3e"),
        ("Soft-Salmon", "#e2ada7"),
        ("teal", "#408488"),  # the palette's own, not that of CSS
        ("dark slate grey", "#2f4f4f"),
    ],
)
def test_hex_own_name_and_css_name(text: str, hex_: str) -> None:
    assert colour_of(text, OWN) == hex_


def test_css_has_148_names() -> None:
    """CSS Color Module Level 4, section 6.1; a few by hand."""
    names = css_names()
    assert len(names) == 148
    assert names["tomato"] == "#ff6347"
    assert names["lightgoldenrodyellow"] == "#fafad2"
    assert names["grey"] == names["gray"] == "#808080"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("mos", r'Did you mean "moss" \(#7a7c3e\)\?'),
        ("turqoise", r'Did you mean "turquoise" \(#40e0d0\)\?'),
        ("#12345", "Write it like"),
        ("xyzzy", "by its name in CSS or in the palette"),
        ("", "Write it like"),
    ],
)
def test_what_is_no_colour_is_refused_with_the_nearest_name(text: str, said: str) -> None:
    with pytest.raises(PaletteError, match=said) as caught:
        colour_of(text, OWN, where="--pin")
    assert str(caught.value).startswith(f'--pin: "{text}" is not a colour')


def test_names_that_were_typed_come_with_their_colours() -> None:
    """A CSS salmon was shown as "coral"; a palette's own name stays as the palette spells it."""
    typed = named_colours(["Salmon", "soft-salmon", "#AbC", "3b5b7a", "salmon"], OWN)
    assert typed == {"#fa8072": "Salmon", "#e2ada7": "soft salmon", "#aabbcc": "", "#3b5b7a": ""}


def test_nothing_is_suggested_where_nothing_is_near() -> None:
    assert suggestion("xyzzy", OWN) == ""
