"""Where everything of a quilt lies: blocks, sashing, triangles and borders, in exact frames.

On point, all is laid in a frame that is turned by 45 degrees, in which blocks stand straight and every corner
is exact; the quilt is that frame turned back. A place in the quilt is then given in *half diagonals*, its
inches divided by the square root of two, which are exact wherever blocks and triangles end.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil, sqrt

from blocks.designs import Design, design_leaf
from blocks.motion import STAY, Motion, Number, Point, shift, turn
from blocks.pieced import cut_one
from blocks.polygons import add_allowance, bounds, rectangle
from blocks.setting import Border, Setting
from blocks.steps import Part
from blocks.triangles import half_square_cut_in, quarter_square_cut_in, quarter_square_map
from blocks.units import Batch, BatchPiece, Leaf, LeafPatch
from blocks.values import CutOutline, CutRectangle

__all__ = ["Cell", "border_cells", "on_point_cells", "straight_cells"]

_LONGEST_CUT_IN = Fraction(40)
"""Sashing and borders are pieced from strips no longer than this. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One repeat of a design, and the motion that lays it in the quilt's exact frame."""

    design: Design
    motion: Motion


def straight_cells(setting: Setting, blocks: Mapping[str, Design], *, seam_in: Fraction) -> Iterator[Cell]:
    """Blocks and sashing of a straight setting, row by row, from the top left corner."""
    _, _, block_w, block_h = bounds(next(iter(blocks.values())).outline)
    sash = setting.sashing
    gap = sash.finished_in if sash else Fraction(0)
    edge = gap if sash and sash.around else Fraction(0)
    for r, row in enumerate(setting.rows):
        y = edge + r * (Fraction(block_h) + gap)
        for c, part in enumerate(row):
            yield _block_cell(part, blocks, edge + c * (Fraction(block_w) + gap), y)
    if sash:
        yield from _sashing(setting, Fraction(block_w), Fraction(block_h), edge, seam_in)


def _block_cell(part: Part, blocks: Mapping[str, Design], x: Fraction, y: Fraction) -> Cell:
    design = blocks[part.of]
    _, _, w, h = bounds(design.outline)
    nought = Fraction(0)
    move = {0: (nought, nought), 1: (h, nought), 2: (w, h), 3: (nought, w)}[part.quarters % 4]
    return Cell(design, shift(x + move[0], y + move[1]).after(turn(90 * (part.quarters % 4))))


def _sashing(setting: Setting, w: Fraction, h: Fraction, edge: Fraction, seam_in: Fraction) -> Iterator[Cell]:
    sash = setting.sashing
    assert sash is not None
    gap = sash.finished_in
    xs = [edge + c * (w + gap) for c in range(setting.across)]
    ys = [edge + r * (h + gap) for r in range(setting.down)]
    upright_xs = ([Fraction(0)] if edge else []) + [x + w for x in xs[: None if edge else -1]]
    level_ys = ([Fraction(0)] if edge else []) + [y + h for y in ys[: None if edge else -1]]
    upright = _strip("upright sash", sash.cloth, gap, h, seam_in)
    for y in ys:
        for x in upright_xs:
            yield from _strip_cells(upright, x, y)
    whole = setting.across * (w + gap) - gap + 2 * edge
    if not sash.cornerstone:
        level = _strip("sash row", sash.cloth, whole, gap, seam_in)
        for y in level_ys:
            yield from _strip_cells(level, Fraction(0), y)
        return
    level = _strip("level sash", sash.cloth, w, gap, seam_in)
    stone = _strip("cornerstone", sash.cornerstone, gap, gap, seam_in)
    for y in level_ys:
        for x in xs:
            yield from _strip_cells(level, x, y)
        for x in upright_xs:
            yield from _strip_cells(stone, x, y)


def _strip(
    name: str, cloth: str, width_in: Fraction, height_in: Fraction, seam_in: Fraction
) -> tuple[Design, int, int]:
    """The design of one part of a strip, and how many parts it takes across and down."""
    room = _LONGEST_CUT_IN - 2 * seam_in
    across, down = ceil(width_in / room), ceil(height_in / room)
    leaf = cut_one(name, cloth, width_in / across, height_in / down, seam_in)
    return design_leaf(name, leaf, outline=rectangle(leaf.width_in, leaf.height_in)), across, down


def _strip_cells(strip: tuple[Design, int, int], x: Fraction, y: Fraction) -> Iterator[Cell]:
    design, across, down = strip
    _, _, w, h = bounds(design.outline)
    for j in range(down):
        for i in range(across):
            yield Cell(design, shift(x + i * w, y + j * h))


def on_point_cells(setting: Setting, blocks: Mapping[str, Design], *, seam_in: Fraction) -> Iterator[Cell]:
    """Blocks and triangles in the turned frame, where the first block of side b is centred on (b, 0)."""
    b = Fraction(bounds(next(iter(blocks.values())).outline)[2])
    for rows, first in ((setting.rows, 1), (setting.between, 2)):
        for j, row in enumerate(rows):
            for i, part in enumerate(row):
                u, v = (i + j + first) * b, (j - i) * b
                yield _block_cell(part, blocks, u - b / 2, v - b / 2)
    side = _setting_triangle(setting.triangle_cloth, b, seam_in)
    across, down = setting.across, setting.down
    edges = {
        0: [((i + 1) * b, -(i + 1) * b) for i in range(across - 1)],
        1: [((across + j + 1) * b, (j + 1 - across) * b) for j in range(down - 1)],
        2: [((down + i + 1) * b, (down - i - 1) * b) for i in range(across - 1)],
        3: [((j + 1) * b, (j + 1) * b) for j in range(down - 1)],
    }
    for k in range(max(across, down)):
        for edge, places in edges.items():
            if k < len(places):
                yield Cell(side, shift(*places[k]).after(turn(90 * edge)))
    corner = _corner_triangle(setting.triangle_cloth, b, seam_in)
    corners = ((0, 0), (across, -across), (across + down, down - across), (down, down))
    for k, (u_blocks, v_blocks) in enumerate(corners):
        yield Cell(corner, shift(u_blocks * b, v_blocks * b).after(turn(90 * k)))


def _setting_triangle(cloth: str, b: Fraction, seam_in: Fraction) -> Design:
    """The triangle at the top edge, its long side's middle at the origin; four from a square cut twice."""
    h = b / 2
    outline: tuple[Point, ...] = ((-h, h), (h, -h), (h, h))
    long_in = float(b) * sqrt(2)
    cut = quarter_square_cut_in(long_in, seam_in=seam_in)
    upright = shift(long_in / 2, 0.0).after(turn(45))
    slots = tuple(
        (0, quarter_square_map(long_in, edge=0, cut_in=cut, from_edge=k).after(upright)) for k in range(4)
    )
    batch = Batch("setting triangles", 4, (BatchPiece(cloth, CutRectangle(cut, cut)),))
    return design_leaf(batch.step, Leaf(b, b, batch, (LeafPatch(cloth, outline, slots),)), outline=outline)


def _corner_triangle(cloth: str, b: Fraction, seam_in: Fraction) -> Design:
    """The triangle at the top left corner, its right angle at the origin; four from two squares cut once.

    The second square is cut on its other diagonal, so that all four corners keep their print upright.
    """
    h, nought = b / 2, Fraction(0)
    outline: tuple[Point, ...] = ((nought, nought), (h, -h), (h, h))
    leg = float(b) / sqrt(2)
    cut = half_square_cut_in(leg, seam_in=seam_in)
    far = float(cut) - float(seam_in) - leg
    near = float(seam_in)
    slots = []
    for k, (index, dx, dy) in enumerate(((0, near, near), (1, far, near), (0, far, far), (1, near, far))):
        lay = shift(dx, dy).after(turn(90 * k, about=(leg / 2, leg / 2)))
        slots.append((index, lay.after(turn(45))))
    square = CutRectangle(cut, cut)
    batch = Batch("corner triangles", 4, (BatchPiece(cloth, square), BatchPiece(cloth, square)))
    patch = LeafPatch(cloth, outline, tuple(slots))
    return design_leaf(batch.step, Leaf(b, b, batch, (patch,)), outline=outline)


def border_cells(setting: Setting, *, width: Fraction, height: Fraction, seam_in: Fraction) -> Iterator[Cell]:
    """The borders from the inside out; `width` and `height` of the middle are in half diagonals on point."""
    left, top, right, bottom = Fraction(0), Fraction(0), width, height
    for n, border in enumerate(setting.borders, start=1):
        wide = border.finished_in
        if setting.on_point:
            wide = Fraction(float(wide) / sqrt(2))
        inner, outer = (left, top, right, bottom), (left - wide, top - wide, right + wide, bottom + wide)
        room = (_LONGEST_CUT_IN - 2 * seam_in) * wide / border.finished_in
        parts = _mitred(inner, outer, room) if border.corners == "mitred" else _butted(inner, outer, room)
        for k, outline in enumerate(parts, start=1):
            yield _border_cell(f"border {n}.{k}", border, outline, setting.on_point, seam_in)
        left, top, right, bottom = outer


_Box = tuple[Fraction, Fraction, Fraction, Fraction]


def _butted(inner: _Box, outer: _Box, room: Fraction) -> Iterator[tuple[Point, ...]]:
    (l0, t0, r0, b0), (l1, t1, r1, b1) = inner, outer
    for box in ((l1, t0, l0, b0), (r0, t0, r1, b0), (l1, t1, r1, t0), (l1, b0, r1, b1)):
        yield from _in_lengths(box, room)


def _in_lengths(box: _Box, room: Fraction) -> Iterator[tuple[Point, ...]]:
    """A long strip cut into equal parts that a width of fabric can give."""
    left, top, right, bottom = box
    across, down = (ceil(side / room) for side in (right - left, bottom - top))
    w, h = (right - left) / across, (bottom - top) / down
    for j in range(down):
        for i in range(across):
            yield shift(left + i * w, top + j * h).all(rectangle(w, h))


def _mitred(inner: _Box, outer: _Box, room: Fraction) -> Iterator[tuple[Point, ...]]:
    """Four strips with slanting ends. The sides are cut along the cloth, as long as they are; top and bottom
    across it, in equal parts where they are too long for one width of fabric."""
    (l0, t0, r0, b0), (l1, t1, r1, b1) = inner, outer
    yield (l1, t1), (l0, t0), (l0, b0), (l1, b1)
    yield (r0, t0), (r1, t1), (r1, b1), (r0, b0)
    parts = ceil((r1 - l1) / room)
    cuts = [l1 + i * (r1 - l1) / parts for i in range(parts + 1)]
    for left, right in pairwise(cuts):
        # The slanting ends lie in the first and in the last part.
        in_left, in_right = max(left, l0), min(right, r0)
        yield (left, t1), (right, t1), (in_right, t0), (in_left, t0)
        yield (in_left, b0), (in_right, b0), (right, b1), (left, b1)


def _border_cell(
    name: str, border: Border, outline: tuple[Point, ...], on_point: bool, seam_in: Fraction
) -> Cell:
    """A border piece, straight with the quilt; its outline is carried into the turned frame on point."""
    scale: Number = sqrt(2) if on_point else Fraction(1)
    finished = tuple((x * scale, y * scale) for x, y in outline)
    left, top, right, bottom = bounds(finished)
    shape: CutRectangle | CutOutline
    if border.corners == "butted":
        shape = CutRectangle(right - left + 2 * seam_in, bottom - top + 2 * seam_in)
        to_piece = shift(seam_in - left, seam_in - top)
    else:
        cut = add_allowance(finished, seam_in=seam_in)
        cut_left, cut_top, _, _ = bounds(cut)
        to_piece = shift(-cut_left, -cut_top)
        shape = CutOutline(to_piece.all(cut), to_piece.all(finished))
    if on_point:
        outline = tuple((Fraction(x) + Fraction(y), Fraction(y) - Fraction(x)) for x, y in outline)
        to_piece = to_piece.after(turn(45))
    batch = Batch(name, 1, (BatchPiece(border.cloth, shape),))
    leaf = Leaf(Fraction(0), Fraction(0), batch, (LeafPatch(border.cloth, outline, ((0, to_piece),)),))
    return Cell(design_leaf(name, leaf, outline=outline), STAY)
