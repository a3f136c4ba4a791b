"""Small drafts and cloths made by hand: the tests of the picture then depend on the picture alone."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import cos, hypot, pi, radians, sin

import numpy as np

from blocks.motion import STAY, Motion, shift, turn
from blocks.values import Bend, CutBias, CutOutline, CutPiece, CutRectangle, Draft, Patch
from swatches.swatch import Swatch, make_swatch

SEAM = Fraction(1, 4)


def cloth(tile, *, ppi, name="cloth", repeats=True, kind="print"):
    return make_swatch(
        np.asarray(tile, np.uint8),
        key=name,
        name=name,
        ppi=ppi,
        repeats=repeats,
        scale_note="",
        colour_note="",
        kind=kind,
    )


def plain(r, g, b, *, name=None) -> Swatch:
    return cloth(np.full((8, 8, 3), (r, g, b)), ppi=20, name=name or f"plain {r} {g} {b}", kind="solid")


def noise_cloth(seed, *, ppi=150, inches=4, name=None, repeats=True, fall=1.1) -> Swatch:
    """Blobs of several sizes that wrap; a larger `fall` leaves less of the fine ones."""
    rng = np.random.default_rng(seed)
    side = round(ppi * inches)
    fy, fx = np.meshgrid(np.fft.fftfreq(side), np.fft.fftfreq(side), indexing="ij")
    spectrum = 1 / np.maximum(np.hypot(fx, fy), 1 / side) ** fall
    layers = [np.fft.ifft2(np.fft.fft2(rng.standard_normal((side, side))) * spectrum).real for _ in range(3)]
    tile = np.stack([128 + 60 * np.tanh(1.5 * layer / layer.std()) * 1.6 for layer in layers], axis=-1)
    return cloth(np.clip(tile, 0, 255), ppi=ppi, name=name or f"noise {seed}", repeats=repeats)


def check_cloth(first, second, *, texels=1, ppi=300.0, squares=16, name="check") -> Swatch:
    line = np.repeat(np.arange(squares) % 2, texels)
    board = line[:, None] ^ line[None, :]
    return cloth(np.where(board[..., None], first, second), ppi=ppi, name=name)


def grid_cloth(*, ppi=300, line_px=12, repeats=True) -> Swatch:
    """One-inch squares: a dark line centred on every whole inch, both ways, on light."""
    at = np.arange(ppi)
    dark = (at < line_px / 2) | (at >= ppi - line_px / 2)
    tile = np.full((ppi, ppi, 3), 230)
    tile[dark[:, None] | dark[None, :]] = 60
    return cloth(tile, ppi=ppi, name="inch grid", repeats=repeats)


def draft(patches, pieces, *, width=4, height=4, name="test block") -> Draft:
    return Draft(
        name=name,
        finished_width_in=Fraction(width),
        finished_height_in=Fraction(height),
        seam_in=SEAM,
        pieces=tuple(pieces),
        patches=tuple(patches),
    )


def rectangle(number, role, left, top, width, height, *, spin=0):
    """A patch and its piece; `spin` quarter turns (clockwise) took the piece into the block."""
    left, top, width, height = (Fraction(v) for v in (left, top, width, height))
    outline = ((left, top), (left + width, top), (left + width, top + height), (left, top + height))
    cut_w, cut_h = (width, height) if spin % 2 == 0 else (height, width)
    piece = CutPiece(number - 1, role, CutRectangle(cut_w + 2 * SEAM, cut_h + 2 * SEAM), "by hand")
    middle = (left + width / 2, top + height / 2)
    to_block = shift(*middle).after(turn(90 * spin)).after(shift(-(cut_w / 2 + SEAM), -(cut_h / 2 + SEAM)))
    return Patch(number, role, outline, number - 1, to_block.inverse(), "by hand"), piece


def shape(number, role, points, *, layer, deg=0):
    """An appliqué patch of any outline, cut with the grain at `deg` to the block's."""
    points = tuple((float(x), float(y)) for x, y in points)
    doubled = sum(x * v - u * y for (x, y), (u, v) in pairwise((*points, points[0])))
    points = points if doubled > 0 else points[::-1]
    to_piece = turn(deg)
    finished = to_piece.all(points)
    piece = CutPiece(number - 1, role, CutOutline(finished, finished), "by hand")
    return Patch(number, role, points, number - 1, to_piece, "by hand", layer), piece


def circle_points(x, y, radius, count=180):
    return [
        (x + radius * cos(2 * pi * i / count), y + radius * sin(2 * pi * i / count)) for i in range(count)
    ]


def arc_stem(number, role, x, y, radius, width, *, layer, first_deg=180.0, last_deg=270.0, count=120):
    """A bias stem along a circle's arc; angles clockwise from the right, as seen."""
    angles = [radians(first_deg + (last_deg - first_deg) * i / count) for i in range(count + 1)]
    rim = lambda r: [(x + r * cos(a), y + r * sin(a)) for a in angles]  # noqa: E731
    # Walking clockwise, the left hand is outside.
    outline = rim(radius + width / 2) + rim(radius - width / 2)[::-1]
    centre = tuple(rim(radius))
    length = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(centre))
    cut = Fraction(width).limit_denominator(64) * 2
    piece = CutPiece(number - 1, role, CutBias(cut, length, cut / 2), "by hand")
    return Patch(
        number, role, tuple(outline), number - 1, Bend(centre, 0.0, float(cut) / 2), "by hand", layer
    ), piece


def garden_block(*, size=12):
    """Squares, half-square triangles, leaves, a circle and stems on a 12-inch block."""
    pairs = []
    step = Fraction(size, 6)
    number = 1
    for row in range(6):
        for column in range(6):
            x, y = column * step, row * step
            if (row + column) % 3 == 0:
                a, b, c, d = (x, y), (x + step, y), (x + step, y + step), (x, y + step)
                for role, outline, spin in (("leaf", (a, b, d), 0), ("petal", (b, c, d), 1)):
                    piece = CutPiece(
                        number - 1,
                        role,
                        CutRectangle(step + Fraction(7, 8), step + Fraction(7, 8)),
                        "by hand",
                    )
                    to_piece = (
                        turn(90 * spin).after(shift(-x, -y))
                        if spin == 0
                        else turn(90).after(shift(-x - step, -y))
                    )
                    pairs.append((Patch(number, role, outline, number - 1, to_piece, "by hand"), piece))
                    number += 1
            else:
                role = ("ground", "petal", "sky")[(row * 2 + column) % 3]
                pairs.append(rectangle(number, role, x, y, step, step, spin=(row + column) % 4))
                number += 1
    for radius, first, last in ((9.0, 185, 262), (5.5, 190, 250), (3.0, 185, 265)):
        pairs.append(
            arc_stem(number, "stem", 11.5, 11.5, radius, 0.375, layer=1, first_deg=first, last_deg=last)
        )
        number += 1
    for i in range(9):
        a = radians(190 + 8 * i)
        x, y = 11.5 + (9.5 if i % 2 else 8.4) * cos(a), 11.5 + (9.5 if i % 2 else 8.4) * sin(a)
        spin = radians(40 * i)
        half = [(0.8 * sin(pi * t / 20 - pi / 2), 0.28 * cos(pi * t / 20 - pi / 2)) for t in range(41)]
        turned = [(x + u * cos(spin) - v * sin(spin), y + u * sin(spin) + v * cos(spin)) for u, v in half]
        pairs.append(shape(number, "leaf", turned, layer=2, deg=40 * i))
        number += 1
    pairs.append(shape(number, "eye", circle_points(6.2, 5.1, 0.9), layer=3))
    return draft([p for p, _ in pairs], [c for _, c in pairs], width=size, height=size)


def stay_places(of: Draft) -> dict[int, Motion]:
    return {piece.number: STAY for piece in of.pieces}


def spread_places(of: Draft, *, seed=1) -> dict[int, Motion]:
    rng = np.random.default_rng(seed)
    return {
        piece.number: shift(
            Fraction(int(rng.integers(0, 160)), 4), Fraction(int(rng.integers(0, 400)), 4)
        ).after(turn(45 if isinstance(piece.shape, CutBias) else 0))
        for piece in of.pieces
    }
