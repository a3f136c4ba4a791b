from __future__ import annotations

from fractions import Fraction
from math import cos, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from blocks.applique import Applique, lay_applique
from blocks.faults import FaultsError
from blocks.motion import Motion
from blocks.paths import parse_path
from blocks.polygons import area, rectangle
from blocks.repeats import Repeat
from blocks.shapes import Circle, Outline, Pointed
from blocks.stems import Stem

F = Fraction
GROUND = rectangle(F(12), F(12))
QUARTER = F(1, 4)


def leaf(at="6, 6", *, length="2", width="3/4", deg=0, tuck="0", kind="leaf"):
    across, down = (F(number) for number in at.split(","))
    return Pointed(kind, (across, down), F(length), F(width), F(deg), F(tuck))


def stem(path, *, width="1/4", start="0", end="0"):
    (stroke,) = parse_path(path)
    return Stem(stroke, F(width), F(start), F(end), "two edges to the middle")


def outline(*points):
    return Outline(tuple((F(x), F(y)) for x, y in points))


HOOK = outline((2, 2), (4, 2), (4, 3), (3, 3), (3, 5), (2, 5))  # no mirror line


def lay(*items, ground=GROUND):
    return lay_applique(items, ground=ground, first_piece=10, first_patch=20)


def polygon(points):
    return Polygon([(float(x), float(y)) for x, y in points])


def alike(one, other, within=0.002):
    return one.symmetric_difference(other).area < within


def test_pieces_and_patches_are_numbered_on_and_layered_in_the_order_written():
    laid = lay(
        Applique("left stem", "stem", stem("M 3 10 C 3 8 5 7 6 6")),
        Applique("leaves", "leaf", leaf("6, 5"), repeat=Repeat(turns=3)),
        Applique("eye", "centre", Circle((F(6), F(6)), F(1)), reads=False),
    )
    assert [piece.number for piece in laid.pieces] == [10, 11, 12, 13, 14]
    assert [patch.number for patch in laid.patches] == [20, 21, 22, 23, 24]
    assert [patch.piece for patch in laid.patches] == [10, 11, 12, 13, 14]
    assert [patch.layer for patch in laid.patches] == [1, 2, 2, 2, 3]
    assert [patch.step for patch in laid.patches] == ["left stem", "leaves", "leaves", "leaves", "eye"]
    assert [piece.role for piece in laid.pieces] == ["stem", "leaf", "leaf", "leaf", "centre"]
    assert laid.unread == ("eye",)
    assert all(area(patch.outline) > 0 for patch in laid.patches)  # clockwise as seen


SHAPES = [leaf("6, 5"), leaf("6, 5", kind="petal", tuck="1/4", deg=30), HOOK, Circle((F(5), F(3)), F(1))]


@settings(max_examples=30)
@given(
    st.sampled_from(SHAPES),
    st.integers(1, 7),
    st.booleans(),
    st.sampled_from(["with the shape", "with the block"]),
)
def test_every_copy_lies_in_its_piece_with_cloth_to_turn_under(shape, turns, mirrored, grain):
    turn_under = F(3, 16)
    item = Applique("x", "petal", shape, Repeat(turns, mirrored=mirrored), turn_under, grain)
    laid = lay(item)
    assert len(laid.patches) == turns * (2 if mirrored else 1)
    for patch, piece in zip(laid.patches, laid.pieces, strict=True):
        motion = patch.to_piece
        assert isinstance(motion, Motion)
        # A proper turn: cloth is never mirrored.
        assert motion.cos**2 + motion.sin**2 == pytest.approx(1)
        back = polygon(motion.all(patch.outline))
        assert alike(back, polygon(piece.shape.finished))
        cut = polygon(piece.shape.outline)
        assert cut.contains(back)
        assert cut.exterior.distance(back) == pytest.approx(float(turn_under), abs=0.002)
        assert cut.bounds[:2] == pytest.approx((0, 0), abs=1e-5)
        assert area(piece.shape.outline) > area(piece.shape.finished) > 0
        if grain == "with the block":
            assert (motion.cos, motion.sin) == (1, 0)


def test_copies_are_turned_about_the_middle_and_cut_alike():
    laid = lay(Applique("leaves", "leaf", leaf("6, 5"), Repeat(turns=5)))
    assert len({piece.shape for piece in laid.pieces}) == 1
    for k, patch in enumerate(laid.patches):
        tip = (6 + 3 * sin(radians(72 * k)), 6 - 3 * cos(radians(72 * k)))
        assert min(Point(tip).distance(Point(corner)) for corner in patch.outline) < 1e-6
        # The print turns with its leaf: the way to the tip is up on the piece, whichever copy it is.
        top = patch.to_piece(tip)
        base = patch.to_piece((6 + sin(radians(72 * k)), 6 - cos(radians(72 * k))))
        assert (top[0] - base[0], top[1] - base[1]) == pytest.approx((0, -2), abs=1e-9)


def test_a_repeat_about_a_written_place():
    laid = lay(Applique("leaves", "leaf", leaf("3, 3", length="1"), Repeat(4, (F(3), F(4)))))
    middles = [polygon(patch.outline).centroid for patch in laid.patches]
    assert all(
        middle.distance(Point(3, 4)) == pytest.approx(middles[0].distance(Point(3, 4))) for middle in middles
    )


def test_mirror_images_need_the_template_turned_over_unless_it_is_symmetric():
    hooks = lay(Applique("hook", "leaf", HOOK, Repeat(2, mirrored=True)))
    assert [alike(polygon(patch.outline), polygon((12 - x, y) for x, y in HOOK.points)) for patch in hooks.patches] == [
        False, True, False, False,
    ]  # fmt: skip
    assert len({piece.shape for piece in hooks.pieces}) == 2
    assert hooks.notes == ("hook: cut 2 of its 4 copies with the template turned over.",)
    one, other = hooks.pieces[0].shape, hooks.pieces[1].shape
    wide = max(x for x, _ in one.outline)
    assert alike(polygon((wide - x, y) for x, y in one.outline), polygon(other.outline))
    for shape in (leaf("4, 4", deg=30), outline((2, 2), (4, 2), (5, 4), (1, 4))):
        laid = lay(Applique("twin", "leaf", shape, Repeat(mirrored=True)))
        assert len({piece.shape for piece in laid.pieces}) == 1
        assert laid.notes == ()
        there, image = (polygon(patch.outline) for patch in laid.patches)
        assert alike(image, Polygon([(12 - x, y) for x, y in there.exterior.coords]))


def test_a_stem_goes_into_the_seam_by_its_tuck_and_its_patch_ends_at_the_seam_line():
    laid = lay(
        Applique("stem", "stem", stem("M 4 12 C 4 9 5 8 6 6", start="1/4", end="1/4")),
        Applique("eye", "centre", Circle((F(6), F(6)), F(2))),
    )
    assert laid.notes == ()
    (patch, _), (piece, _) = laid.patches, laid.pieces
    assert max(y for _, y in patch.outline) == 12
    assert patch.to_piece.centre[0] == pytest.approx((4, 12.25))
    centre = LineString(patch.to_piece.centre)
    assert piece.shape.length_in == pytest.approx(centre.length)
    # The strip's map: along the centre line, and to its right, from the middle of the cut width.
    half = float(piece.shape.finished_width_in) / 2
    for x, y in patch.outline:
        assert centre.distance(Point(x, y)) < half * 1.01 or y == 12


@pytest.mark.parametrize(
    ("shape", "told"),
    [
        (stem("M 4 12 C 4 9 5 8 6 6 L 7 4"), None),
        (stem("M 4 12.5 C 4 9 5 8 6 6", start="1/4"), "over the seam line near 4.13, 12.02"),
        (stem("M 3 12 L 6 11", end="1/4"), "over the seam line near 3.04, 12.12"),
        (Circle((F(12), F(6)), F(1)), "0.50 in over the seam line near 12.50, 6.00"),
        (leaf("11, 6", deg=90), "1.00 in over the seam line near 13.00, 6.00"),
        (outline((-1, 3), (2, 3), (2, 4)), "1.00 in over the seam line near -1.00, 3.00"),
        (Circle((F(30), F(30)), F(1)), "over the seam line"),
    ],
)
def test_what_reaches_over_the_seam_line_without_a_tuck_is_refused(shape, told):
    item = Applique("thing", "leaf", shape, where="applique 7 (thing)")
    if told is None:
        lay(item)
        return
    with pytest.raises(FaultsError, match=told) as caught:
        lay(item)
    (fault,) = caught.value.faults
    assert fault.where == "applique 7 (thing)"
    assert "tuck" in fault.mend


def test_every_shape_that_reaches_over_is_told_at_once():
    items = [Applique(name, "leaf", Circle((F(12), F(6)), F(1)), where=name) for name in ("one", "two")]
    with pytest.raises(FaultsError) as caught:
        lay(*items)
    assert [fault.where for fault in caught.value.faults] == ["one", "two"]


def test_a_leaf_tucked_into_the_seam_and_a_shape_along_the_edge_have_the_seam_allowance():
    laid = lay(
        Applique("leaf", "leaf", leaf("0, 6", deg=90, tuck="1/4")),
        Applique("quarter", "petal", outline((12, 12), (9, 12), (12, 9))),
    )
    assert laid.notes == ()
    assert min(x for x, _ in laid.patches[0].outline) == 0
    for piece in laid.pieces:
        gap = polygon(piece.shape.outline).exterior.distance(polygon(piece.shape.finished))
        assert gap == pytest.approx(0.25, abs=0.002)


def test_tucks_that_show_or_are_short_and_shapes_that_are_hidden_are_told():
    laid = lay(
        Applique("bare stem", "stem", stem("M 4 12 L 4 6", start="1/8", end="1/4")),
        Applique("lost", "leaf", Circle((F(9), F(3)), F(1, 2))),
        Applique("bare leaf", "leaf", leaf("8, 8", tuck="1/4")),
        Applique("eye", "centre", Circle((F(9), F(3)), F(1))),
    )
    assert laid.notes == (
        "bare stem: its start tuck is shorter than the seam it goes into; make it 1/4 in.",
        "bare stem: its end tuck shows near 4.0, 5.9; lay a later shape over it, or turn that end under.",
        "lost: a copy is wholly hidden by later shapes; leave it out, or move it down the list.",
        "bare leaf: its base tuck shows near 8.0, 8.1; lay a later shape over it, or turn that end under.",
    )


def test_an_oblong_ground_has_its_own_middle():
    laid = lay(Applique("twin", "leaf", leaf("2, 4"), Repeat(turns=2)), ground=rectangle(F(16), F(8)))
    one, other = (polygon(patch.outline).centroid for patch in laid.patches)
    assert ((one.x + other.x) / 2, (one.y + other.y) / 2) == pytest.approx((8, 4))


def test_a_ring_is_one_patch():
    ring = stem("M 6 3 A 3 3 0 0 1 6 9 A 3 3 0 0 1 6 3 Z", start="1/4")
    (patch,) = lay(Applique("ring", "stem", ring)).patches
    assert polygon(patch.outline).is_valid
    assert not polygon(patch.outline).contains(Point(6, 6))
    assert patch.to_piece.centre[0] == patch.to_piece.centre[-1]
