"""The block by its roles: one flat colour for each, and a pattern, so that colour is never needed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from palettes.encodings import luminance, srgb8_to_lin
from preview.frame import Frame
from preview.pens import INK_SRGB8, PAPER_SRGB8
from preview.render import paint
from preview.repeating import invert
from preview.wear import Wear, make_wear
from swatches.swatch import Swatch

__all__ = ["RoleLook", "role_looks", "roles_key", "roles_view"]

_Picture = NDArray[np.uint8]

_COLOURS = (
    (225, 225, 220),
    (86, 180, 233),
    (230, 159, 0),
    (0, 158, 115),
    (204, 121, 167),
    (0, 114, 178),
    (213, 94, 0),
    (240, 228, 66),
)
"""Source: Okabe and Ito (2008), "Color Universal Design"; black left to the lines, a light grey added."""

_PERIOD_PX = 16


def _grid() -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    y, x = np.mgrid[:_PERIOD_PX, :_PERIOD_PX]
    return x, y


_PATTERNS: tuple[tuple[str, Callable[[], NDArray[np.bool_]]], ...] = (
    ("plain", lambda: np.zeros((_PERIOD_PX, _PERIOD_PX), bool)),
    ("stripes rising", lambda: (_grid()[0] + _grid()[1]) % 8 < 2),
    ("dots", lambda: np.hypot(_grid()[0] % 8 - 3.5, _grid()[1] % 8 - 3.5) < 1.8),
    ("level stripes", lambda: _grid()[1] % 8 < 2),
    ("checks", lambda: (_grid()[0] // 8 + _grid()[1] // 8) % 2 == 0),
    ("upright stripes", lambda: _grid()[0] % 8 < 2),
    ("stripes falling", lambda: (_grid()[0] - _grid()[1]) % 8 < 2),
    ("net", lambda: ((_grid()[0] + _grid()[1]) % 16 < 2) | ((_grid()[0] - _grid()[1]) % 16 < 2)),
    ("crosses", lambda: (_grid()[0] % 16 < 2) | (_grid()[1] % 16 < 2)),
    (
        "bricks",
        lambda: (_grid()[1] % 8 < 1) | ((_grid()[0] + 8 * (_grid()[1] // 8)) % 16 < 1),
    ),
    ("rings", lambda: np.abs(np.hypot(_grid()[0] - 7.5, _grid()[1] - 7.5) - 5) < 1),
)


@dataclass(frozen=True, slots=True, eq=False)
class RoleLook:
    """How one role is shown."""

    role: str
    pattern: str
    """Its name, for the key and for people who cannot see it."""
    tile_srgb8: _Picture
    """One repeat, in pixels of the picture."""


def role_looks(roles: tuple[str, ...] | list[str]) -> tuple[RoleLook, ...]:
    """A look for each role, in the order of its first use; the first 88 all differ in pattern or colour.

    The first eleven all differ in pattern, the first eight also in colour.
    """
    looks = []
    for number, role in enumerate(dict.fromkeys(roles)):
        name, draw = _PATTERNS[number % len(_PATTERNS)]
        ground = np.array(_COLOURS[number % len(_COLOURS)], np.uint8)
        tile = np.repeat(np.repeat(ground[None, None], _PERIOD_PX, 0), _PERIOD_PX, 1)
        light = float(luminance(srgb8_to_lin(ground)))
        # Dark marks on light grounds and light ones on dark, clear enough but not louder than the shapes.
        tile[draw()] = ground * 0.55 if light > 0.25 else ground + (255 - ground) * 0.6
        looks.append(RoleLook(role, name, tile))
    return tuple(looks)


def roles_view(frame: Frame) -> _Picture:
    """Every patch in the look of its role; the patterns lie straight in the picture, edges as in cloth."""
    return paint(frame, _Dressing(_wear(frame)))


@dataclass(frozen=True, slots=True, eq=False)
class _Dressing:
    wear: Wear


def _wear(frame: Frame) -> Wear:
    cloths = {look.role: _as_cloth(look, ppi=frame.ppi) for look in role_looks(frame.scene.roles)}
    places = invert(frame.scene.to_piece)
    # Along a bend the pattern follows the stem, as cloth does.
    return make_wear(frame.scene.roles, [cloths[role] for role in frame.scene.roles], places)


def _as_cloth(look: RoleLook, *, ppi: float) -> Swatch:
    # Made directly: pixels of the screen are no density that cloth is photographed at.
    return Swatch(
        key=f"look of {look.role}",
        name=look.role,
        tile_srgb8=look.tile_srgb8,
        ppi=ppi,
        repeats=True,
        width_of_fabric_in=Fraction(42),
        scale_note="",
        colour_note="",
        one_way=False,
        kind="print",
    )


def roles_key(frame: Frame, *, width_px: int = 240) -> _Picture:
    """A key to roles_view: each role's look and name, one under the other."""
    looks = role_looks(frame.scene.roles)
    row = 32
    sheet = Image.new("RGB", (width_px, row * len(looks) + 8), PAPER_SRGB8)
    pen = ImageDraw.Draw(sheet)
    font = ImageFont.load_default(15)
    for number, look in enumerate(looks):
        top = 8 + number * row
        tile = np.tile(look.tile_srgb8, (2, 3, 1))[: row - 8, :48]
        sheet.paste(Image.fromarray(tile), (8, top))
        pen.rectangle((8, top, 55, top + row - 9), outline=INK_SRGB8)
        pen.text((66, top + (row - 8) / 2), look.role, font=font, anchor="lm", fill=INK_SRGB8)
    return np.asarray(sheet).copy()
