"""How true pictures are: errors against slow, obvious references and against what is known by arithmetic."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from benchmarks.render_scenes import Bench, bench_block
from blocks.motion import shift
from blocks.values import Draft
from palettes.encodings import decode, encode, luminance, srgb8_to_lin
from palettes.lightness import lightness
from preview.audition import make_audition
from preview.frame import Frame, prepare_frame
from preview.render import paint, paint_lin
from preview.repeating import compose
from swatches.solids import solid_swatch
from tests.preview.scenes import check_cloth, draft, grid_cloth, rectangle
from tests.preview.slow_reference import true_shares

__all__ = ["check_shift", "edge_error", "grid_error", "hairline", "interior"]

CHECKS = (((0, 0, 0), (255, 255, 255)), ((20, 30, 80), (250, 245, 225)), ((200, 60, 90), (250, 210, 215)))
TIMES = 12


def interior(bench: Bench, frame: Frame, *, seed: int, count: int = 40_000) -> tuple[float, float]:
    """PSNR in linear light and the shift of mean L*, at pixels that one straight patch fills.

    The reference averages 12 x 12 points of each pixel, each the colour of the photograph's pixel there.
    """
    wear, scene = bench.auditions[0].wear, frame.scene
    straight = np.setdiff1d(np.arange(len(scene)), scene.bent_owners())
    owners = np.repeat(np.arange(len(scene)), np.diff(frame.run_first))
    runs = np.isin(owners, straight)
    place = np.concatenate(
        [np.arange(a, a + n) for a, n in zip(frame.run_start[runs], frame.run_length[runs], strict=True)]
    )
    owner = np.repeat(owners[runs], frame.run_length[runs])
    some = np.random.default_rng(seed).choice(len(place), count, replace=False)
    place, owner = place[some], owner[some]
    to_cloth = compose(wear.places, scene.to_piece)[owner]
    truth = np.zeros((count, 3))
    for number, swatch in enumerate(wear.swatches):
        mine = wear.swatch_of[owner] == number
        cos, sin, dx, dy = to_cloth[mine].T
        row, column = np.divmod(place[mine], frame.width_px)
        light = decode(np.arange(256) / 255)[swatch.tile_srgb8]
        high, wide = light.shape[:2]
        for i in range(TIMES):
            for j in range(TIMES):
                x = (frame.left_px + column + (i + 0.5) / TIMES) / frame.ppi
                y = (frame.top_px + row + (j + 0.5) / TIMES) / frame.ppi
                across = np.floor((cos * x - sin * y + dx) * swatch.ppi).astype(int) % wide
                down = np.floor((sin * x + cos * y + dy) * swatch.ppi).astype(int) % high
                truth[mine] += light[down, across]
    truth /= TIMES**2
    found = paint_lin(frame, bench.auditions[0]).reshape(-1, 3)[place]
    psnr = -10 * np.log10(np.mean((found - truth) ** 2))
    means = [lightness(luminance(light.mean(axis=0))) for light in (found, truth)]
    return float(psnr), float(abs(means[0] - means[1]))


def edge_error() -> float:
    """Worst level error on flat colours, against shares from 128 lines in every pixel row, each cut exactly.

    On this scene 16 lines are 3 levels off by themselves, where black meets white: the reference nears the
    picture the more lines it has.
    """
    block = bench_block()
    names = ("ivory", "navy", "crimson", "seagreen", "white", "black", "gold", "plum")
    roles = sorted({patch.role for patch in block.patches})
    cloths = {role: solid_swatch(name) for role, name in zip(roles, names, strict=True)}
    audition = make_audition(block, roles=cloths, places=_stay(block))
    frame = prepare_frame(block, ppi=20.3)
    left, top, width, height = window = (70, 40, 110, 60)
    shares = true_shares(block, ppi=20.3, window=window, lines=128)
    shares /= shares.sum(axis=0)
    colours = np.array([cloths[patch.role].tile_srgb8[0, 0] for patch in block.patches]) / 255
    truth = encode(np.einsum("prc,pk->rck", shares, decode(colours))) * 255
    found = paint(frame, audition)[top : top + height, left : left + width]
    return float(np.abs(found - truth).max())


def hairline(block: Draft) -> float:
    """Worst level by which a block in one colour differs from it, at several resolutions."""
    roles = {patch.role for patch in block.patches}
    audition = make_audition(block, roles=dict.fromkeys(roles, solid_swatch("seagreen")), places=_stay(block))
    colour = next(iter(audition.cloths.values())).tile_srgb8[0, 0].astype(int)
    pictures = [paint(prepare_frame(block, ppi=ppi), audition) for ppi in (3.1, 17.77, 40, 63.3, 80)]
    return float(max(np.abs(picture - colour).max() for picture in pictures))


def grid_error() -> float:
    """Worst distance, in pixels, of the lines of a 1-inch grid from the whole inches."""
    worst = 0.0
    for ppi in (80, 83.33, 20.3, 40, 150, 300):
        patch, piece = rectangle(1, "all", 0, 0, 12, 12)
        block = draft([patch], [piece], width=12, height=12)
        place = shift(Fraction(-1, 4), Fraction(-1, 4))
        frame = prepare_frame(block, ppi=ppi, window_px=(0, 0, round(12 * ppi), round(0.8 * ppi)))
        audition = make_audition(block, roles={"all": grid_cloth()}, places={0: place})
        profile = paint_lin(frame, audition)[round(0.3 * ppi) : round(0.7 * ppi) + 1].mean(axis=(0, 2))
        dark = profile.max() - profile
        for inch in range(1, 12):
            near = slice(round((inch - 0.4) * ppi), round((inch + 0.4) * ppi))
            at = np.arange(near.start, near.stop) + 0.5
            worst = max(worst, abs(float(np.sum(dark[near] * at) / np.sum(dark[near])) - inch * ppi))
    return worst


def check_shift() -> float:
    """Worst shift of mean L* of fine checks reduced 3 to 15 times, against the mean in linear light."""
    patch, piece = rectangle(1, "all", 0, 0, 3, 3)
    block = draft([patch], [piece], width=3, height=3)
    worst = 0.0
    for first, second in CHECKS:
        truth = decode(np.array([first, second]) / 255).mean(axis=0)
        wanted = float(lightness(luminance(truth)))
        for times in (3, 3.7, 5, 7.3, 8, 11, 15):
            audition = make_audition(
                block,
                roles={"all": check_cloth(first, second, ppi=300.0)},
                places={0: shift(0.013, 0.27)},
            )
            picture = paint(prepare_frame(block, ppi=300 / times), audition)
            found = lightness(luminance(srgb8_to_lin(picture).reshape(-1, 3).mean(axis=0)))
            worst = max(worst, abs(float(found) - wanted))
    return worst


def _stay(block: Draft) -> dict[int, object]:
    return {piece.number: shift(0, 0) for piece in block.pieces}
