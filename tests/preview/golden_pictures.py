"""The few pictures that are kept to compare with. Redraw: python -m tests.preview.golden_pictures."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
from PIL import Image

from blocks.library import open_block
from blocks.motion import shift, turn
from blocks.quilt import set_quilt
from blocks.setting import Setting
from blocks.steps import Part
from preview.audition import make_audition
from preview.files import save_png
from preview.frame import prepare_frame
from preview.quilt_audition import dress_quilt
from preview.render import paint
from tests.preview.scenes import check_cloth, garden_block, grid_cloth, noise_cloth, plain, spread_places

FOLDER = Path(__file__).parent / "golden"

CLOTHS = {
    "leaf": check_cloth((20, 90, 50), (150, 200, 140), texels=6, ppi=40.0, name="leaf check"),
    "petal": noise_cloth(3, ppi=40, inches=3, fall=2.0, name="petal"),
    "ground": plain(238, 230, 212),
    "sky": grid_cloth(ppi=40, line_px=4),
    "stem": plain(50, 110, 60),
    "eye": plain(230, 180, 40),
}


def stems_over_squares(**more):
    """Frame and picture of a block with stems, leaves and a circle over triangles and squares."""
    block = garden_block()
    frame = prepare_frame(block, ppi=20)
    return frame, paint(frame, make_audition(block, roles=CLOTHS | more, places=spread_places(block)))


def blocks_on_point(**more):
    """Frame and picture of a part of an on-point quilt."""
    block = "orchard lantern"
    rows = ((Part(block), Part(block, 2)), (Part(block, 1), Part(block, 3)))
    setting = Setting(rows, on_point=True, between=((Part(block),),), triangle_cloth="heart")
    quilt = set_quilt(setting, {block: open_block(block)}, seam_in=Fraction(1, 4))
    names = ("background", "petal", "cup", "bud", "heart", "leaf", "stem", "meadow")
    cloths = dict(zip(names, [*CLOTHS.values(), plain(90, 60, 120), plain(150, 40, 60)], strict=True)) | more
    places = {
        p.number: shift(Fraction(p.number, 3), 0).after(turn(90 * (p.number % 2))) for p in quilt.pieces()
    }
    dressed = dress_quilt(quilt, roles=cloths, places=places)
    frame = prepare_frame(dressed.scene, ppi=12, window_px=(60, 60, 180, 170))
    return frame, paint(frame, dressed)


PICTURES = {"stems_over_squares": stems_over_squares, "blocks_on_point": blocks_on_point}


def kept(name):
    """The picture as it was kept."""
    with Image.open(FOLDER / f"{name}.png") as picture:
        assert picture.mode == "RGB"
        return np.asarray(picture)


if __name__ == "__main__":
    for name, draw in PICTURES.items():
        frame, picture = draw()
        print(save_png(FOLDER / f"{name}.png", picture, ppi=frame.ppi))
