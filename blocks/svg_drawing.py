"""Everything an SVG drawing paints, in the order of painting, in exact inches from the block's corner.

Groups, transforms, styles and reused parts are resolved; clips, and parts that other files hold, are faults.
Source: W3C SVG 2 (2018), chapters 5, 7 and 8.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction

from blocks.curves import Stroke
from blocks.faults import Fault, FaultsError
from blocks.svg_frame import frame_of, viewport_map
from blocks.svg_names import given_name, place_of
from blocks.svg_shapes import PER_UNIT, SHAPES, ShapeError, Viewport, strokes_of, units_of
from blocks.svg_styles import PLAIN, Look, Rule, look_of, read_rules
from blocks.svg_transforms import SAME, Affine, TransformError, move_stroke, moving, parse_transform, scaling
from blocks.svg_tree import Node

__all__ = ["Drawing", "Drawn", "read_drawing"]

_HOLDERS = ("svg", "g", "a", "switch")
_PAINTED = (*_HOLDERS, *SHAPES, "use")
_MOST_SHAPES = 2_000
_MOST_VISITS = 10_000
_DEEPEST = 64
_FURTHEST_IN = 1000
_THOUSANDTHS = scaling(Fraction(PER_UNIT), Fraction(PER_UNIT))


@dataclass(frozen=True, slots=True)
class Drawn:
    """One painted shape: where it stands in the file, what it is called, its paint and its outlines."""

    where: str
    name: str
    """What the maker called it, or ""."""
    group: str
    """What the maker called the nearest group round it that has a name, or ""."""
    fill: str
    """A colour as #rrggbb, "none", or the name of a gradient or pattern as "paint name"."""
    has_line: bool
    strokes: tuple[Stroke, ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing brought to its finished size."""

    width_in: Fraction
    height_in: Fraction
    title: str
    shapes: tuple[Drawn, ...]


def read_drawing(root: Node, *, finished_width_in: Fraction | None) -> Drawing:
    """The shapes of a drawing at a finished width; without one, at the size on paper that it states.

    Raises: FaultsError with everything in it that cannot be read.
    """
    frame = frame_of(root, finished_width_in=finished_width_in)
    nodes = list(root.walk())
    rules, faults = read_rules(nodes)
    named: dict[str, Node] = {}
    for node in nodes:
        named.setdefault(node.attributes.get("id", ""), node)
    walk = _Walk(rules, named, faults)
    look = look_of(root, PLAIN, rules, where=place_of(root), faults=faults)
    for child in root.children:
        if child.tag in _PAINTED:
            walk.enter(child, _Place(frame.to_inches, frame.viewport, look))
    if faults:
        raise FaultsError(dict.fromkeys(faults))
    title = next((child.text for child in root.children if child.tag == "title"), "")
    return Drawing(frame.width_in, frame.height_in, " ".join(title.split()), tuple(walk.shapes))


@dataclass(frozen=True, slots=True)
class _Place:
    """What an element is drawn within."""

    to_inches: Affine
    viewport: Viewport
    look: Look
    name: str = ""
    """What a part is called where it is reused, rather than where it is kept."""
    group: str = ""
    depth: int = 0


@dataclass(slots=True)
class _Walk:
    """The drawing as far as it has been walked."""

    rules: tuple[Rule, ...]
    named: dict[str, Node]
    faults: list[Fault]
    shapes: list[Drawn] = field(default_factory=list)
    _visits: int = 0
    _is_full: bool = False

    def enter(self, node: Node, place: _Place) -> None:
        """Draws an element with all it holds."""
        if node.tag not in (*_PAINTED, "symbol") or self._is_too_much(node, place):
            return
        where = place_of(node)
        look = look_of(node, place.look, self.rules, where=where, faults=self.faults)
        if not look.drawn:
            return
        if look.clipped:
            mend = "Release the clip or mask, and cut the shape itself to what shows."
            self.faults.append(Fault(where, "", "it is clipped or masked", mend))
        name = place.name or given_name(node)
        try:
            moved = parse_transform(look.transform)
            to_inches = place.to_inches if moved == SAME else place.to_inches.after(moved)
            inner = replace(place, to_inches=to_inches, look=look, name=name, depth=place.depth + 1)
            if node.tag == "use":
                self._use(node, inner)
            elif node.tag in SHAPES:
                self._shape(node, inner, where)
            else:
                self._hold(node, replace(inner, name="", group=name or place.group))
        except TransformError as error:
            self.faults.append(Fault(where, "transform", str(error).rstrip("."), error.mend))
        except ShapeError as error:
            self.faults.append(Fault(where, error.field, str(error), error.mend))

    def _is_too_much(self, node: Node, place: _Place) -> bool:
        """Whether parts that reuse parts go on for ever, or nearly."""
        self._visits += 1
        if place.depth > _DEEPEST or self._visits > _MOST_VISITS or len(self.shapes) >= _MOST_SHAPES:
            if not self._is_full:
                message = f"the drawing has more than {_MOST_SHAPES:,} shapes, or reuses parts without end"
                self.faults.append(Fault(place_of(node), "", message, "Draw one block, and nothing else."))
            self._is_full = True
        return self._is_full

    def _hold(self, node: Node, place: _Place) -> None:
        if node.tag in ("svg", "symbol"):
            to_outer, viewport = viewport_map(node, place.viewport)
            place = replace(place, to_inches=place.to_inches.after(to_outer), viewport=viewport)
        children = [child for child in node.children if child.tag in _PAINTED]
        for child in children[:1] if node.tag == "switch" else children:
            self.enter(child, place)

    def _use(self, node: Node, place: _Place) -> None:
        link = node.attributes.get("href", "").strip()
        part = self.named.get(link[1:]) if len(link) > 1 and link.startswith("#") else None
        if part is None:
            why = f'"{link[:60]}" is not a part of this drawing'
            raise ShapeError("href", why, "Copy the part into the drawing itself.")
        x = units_of("x", node.attributes.get("x", "0"), whole=place.viewport.width)
        y = units_of("y", node.attributes.get("y", "0"), whole=place.viewport.height)
        if part.tag == "symbol":
            sized = {name: node.attributes[name] for name in ("width", "height") if name in node.attributes}
            part = Node(part.tag, {**part.attributes, **sized}, part.line, part.children)
        self.enter(part, replace(place, to_inches=place.to_inches.after(moving(x, y))))

    def _shape(self, node: Node, place: _Place, where: str) -> None:
        if not place.look.visible:
            return
        strokes = strokes_of(node, place.viewport)
        if not strokes:
            return
        if not place.to_inches.det():
            raise TransformError("It is flattened to nothing.")
        affine = place.to_inches.after(_THOUSANDTHS)
        moved = tuple(move_stroke(stroke, affine) for stroke in strokes)
        if any(_is_far(stroke) for stroke in moved):
            mend = "Delete it, or move it onto the page."
            self.faults.append(Fault(where, "", f"it lies more than {_FURTHEST_IN} in off the page", mend))
            return
        fill = "none" if place.look.see_through else place.look.fill
        has_line = place.look.stroke != "none"
        self.shapes.append(Drawn(where, place.name, place.group, fill, has_line, moved))


def _is_far(stroke: Stroke) -> bool:
    ends = [point for segment in stroke.segments for point in (segment.start, segment.end)]
    return any(abs(number) > _FURTHEST_IN for point in ends for number in point)
