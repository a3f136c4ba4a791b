"""A print through a flipped corner, against the hands' own two movements done to a picture of the square.

Source: the making itself. A square is laid face down on the corner (its picture mirrored left for right) and
folded open over its sewn diagonal (mirrored in that diagonal). Common practice, no source: "for a stripe to
finish upright, lay the square with the stripe running across".
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from blocks.blockfile import parse_block
from blocks.drafting import draft_block
from blocks.motion import STAY
from preview.audition import make_audition
from preview.frame import prepare_frame
from preview.render import paint
from swatches.solids import solid_swatch
from swatches.swatch import make_swatch

PPI = 40
SIDE_IN = 3
SEAM = Fraction(1, 4)


def square_cloth():
    """A cut square, finished 3 in, that looks different from every side, one flat colour an eighth of an inch."""
    cells = np.random.default_rng(7).integers(40, 216, (28, 28, 3), dtype=np.uint8)
    return np.repeat(np.repeat(cells, PPI // 8, axis=0), PPI // 8, axis=1)


def corner_block(at):
    text = 'name="c"\nfinished="4"\n[[step]]\nname="c"\nmake="flipped corners"\nfinished="4"\ncloth="base"\n'
    text += f'corners=[{{at="{at}",finished="{SIDE_IN}",cloth="corner"}}]'
    return draft_block(parse_block(text), seam_in=SEAM)


def seen(at, tile):
    """The block as painted, the corner's square lying with its top left at the cloth's origin."""
    draft = corner_block(at)
    cloth = make_swatch(
        tile, key="k", name="k", ppi=float(PPI), repeats=True, scale_note="s", colour_note="c"
    )
    audition = make_audition(
        draft,
        roles={"corner": cloth, "base": solid_swatch("#ffffff")},
        places={piece.number: STAY for piece in draft.pieces},
    )
    return paint(prepare_frame(draft, ppi=PPI), audition)


def folded(at, tile):
    """The same corner by hand: face down on the corner of the base, then over the diagonal."""
    margin = int(SEAM * PPI)
    sheet = np.full((4 * PPI + 2 * margin, 4 * PPI + 2 * margin, 3), 255, np.uint8)
    left = 0 if "left" in at else sheet.shape[1] - tile.shape[1]
    top = 0 if "top" in at else sheet.shape[0] - tile.shape[0]
    face_down = tile[:, ::-1]
    rising = at in ("top left", "bottom right")
    opened = face_down[::-1, ::-1].transpose(1, 0, 2) if rising else face_down.transpose(1, 0, 2)
    sheet[top : top + tile.shape[0], left : left + tile.shape[1]] = opened
    return sheet[margin:-margin, margin:-margin]


@pytest.mark.parametrize("at", ["top left", "top right", "bottom left", "bottom right"])
def test_the_picture_is_what_hands_make(at):
    tile = square_cloth()
    painted, by_hand = seen(at, tile), folded(at, tile)
    rows, columns = np.mgrid[0 : 4 * PPI, 0 : 4 * PPI]
    down = rows if "top" in at else 4 * PPI - 1 - rows
    across = columns if "left" in at else 4 * PPI - 1 - columns
    inside = down + across < SIDE_IN * PPI - 2
    # Away from the borders of cells the colour is flat, and nothing is left to how pixels are sampled.
    flat = (rows % 5 == 2) & (columns % 5 == 2) & inside
    assert flat.sum() > 250
    assert np.abs(painted[flat].astype(int) - by_hand[flat]).max() <= 1


def test_a_stripe_that_runs_up_the_square_runs_across_the_corner():
    stripe = np.where(np.arange(28 * 5) // 5 % 2, 30, 220).astype(np.uint8)
    tile = np.broadcast_to(stripe[None, :, None], (140, 140, 3))
    painted = seen("top left", np.ascontiguousarray(tile))
    part = painted[6:40, 6:40, 0].astype(int)
    assert np.abs(np.diff(part, axis=1)).max() <= 1
    assert np.abs(np.diff(part, axis=0)).max() > 50
