"""Units of triangles cut from squares, by the trade's methods.

s is the seam allowance, f the finished side. Every map below is worked out from the making itself: squares
laid face to face (the upper one turned over left for right), sewn a seam's width either side of a drawn
diagonal, cut on it, opened and turned to lie as the unit is drawn. Quarter triangles of a square are named by
the edge their long side lies on: 0 top, 1 right, 2 bottom, 3 left.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import sqrt

from blocks.motion import Motion, Number, Point, shift, turn
from blocks.steps import Triangles
from blocks.units import Batch, BatchPiece, Leaf, LeafPatch
from blocks.values import CutRectangle

__all__ = ["half_square_cut_in", "make_triangles", "quarter_square_cut_in", "quarter_square_map"]

_NONE = Fraction(0)


def half_square_cut_in(finished_in: Number, *, seam_in: Fraction) -> Number:
    """The square that gives two half-square triangles: f + s (2 + sqrt 2); irrational, not rounded.

    Source: plane geometry; the trade's rule rounds it to f + 7/8 for a quarter-inch seam.
    """
    return finished_in + float(seam_in) * (2 + sqrt(2)) if seam_in else finished_in


def quarter_square_cut_in(finished_in: Number, *, seam_in: Fraction) -> Number:
    """The square cut twice across for triangles of long side f: f + 2 s (1 + sqrt 2); not rounded.

    Source: plane geometry; the trade's rule rounds it to f + 1 1/4 for a quarter-inch seam.
    """
    return finished_in + 2 * float(seam_in) * (1 + sqrt(2)) if seam_in else finished_in


def make_triangles(step: Triangles, *, seam_in: Fraction) -> Leaf:
    """The unit that a step of triangles makes, with its batch."""
    makers: dict[tuple[str, str], Callable[[Triangles, Fraction], tuple[Batch, tuple[LeafPatch, ...]]]] = {
        ("half-square triangle", "two at a time"): _two_halves,
        ("half-square triangle", "four at a time"): _four_halves,
        ("half-square triangle", "eight at a time"): _eight_halves,
        ("quarter-square triangle", "two at a time"): _hourglass,
        ("quarter-square triangle", "cut twice"): _cut_twice,
        ("flying geese", "four from one square"): _four_geese,
        ("square in a square", "cut twice"): _square_in_square,
    }
    batch, patches = makers[step.kind, step.method](step, seam_in)
    return Leaf(step.width_in, step.height_in, batch, patches)


def _square(side_in: Number) -> CutRectangle:
    return CutRectangle(side_in, side_in)


def _halves(f: Fraction) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """Upper left and lower right triangle of a square of side f."""
    return ((_NONE, _NONE), (f, _NONE), (_NONE, f)), ((f, _NONE), (f, f), (_NONE, f))


def _half_maps(f: Fraction, s: Number, r: Number) -> tuple[tuple[Motion, Motion], tuple[Motion, Motion]]:
    """For the upper left and the lower right half of a pair: maps to the under and the upper square.

    r is s (1 + sqrt 2), the way from the square's edge to the finished seam's end. The second unit is
    turned half round so that the under square's cloth lies upper left again.
    """
    c = f + s + r  # side of the square
    under = (shift(s, s), Motion(Fraction(-1), _NONE, c - s, c - s))
    upper = (Motion(_NONE, Fraction(-1), r, f + s), Motion(_NONE, Fraction(1), c - r, r))
    return (under[0], upper[0]), (under[1], upper[1])


def _two_halves(step: Triangles, s: Fraction) -> tuple[Batch, tuple[LeafPatch, ...]]:
    f, r = step.width_in, _reach(s)
    first, second = _half_maps(f, s, r)
    square = _square(half_square_cut_in(f, seam_in=s))
    batch = Batch(step.name, 2, tuple(BatchPiece(cloth, square) for cloth in step.cloths))
    return batch, tuple(
        LeafPatch(step.cloths[i], _halves(f)[i], ((i, first[i]), (i, second[i]))) for i in (0, 1)
    )


def _eight_halves(step: Triangles, s: Fraction) -> tuple[Batch, tuple[LeafPatch, ...]]:
    """Two squares of twice the half-square size, both diagonals drawn; cut into four pairs, then eight.

    In the upper left and lower right quarter the drawn diagonal falls, so those pairs lie a quarter turn
    round. The upper square is face down: its quarters are met left for right.
    """
    f, r = step.width_in, _reach(s)
    c = half_square_cut_in(f, seam_in=s)
    slots: tuple[list[tuple[int, Motion]], list[tuple[int, Motion]]] = ([], [])
    for column, row in ((0, 0), (1, 0), (0, 1), (1, 1)):
        spin = turn(0) if column != row else turn(90, about=(c / 2, c / 2))
        for half in _half_maps(f, s, r):
            slots[0].append((0, shift(column * c, row * c).after(spin).after(half[0])))
            back = turn(0) if column != row else turn(-90, about=(c / 2, c / 2))
            slots[1].append((1, shift((1 - column) * c, row * c).after(back).after(half[1])))
    square = _square(2 * c)
    batch = Batch(step.name, 8, tuple(BatchPiece(cloth, square) for cloth in step.cloths))
    return batch, tuple(LeafPatch(step.cloths[i], _halves(f)[i], tuple(slots[i])) for i in (0, 1))


def _four_halves(step: Triangles, s: Fraction) -> tuple[Batch, tuple[LeafPatch, ...]]:
    """Two squares sewn together all round, cut on both diagonals: outer edges end up on the bias.

    Square c = sqrt 2 (f + 2 s) + 2 s. The seam of unit k lies a seam's width inside edge k; the finished long
    side f sqrt 2 is centred on it.
    """
    f = step.width_in
    c: Number = sqrt(2) * float(f + 2 * s) + 2 * float(s)
    slots: tuple[list[tuple[int, Motion]], list[tuple[int, Motion]]] = ([], [])
    middle = (float(f) / 2, float(f) / 2)
    for k in range(4):
        around = turn(90 * k, about=(c / 2, c / 2))
        # The upper left triangle of the unit, its seam rising, lies with that seam along the top edge, its
        # right angle pointing down to the square's centre: a turn of 225 degrees about the seam's middle.
        lay = shift(c / 2 - middle[0], s - middle[1]).after(turn(225, about=middle))
        slots[0].append((0, around.after(lay)))
        # The upper square is met face down, left for right: its edge k is edge -k, and its triangle opens
        # over the seam, which makes it lie the other way round.
        lay = shift(c / 2 - middle[0], s - middle[1]).after(turn(45, about=middle))
        slots[1].append((1, turn(-90 * k, about=(c / 2, c / 2)).after(lay)))
    batch = Batch(step.name, 4, tuple(BatchPiece(cloth, _square(c)) for cloth in step.cloths))
    return batch, tuple(LeafPatch(step.cloths[i], _halves(f)[i], tuple(slots[i])) for i in (0, 1))


def _reach(s: Fraction) -> Number:
    return float(s) * (1 + sqrt(2)) if s else s


def _quarters(f: Fraction) -> tuple[tuple[Point, ...], ...]:
    """The four quarter triangles of a square of side f: top, right, bottom, left."""
    a, b, c, d = (_NONE, _NONE), (f, _NONE), (f, f), (_NONE, f)
    centre = (f / 2, f / 2)
    return (a, b, centre), (b, c, centre), (c, d, centre), (d, a, centre)


def quarter_square_map(f: Number, *, edge: int, cut_in: Number, from_edge: int) -> Motion:
    """From a unit whose quarter triangle lies on `edge` to a cut square where it lies on `from_edge`.

    The long side lies a seam's width inside the cut square's edge, centred; both point to the middle.
    """
    centre = (f / 2, f / 2)
    turned = turn(90 * (from_edge - edge), about=centre)
    # Unit top edge at distance f/2 from its centre; in the square the finished edge is cut/2 - s from it.
    # Finished height f/2 means the apex is short of the square's centre by the same amount as the edge gains.
    gap = (cut_in - f) / 2
    s = gap / (1 + sqrt(2)) if gap else _NONE
    out = gap - s
    way = turn(90 * from_edge)((_NONE, -out))
    return shift((cut_in - f) / 2 + way[0], (cut_in - f) / 2 + way[1]).after(turned)


def _hourglass(step: Triangles, s: Fraction) -> tuple[Batch, tuple[LeafPatch, ...]]:
    """Two squares become two half-square triangles, those two hourglasses.

    Followed through by hand (each quarter of both squares): in the first unit the first cloth's quarters
    keep their place and the second's move on by a quarter turn; the second unit, turned so that the first
    cloth lies top and bottom, has the first cloth's moved on by a quarter and the second's by a half turn.
    """
    f = step.width_in
    c = quarter_square_cut_in(f, seam_in=s)
    from_edges = {0: (0, 3), 2: (2, 1), 1: (0, 3), 3: (2, 1)}
    pieces = tuple(BatchPiece(cloth, _square(c)) for cloth in step.cloths)
    patches = []
    for edge in range(4):
        i = edge % 2
        slots = tuple((i, quarter_square_map(f, edge=edge, cut_in=c, from_edge=e)) for e in from_edges[edge])
        patches.append(LeafPatch(step.cloths[i], _quarters(f)[edge], slots))
    return Batch(step.name, 2, pieces), tuple(patches)


def _cut_twice(step: Triangles, s: Fraction) -> tuple[Batch, tuple[LeafPatch, ...]]:
    """Four cloths, one triangle of each in a unit: a square of each, cut twice across, serves four units."""
    f = step.width_in
    c = quarter_square_cut_in(f, seam_in=s)
    pieces = tuple(BatchPiece(cloth, _square(c)) for cloth in step.cloths)
    patches = []
    for edge, cloth in enumerate(step.cloths):
        slots = tuple(
            (edge, quarter_square_map(f, edge=edge, cut_in=c, from_edge=(edge + k) % 4)) for k in range(4)
        )
        patches.append(LeafPatch(cloth, _quarters(f)[edge], slots))
    return Batch(step.name, 4, pieces), tuple(patches)


def _four_geese(step: Triangles, s: Fraction) -> tuple[Batch, tuple[LeafPatch, ...]]:
    """One large square and four small ones become four geese, nothing trimmed away.

    Goose 0 comes from the bottom edge of the large square, the next ones anticlockwise. Small square k lies
    upright, face down, on the corner at goose k's right hand, and gives that goose's right-hand sky and the
    next goose's left-hand sky.
    """
    w, h, n = step.width_in, step.height_in, _NONE
    large = quarter_square_cut_in(w, seam_in=s)
    small = half_square_cut_in(h, seam_in=s)
    rise = float(s) * sqrt(2) if s else s
    lay = shift((large - w) / 2, large / 2 + rise)
    x0, y0 = lay.dx_in, lay.dy_in
    # At the lower right corner the drawn diagonal falls: fold over y - x = s sqrt 2, turn left for right.
    right = Motion(n, Fraction(1), large - (y0 - rise), (x0 + rise) - (large - small))
    # At the lower left corner it rises: fold over x + y = large + s sqrt 2.
    left = Motion(n, Fraction(-1), small - (large + rise - y0), large + rise - x0 - (large - small))
    geese, skies_left, skies_right = [], [], []
    for k in range(4):
        upright = turn(90 * k, about=(small / 2, small / 2))
        geese.append((0, turn(-90 * k, about=(large / 2, large / 2)).after(lay)))
        skies_left.append((1 + (k - 1) % 4, upright.after(left)))
        skies_right.append((1 + k, upright.after(right)))
    goose, sky = step.cloths
    patches = (
        LeafPatch(sky, ((n, n), (w / 2, n), (n, h)), tuple(skies_left)),
        LeafPatch(goose, ((w / 2, n), (w, h), (n, h)), tuple(geese)),
        LeafPatch(sky, ((w / 2, n), (w, n), (w, h)), tuple(skies_right)),
    )
    pieces = (BatchPiece(goose, _square(large)), *(BatchPiece(sky, _square(small)) for _ in range(4)))
    return Batch(step.name, 4, pieces), patches


def _square_in_square(step: Triangles, s: Fraction) -> tuple[Batch, tuple[LeafPatch, ...]]:
    """A square set on its point and four corner triangles from two squares cut once.

    The first square is cut on its rising diagonal, the second on its falling one, so every corner keeps its
    print upright; the centre lies at 45 degrees.
    """
    f = step.width_in
    h = f / 2
    inner: Number = float(f) / sqrt(2) + 2 * float(s)
    corner = half_square_cut_in(h, seam_in=s)
    n = _NONE
    far = corner - s - f
    centre = shift(inner / 2 - float(h), inner / 2 - float(h)).after(turn(45, about=(float(h), float(h))))
    patches = (
        LeafPatch(step.cloths[1], ((n, n), (h, n), (n, h)), ((1, shift(s, s)),)),
        LeafPatch(step.cloths[1], ((h, n), (f, n), (f, h)), ((2, shift(far, s)),)),
        LeafPatch(step.cloths[0], ((h, n), (f, h), (h, f), (n, h)), ((0, centre),)),
        LeafPatch(step.cloths[1], ((n, h), (h, f), (n, f)), ((2, shift(s, far)),)),
        LeafPatch(step.cloths[1], ((f, h), (f, f), (h, f)), ((1, shift(far, far)),)),
    )
    pieces = (
        BatchPiece(step.cloths[0], _square(inner)),
        BatchPiece(step.cloths[1], _square(corner)),
        BatchPiece(step.cloths[1], _square(corner)),
    )
    return Batch(step.name, 1, pieces), patches
