"""An SVG file as a tree of elements, hostile files refused.

In: the file's bytes. Out: its root ``Node``, names without their namespaces, and the text of its
style sheets. Entities are never expanded: a file that declares any is refused there and then.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from xml.parsers import expat

from kit.drawings.svg_path import PathError

MAX_DEPTH = 100


@dataclass
class Node:
    """One element: its name, its attributes and what is inside it."""

    tag: str
    attributes: dict[str, str]
    children: list[Node] = field(default_factory=list)

    @property
    def target(self) -> str:
        """What a ``use`` refers to; "" for nothing."""
        ends = (v for k, v in self.attributes.items() if k.rpartition(":")[2] == "href")
        return self.attributes.get("href") or next(ends, "")


@dataclass(frozen=True)
class Tree:
    """A file's elements.

    Attributes:
        root: the outermost one.
        by_id: the first of each ``id``.
        styles: the text of its style sheets.
    """

    root: Node
    by_id: dict[str, Node]
    styles: str


def read_tree(data: bytes) -> Tree:
    """Return the elements of an SVG file.

    Raises:
        PathError: no XML, hostile, or nested too deep.
    """
    top = Node("", {})
    open_nodes = [top]
    by_id: dict[str, Node] = {}
    styles: list[str] = []

    def begin(name: str, attributes: dict[str, str]) -> None:
        if len(open_nodes) > MAX_DEPTH:
            raise PathError(f"is nested over {MAX_DEPTH} deep")
        node = Node(name.rpartition(":")[2], attributes)
        open_nodes[-1].children.append(node)
        open_nodes.append(node)
        by_id.setdefault(attributes.get("id", ""), node)

    def end(_: str) -> None:
        open_nodes.pop()

    def text(words: str) -> None:
        if open_nodes[-1].tag == "style":
            styles.append(words)

    def refuse(*_: object) -> None:
        raise PathError("declares entities, which no outline needs")

    def doctype(_name: str, _system: object, _public: object, has_subset: int) -> None:
        if has_subset:  # old drawing programs name SVG's own type, which is never fetched
            raise PathError(
                "declares entities or a document type of its own, which no outline needs"
            )

    parser = expat.ParserCreate()
    parser.StartElementHandler, parser.EndElementHandler = begin, end
    parser.CharacterDataHandler = text
    parser.EntityDeclHandler, parser.StartDoctypeDeclHandler = refuse, doctype
    _read(parser, data)
    return Tree(top.children[0], by_id, "".join(styles))


def _read(parser: expat.XMLParserType, data: bytes) -> None:
    try:
        parser.Parse(data, True)  # noqa: FBT003  its only form
    except PathError:
        raise
    except expat.ExpatError as error:
        raise PathError(f"is no SVG file (line {error.lineno} does not fit together)") from error
    except (ValueError, LookupError) as error:
        raise PathError("is written in an alphabet that cannot be read") from error
