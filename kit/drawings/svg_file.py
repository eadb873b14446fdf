"""The paths and shapes of an SVG file, where a browser draws them.

In: the file's bytes. Out: sub-paths as cubic Bézier curves in the file's own units, y down (SVG
1.1, 5, 7, 8 and 9), and the names of what is drawn beside them. Groups, ``use``, ``symbol`` and
``svg`` within ``svg`` are followed with their transforms and viewports; what is in definitions,
clips, masks, patterns or a hidden layer (``display``, ``visibility``) is not drawn.

Not done here: colours, text, clipping.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from fontTools.misc.transform import Identity, Transform

from kit.drawings.svg_path import PathError, read_path
from kit.drawings.svg_shape import SHAPES, shape_path, user_units
from kit.drawings.svg_style import GEOMETRY, Rule, declared_on, sheet_rules
from kit.drawings.svg_transform import (
    Size,
    about_origin,
    attribute_matrix,
    into_viewport,
    style_matrix,
    view_box,
)
from kit.drawings.svg_tree import MAX_DEPTH, Node, Tree, read_tree
from kit.shapes import Run

MOST_ELEMENTS = 20_000  # drawn, each use of one counted
GROUPS = {"g", "a", "switch"}
VIEWPORTS = {"svg", "symbol"}
OTHERS = {"text", "image", "foreignObject"}


@dataclass(frozen=True)
class Drawn:
    """What an SVG file draws.

    Attributes:
        runs: every drawn sub-path; those of basic shapes where no path is drawn.
        beside: what else is drawn, such as ("2 circle", "1 text"), the page's rectangle left out.
    """

    runs: list[Run]
    beside: tuple[str, ...]


def drawn_in(data: bytes) -> Drawn:
    """Return what an SVG file draws.

    Raises:
        PathError: not XML, hostile, or with a path, shape, style or transform that cannot be read.
    """
    elements = list(_Walk(read_tree(data)).elements())
    paths = [one for one in elements if one.tag == "path"]
    chosen = paths or [one for one in elements if one.tag in SHAPES]
    runs = [run for one in chosen for run in one.runs()]
    if paths and not runs:  # paths without a line in them
        chosen = [one for one in elements if one.tag in SHAPES]
        runs = [run for one in chosen for run in one.runs()]
    others = [one.tag for one in elements if one not in chosen and one.tag != "path"]
    beside = Counter(tag for tag in others)
    pages = sum(one.is_page for one in elements if one not in chosen)
    beside["rect"] -= pages
    return Drawn(runs, tuple(f"{count} {tag}" for tag, count in beside.items() if count > 0))


@dataclass(frozen=True, slots=True, eq=False)
class _Element:
    """A path, shape or other thing that is drawn, and where its own units lie."""

    tag: str
    attributes: Mapping[str, str]
    matrix: Transform
    viewport: Size | None

    def runs(self) -> list[Run]:
        """Return its runs where they are drawn."""
        is_path = self.tag == "path"
        data = self.attributes.get("d", "") if is_path else shape_path(self.tag, self.attributes)
        return [run.map(self.matrix.transformPoint) for run in read_path(data)]

    @property
    def is_page(self) -> bool:
        """Whether it is a rectangle that covers what the file shows."""
        if self.tag != "rect":
            return False
        size = [self.attributes.get(name, "") for name in ("width", "height")]
        return size == ["100%", "100%"] or (
            self.viewport is not None
            and self.matrix == Identity
            and size == [f"{side:g}" for side in self.viewport]
        )


@dataclass(frozen=True)
class _Place:
    """What an element takes over from those around it."""

    matrix: Transform = Identity
    viewport: Size | None = None
    visible: bool = True
    depth: int = 0


class _Walk:
    """One walk over all that is drawn, in the order of drawing."""

    def __init__(self, tree: Tree) -> None:
        self._tree = tree
        self._rules: list[Rule] = sheet_rules(tree.styles)
        self._seen = 0

    def elements(self) -> Iterator[_Element]:
        """Yield what is drawn."""
        root = self._tree.root
        return self._inside(root, _Place(), outermost=True)

    def _inside(self, node: Node, around: _Place, *, outermost: bool = False) -> Iterator[_Element]:
        """Yield an element, or what is drawn inside it."""
        self._seen += 1
        if self._seen > MOST_ELEMENTS:
            raise PathError(f"draws over {MOST_ELEMENTS} elements")
        if around.depth > MAX_DEPTH:
            raise PathError(f"is nested over {MAX_DEPTH} deep")
        known = outermost or node.tag in {*GROUPS, *VIEWPORTS, *SHAPES, *OTHERS, "path", "use"}
        if not known:
            return
        styles = declared_on(node.tag, node.attributes, self._rules)
        if styles.get("display", node.attributes.get("display", "")).strip() == "none":
            return
        attributes = _with_styles(node, styles)
        visibility = styles.get("visibility", node.attributes.get("visibility", "")).strip()
        visible = around.visible if visibility in {"", "inherit"} else visibility == "visible"
        matrix = around.matrix.transform(_own_matrix(node, styles))
        here = replace(around, matrix=matrix, visible=visible, depth=around.depth + 1)
        if node.tag == "use":
            yield from self._used(node, attributes, here)
        elif node.tag in VIEWPORTS:
            inner = _outer_viewport if outermost else _inner_viewport
            yield from self._children(node, inner(attributes, here))
        elif outermost or node.tag in GROUPS:
            yield from self._children(node, here)
        elif visible:
            yield _Element(node.tag, attributes, matrix, around.viewport)

    def _children(self, node: Node, place: _Place) -> Iterator[_Element]:
        for child in node.children:
            if child.tag == "symbol":  # drawn where it is used
                continue
            if node.tag == "switch" and child.attributes.get("systemLanguage"):
                raise PathError("draws different things for different languages")
            yield from self._inside(child, place)

    def _used(self, node: Node, attributes: Mapping[str, str], place: _Place) -> Iterator[_Element]:
        """Yield what a ``use`` draws (SVG 1.1, 5.6)."""
        target = node.target
        used = self._tree.by_id.get(target[1:]) if target[:1] == "#" and target[1:] else None
        if used is None:
            raise PathError(f'uses "{target[:30]}", which is not in the file')
        x, y = (user_units("use", name, attributes.get(name, "0")) for name in ("x", "y"))
        moved = replace(place, matrix=place.matrix.translate(x, y))
        if used.tag in VIEWPORTS:  # its size may be set by the use
            sizes = {name: attributes[name] for name in ("width", "height") if name in attributes}
            used = Node(used.tag, used.attributes | sizes, used.children)
        yield from self._inside(used, moved)


def _with_styles(node: Node, styles: Mapping[str, str]) -> dict[str, str]:
    """Return an element's attributes with what styles say of its geometry in their place."""
    attributes = dict(node.attributes)
    for name in GEOMETRY:
        if name == "d" and "d" in styles:
            raise PathError("has a path that a style draws, which is not followed")
        if name in styles and node.tag != "path":
            attributes[name] = styles[name]
    return attributes


def _own_matrix(node: Node, styles: Mapping[str, str]) -> Transform:
    """Return the matrix of an element's own transform."""
    if "transform" in styles:
        matrix = style_matrix(styles["transform"])
    else:
        matrix = attribute_matrix(node.attributes.get("transform", ""))
    origin = styles.get("transform-origin", node.attributes.get("transform-origin", ""))
    return about_origin(matrix, origin)


def _outer_viewport(attributes: Mapping[str, str], place: _Place) -> _Place:
    """Return the place inside the outermost ``svg``; only a stretch of it matters to an outline."""
    box = view_box(attributes.get("viewBox", ""))
    aspect = attributes.get("preserveAspectRatio", "").strip()
    size = _absolute_size(attributes)
    if box is None:
        return replace(place, viewport=size)
    if aspect.removeprefix("defer").strip().startswith("none"):
        if size is None:
            raise PathError("is stretched (preserveAspectRatio), but has no width and height in mm")
        place = replace(place, matrix=place.matrix.transform(into_viewport(box, aspect, size)))
    return replace(place, viewport=box[2:])


def _absolute_size(attributes: Mapping[str, str]) -> Size | None:
    """Return width and height in user units; None where they hang on the window."""
    sizes = [attributes.get(name, "100%").strip() for name in ("width", "height")]
    if any(one.endswith("%") or one == "auto" for one in sizes):
        return None
    width, height = (user_units("svg", "size", one) for one in sizes)
    return width, height


def _inner_viewport(attributes: Mapping[str, str], place: _Place) -> _Place:
    """Return the place inside an ``svg`` within another, or a used ``symbol`` (SVG 1.1, 7.9)."""
    x, y, width, height = (
        _of_viewport(attributes.get(name, usual), place.viewport, axis)
        for name, usual, axis in (
            ("x", "0", 0),
            ("y", "0", 1),
            ("width", "100%", 0),
            ("height", "100%", 1),
        )
    )
    matrix = place.matrix.translate(x or 0.0, y or 0.0)
    box = view_box(attributes.get("viewBox", ""))
    size = None if width is None or height is None else (width, height)
    if box is None:
        return replace(place, matrix=matrix, viewport=size)
    if size is None or x is None or y is None:
        raise PathError("holds a drawing within the drawing whose size depends on the window")
    inner = into_viewport(box, attributes.get("preserveAspectRatio", "").strip(), size)
    return replace(place, matrix=matrix.transform(inner), viewport=box[2:])


def _of_viewport(text: str, viewport: Size | None, axis: int) -> float | None:
    """Return a length, shares taken of the viewport around it; None where that is not known."""
    text = text.strip()
    if text == "auto":
        text = "100%"
    if not text.endswith("%"):
        return user_units("svg", "place", text)
    share = user_units("svg", "place", text[:-1]) / 100.0
    return None if viewport is None else share * viewport[axis]
