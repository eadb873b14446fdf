"""The palette as CxF3, the colour exchange format of the print trade, and colours out of it.

Source: ISO 17972-1, namespace ``http://colorexchangeformat.com/CxF3-core``. Each colour is an
``Object`` with CIELAB under D50, 2 degree observer. This is not CxF/X-4, which needs measured
spectra. The dates that the format wants are fixed, so that one palette gives one file. Nothing was
measured, so nothing is said of a measurement: the method is "unknown", and there is no
``MeasurementSpec``, although the public reader's classes call it required. The standard is sold, so
the required parts were checked against that reader, not against its text.

When reading, a document type declaration is refused, and with it every entity: no small file can
swell to gigabytes or fetch another one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from xml.etree.ElementTree import Element, SubElement, TreeBuilder, indent, tostring
from xml.parsers import expat

from palette.choose import Palette
from palette.errors import PaletteError
from palette.exchange.colour import NamedColour, check_count, check_size, from_lab

_SPACE = "http://colorexchangeformat.com/CxF3-core"
_NS = f"{{{_SPACE}}}"
_DATE = "1970-01-01T00:00:00Z"
_DEEPEST = 60


def write(palette: Palette) -> bytes:
    """Return the palette as CxF3, UTF-8."""
    root = Element("CxF", xmlns=_SPACE)
    information = SubElement(root, "FileInformation")
    _text(information, Creator="kitloom", CreationDate=_DATE, Description="Palette of artwork")
    resources = SubElement(root, "Resources")
    objects = SubElement(resources, "ObjectCollection")
    for number, swatch in enumerate(palette.swatches, start=1):
        one = SubElement(
            objects, "Object", ObjectType="Standard", Name=swatch.name, Id=f"c{number}"
        )
        _text(one, CreationDate=_DATE)
        values = SubElement(one, "ColorValues")
        lab = SubElement(values, "ColorCIELab", ColorSpecification="D50")
        _text(lab, **{key: f"{v:.4f}" for key, v in zip("LAB", swatch.lab, strict=True)})
    specification = SubElement(
        SubElement(resources, "ColorSpecificationCollection"), "ColorSpecification", Id="D50"
    )
    stimulus = SubElement(specification, "TristimulusSpec")
    _text(stimulus, Illuminant="D50", Observer="2_Degree", Method="unknown")
    indent(root)
    document: bytes = tostring(root, encoding="utf-8", xml_declaration=True)
    return document + b"\n"


def _text(parent: Element, **children: str) -> None:
    for name, text in children.items():
        SubElement(parent, name).text = text


def read(data: bytes, where: str) -> tuple[NamedColour, ...]:
    """Return every object with CIELAB values, in the file's order.

    Raises:
        PaletteError: no CxF, a document type declaration, another illuminant, or no colours.
    """
    check_size(data, where)
    root = _parse(data, where)
    if root.tag != f"{_NS}CxF":
        raise PaletteError(
            "not a CxF3 file", where=where, remedy="Export the colours as CxF3 (ISO 17972-1)."
        )
    _check_illuminants(root.iter(f"{_NS}Illuminant"), where)
    return check_count(_colours(root, where), where)


def _colours(root: Element, where: str) -> Iterator[NamedColour]:
    for one in root.iter(f"{_NS}Object"):
        lab = one.find(f"{_NS}ColorValues/{_NS}ColorCIELab")
        if lab is not None:
            name = one.get("Name") or one.get("Id") or "colour"
            yield from_lab(name, [_number(lab, key, name, where) for key in "LAB"], where)


def _check_illuminants(illuminants: Iterable[Element], where: str) -> None:
    for illuminant in illuminants:
        name = (illuminant.text or "").strip()
        if name != "D50":
            raise PaletteError(
                f'its colours are for the light "{name[:40]}"',
                where=where,
                why="print is judged under D50",
                remedy="Export the colours for D50, 2 degree observer.",
            )


def _number(lab: Element, key: str, name: str, where: str) -> float:
    try:
        return float(lab.findtext(f"{_NS}{key}", ""))
    except ValueError as error:
        raise PaletteError(
            f'the colour "{name[:40]}" has no number for {key}',
            where=where,
            remedy="Export the file again.",
        ) from error


def _parse(data: bytes, where: str) -> Element:
    """Parse without document type, entities or great depth."""
    parser = expat.ParserCreate(namespace_separator="}")
    builder = TreeBuilder()
    depth = 0

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal depth
        depth += 1
        if depth > _DEEPEST:
            raise _unreadable(where, "its parts are nested too deep")
        builder.start("{" + tag if "}" in tag else tag, attributes)

    def end(tag: str) -> None:
        nonlocal depth
        depth -= 1
        builder.end("{" + tag if "}" in tag else tag)

    def doctype(*_parts: object) -> None:
        raise _unreadable(where, "it has a document type declaration, which no colour file needs")

    parser.StartElementHandler, parser.EndElementHandler = start, end
    parser.CharacterDataHandler = builder.data
    parser.StartDoctypeDeclHandler = doctype
    try:
        parser.Parse(data, True)  # noqa: FBT003  expat takes it by position only
    except expat.ExpatError as error:
        raise _unreadable(where, f"line {error.lineno} does not fit together") from error
    except (ValueError, LookupError) as error:
        raise _unreadable(where, "it is written in an unknown alphabet") from error
    return builder.close()


def _unreadable(where: str, why: str) -> PaletteError:
    return PaletteError(
        "cannot be read as CxF",
        where=where,
        why=why,
        remedy="Export the colours as plain CxF3 (ISO 17972-1) again.",
    )
