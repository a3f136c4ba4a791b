"""A quilt drawn from its designs, against the same quilt written out patch by patch."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from blocks.library import open_block
from blocks.motion import shift, turn
from blocks.quilt import set_quilt, write_out
from blocks.setting import Border, Sashing, Setting
from blocks.steps import Part
from preview.audition import MissingCloth, MissingPlace, UnknownPatch, UnknownRole, make_audition
from preview.frame import prepare_frame
from preview.keeping import PaintCache
from preview.quilt_audition import dress_quilt
from preview.render import paint, paint_lin
from preview.scene import scene_of
from tests.preview.scenes import noise_cloth, plain

BLOCK = "orchard lantern"


def straight():
    rows = tuple(tuple(Part(BLOCK, (r + c) % 4) for c in range(3)) for r in range(2))
    return Setting(
        rows,
        sashing=Sashing("background", Fraction(3, 2), cornerstone="heart"),
        borders=(Border("leaf", Fraction(3)), Border("stem", Fraction(1), "mitred")),
    )


def on_point():
    rows = tuple(tuple(Part(BLOCK, c) for c in range(2)) for _ in range(2))
    return Setting(rows, on_point=True, between=((Part(BLOCK, 1),),), triangle_cloth="heart")


def quilt_of(setting):
    return set_quilt(setting, {BLOCK: open_block(BLOCK)}, seam_in=Fraction(1, 4))


def cloths_of(quilt, **more):
    roles = sorted(set(scene_of(quilt).roles))
    return {role: noise_cloth(i, ppi=20, name=role, inches=5) for i, role in enumerate(roles)} | more


def places_of(quilt):
    return {
        piece.number: shift(Fraction(7 * piece.number, 8), Fraction(11 * piece.number, 16)).after(
            turn(90 * (piece.number % 2))
        )
        for piece in quilt.pieces()
    }


@pytest.mark.parametrize("setting", [straight(), on_point()], ids=["straight", "on point"])
def test_a_quilt_looks_as_if_it_were_written_out(setting):
    quilt = quilt_of(setting)
    roles, places, draft = cloths_of(quilt), places_of(quilt), write_out(quilt)
    dressed = dress_quilt(quilt, roles=roles, places=places)
    frame = prepare_frame(dressed.scene, ppi=7.3)
    long_way = make_audition(draft, roles=roles, places=places)
    other = prepare_frame(draft, ppi=7.3)
    np.testing.assert_array_equal(frame.labels, other.labels)
    assert frame.scene.roles == other.scene.roles
    np.testing.assert_array_equal(frame.scene.pieces, other.scene.pieces)
    # Stems of far repeats are found with other rounding; a texel's hundredth.
    assert np.abs(paint_lin(frame, dressed) - paint_lin(other, long_way)).max() < 2e-3


def test_photographed_cloth_is_placed_alike():
    quilt = quilt_of(straight())
    photo = noise_cloth(9, ppi=20, inches=6, repeats=False, name="scrap")
    roles, places = cloths_of(quilt, petal=photo, background=photo), places_of(quilt)
    dressed = dress_quilt(quilt, roles=roles, places=places)
    long_way = make_audition(write_out(quilt), roles=roles, places=places)
    assert dressed.notes == long_way.notes
    assert "more need" in dressed.notes[0]
    np.testing.assert_allclose(dressed.wear.places, long_way.wear.places, atol=1e-9)


def test_windows_of_a_quilt_join_and_cost_only_what_they_show():
    quilt = quilt_of(straight())
    dressed = dress_quilt(quilt, roles=cloths_of(quilt), places=places_of(quilt))
    whole = paint(prepare_frame(dressed.scene, ppi=11.7), dressed).astype(int)
    height, width = whole.shape[:2]
    frame = prepare_frame(dressed.scene, ppi=11.7, window_px=(100, 50, 120, 90))
    assert 0 < frame.present.sum() < len(dressed.scene) / 4
    assert np.abs(paint(frame, dressed) - whole[50:140, 100:220]).max() <= 1
    corner = prepare_frame(dressed.scene, ppi=11.7, window_px=(width - 1, height - 1, 1, 1))
    assert np.abs(paint(corner, dressed) - whole[-1:, -1:]).max() <= 1


def test_one_patch_swapped_changes_only_its_own_pixels():
    quilt = quilt_of(straight())
    scene, roles, places = scene_of(quilt), cloths_of(quilt), places_of(quilt)
    cache, frame = PaintCache(), prepare_frame(scene, ppi=8)
    before = paint(frame, dress_quilt(quilt, roles=roles, places=places, scene=scene), cache=cache)
    held = cache.kept_bytes
    single = dress_quilt(quilt, roles=roles, places=places, scene=scene, overrides={40: plain(255, 0, 0)})
    after = paint(frame, single, cache=cache)
    np.testing.assert_array_equal(after, paint(frame, single))
    changed = (after != before).any(axis=2)
    assert changed.any()
    rows, columns = np.nonzero(frame.labels == 40)
    inside = np.zeros_like(changed)
    inside[rows.min() - 1 : rows.max() + 2, columns.min() - 1 : columns.max() + 2] = True
    assert not changed[~inside].any()
    # Only the one patch was laid anew: a tile of one colour and some hundred samples.
    assert cache.kept_bytes - held < 200_000


def test_mistakes_name_everything_at_fault():
    quilt = quilt_of(straight())
    roles, places = cloths_of(quilt), places_of(quilt)
    with pytest.raises(UnknownRole):
        dress_quilt(quilt, roles=roles | {"moon": plain(1, 2, 3)}, places=places)
    with pytest.raises(MissingCloth):
        dress_quilt(quilt, roles={k: v for k, v in roles.items() if k != "leaf"}, places=places)
    with pytest.raises(UnknownPatch):
        dress_quilt(quilt, roles=roles, places=places, overrides={99999: plain(1, 2, 3)})
    with pytest.raises(MissingPlace, match="3"):
        dress_quilt(quilt, roles=roles, places={k: v for k, v in places.items() if k != 3})
    with pytest.raises(ValueError, match="patches"):
        paint(
            prepare_frame(write_out(quilt_of(on_point())), ppi=2),
            dress_quilt(quilt, roles=roles, places=places),
        )
