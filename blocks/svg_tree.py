"""The elements of an SVG file, read within limits: nothing in it is declared, fetched or run.

The standard library's parser reports each element as it comes, so a document type that declares anything is
refused before its first declaration is read, and a file nested too deep before it is built.
Source: W3C XML 1.0 (fifth edition, 2008); W3C SVG 2 (2018), chapter 5.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from xml.parsers import expat

from blocks.faults import Fault, FaultsError

__all__ = ["Node", "read_tree"]

_MOST_BYTES = 4_000_000
_MOST_ELEMENTS = 20_000
_DEEPEST = 64
_SVG = "http://www.w3.org/2000/svg"
_FROM_ANY_SPACE = ("label", "href")
"""Attributes that drawing programs, and the standard for links, put into namespaces of their own."""

_PLAIN = "Save the drawing again as plain SVG."


@dataclass(slots=True, eq=False)
class Node:
    """One element: its name and attributes without namespaces, what it holds, and its line in the file."""

    tag: str
    attributes: Mapping[str, str]
    line: int
    children: list[Node] = field(default_factory=list)
    text: str = ""

    def walk(self) -> Iterator[Node]:
        """The element and everything in it, in the order of the file."""
        yield self
        for child in self.children:
            yield from child.walk()


def read_tree(text: str | bytes) -> Node:
    """The outermost element of an SVG file.

    A plain document type line is passed over and what it points to is never fetched.
    Raises: FaultsError for what is not SVG, declares a document type or entities of its own, or is too
    large or too deep.
    """
    if len(text) > _MOST_BYTES:
        raise FaultsError([Fault("the file", "", f"has more than {_MOST_BYTES:,} signs", _PLAIN)])
    if isinstance(text, bytes) and text.startswith(b"\x1f\x8b"):
        raise FaultsError([Fault("the file", "", "is compressed", "Unpack it, or save it as plain SVG.")])
    reader = _Reader()
    try:
        reader.parser.Parse(text, True)
    except expat.ExpatError as error:
        message = f"is not well-formed XML: {expat.ErrorString(error.code)}"
        raise FaultsError([Fault(f"line {error.lineno}", "", message, _PLAIN)]) from error
    except (LookupError, ValueError) as error:
        if isinstance(error, FaultsError):
            raise
        raise FaultsError(
            [Fault("the file", "", "is in an unknown encoding", "Save it as UTF-8.")]
        ) from error
    root = reader.root
    if root is None or root.tag != "svg":
        raise FaultsError([Fault("the file", "", "is not an SVG drawing", _PLAIN)])
    return root


class _Reader:
    """Builds the tree while the parser reports elements."""

    def __init__(self) -> None:
        self.root: Node | None = None
        self._open: list[Node] = []
        self._count = 0
        self._foreign = 0
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.StartDoctypeDeclHandler = self._doctype
        self.parser.EntityDeclHandler = self._entity
        self.parser.SkippedEntityHandler = self._entity
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._text

    def _refuse(self, message: str, mend: str) -> FaultsError:
        return FaultsError([Fault(f"line {self.parser.CurrentLineNumber}", "", message, mend)])

    def _doctype(self, _name: str, _system: str | None, _public: str | None, declares: int) -> None:
        if declares:
            raise self._refuse("the document type declares things of its own", _PLAIN)

    def _entity(self, *_declared: object) -> None:
        raise self._refuse("entities are not read", _PLAIN)

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self._count += 1
        if self._count > _MOST_ELEMENTS:
            raise self._refuse(f"there are more than {_MOST_ELEMENTS:,} elements", "Simplify the drawing.")
        if len(self._open) + self._foreign >= _DEEPEST:
            raise self._refuse(f"elements are nested more than {_DEEPEST} deep", "Take groups apart.")
        space, _, tag = name.rpartition(" ")
        if self._foreign or space not in ("", _SVG):
            self._foreign += 1  # what drawing programs keep for themselves, with all it holds
            return
        node = Node(tag, _plain(attributes), self.parser.CurrentLineNumber)
        if self._open:
            self._open[-1].children.append(node)
        else:
            self.root = node
        self._open.append(node)

    def _end(self, _name: str) -> None:
        if self._foreign:
            self._foreign -= 1
        else:
            self._open.pop()

    def _text(self, text: str) -> None:
        if self._open and not self._foreign and self._open[-1].tag in ("style", "title"):
            self._open[-1].text += text


def _plain(attributes: Mapping[str, str]) -> dict[str, str]:
    """Attributes of no namespace, and from namespaces the few that matter."""
    found = {key: value for key, value in attributes.items() if " " not in key}
    for key, value in attributes.items():
        name = re.sub(r".* ", "", key)
        if name in _FROM_ANY_SPACE:
            found.setdefault(name, value)
    return found
