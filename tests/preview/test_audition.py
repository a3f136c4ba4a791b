"""What an audition accepts, what it refuses, and where it puts pieces on a photograph."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from blocks.motion import shift
from preview.audition import MissingCloth, MissingPlace, UnknownPatch, UnknownRole, make_audition
from preview.cloth_maps import cloth_points
from tests.preview.scenes import draft, noise_cloth, plain, rectangle, stay_places

RED, BLUE = plain(200, 30, 30), plain(30, 40, 180)


def four_patch():
    pairs = [
        rectangle(1, "petal", 0, 0, 2, 2),
        rectangle(2, "ground", 2, 0, 2, 2),
        rectangle(3, "ground", 0, 2, 2, 2),
        rectangle(4, "leaf", 2, 2, 2, 2, spin=1),
    ]
    return draft([p for p, _ in pairs], [c for _, c in pairs])


def test_every_patch_gets_its_role_s_cloth_and_single_patches_their_own():
    block = four_patch()
    roles = {"petal": RED, "ground": BLUE, "leaf": BLUE}
    audition = make_audition(block, roles=roles, places=stay_places(block), overrides={3: RED})
    assert [audition.cloths[n].name for n in (1, 2, 3, 4)] == [RED.name, BLUE.name, RED.name, BLUE.name]


def test_a_role_needs_no_cloth_when_all_its_patches_have_their_own():
    block = four_patch()
    audition = make_audition(
        block, roles={"petal": RED, "ground": BLUE}, places=stay_places(block), overrides={4: RED}
    )
    assert audition.cloths[4] is RED


def test_unknown_roles_and_missing_cloths_are_told_together_with_the_likely_word():
    block = four_patch()
    with pytest.raises(UnknownRole, match=r'"petals" \(did you mean "petal"\?\)') as caught:
        make_audition(block, roles={"petals": RED, "sky": RED, "ground": BLUE}, places=stay_places(block))
    assert caught.value.unknown == ("petals", "sky")
    assert caught.value.missing == ("petal", "leaf")
    assert '"leaf"' in str(caught.value)
    assert "ground" in caught.value.mend


def test_all_missing_cloths_are_told_at_once():
    block = four_patch()
    with pytest.raises(MissingCloth) as caught:
        make_audition(block, roles={"ground": BLUE}, places=stay_places(block))
    assert caught.value.missing == ("petal", "leaf")
    assert caught.value.mend


def test_a_patch_that_is_not_there_and_a_piece_without_a_place_are_refused():
    block = four_patch()
    roles = {"petal": RED, "ground": BLUE, "leaf": BLUE}
    with pytest.raises(UnknownPatch, match="9"):
        make_audition(block, roles=roles, places=stay_places(block), overrides={9: RED})
    with pytest.raises(MissingPlace) as caught:
        make_audition(block, roles=roles, places={0: shift(0, 0)})
    assert caught.value.missing == (1, 2, 3)


def cloth_box(audition, number):
    patch = audition.draft.patches[number - 1]
    points = np.array([(float(x), float(y)) for x, y in patch.outline])
    cloth = cloth_points(patch, audition.place_of(patch), points)
    return cloth.min(axis=0), cloth.max(axis=0)


def test_pieces_are_moved_onto_the_photograph_whole_and_kept_apart():
    block = four_patch()
    photo = noise_cloth(5, ppi=20, inches=6, repeats=False)
    places = {i: shift(Fraction(7 + 5 * i), Fraction(90 + 7 * i)) for i in range(4)}
    audition = make_audition(block, roles=dict.fromkeys(("petal", "ground", "leaf"), photo), places=places)
    corners = []
    for number in (1, 2, 3, 4):
        low, high = cloth_box(audition, number)
        # A quarter inch of seam allowance round the patch is on the photograph as well.
        assert (low >= 0.25 - 1e-6).all()
        assert (high <= 6 - 0.25 + 1e-6).all()
        corners.append(tuple(low))
    assert len(set(corners)) > 1
    assert audition.notes == ()


def test_a_place_already_on_the_photograph_stays():
    block = four_patch()
    photo = noise_cloth(5, ppi=20, inches=6, repeats=False)
    places = {i: shift(Fraction(1, 2), Fraction(3, 4)) for i in range(4)}
    audition = make_audition(block, roles=dict.fromkeys(("petal", "ground", "leaf"), photo), places=places)
    assert all(audition.placed[n] == places[0] for n in (1, 2, 3, 4))


def test_a_patch_bigger_than_the_photograph_is_centred_and_noted():
    block = four_patch()
    photo = noise_cloth(6, ppi=30, inches=1.5, name="scrap", repeats=False)
    roles = {"petal": photo, "ground": BLUE, "leaf": photo}
    audition = make_audition(block, roles=roles, places=stay_places(block))
    assert len(audition.notes) == 1
    assert '"scrap"' in audition.notes[0]
    assert "patches 1, 4" in audition.notes[0]
    low, high = cloth_box(audition, 1)
    np.testing.assert_allclose((low + high) / 2, 0.75, atol=1e-9)


def test_a_patch_that_fits_without_its_allowance_is_not_noted():
    block = four_patch()
    photo = noise_cloth(7, ppi=40, inches=2.1, repeats=False)
    audition = make_audition(
        block, roles=dict.fromkeys(("petal", "ground", "leaf"), photo), places=stay_places(block)
    )
    assert audition.notes == ()
    for number in (1, 2, 3, 4):
        low, high = cloth_box(audition, number)
        assert (low >= -1e-6).all()
        assert (high <= 2.1 + 1e-6).all()


def test_repeating_cloth_is_never_moved():
    block = four_patch()
    places = {i: shift(Fraction(30), Fraction(200 + i)) for i in range(4)}
    audition = make_audition(block, roles=dict.fromkeys(("petal", "ground", "leaf"), RED), places=places)
    assert audition.placed[2] == places[1]
