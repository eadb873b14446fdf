"""Exchange files: each format round-trips, outside readers agree, broken files are refused.

Outside sources: the colour values of the Design Tokens 2025.10 schema, rewritten below for the
parts that kitloom writes; tinycss2 for CSS; colour-cxf for CxF3 (a reader, not a strict validator).
"""

from __future__ import annotations

import json
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmarks.planted import planted_kit
from palette.choose import Palette, Role, bins_of, choose
from palette.errors import PaletteError
from palette.exchange import FORMATS, read_colours
from palette.exchange.colour import as_palette
from palette.space import de2000

READABLE = [name for name, one in FORMATS.items() if one.read is not None]


@cache
def palette() -> Palette:
    return choose({f"{i}": bins_of(t) for i, t in enumerate(planted_kit(50, 240)[1])}, 8)


def written(name: str) -> bytes:
    return FORMATS[name].write(palette())


@pytest.mark.parametrize("name", READABLE)
def test_round_trip(name: str) -> None:
    back = read_colours(written(name), FORMATS[name].file_name)
    assert [(one.name, one.hex) for one in back] == [(s.name, s.hex) for s in palette().swatches]
    for one, swatch in zip(back, palette().swatches, strict=True):
        assert float(de2000(one.lab, swatch.lab)) < 0.01


@pytest.mark.parametrize("name", list(FORMATS))
def test_same_palette_same_bytes(name: str) -> None:
    assert FORMATS[name].write(palette()) == written(name)
    assert FORMATS[name].file_name.startswith("palette.")


COLOUR_VALUE = {
    "type": "object",
    "required": ["colorSpace", "components"],
    "additionalProperties": False,
    "properties": {
        "colorSpace": {"const": "srgb"},
        "components": {
            "type": "array",
            "minItems": 3,
            "maxItems": 3,
            "items": {"type": "number", "minimum": 0, "maximum": 1},
        },
        "alpha": {"type": "number", "minimum": 0, "maximum": 1},
        "hex": {"type": "string", "pattern": "^#[0-9a-fA-F]{6}$"},
    },
}
TOKEN_FILE = {
    "type": "object",
    "required": ["palette"],
    "additionalProperties": False,
    "properties": {
        "$schema": {"const": "https://www.designtokens.org/schemas/2025.10/format.json"},
        "palette": {
            "type": "object",
            "required": ["$type"],
            "properties": {"$type": {"const": "color"}},
            "patternProperties": {
                "^[^${}.][^{}.]*$": {
                    "type": "object",
                    "required": ["$value"],
                    "additionalProperties": False,
                    "properties": {"$value": COLOUR_VALUE, "$description": {"type": "string"}},
                }
            },
            "additionalProperties": False,
        },
    },
}


def test_design_tokens_keep_the_schema() -> None:
    import jsonschema

    jsonschema.validate(json.loads(written("design-tokens")), TOKEN_FILE)


def test_css_is_parsed_by_an_outside_reader() -> None:
    import tinycss2

    rules = tinycss2.parse_stylesheet(written("css").decode(), skip_whitespace=True)
    assert [rule.type for rule in rules] == ["qualified-rule"]
    declared = tinycss2.parse_blocks_contents(rules[0].content, skip_whitespace=True)
    found = {
        d.lower_name: tinycss2.serialize(d.value).strip()
        for d in declared
        if d.type == "declaration"
    }
    assert not [d for d in declared if d.type == "error"]
    assert len(found) == 2 * len(palette())
    for swatch in palette().swatches:
        assert found[f"--palette-{swatch.name.replace(' ', '-')}"] == swatch.hex


def test_css_lab_is_the_lab_of_css() -> None:
    from coloraide import Color

    for line in written("css").decode().splitlines():
        name, _, value = line.strip().rstrip(";").partition(": ")
        if value.startswith("lab("):
            theirs = Color(value).convert("srgb").to_string(hex=True)
            assert f"{name.removesuffix('-lab')}: {theirs};" in written("css").decode()


@pytest.mark.slow
def test_cxf_is_read_by_an_outside_reader() -> None:
    import colour_cxf

    cxf = colour_cxf.read_cxf(written("cxf"))
    objects = cxf.resources.object_collection.object_value
    assert [one.name for one in objects] == [swatch.name for swatch in palette().swatches]
    for one, swatch in zip(objects, palette().swatches, strict=True):
        lab = one.color_values.choice[0]
        assert (lab.l, lab.a, lab.b) == pytest.approx(swatch.lab, abs=1e-3)


def test_cxf_says_nothing_of_a_measurement_that_was_not_made() -> None:
    """Its colours come from sRGB pixels: a program that trusts instruments would be misled."""
    for word in (b"Measurement", b"E308", b"Reflectance", b"Spectrum"):
        assert word not in written("cxf")


def tokens(value: object, **group: object) -> bytes:
    return json.dumps({"set": {"$type": "color", "one": {"$value": value}, **group}}).encode()


def test_old_hex_value_is_refused_with_todays_form() -> None:
    with pytest.raises(PaletteError) as caught:
        read_colours(tokens("#c8323c"), "old.tokens.json")
    assert '"components": [0.7843, 0.1961, 0.2353]' in caught.value.remedy


@pytest.mark.parametrize(
    "value",
    [
        {"components": [0.1, 0.2, 0.3]},
        {"colorSpace": "srgb"},
        {"colorSpace": "srgb", "components": [0.1, 0.2, 0.3, 1]},
        {"colorSpace": "srgb", "components": [12, 200, 30]},
        {"colorSpace": "srgb", "components": ["0.1", 0.2, 0.3]},
        {"colorSpace": "srgb", "components": [True, 0.2, 0.3]},
        {"colorSpace": "srgb", "components": [0.1, 0.2, 0.3], "hex": "#11223344"},
        {"colorSpace": "srgb", "components": [0.1, 0.2, 0.3], "alpha": 1.5},
        {"colorSpace": "srgb", "components": [0.1, 0.2, 0.3], "alpha": 0.5},
        {"colorSpace": "srgb", "components": [0.1, 0.2, 0.3], "opacity": 1},
        {"colorSpace": "lab", "components": [120, 0, 0]},
        {"colorSpace": "rec2020", "components": [0.1, 0.2, 0.3]},
        {"colorSpace": ["srgb"], "components": [0.1, 0.2, 0.3]},
        {"colorSpace": "srgb", "components": [1e400, 0.2, 0.3]},
        "{set.two}",
        "{set.one}",
        17,
        None,
    ],
)
def test_bad_token_values_are_refused(value: object) -> None:
    with pytest.raises(PaletteError, match=r"one|JSON"):
        read_colours(tokens(value), "x.tokens.json")


def test_token_colour_spaces_and_aliases() -> None:
    data = tokens(
        {"colorSpace": "lab", "components": [50, 20, "none"]},
        two={"$value": "{set.one}"},
        three={"$value": {"colorSpace": "lch", "components": [50, 20, 90]}},
        four={"$value": {"colorSpace": "oklch", "components": [0.5, 0.1, 90], "hex": "#786000"}},
        size={"$type": "dimension", "$value": {"value": 3, "unit": "px"}},
    )
    found = {one.name: one for one in read_colours(data, "x.tokens.json")}
    assert sorted(found) == ["four", "one", "three", "two"]
    assert found["one"].lab == found["two"].lab == (50.0, 20.0, 0.0)
    assert found["three"].lab == pytest.approx((50.0, 0.0, 20.0), abs=1e-9)
    assert found["four"].hex == "#786000"


BOMB = b"""<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>
<CxF xmlns="http://colorexchangeformat.com/CxF3-core">&b;</CxF>"""
OUTSIDE = b"""<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]><CxF>&a;</CxF>"""


@pytest.mark.parametrize("data", [BOMB, OUTSIDE])
def test_cxf_entities_are_never_expanded(data: bytes) -> None:
    with pytest.raises(PaletteError, match="document type"):
        read_colours(data, "bomb.cxf")


def test_cxf_of_another_light_is_refused() -> None:
    other = written("cxf").replace(b"<Illuminant>D50<", b"<Illuminant>D65<")
    with pytest.raises(PaletteError, match="D65"):
        read_colours(other, "x.cxf")


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("x.tokens.json", b""),
        ("x.tokens.json", b"[]"),
        ("x.tokens.json", b"{}"),
        ("x.tokens.json", b'{"a": NaN}'),
        ("x.tokens.json", b'{"a":' * 100_000),
        ("x.tokens.json", b'{"a":' * 60 + b"1" + b"}" * 60),
        ("x.tokens.json", b"\xff\xfe\x00"),
        ("x.cxf", b""),
        ("x.cxf", b"<CxF/>"),
        ("x.cxf", b"<a>" * 5_000),
        ("x.cxf", b'<CxF xmlns="http://colorexchangeformat.com/CxF3-core"/>'),
        ("x.csv", b""),
        ("x.csv", b"name,shade\nteal,dark\n"),
        ("x.csv", b"name,hex\n"),
        ("x.csv", b"name,hex\nteal,#12\n"),
        ("x.csv", b"name,L,a,b\nteal,50,nan,0\n"),
        ("x.csv", b"name,L,a,b\nteal,50\n"),
        ("x.csv", b'name,hex\n"teal,#123456\n'),
        ("x.csv", b"hex\n" + b"#123456\n" * 1_001),
        ("x.csv", b"hex\n" + b"#" * 2_000_001),
        ("x.txt", b"#123456"),
    ],
)
def test_broken_files_are_one_clear_error(name: str, data: bytes) -> None:
    with pytest.raises(PaletteError) as caught:
        read_colours(data, name)
    assert caught.value.remedy
    assert name in caught.value.line()
    assert "\n" not in caught.value.line()


@pytest.mark.parametrize("name", READABLE)
@given(data=st.data())
def test_damaged_files_never_fail_otherwise(name: str, data: st.DataObject) -> None:
    """Cut or overwritten anywhere, a file is read or refused, nothing else."""
    whole = written(name)
    at = data.draw(st.integers(0, len(whole)))
    noise = data.draw(st.binary(max_size=12))
    damaged = whole[:at] + noise + whole[at + len(noise) :]
    try:
        read_colours(damaged if data.draw(st.booleans()) else whole[:at], FORMATS[name].file_name)
    except PaletteError as error:
        assert error.where.startswith(FORMATS[name].file_name)  # noqa: PT017


@pytest.mark.parametrize(
    "text",
    ["name;hex\nteal;#147882\n", "HEX\tName\n#147882\tteal\n", "\ufeffname,hex\nteal,#147882\n"],
)
def test_csv_as_spreadsheets_save_it(text: str) -> None:
    (one,) = read_colours(text.encode(), "x.csv")
    assert (one.name, one.hex) == ("teal", "#147882")


def test_csv_with_decimal_commas() -> None:
    (one,) = read_colours(b"name;L;a;b\nteal;45,5;-28,1;-10\n", "x.csv")
    assert one.lab == (45.5, -28.1, -10.0)


def test_colours_of_a_file_become_a_palette_with_the_first_as_ground() -> None:
    back = as_palette(read_colours(written("csv"), "x.csv"))
    assert [one.hex for one in back.swatches] == [one.hex for one in palette().swatches]
    assert back.swatches[0].role is Role.GROUND
    assert sum(one.share for one in back.swatches) == pytest.approx(1.0)
