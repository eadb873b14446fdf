"""What styles say about where an SVG's shapes are drawn, and whether: CSS as far as cut lines need.

In: a ``style`` attribute, style sheets, and the names of an element. Out: the declared values of
``PROPERTIES``, by the rules of the cascade (CSS Cascading 3: importance, specificity, order). Of
selectors those of one element are followed, such as ``path``, ``.st0`` and ``#petal``, which
drawing programs write; others are refused where they would move or hide anything.

Not done here: what the values mean (``kit.drawings.svg_transform``), colours, inheritance.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kit.drawings.svg_path import PathError

GEOMETRY = ("d", "cx", "cy", "r", "rx", "ry", "x", "y", "width", "height")
UNFOLLOWED = ("translate", "rotate", "scale", "offset-path", "offset", "zoom", "transform-box")
PROPERTIES = frozenset(
    {"display", "visibility", "transform", "transform-origin", *GEOMETRY, *UNFOLLOWED}
)
_COMMENT = re.compile(r"/\*.*?\*/|<!--|-->", re.DOTALL)
_RULE = re.compile(r"([^{}]*)\{([^{}]*)\}")
_STATEMENT = re.compile(r"@[^;{}]*;")
_SIMPLE = re.compile(r"(\*|[A-Za-z][\w-]*)?((?:[.#][\w-]+)*)")
_IMPORTANT = re.compile(r"\s*!\s*important\s*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Rule:
    """One selector of a style sheet with what it declares.

    Attributes:
        tag: the element's name, or "" for any.
        identity: its ``id``, or "" for any.
        classes: all of its classes that are asked for.
        declared: property to (value, whether it is important).
    """

    tag: str
    identity: str
    classes: frozenset[str]
    declared: Mapping[str, tuple[str, bool]]

    @property
    def specificity(self) -> tuple[bool, int, bool]:
        """What decides which of two rules is the stronger one."""
        return bool(self.identity), len(self.classes), bool(self.tag)

    def fits(self, tag: str, attributes: Mapping[str, str]) -> bool:
        """Tell whether an element is meant."""
        return (
            self.tag in {"", tag}
            and self.identity in {"", attributes.get("id", "")}
            and self.classes <= set(attributes.get("class", "").split())
        )


def sheet_rules(text: str) -> list[Rule]:
    """Return the rules of a style sheet that say where shapes are drawn, or whether.

    Raises:
        PathError: such a rule has a selector that is not followed, or is under a condition.
    """
    text = _STATEMENT.sub("", _COMMENT.sub(" ", text))
    rules: list[Rule] = []
    for match in _RULE.finditer(text):
        declared = _declarations(match[2])
        if not declared:
            continue
        if "@" in text:
            raise PathError("has a style sheet with conditions, which may move or hide shapes")
        for selector in match[1].split(","):
            simple = _SIMPLE.fullmatch(selector.strip())
            names = re.findall(r"[.#][\w-]+", simple[2]) if simple else []
            ids = [name[1:] for name in names if name[0] == "#"]
            if simple is None or len(ids) > 1 or not selector.strip():
                raise PathError(
                    "has a style sheet that moves or hides shapes by "
                    f'"{selector.strip()[:30]}", which is not followed'
                )
            tag = "" if simple[1] in {None, "*"} else simple[1]
            classes = frozenset(name[1:] for name in names if name[0] == ".")
            rules.append(Rule(tag, "".join(ids), classes, declared))
    return rules


def declared_on(tag: str, attributes: Mapping[str, str], rules: Sequence[Rule]) -> dict[str, str]:
    """Return what styles declare of ``PROPERTIES`` for an element.

    Raises:
        PathError: something that moves shapes and is not followed.
    """
    ranked = sorted((one for one in rules if one.fits(tag, attributes)), key=_specificity)
    layers = [one.declared for one in ranked] + [_declarations(attributes.get("style", ""))]
    values: dict[str, str] = {}
    for important in (False, True):
        for layer in layers:
            values |= {name: value for name, (value, vital) in layer.items() if vital == important}
    for name in UNFOLLOWED:
        if values.get(name, "none") not in {"none", "auto", "normal", "view-box", "1", "100%"}:
            raise PathError(f'is moved by the style "{name}", which is not followed')
    return values


def _specificity(rule: Rule) -> tuple[bool, int, bool]:
    return rule.specificity


def _declarations(text: str) -> dict[str, tuple[str, bool]]:
    """Return what a block declares of ``PROPERTIES``: (value, whether it is important)."""
    found: dict[str, tuple[str, bool]] = {}
    for part in _COMMENT.sub(" ", text).split(";"):
        name, colon, value = part.partition(":")
        name = name.strip().lower()
        if colon and name in PROPERTIES:
            plain = _IMPORTANT.sub("", value).strip()
            found[name] = (plain, plain != value.strip())
    return found
