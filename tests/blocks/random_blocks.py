"""Random blocks of every kind of unit, for properties that must hold whatever a maker writes."""

from __future__ import annotations

from fractions import Fraction as F

from hypothesis import strategies as st

from blocks.blockfile import Block
from blocks.paths import parse_path
from blocks.steps import (
    CORNERS,
    Corner,
    FlippedCorners,
    LogCabin,
    Made,
    Mirrored,
    Outlined,
    Part,
    Rectangle,
    Shape,
    StripSet,
    Triangles,
)

ROLES = ("rose", "leaf", "ground")
SIDES = (F(1), F(3, 2), F(2), F(3), F(7, 3))
SEAMS = (F(0), F(1, 4), F(3, 8), F(75, 254))
METHODS = {
    "half-square triangle": ("two at a time", "four at a time", "eight at a time"),
    "quarter-square triangle": ("two at a time", "cut twice"),
    "square in a square": ("cut twice",),
}

roles = st.sampled_from(ROLES)


def two_roles(draw):
    return tuple(draw(st.lists(roles, min_size=2, max_size=2, unique=True)))


def a_square(draw, name, f):
    return [Rectangle(name, f, f, draw(roles))]


def bars(draw, name, f):
    part = [Rectangle(f"{name} bar {i}", f / 2, f, draw(roles)) for i in range(2)]
    return [*part, Made(name, (tuple(Part(bar.name) for bar in part),), "row")]


def triangles(draw, name, f):
    kind = draw(st.sampled_from(sorted(METHODS)))
    method = draw(st.sampled_from(METHODS[kind]))
    four = kind.startswith("quarter") and method == "cut twice"
    cloths = tuple(draw(roles) for _ in range(4)) if four else two_roles(draw)
    return [Triangles(name, kind, f, f, cloths, method)]


def geese(draw, name, f):
    goose = f"{name} goose"
    cloths = two_roles(draw)
    if draw(st.booleans()):
        step = Triangles(goose, "flying geese", f, f / 2, cloths, "four from one square")
    else:
        corners = tuple(Corner(at, cloths[1], f / 2) for at in CORNERS[:2])
        step = FlippedCorners(goose, f, f / 2, cloths[0], "", corners)
    ways = draw(st.sampled_from(((0, 0), (0, 2), (2, 0))))
    return [step, Made(name, tuple((Part(goose, way),) for way in ways), "column")]


def flipped(draw, name, f):
    at = draw(st.lists(st.sampled_from(CORNERS), min_size=1, max_size=4, unique=True))
    corners = tuple(Corner(a, draw(roles), f * F(draw(st.integers(1, 4)), 4)) for a in at)
    if draw(st.booleans()):
        return [FlippedCorners(name, f, f, draw(roles), "", corners)]
    base = Triangles(f"{name} base", "half-square triangle", f, f, two_roles(draw), "two at a time")
    return [base, FlippedCorners(name, f, f, "", base.name, corners)]


def strips(draw, name, f):
    widths = draw(st.sampled_from(((F(1, 3),) * 3, (F(1, 4), F(1, 2), F(1, 4)), (F(1, 2), F(1, 2)))))
    return [StripSet(name, f, tuple((draw(roles), share * f) for share in widths))]


def log_cabin(draw, name, f):
    logs = tuple(draw(roles) for _ in range(4))
    order = draw(st.sampled_from(("round", "opposite")))
    return [LogCabin(name, f / 2, f / 2, draw(roles), f / 4, logs, order)]


def wedges(draw, name, f):
    """A square cut into four from a point inside it, each wedge with a grain of its own."""
    x, y = (F(draw(st.integers(1, 5)), 6) * f for _ in range(2))
    ring = [(F(0), F(0)), (f, F(0)), (f, f), (F(0), f)]
    shapes = []
    for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1], strict=True):
        path = " ".join(str(float(n)) for n in (ax, ay, bx, by, x, y)).split()
        outline = parse_path("M {} {} L {} {} L {} {} Z".format(*path))[0]
        shapes.append(Shape(draw(roles), outline, F(draw(st.sampled_from((0, 30, 45, 90, 200))))))
    return [Outlined(name, f, f, tuple(shapes), draw(st.sampled_from(("template", "foundation"))))]


MAKERS = (a_square, bars, triangles, geese, flipped, strips, log_cabin, wedges)


@st.composite
def blocks(draw, makers=MAKERS):
    """A block of up to nine square cells; each design may be used several times, turned, or mirrored."""
    f = draw(st.sampled_from(SIDES if wedges not in makers else SIDES[:-1]))
    steps, names = [], []
    for i in range(draw(st.integers(1, 3))):
        made = draw(st.sampled_from(makers))(draw, f"unit {i}", f)
        steps += made
        names.append(f"unit {i}")
        if draw(st.integers(0, 3)) == 0:
            steps.append(Mirrored(f"mirror {i}", f"unit {i}"))
            names.append(f"mirror {i}")
    down, across = draw(st.integers(1, 3)), draw(st.integers(1, 3))
    cell = st.builds(Part, st.sampled_from(names), st.integers(0, 3))
    rows = tuple(tuple(draw(cell) for _ in range(across)) for _ in range(down))
    steps.append(Made("whole", rows, "rows"))
    return Block("random", across * f, down * f, (), tuple(steps))
