"""From a row to its stickers: sizes, borders, panels, words and what is printed over them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from kit.kinds import KINDS, check_marks, least_border_mm, rules
from kit.letters import letter
from kit.recipe import OwnPlace, parse_recipe
from kit.recipe_error import RecipeError
from kit.shapes import Rect, bounding_box, circle, rounded_rectangle
from kit.stickers import dress, filler_slot, is_colour, slots_of
from kit.stickers.row_words import words_area
from kit.stickers.slots import row_text_pt

BOX = "40mm x 52mm"


def recipe_of(rows: str, *, box: str = BOX, sheet: str = "", file: Path = Path("kit.toml")):
    text = f'[planner]\nbox = "{box}"\n[sheet]\npaper = "A4"\n{sheet}\n'
    return parse_recipe(text + '[[patterns]]\nfile = "pods.png"\n' + rows, file)


def row(kind: str, more: str = "", *, count: int = 1, fill: str = '"palette"') -> str:
    return f'[[rows]]\nsticker = "{kind}"\ncount = {count}\nfill = {fill}\n{more}'


def one(kind: str, more: str = "", *, fill: str = '"palette"', **other):
    (slot,) = slots_of(recipe_of(row(kind, more, fill=fill), **other))
    return slot


def told(error) -> str:
    return str(error.value)


# ---- the table of kinds


SIZES = {
    "full box": (60, 80),
    "half box": (60, 40),
    "quarter box": (60, 20),
    "writing box": (60, 80),
    "checklist": (10, 80),
    "strip": (60, 10),
    "label": (45, 16),
    "header": (60, 12.8),
    "dot": (15, 15),
    "pennant": (45, 17.6),
    "scalloped box": (60, 40),
    "stitched box": (60, 40),
    "custom": (60, 40),
    "icon": (30, 40),
    "motif": (30, 40),
}


@pytest.mark.parametrize("name", KINDS)
def test_a_kinds_size_is_its_share_of_the_day_box(name: str) -> None:
    """Of 60 x 80 mm; the shares are common practice, no published source."""
    assert KINDS[name].size_mm((60.0, 80.0)) == pytest.approx(SIZES[name])
    assert KINDS[name].name == name


def test_a_square_kind_takes_the_shorter_side() -> None:
    assert KINDS["dot"].size_mm((60.0, 40.0)) == (10.0, 10.0)
    assert KINDS["dot"].size_mm((40.0, 60.0)) == (10.0, 10.0)


def having(attribute: str) -> set[str]:
    return {name for name, kind in KINDS.items() if getattr(kind, attribute)}


def test_what_kinds_bring_along() -> None:
    assert having("checks") == {"checklist"}
    assert {name for name, kind in KINDS.items() if kind.panel} == {"writing box"}
    assert KINDS["writing box"].panel == "ruled"
    assert having("square") == {"dot"}
    assert having("often_small") == {"dot", "icon", "motif"}
    assert set(KINDS) - having("may_turn") == {"header", "dot", "pennant", "icon", "motif"}
    assert {name: kind.source_key for name, kind in KINDS.items() if kind.source_key} == {
        "custom": "outline",
        "icon": "picture",
        "motif": "from",
    }
    assert set(KINDS) - having("words") == {"checklist", "icon", "motif"}
    box = Rect(0, 0, 40, 26)
    assert [name for name in KINDS if KINDS[name].threads(box, 1.5)] == ["stitched box"]


@pytest.mark.parametrize(
    ("kind", "size", "area"),
    [
        ("full box", (40, 52), (5, 5, 35, 47)),  # an eighth of the shorter side
        ("strip", (40, 8), (1.2, 1.2, 38.8, 6.8)),  # 1.2 mm at the least
        ("strip", (40, 9.6), (1.2, 1.2, 38.8, 8.4)),
        ("strip", (40, 16), (2, 2, 38, 14)),
        ("dot", (10, 10), (1.6, 1.6, 8.4, 8.4)),
        ("pennant", (40, 16), (2, 2, 38 - 6.4, 14)),  # before the swallow tail
        ("stitched box", (40, 20), (3, 3, 37, 17)),  # inside the stitches
        ("stitched box", (40, 32), (4, 4, 36, 28)),
    ],
)
def test_where_words_go(kind: str, size, area) -> None:
    box = Rect(7, 9, *size)
    place = words_area(KINDS[kind], box, 0.0)
    left, top, right, bottom = area
    assert (place.x_mm, place.y_mm) == pytest.approx((7 + left, 9 + top))
    assert (place.right_mm, place.bottom_mm) == pytest.approx((7 + right, 9 + bottom))


def test_words_on_a_panel_keep_a_millimetre_and_a_half_from_its_edge() -> None:
    assert words_area(KINDS["full box"], Rect(0, 0, 40, 52), 4.0) == Rect(5.5, 5.5, 29, 41)
    assert words_area(KINDS["checklist"], Rect(0, 0, 40, 52), 4.0) == Rect(5.5, 5.5, 29, 41)
    with pytest.raises(ValueError, match=r"^a checklist has no room for words$"):
        words_area(KINDS["checklist"], Rect(0, 0, 40, 52), 0.0)


def test_round_ends_of_a_label_and_a_dot() -> None:
    box = Rect(3, 4, 30, 12)
    assert KINDS["label"].outline(box, 1.0) == rounded_rectangle(box, 4.0)
    assert KINDS["label"].outline(box, 5.0) == rounded_rectangle(box, 5.0)
    disc = bounding_box(KINDS["dot"].outline(Rect(3, 4, 12, 10), 1.0))
    assert (disc.x_mm, disc.y_mm, disc.width_mm, disc.height_mm) == (4, 4, 10, 10)
    assert KINDS["full box"].outline(box, 2.0) == rounded_rectangle(box, 2.0)


# ---- marks and lines


@pytest.mark.parametrize(("height", "count"), [(3.0, 1), (10.4, 1), (10.6, 2), (48, 7), (49, 7)])
def test_checks_stand_seven_millimetres_apart_by_themselves(height: float, count: int) -> None:
    assert len(check_marks(Rect(0, 0, 8, height), None, "circle")) == count


def test_checks_by_hand() -> None:
    """Six tenths of the width across, or eight of the step where that is less."""
    box = Rect(10, 20, 10, 40)
    marks = [bounding_box(m) for m in check_marks(box, 4, "circle")]
    assert [m.centre_mm for m in marks] == [(15, 25), (15, 35), (15, 45), (15, 55)]
    assert {round(m.width_mm, 9) for m in marks} == {6.0}
    tight = [bounding_box(m) for m in check_marks(box, 8, "circle")]
    assert {round(m.width_mm, 9) for m in tight} == {4.0}
    squares = check_marks(box, 4, "square")
    assert check_marks(box, 4, "circle")[0] == circle(15, 25, 3)
    assert squares[0] == rounded_rectangle(Rect(12, 22, 6, 6), 0.75)
    assert squares[3] == rounded_rectangle(Rect(12, 52, 6, 6), 0.75)


@pytest.mark.parametrize(("height", "count"), [(10, 1), (17.4, 1), (17.6, 2), (35, 4)])
def test_lines_to_write_on_by_hand(height: float, count: int) -> None:
    panel = Rect(5, 6, 30, height)
    lines = rules(panel)
    assert len(lines) == count
    step = height / (count + 1)
    for i, line in enumerate(lines):
        y = pytest.approx(6 + (i + 1) * step)
        assert [(v.x_mm, v.y_mm) for v in line.vertices] == [(7, y), (33, y)]
    assert [v.x_mm for v in rules(panel)[0].vertices] == [7, 33]


def test_a_panel_too_narrow_for_a_line_has_none() -> None:
    assert rules(Rect(5, 5, 4.0, 30)) == ()
    assert len(rules(Rect(5, 5, 4.1, 30))) == 3


@pytest.mark.parametrize(("shift", "border"), [(0.0, 3.0), (0.6, 3.0), (0.62, 3.1), (1.0, 5.0)])
def test_the_least_border(shift: float, border: float) -> None:
    """Five times the shift, so that opposite borders differ by 1.5 at most; 3 mm at the least."""
    assert least_border_mm(shift) == pytest.approx(border)


# ---- slots


def test_a_slot_says_what_its_row_says() -> None:
    slots = slots_of(
        recipe_of(
            row("dot")
            + row("full box", 'turn = "360deg"\n', count=3, fill='["pods", "#3B5B7A"]')
            + row("checklist", 'checks = 5\ncheck = "square"\n')
        )
    )
    assert [slot.row for slot in slots] == [0, 1, 1, 1, 2]
    assert [slot.wish for slot in slots] == ["palette", "pods", "#3B5B7A", "pods", "palette"]
    assert [slot.angle_deg for slot in slots] == [0.0] * 5
    assert [slot.upright for slot in slots] == [True, False, False, False, False]
    assert one("full box", 'turn = "40deg"\n', fill='"pods"').angle_deg == 40.0
    last = slots[4]
    assert (last.checks, last.check_shape, last.panel, last.border_mm) == (5, "square", None, 0.0)
    column = Rect(0, 0, 8, 50)
    assert last.check_marks(column) == check_marks(column, 5, "square")
    assert slots[0].outline(column, 2.0) == KINDS["dot"].outline(column, 2.0)
    assert slots[1].outline(column, 2.0) == rounded_rectangle(column, 2.0)
    assert slots[0].check_marks(Rect(0, 0, 8, 50)) == ()
    assert (last.made_from, last.words, last.text_pt, last.shape) == ("", "", 0.0, None)


@pytest.mark.parametrize("name", ["header", "dot", "pennant"])
def test_kinds_that_read_one_way_stay_upright(name: str) -> None:
    assert one(name).upright
    assert not one("full box").upright
    assert one("full box", "upright = true\n").upright
    assert one("full box", 'text = "Market"\n').upright


def test_a_panel_lies_inside_its_border() -> None:
    slot = one("full box", 'panel = "white"\nborder = "6mm"\n')
    box = Rect(10, 20, 40, 52)
    assert slot.border_mm == 6.0
    assert slot.panels(box, 1.5) == (rounded_rectangle(Rect(16, 26, 28, 40), 1.5),)
    assert slot.rules(box) == ()
    assert slot.words_area(box) == Rect(17.5, 27.5, 25, 37)
    ruled = one("writing box", sheet='registration = "0.8mm"')
    assert ruled.border_mm == pytest.approx(4.0)
    assert ruled.rules(box) == rules(box.grow(-ruled.border_mm))
    assert one("writing box", 'panel = "none"\n').panels(box, 1.5) == ()
    assert one("writing box", 'panel = "none"\n').border_mm == 0.0


@pytest.mark.parametrize(("side", "fits"), [("12mm", True), ("11.9mm", False)])
def test_a_panel_is_four_millimetres_at_the_least(side: str, *, fits: bool) -> None:
    more = f'panel = "white"\nborder = "4mm"\nsize = "30mm x {side}"\n'
    if fits:
        assert one("full box", more).border_mm == 4.0
        return
    with pytest.raises(RecipeError) as error:
        one("full box", more)
    assert told(error) == (
        "kit.toml: rows.1: a full box only 11.9 mm across has no room for a panel inside a border "
        'of 4.0 mm. Use a larger sticker, set panel = "none", or set border = "..." narrower.'
    )


def test_a_day_box_that_looks_like_a_slip_is_named() -> None:
    with pytest.raises(RecipeError) as error:
        one("writing box", box="4mm x 52mm")
    assert "the day box is only 4 mm x 52 mm" in told(error)
    assert "Is the decimal point or the unit wrong in planner.box?" in told(error)
    with pytest.raises(RecipeError) as error:
        one("writing box", 'size = "9mm x 9mm"\n', box="4mm x 52mm")
    assert "day box" not in told(error)


def test_a_filler_is_of_its_kind_in_a_palette_colour() -> None:
    recipe = recipe_of(row("dot"))
    slot = filler_slot(recipe, "half box", 7)
    assert (slot.kind.name, slot.row, slot.width_mm, slot.height_mm) == ("half box", 7, 40.0, 26.0)
    assert (slot.wish, slot.panel, slot.border_mm) == ("palette", None, 0.0)
    ruled = filler_slot(recipe, "writing box", 1)
    assert (ruled.panel, ruled.border_mm) == ("ruled", least_border_mm(0.5))


@pytest.mark.parametrize(("side", "slip"), [("9.99mm", True), ("10mm", False)])
def test_a_day_box_under_a_centimetre_looks_like_a_slip(side: str, *, slip: bool) -> None:
    with pytest.raises(RecipeError) as error:
        one("writing box", 'border = "4mm"\n', box=f"{side} x 52mm")
    assert ("day box" in told(error)) == slip


@pytest.mark.parametrize(
    ("more", "line"),
    [
        ('fill = "pod"\n', 10),
        ('fill = "pods"\npanel = "pod"\n', 11),
        ('fill = "pods"\npanel = "white"\nborder = "30mm"\n', 11),
        ('fill = "pods"\n\ntext = "卵"\n', 12),
        ('fill = "pods"\npanel = "ruled"\ntext = "Eggs"\n', 12),
        (
            'fill = "pods"\npanel = "white"\nborder = "4mm"\nframe = "pods"\nframe_width = "4mm"\n',
            14,
        ),
        ('fill = "pods"\nband = "pods"\nband_height = "52mm"\n', 12),
        ('fill = "pods"\n\nband = "pod"\n', 12),
        ('fill = "pods"\npanel = "white"\nframe = "pod"\n', 12),
        ('fill = "pods"\npanel = "ruled"\nchecks = 40\n', 12),
        ('fill = "pods"\npanel = "ruled"\npitch = "60mm"\n', 12),
        ('fill = "pods"\n\ntext = "Eggs"\ntext_size = "300pt"\n', 13),
    ],
)
def test_the_line_of_the_key_is_told(tmp_path: Path, more: str, line: int) -> None:
    """A maker goes straight to it, in the second row of the recipe."""
    file = tmp_path / "kit.toml"
    text = (
        '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "pods.png"\n'
    )
    file.write_text(text + '[[rows]]\nsticker = "full box"\ncount = 2\n' + more, "utf-8")
    recipe = parse_recipe(file.read_text("utf-8"), file)
    with pytest.raises(RecipeError) as error:
        slots_of(recipe)
    assert f"kit.toml, line {line}: rows.1" in told(error)


def test_the_line_of_a_band_without_a_foot_is_told(tmp_path: Path) -> None:
    file = tmp_path / "kit.toml"
    head = (
        '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "pods.png"\n'
    )
    file.write_text(head + row("pennant", 'band = "pods"\n'), "utf-8")
    with pytest.raises(RecipeError, match=r"kit\.toml, line 11: rows\.1\.band: a pennant of this"):
        slots_of(parse_recipe(file.read_text("utf-8"), file))


@pytest.mark.parametrize(
    ("key", "value", "where"),
    [("fill", '"pod"', "fill"), ("fill", '["pods", "pod"]', "fill"), ("panel", '"pod"', "panel")],
)
def test_an_unknown_fill_is_told_with_the_nearest(key: str, value: str, where: str) -> None:
    text = row("full box", fill=value) if key == "fill" else row("full box", f"panel = {value}\n")
    with pytest.raises(RecipeError) as error:
        slots_of(recipe_of(text))
    extra = '"white", "ruled", ' if key == "panel" else ""
    assert told(error) == (
        f'kit.toml: rows.1.{where}: "pod" is neither a pattern of this recipe nor a colour. '
        f'Did you mean "pods"? Use {extra}"patterns", "palette", a colour like "#3b5b7a", '
        "or one of pods."
    )


def test_white_is_a_panel_and_no_fill() -> None:
    assert one("full box", 'panel = "white"\n').panel == "white"
    with pytest.raises(RecipeError, match=r"rows\.1\.fill"):
        slots_of(recipe_of(row("full box", fill='"white"')))


@pytest.mark.parametrize(
    ("wish", "colour"),
    [("#3b5b7a", True), ("#3B5B7A", True), ("#3b5b7", False), ("#3b5b7aa", False),
     ("3b5b7a", False), ("#3b5b7g", False), ("pods", False), ("x#3b5b7a", False)],
)  # fmt: skip
def test_a_colour_is_a_sign_and_six_digits(wish: str, *, colour: bool) -> None:
    assert is_colour(wish) == colour


# ---- words


def test_words_go_round_and_are_set_in_one_size() -> None:
    slots = slots_of(recipe_of(row("label", 'text = ["Eggs", "Marmalade"]\n', count=3)))
    assert [slot.words for slot in slots] == ["Eggs", "Marmalade", "Eggs"]
    (size,) = {slot.text_pt for slot in slots}
    longer = slots_of(recipe_of(row("label", 'text = "Eggs"\n')))[0].text_pt
    assert 6.0 <= size <= longer


def test_a_stated_size_is_kept_or_refused_with_the_largest() -> None:
    assert one("label", 'text = "Eggs"\ntext_size = "9pt"\n').text_pt == pytest.approx(9.0)
    with pytest.raises(RecipeError) as error:
        one("label", 'text = ["Eggs", "Marmalade and toast"]\ntext_size = "21pt"\n')
    assert 'rows.1.text_size: "Marmalade and toast" is wider than its label at 21.0 pt.' in told(
        error
    )
    fits = told(error).partition('Set text_size to at most "')[2].partition("pt")[0]
    assert one("label", f'text = "Marmalade and toast"\ntext_size = "{fits}pt"\n').text_pt > 5


def test_the_widest_word_decides_not_the_last_in_the_alphabet() -> None:
    with pytest.raises(RecipeError, match="Marmalade"):
        one("label", 'text = ["Marmalade and toast", "Zest"]\ntext_size = "21pt"\n')


def test_letters_that_the_font_has_not_are_named() -> None:
    with pytest.raises(RecipeError) as error:
        one("label", 'text = ["Eggs", "卵 Eggs"]\n')
    assert told(error) == (
        'kit.toml: rows.1.text: the font has no letter for "卵" in "卵 Eggs". '
        'Write it with other letters, or name a font that has it: font = "..." in [letters].'
    )


def test_a_ruled_panel_takes_no_words() -> None:
    with pytest.raises(RecipeError) as error:
        one("writing box", 'text = "Eggs"\n')
    assert told(error) == (
        "kit.toml: rows.1.text: a ruled panel has no room for words. "
        'Set panel = "white", or take the text out.'
    )


# ---- dressed


def test_words_on_a_pattern_get_a_white_band_and_on_a_colour_none() -> None:
    slot = one("full box", 'text = "Market"\n')
    box = Rect(10, 20, 40, 52)
    on_pattern = dress(slot, box, 1.5, None)
    (words,) = on_pattern.lettering
    assert words == letter("Market", slot.words_area(box), slot.text_pt, "#ffffff")
    assert on_pattern.band is not None
    band = bounding_box(on_pattern.band)
    assert band.centre_mm == pytest.approx((30, 46))
    assert band.height_mm == pytest.approx(words.box.height_mm + 2.8)
    wide = min(words.box.width_mm + 4.0, slot.words_area(box).width_mm + 1.2)
    assert band.width_mm == pytest.approx(wide)
    on_colour = dress(slot, box, 1.5, "#26443b")
    assert on_colour.band is None
    assert on_colour.lettering[0].colour == "#ffffff"
    assert dress(slot, box, 1.5, "#f4eedc").lettering[0].colour == words.colour == "#262626"


def test_the_band_keeps_to_what_words_may_take() -> None:
    """Words as wide as they may be: the band goes no more than 0.6 mm beyond."""
    slot = one(
        "strip", 'text = "A long word about nothing"\ntext_size = "6pt"\nsize = "40mm x 5mm"\n'
    )
    box = Rect(10, 20, 40, 5)
    (words,) = dress(slot, box, 1.5, None).lettering
    area = slot.words_area(box)
    band = dress(slot, box, 1.5, None).band
    assert band is not None
    seen = bounding_box(band)
    assert seen.height_mm == pytest.approx(min(words.box.height_mm + 2.8, area.height_mm + 1.2))
    assert seen.height_mm == pytest.approx(area.height_mm + 1.2)
    tall = 2.6 + 1.2
    assert seen.height_mm == pytest.approx(tall)
    # round ends where it is low: half its height, 1.5 mm at the most
    expected = rounded_rectangle(seen, 1.5).vertices
    assert [(v.x_mm, v.y_mm, v.bulge) for v in band.vertices] == [
        pytest.approx((v.x_mm, v.y_mm, v.bulge)) for v in expected
    ]


def test_the_band_of_wide_words_ends_with_their_area() -> None:
    slot = one("full box", 'text = "Marmalade"\nsize = "20mm x 30mm"\n')
    box = Rect(10, 20, 20, 30)
    made = dress(slot, box, 1.5, None)
    assert made.lettering[0].box.width_mm + 4.0 > slot.words_area(box).width_mm + 1.2
    assert made.band is not None
    assert bounding_box(made.band).width_mm == pytest.approx(slot.words_area(box).width_mm + 1.2)


def test_stitches_are_white_on_artwork_and_dark_on_pale_colours() -> None:
    slot = one("stitched box")
    box = Rect(10, 20, 40, 26)
    assert dress(slot, box, 1.5, None).thread == "#ffffff"
    assert dress(slot, box, 1.5, "#26443b").thread == "#ffffff"
    assert dress(slot, box, 1.5, "#f4eedc").thread == "#262626"
    assert dress(slot, box, 1.5, None).threads == KINDS["stitched box"].threads(box, 1.5)
    plain = dress(one("full box"), box, 1.5, None)
    assert (plain.threads, plain.band, plain.picture, plain.lettering) == ((), None, None, ())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "leaf.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0H20V10H0Z"/></svg>'
    )
    drawing = Image.new("RGBA", (300, 200), (0, 0, 0, 0))
    drawing.paste((200, 40, 60, 255), (50, 50, 250, 150))
    drawing.save(tmp_path / "pear.png")
    return tmp_path


def test_an_outline_of_the_makers_own_is_the_cut_line(folder: Path) -> None:
    slot = one("custom", 'outline = "leaf.svg"\nsize = "30mm x 30mm"\n', file=folder / "kit.toml")
    assert (slot.width_mm, slot.height_mm) == pytest.approx((30, 15))
    seen = bounding_box(slot.outline(Rect(50, 60, 30, 15), 1.5))
    assert (seen.x_mm, seen.y_mm, seen.width_mm, seen.height_mm) == pytest.approx((50, 60, 30, 15))
    assert len(slot.made_from) == 64  # SHA-256
    assert slot.beside == ()
    assert [(v.x_mm, v.y_mm) for v in slot.outline(Rect(50, 60, 30, 15), 4.0).vertices] == [
        pytest.approx(corner) for corner in ((50, 60), (80, 60), (80, 75), (50, 75))
    ], "its own corners, not round ones of a kind"
    drawn = (folder / "leaf.svg").read_text().replace("</svg>", '<circle r="2"/></svg>')
    (folder / "more.svg").write_text(drawn)
    more = one("custom", 'outline = "more.svg"\nsize = "30mm x 30mm"\n', file=folder / "kit.toml")
    assert more.beside == ("1 circle",)
    assert slot.drawing is None
    assert not slot.upright


def test_a_drawing_of_the_makers_own_is_printed_where_it_is_cut(folder: Path) -> None:
    slot = one("icon", 'picture = "pear.png"\ndistance = "1mm"\n', file=folder / "kit.toml")
    assert slot.upright
    assert len(slot.made_from) == 64
    box = Rect(50, 60, slot.width_mm, slot.height_mm)
    picture = dress(slot, box, 1.5, "#f4eedc").picture
    assert picture is not None
    assert slot.drawing is not None
    assert picture.box == slot.drawing.box.shift(50, 60)
    assert picture.on_white is slot.drawing.on_white
    assert picture.alpha is slot.drawing.alpha


# ---- grounds between fill and panel


def test_a_frame_lies_round_the_panel_and_leaves_the_border_that_cutting_needs() -> None:
    """Else the blade runs into the frame, or the frame hides the artwork round it."""
    plain = one("full box", 'panel = "white"\n')
    framed = one("full box", 'panel = "white"\nframe = "pods"\nframe_width = "1.5mm"\n')
    assert (framed.frame, framed.frame_mm) == ("pods", 1.5)
    assert framed.border_mm == pytest.approx(plain.border_mm + 1.5)
    box = Rect(10, 20, 40, 52)
    edge = framed.frame_edge(box, 1.5)
    assert edge == rounded_rectangle(box.grow(-plain.border_mm), 1.5)
    assert plain.frame_edge(box, 1.5) is None


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ('frame = "pods"\n', "a full box has no panel here"),
        ('panel = "white"\nframe_width = "2mm"\n', "there is no frame"),
        ('panel = "white"\nframe = "palette"\n', "name one fill"),
        ('panel = "white"\nframe = "pod"\n', '"pod" is neither a pattern of this recipe nor'),
        ('panel = "white"\nborder = "2mm"\nframe = "pods"\n', "leaves nothing of the border"),
        ('band_height = "4mm"\n', "there is no band"),
        ('band = "pods"\nband_height = "60mm"\n', "covers the whole full box"),
        ("panel_line = true\n", "a full box has no panel here"),
    ],
)
def test_a_ground_that_cannot_be_is_refused(more: str, said: str) -> None:
    with pytest.raises(RecipeError) as error:
        one("full box", more)
    assert said in told(error)


def test_a_band_needs_a_straight_foot() -> None:
    with pytest.raises(RecipeError, match="no straight foot"):
        one("pennant", 'band = "pods"\n')


@pytest.mark.parametrize(
    ("kind", "more", "fits", "told_"),
    [
        (
            "full box",
            'panel = "white"\nborder = "4mm"\nframe = "pods"\nframe_width = "{}mm"\n',
            (3.9, 4),
            "rows.1.frame_width: a frame of 4.0 mm leaves nothing of the border of 4.0 mm, so the "
            "cut would run into it. Write a narrower frame_width, or a wider border.",
        ),
        (
            "half box",
            'band = "pods"\nband_height = "{}mm"\n',
            (25.9, 26),
            "rows.1.band_height: a band of 26.0 mm covers the whole half box, which is 26.0 mm "
            "high. Write less, or use it as the fill.",
        ),
    ],
)
def test_the_limit_of_a_ground(kind: str, more: str, fits, told_: str) -> None:
    slot = one(kind, more.format(fits[0]))
    assert fits[0] in (slot.frame_mm, slot.band_mm)
    with pytest.raises(RecipeError) as error:
        one(kind, more.format(fits[1]))
    assert told(error) == f"kit.toml: {told_}"


def test_grounds_where_nothing_is_said_of_their_size() -> None:
    """Two millimetres of frame; three tenths of the height."""
    framed = one("full box", 'panel = "white"\nframe = "#3b5b7a"\n')
    assert (framed.frame, framed.frame_mm, framed.border_mm) == ("#3b5b7a", 2.0, 5.0)
    banded = one("half box", 'band = "pods"\n')
    assert (banded.band, banded.band_mm) == ("pods", pytest.approx(7.8))
    plain = one("half box")
    assert (plain.frame, plain.frame_mm, plain.band, plain.band_mm) == ("", 0.0, "", 0.0)
    with pytest.raises(RecipeError) as error:
        one("pennant", 'band = "pods"\n')
    assert told(error) == (
        "kit.toml: rows.1.band: a pennant of this outline has no straight foot for a band. "
        "Take it out, or choose a kind that fills its box."
    )
    with pytest.raises(RecipeError) as error:
        one("half box", 'band = "pod"\n')
    assert told(error) == (
        'kit.toml: rows.1.band: "pod" is neither a pattern of this recipe nor a colour. '
        'Did you mean "pods"? Use a colour like "#3b5b7a", or one of pods.'
    )


def test_a_slot_says_more_of_what_its_row_says() -> None:
    more = 'rule = "light"\npanel = "ruled"\npitch = "6mm"\npanel_line = true\n'
    slot = one("full box", more)
    assert (slot.light, slot.pitch_mm, slot.panel_line) == (True, 6.0, True)
    assert (one("full box").light, one("full box").panel_line) == (False, None)
    assert one("dot", 'at = ["20mm x 30mm"]\n').at == OwnPlace(20.0, 30.0)
    column = Rect(0, 0, 40, 52)
    assert slot.rules(column) == rules(column.grow(-3.0), pitch_mm=6.0)
    marked = one("checklist", 'pitch = "6mm"\n')
    assert marked.check_marks(column) == check_marks(column, None, "circle", 0.0, 6.0)


# ---- words that keep clear of the cut


def test_words_get_smaller_to_keep_clear_but_no_smaller_than_eight_points() -> None:
    """On artwork the white behind them keeps clear: 2 mm more aside, 1.4 mm above."""

    def size(clear: float, fill: str = '"#3b5b7a"', text: str = "Eggs") -> float:
        recipe = recipe_of(row("label", f'text = "{text}"\n', fill=fill))
        (slot,) = slots_of(recipe)
        return row_text_pt(recipe, replace(slot, clear_mm=clear), recipe.rows[0])

    high = 10.4
    cap = letter("H", Rect(0, 0, 99, 99), 10.0, "#ffffff").box.height_mm / 10.0
    assert size(3.4) == pytest.approx((high - 6.8) / cap, rel=0.02)
    assert size(4.1) == pytest.approx((high - 8.2) / cap, rel=0.02)
    assert size(0.0) == size(3.0) > size(3.4) > size(4.1) >= 8.0
    assert size(4.2) == size(0.0)  # it would be 7.9 pt: as large as there is room
    assert size(3.4, text="Marmalade and toast") < size(3.4)
    assert size(2.0, '"pods"') == pytest.approx(size(3.4), rel=1e-6)
    assert size(2.0, '["#3b5b7a", "pods"]') == size(2.0, '"pods"')
    assert size(2.0, '"palette"') == size(2.0)


def test_words_keep_inside_the_stitches_that_moved_in() -> None:
    kind, box = KINDS["stitched box"], Rect(7, 9, 40, 26)
    still, moved = words_area(kind, box, 0.0), words_area(kind, box, 0.0, 3.0)
    # stitches begin 1.6 mm inside, and 3.07 mm where they keep 3 mm clear
    assert moved.x_mm - still.x_mm == pytest.approx(1.47)
    assert still.bottom_mm - moved.bottom_mm == pytest.approx(1.47)
    assert words_area(kind, box, 0.0, 0.1) == still
    plain = KINDS["full box"]
    assert words_area(plain, box, 0.0, 3.0) == words_area(plain, box, 0.0)
    assert replace(one("stitched box"), clear_mm=3.0).words_area(box) == moved
