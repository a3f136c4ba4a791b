"""Quilts: everything tiles, every join is found, nothing is cut twice, and settings that cannot be are refused."""

from __future__ import annotations

from fractions import Fraction as F

import numpy as np
import pytest

from blocks.blockfile import parse_block
from blocks.joins import neighbours_of, quilt_edges
from blocks.library import open_block
from blocks.motion import STAY
from blocks.polygons import area
from blocks.quilt import set_quilt, write_out
from blocks.seams import exact_seams
from blocks.setting import Border, Sashing, Setting, SettingError, blocks_for_size, quilt_size
from blocks.steps import Part

S = F(1, 4)
BLOCKS = {"star": open_block("sawtooth star"), "lantern": open_block("orchard lantern")}


def grid(down, across, *names):
    return tuple(
        tuple(Part(names[(r + c) % len(names)], (r + 2 * c) % 4) for c in range(across)) for r in range(down)
    )


SETTINGS = {
    "straight": Setting(grid(2, 3, "star", "lantern")),
    "sashed": Setting(grid(2, 2, "star"), sashing=Sashing("sash", F(3, 2), "stone", around=True)),
    "sashed in rows": Setting(grid(3, 2, "star"), sashing=Sashing("sash", F(2))),
    "bordered": Setting(grid(1, 2, "star"), borders=(Border("a", F(2)), Border("b", F(5, 2), "mitred"))),
    "on point": Setting(
        grid(2, 3, "star"), on_point=True, between=grid(1, 2, "lantern"), triangle_cloth="triangle",
        borders=(Border("a", F(3)), Border("b", F(1), "mitred")),
    ),
    "one on point": Setting(grid(1, 1, "star"), on_point=True, triangle_cloth="triangle"),
}  # fmt: skip


@pytest.fixture(params=SETTINGS)
def quilt(request):
    return set_quilt(SETTINGS[request.param], BLOCKS, seam_in=S)


def test_patches_fill_the_quilt(quilt):
    draft = write_out(quilt)
    ground = sum(float(area(patch.outline)) for patch in draft.patches if not patch.is_applique())
    assert ground == pytest.approx(float(quilt.finished_width_in) * float(quilt.finished_height_in), abs=1e-9)
    assert len(quilt) == len(draft.patches)
    assert [patch.number for patch in draft.patches] == list(range(1, len(quilt) + 1))


def test_every_patch_has_a_piece_of_its_own_role(quilt):
    draft = write_out(quilt)
    assert [piece.number for piece in draft.pieces] == list(range(len(draft.pieces)))
    assert all(draft.pieces[patch.piece].role == patch.role for patch in draft.patches)
    assert {patch.piece for patch in draft.patches} == {piece.number for piece in draft.pieces}


def test_edges_along_the_rim_of_every_repeat_all_meet_something(quilt):
    """Second witness: the seams of all patches together, found without knowing of repeats."""
    exact = [
        patch
        for repeat in quilt.repeats
        for patch in quilt.patches(repeat, view=STAY)
        if not patch.is_applique()
    ]
    whole = {frozenset(pair) for pair in exact_seams(exact)}
    found = {frozenset((e.first, e.second)) for e in quilt_edges(quilt) if e.kind == "seam"}
    hidden = whole - found
    assert found <= whole
    # A seam that appliqué covers does not show; only blocks with appliqué have such.
    covered = {
        n
        for r in quilt.repeats
        if r.cell.design.laid.patches
        for n in range(r.first_patch, r.first_patch + len(r.cell.design))
    }
    assert all(pair <= covered for pair in hidden)


def test_columns_and_edges_agree(quilt):
    columns = neighbours_of(quilt)
    edges = list(quilt_edges(quilt))
    assert sorted(zip(columns.first, columns.second, strict=True)) == sorted(
        (e.first, e.second) for e in edges
    )
    assert np.isclose(columns.length_in.sum(), sum(e.length_in for e in edges))


def test_pairs_go_on_from_block_to_block():
    """Three blocks with one half-square triangle each need two squares of a cloth, not three."""
    text = 'name="One"\nfinished="2"\n[[step]]\nname="hst"\nmake="half-square triangle"\nfinished="2"\ncloths=["x","y"]\n'
    quilt = set_quilt(Setting(grid(1, 3, "one")), {"one": parse_block(text)}, seam_in=S)
    assert len(list(quilt.pieces())) == 4
    ways = [int(patch.to_piece.cos) for patch in write_out(quilt).patches if patch.role == "x"]
    assert ways[0] == 1


@pytest.mark.parametrize(
    ("setting", "words"),
    [
        (Setting(()), "equally long"),
        (Setting(((Part("star"),), (Part("star"), Part("star")))), "equally long"),
        (Setting(((Part("moon"),),)), '"moon"'),
        (Setting(grid(2, 2, "star"), on_point=True, triangle_cloth="t"), "do not fill"),
        (Setting(grid(2, 2, "star"), on_point=True, between=grid(1, 1, "star")), "no cloth"),
        (Setting(grid(1, 1, "star"), between=grid(1, 1, "star")), "on-point"),
        (Setting(((Part("star"), Part("small")),)), "not the size"),
    ],
)
def test_settings_that_cannot_be_sewn(setting, words):
    small = parse_block('name="s"\nfinished="3"\n[[step]]\nname="a"\nmake="square"\nfinished="3"\ncloth="x"')
    with pytest.raises(SettingError, match=words) as caught:
        set_quilt(setting, BLOCKS | {"small": small}, seam_in=S)
    assert caught.value.mend


def test_blocks_for_a_wanted_size_are_never_too_few():
    for wanted in (F(48), F(49), F(60), F(7)):
        for sash in (F(0), F(2)):
            for around in (False, True):
                across, down = blocks_for_size(
                    (wanted, wanted), block_in=F(12), sashing_in=sash, around=around, borders_in=F(3)
                )
                sashing = Sashing("s", sash, around=around) if sash else None
                made = quilt_size(
                    Setting(grid(down, across, "star"), sashing=sashing, borders=(Border("b", F(3)),)),
                    block_in=(F(12), F(12)),
                )
                assert min(made) >= wanted
                if across > 1:
                    less = quilt_size(
                        Setting(grid(1, across - 1, "star"), sashing=sashing, borders=(Border("b", F(3)),)),
                        block_in=(F(12), F(12)),
                    )
                    assert less[0] < wanted
